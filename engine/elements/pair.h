/* pair.h - what the layers of one form do at the surface of another. It depends on the two forms and on how they stand to
 * each other alone, so equal pairs share one, within a scene and from one scene to the next; so do those that mirror
 * each other.
 *
 * Bodies that are clear of each other's grids (ll_body_form.least_gap_m) act through these: psi on the target's grid is
 * G times the moments of the source, and G's transpose serves the other way. Nearer ones act directly: the potential of each of
 * the source's layers, tested on the target's surface. Such matrices hold less than they seem and are kept as products of thin
 * ones. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_PAIR_H
#define LL_ELEMENTS_PAIR_H

#include "elements/body_form.h"
#include "elements/lowrank.h"

typedef struct ll_pair {
    ll_shared shared;
    ll_body_form *target, *source; /* shares */
    ll_pose source_in_target;
    bool direct;
    /* Direct: [charges of the target][layers of the source]; else [moments of the source][of the target]. Thin when that is
     * smaller. */
    double *matrix;
    ll_lowrank thin;
} ll_pair;

/* A pair as it stands in a scene: perhaps the image of a stored one in own planes of both forms (bit k: normal to axis k). */
typedef struct ll_pair_use {
    ll_pair *pair; /* NULL without one */
    unsigned target_mirrors, source_mirrors;
} ll_pair_use;

/* Whether two placed forms are too near for their grids. */
bool ll_pair_is_near(const ll_body_form *a, const ll_pose *pa, const ll_body_form *b,
                     const ll_pose *pb);

/* From the cache or new: out->pair is a share (ll_release). Thread-safe. LL_NO_MEMORY. */
ll_status ll_pair_get(ll_body_form *target, const ll_pose *target_pose, ll_body_form *source,
                      const ll_pose *source_pose, bool direct, ll_pair_use *out);
/* y[charges of the target] += what the source's layers do there, of a direct pair. LL_NO_MEMORY. */
ll_status ll_pair_add(const ll_pair_use *use, const double *layer, double *y);
/* psi[moments] on the target's grid += what moments of the source make there, of a distant pair; or the other way. */
void ll_pair_add_far(const ll_pair *pair, bool to_target, const double *moment, double *psi);
size_t ll_pair_bytes(const ll_pair *pair);

#endif
