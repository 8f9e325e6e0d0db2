/* pair.h - what the layers of one form do at the surface of another. It depends on the two forms and on how they stand to
 * each other alone, so equal pairs share one, within a scene and from one scene to the next.
 *
 * Bodies that are clear of each other's grids (ll_body_form.least_gap_m) act through these: psi on the target's grid is
 * G times the moments of the source, and G's transpose serves the other way. Nearer ones act directly: the potential of each of
 * the source's layers, tested on the target's surface. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_PAIR_H
#define LL_ELEMENTS_PAIR_H

#include "elements/body_form.h"

typedef struct ll_pair {
    ll_body_form *target, *source; /* shares */
    ll_pose source_in_target;
    bool direct;
    double *
        matrix; /* direct: [charges of the target][layers of the source], else [moments of the source][of the target] */
    int users;
} ll_pair;

/* Whether two placed forms are too near for their grids. */
bool ll_pair_is_near(const ll_body_form *a, const ll_pose *pa, const ll_body_form *b,
                     const ll_pose *pb);

/* From the store or new; shared by counting. Thread-safe. LL_NO_MEMORY. */
ll_status ll_pair_get(ll_body_form *target, const ll_pose *target_pose, ll_body_form *source,
                      const ll_pose *source_pose, bool direct, ll_pair **out);
/* Gives up one share; NULL: nothing. */
void ll_pair_release(ll_pair *pair);

#endif
