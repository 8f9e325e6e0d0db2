/* section.h - the field inside one body: gradients, and the flux through a plane across it.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_SECTION_H
#define LL_MAGNETICS_SECTION_H

#include "magnetics/system.h"

/* Gradient of the body's potential w[nodes] at a world point inside, world axes: volume means of the surrounding
 * tetrahedra's gradients at the nodes, interpolated. Points in the sliver between a circle and its polygon take the
 * nearest tetrahedron. */
ll_status ll_body_gradient(const ll_body *body, const double *w, ll_vec3 point_m,
                           ll_vec3 *gradient);

/* Mean of Bz over the section by the world plane z = z_m, from the flux lambda[corners] that leaves the surface above
 * the plane; no gradient inside is needed. LL_OUTSIDE_PART. */
ll_status ll_body_section(const ll_body *body, const double *lambda, double z_m, double *bz_t);

#endif
