/* own_chunks.h - Lua that is part of the program.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_OWN_CHUNKS_H
#define LL_HOST_OWN_CHUNKS_H

#include <lua.h>
#include <stdbool.h>

/* Pushes the program's own Lua file of that name, loaded; false, and nothing pushed, when there is none. Raises. */
bool host_load_own(lua_State *L, const char *name);

#endif
