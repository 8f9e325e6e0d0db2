/* pair_points.h - few points of one surface whose potentials tell what another body does everywhere on it.
 *
 * The potential that a body makes outside is that of some charges on its surface. With i over points of the target and j over
 * charges on the source, the matrix 1 / (4 pi r_ij) holds few combinations: as many rows as columns, chosen by adaptive crosses (M.
 * Bebendorf, Numer. Math. 86 (2000) 565), give every other row to a tolerance, so potentials at the chosen points give those at all others.
 * Both sets are thinned first: points need not stand closer than a share of their distance from the other body. Where the source's
 * own points stand further apart than the target is away, its charges are not known well enough: target points so close count for
 * themselves alone.
 *
 * Lengths in metre. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_PAIR_POINTS_H
#define LL_ELEMENTS_PAIR_POINTS_H

#include "elements/body_form.h"

typedef struct ll_pair_points {
    size_t count;
    ll_vec3 *at_m; /* [count] in the source's frame */
    double *
        tested; /* [charges of the target][count]: a potential of 1 at each, tested on the target's surface */
    /* Other points of the target, and what potentials at the chosen points make of theirs: [watched], [watched][count]. */
    size_t watched;
    ll_vec3 *watched_at_m;
    double *told;
} ll_pair_points;

/* Caller clears *out. LL_NO_MEMORY. */
ll_status ll_pair_points_find(const ll_body_form *target, const ll_body_form *source,
                              const ll_pose *source_in_target, ll_pair_points *out);
void ll_pair_points_clear(ll_pair_points *p);

#endif
