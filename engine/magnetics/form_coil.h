/* form_coil.h - the scalar potential of one ampere in a coil at a body of higher degree, on the branch that fits it, see
 * coil_source.h. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_FORM_COIL_H
#define LL_MAGNETICS_FORM_COIL_H

#include "scene/scene.h"

/* psi[n] at n world points on a part's surface, psi overwritten; h_per_m (or NULL) is the coil's own field there.
 * LL_RING_AROUND_COIL where the part closes a ring around some of the winding. LL_NO_MEMORY, LL_BAD_VALUE. */
ll_status ll_form_coil_potential(const ll_coil *coil, const ll_part *part, size_t n,
                                 const ll_vec3 *points_m, double *psi, ll_vec3 *h_per_m);

#endif
