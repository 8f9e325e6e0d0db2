/* values.h - plain values of Lua: buffers, copies.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_VALUES_H
#define LL_BIND_VALUES_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

/* True when the copy at `index` holds a value in that field. */
bool bind_given(lua_State *L, int index, const char *field);

/* Pushes a deep copy of a value made of plain tables. */
void bind_copy(lua_State *L, int index);

/* Pushes a copy of a table whose values are shared. */
void bind_copy_top(lua_State *L, int index);

/* Zeroed memory that Lua collects; pushes it. Raises when count is absurd or memory is short. */
void *bind_buffer(lua_State *L, size_t count, size_t size);

#endif
