/* joining.h - which parts can be one piece: prisms along a common axis. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SCENE_JOINING_H
#define LL_SCENE_JOINING_H

#include "scene/scene.h"

/* A deeper cut is one, and cannot be left as a contact with a gap. */
#define LL_SMALLEST_CUT_M 1e-6

/* Frames whose z is one of the part's own axes: for a round piece only its own. Returns how many. */
int ll_part_frames(const ll_part *part, ll_rotation turn[3]);
/* True when two pieces of steel that overlap can be meshed as one: both are prisms along a common axis. */
bool ll_parts_can_join(const ll_part *p, const ll_part *q);

#endif
