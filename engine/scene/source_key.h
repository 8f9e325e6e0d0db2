/* source_key.h - parts and coils as keys: those that act alike have equal ones, and no others. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SCENE_SOURCE_KEY_H
#define LL_SCENE_SOURCE_KEY_H

#include "base/key.h"
#include "scene/scene.h"

extern const ll_members ll_part_members, ll_coil_members;

/* Of a part or coil that a scene has taken. */
void ll_key_add_part(ll_key *key, const ll_part *part);
void ll_key_add_coil(ll_key *key, const ll_coil *coil);

/* A magnet of unit strength with the shape and place of this one, magnetised along m or against it, whichever the key is for: *sense
 * is that of m in it. */
void ll_key_add_magnet(ll_key *key, const ll_part *part, ll_vec3 m, double *sense);

/* All parts and coils. In `either_sense` a scene whose magnets are all turned round has the same key, and *sense, 1 or -1, tells the
 * two apart; else it is 1. */
void ll_key_add_scene(ll_key *key, const ll_scene *scene, bool either_sense, double *sense);

#endif
