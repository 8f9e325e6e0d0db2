/* core.h - the functions that the module's own Lua chunks get from C.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_CORE_H
#define LL_BIND_CORE_H

#include <lua.h>

void bind_open_core(lua_State *L);

#endif
