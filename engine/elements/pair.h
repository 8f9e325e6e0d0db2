/* pair.h - what the layers of one form do at the surface of another. It depends on the two forms and on how they stand to
 * each other alone, so equal pairs share one, within a scene and from one scene to the next; so do those that mirror
 * each other.
 *
 * The potential of each of the source's layers is taken at few points of the target's surface, which tell it everywhere
 * else (pair_points.h); where that saves nothing, it is tested on all of the surface. Single precision
 * holds what is known to 1e-5. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_PAIR_H
#define LL_ELEMENTS_PAIR_H

#include "elements/body_form.h"

typedef struct ll_pair {
    ll_shared shared;
    ll_body_form *target, *source; /* shares */
    ll_pose source_in_target;
    size_t points;
    /* Few points: potentials of the layers there, [points][layers of the source], and what they do, [charges of the target][points]; without
     * rows all of it at once, [charges of the target][layers of the source]. */
    float *rows, *matrix;
} ll_pair;

/* A pair as it stands in a scene: perhaps the image of a stored one in own planes of both forms (bit k: normal to axis k). */
typedef struct ll_pair_use {
    ll_pair *pair; /* NULL without one */
    unsigned target_mirrors, source_mirrors;
} ll_pair_use;

/* From the cache or new: out->pair is a share (ll_release). Thread-safe. LL_NO_MEMORY. */
ll_status ll_pair_get(ll_body_form *target, const ll_pose *target_pose, ll_body_form *source,
                      const ll_pose *source_pose, ll_pair_use *out);
/* y[charges of the target] += what the source's layers do there; LL_NO_MEMORY. */
ll_status ll_pair_add(const ll_pair_use *use, const double *layer, double *y);
size_t ll_pair_bytes(const ll_pair *pair);

#endif
