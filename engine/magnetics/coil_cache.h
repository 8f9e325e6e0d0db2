/* coil_cache.h - what windings give by themselves, kept: it depends on their dimensions and places alone, so that a scene in which
 * one part or the turns have changed finds it again. Internal. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_COIL_CACHE_H
#define LL_MAGNETICS_COIL_CACHE_H

#include "magnetics/body.h"

/* Per ampere in a coil, at the test points of a body (world axes, 3 for each triangle): H in 1/m if h_per_m is not NULL, and
 * the potential of the coil's magnetised equivalent if psi is not NULL. LL_NO_MEMORY, LL_BAD_VALUE. */
ll_status ll_coil_at_body(const ll_coil *coil, const ll_body *body, ll_vec3 *h_per_m, double *psi);

/* Self or mutual inductance in air, henry. */
ll_status ll_coils_in_air(const ll_coil *a, const ll_coil *b, double *l_h);

#endif
