/* sight.h - a pickup as its pictures show it: solids in millimetres, with words for the key.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_SIGHT_H
#define LL_BIND_SIGHT_H

#include "module/nouns/pickup.h"
#include "picture/solid.h"

/* Pushes a buffer of all parts, then all coils, with their names and words; *count may be 0. A wrong pickup has none. */
const picture_solid *bind_push_solids(lua_State *L, const bind_pickup *pickup, size_t *count);

#endif
