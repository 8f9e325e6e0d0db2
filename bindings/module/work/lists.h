/* lists.h - numbers to and from the lists of the module's own Lua, so that a wrong one is our mistake and raised as such.
 * What holds an array is pushed, and lives as long as it lies on the stack.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_LISTS_H
#define LL_BIND_LISTS_H

#include "base/geometry.h"
#include <lua.h>
#include <stddef.h>

/* Numbers of the list at `index` into out[n]; pushes nothing. */
void bind_list_numbers(lua_State *L, int index, size_t n, double *out);
/* The numbers of the list in field `key` of the table at `index`, *n of them; none when it is nil. */
double *bind_list_in(lua_State *L, int index, const char *key, size_t *n);
/* The number in field `key` of the table on the top, 0 when it is nil; pushes nothing. */
double bind_number_in(lua_State *L, const char *key);
/* A list of lists of `width` numbers in one array. */
double *bind_list_rows(lua_State *L, int index, size_t width, size_t *rows);
/* The list of {x, y, z} in mm at `index`, in metres. */
const ll_vec3 *bind_list_places(lua_State *L, int index, size_t *n);

void bind_push_list(lua_State *L, size_t n, const double *values);
/* Into field `key` of the table on the top. */
void bind_set_list(lua_State *L, const char *key, size_t n, const double *values);

#endif
