/* section.h - the field inside one body: gradients, and the flux through a plane across it.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_READING_SECTION_H
#define LL_READING_SECTION_H

#include "magnetics/body.h"

/* H and B / mu0 at a world point inside a region of the body, world axes, from the potential w[nodes] and, for a
 * reaction body, the sources' H there: volume means of H at the nodes of the tetrahedron that holds the point,
 * interpolated, then the law. Points in the sliver between a circle and its polygon take the nearest tetrahedron. */
ll_status ll_body_field(const ll_body *body, size_t region, const double *w, ll_vec3 point_m,
                        ll_vec3 source_h, ll_vec3 *h, ll_vec3 *b_mu0);

/* Mean of Bz over the section of one region by the world plane z = z_m, from the flux lambda[corners] that leaves the
 * surface on one side of the plane: no gradient inside is needed, which would converge slowly. Only where the plane cuts
 * other regions off together with this one, B in the tetrahedra that it cuts is summed instead. LL_OUTSIDE_PART. */
ll_status ll_body_section(const ll_body *body, size_t region, const double *w, const double *lambda,
                          double z_m, double *bz_t);

#endif
