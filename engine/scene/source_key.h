/* source_key.h - magnets and coils as numbers: two that act alike have equal keys, whichever end of a bar comes first.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SCENE_SOURCE_KEY_H
#define LL_SCENE_SOURCE_KEY_H

#include "scene/scene.h"

enum { LL_SOURCE_KEY = 32 };

/* Shape and place alone. */
void ll_part_key(const ll_part *part, double key[LL_SOURCE_KEY]);
/* A magnet of unit strength along m; *sign tells which of the two senses the key's answer is for. */
void ll_magnet_key(const ll_part *part, ll_vec3 m, double key[LL_SOURCE_KEY], double *sign);
void ll_coil_key(const ll_coil *coil, double key[LL_SOURCE_KEY]);
bool ll_keys_equal(const double a[LL_SOURCE_KEY], const double b[LL_SOURCE_KEY]);

#endif
