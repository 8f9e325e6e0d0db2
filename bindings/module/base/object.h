/* object.h - what all described things have in common: a box that never changes, the fields it was made from,
 * methods, and changed copies.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_OBJECT_H
#define LL_BIND_OBJECT_H

#include "module/base/fields.h"
#include <lauxlib.h>

/* Registers the noun's metatable. `methods` end with {NULL, NULL}; `clear` frees what the box holds, may run
 * twice, and may be NULL. The field `make` of the noun then serves `with`. */
void bind_object_register(lua_State *L, const bind_noun *noun, const luaL_Reg *methods,
                          lua_CFunction clear);

/* Pushes a box holding the noun's defaults, then reads the table of fields at index 1 into it. Its
 * `wrong` tells whether that went well. */
void *bind_object_make(lua_State *L, const bind_noun *noun, const char *place);

/* An empty box, zeroed but for the defaults, with no fields. */
void *bind_object_new(lua_State *L, const bind_noun *noun);

/* The box that a method was called on; raises with a hint at the colon. */
void *bind_self(lua_State *L, const bind_noun *noun, const char *method);

/* Pushes a copy of the fields that the box at `index` was made from. */
void bind_push_given(lua_State *L, int index);

/* Pushes "rod 'core'", or "rod" without a name, from the table of fields at index 1. */
const char *bind_place_of(lua_State *L, const bind_noun *noun);

#endif
