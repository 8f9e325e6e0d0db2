/* module.h - the Lua module `lodeloom`.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_MODULE_H
#define LL_BIND_MODULE_H

#include <lua.h>

/* Returns the module's table. What `require "lodeloom"` calls; needs the base, string, table, math and utf8
 * libraries. */
int luaopen_lodeloom(lua_State *L);

#endif
