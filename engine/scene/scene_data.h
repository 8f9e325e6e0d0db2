/* scene_data.h - what a scene holds, and where coils leave room. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SCENE_SCENE_DATA_H
#define LL_SCENE_SCENE_DATA_H

#include "base/shared.h"
#include "scene/scene.h"
#include <stdbool.h>

struct ll_scene {
    ll_shared shared; /* by the builder and each solution */
    size_t parts, coils;
    ll_part *part;
    ll_coil *coil;
    atomic_bool
        closed; /* others have counted what is in it: it grows no more, even when they are gone */
};

/* Another owner; ll_scene_free gives it up. */
const ll_scene *ll_scene_share(const ll_scene *scene);

/* True when a point in the coil's own frame lies within the hole's outline, at whatever height. */
bool ll_coil_outline_holds(const ll_coil *coil, ll_vec3 own_m);
/* How often the straight way from a to b, both in the coil's frame, leaves the hole through its upper end: -1, 0 or 1. */
int ll_coil_ways_up(const ll_coil *coil, ll_vec3 a_m, ll_vec3 b_m);

#endif
