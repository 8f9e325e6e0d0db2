/* module.h - the Lua module `lodeloom`.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_MODULE_H
#define LL_BIND_MODULE_H

#include <lua.h>

/* The one name that the module shows to the interpreter. */
#define LL_MODULE_ENTRY __attribute__((visibility("default")))

/* Returns the module's table. What `require "lodeloom"` calls; needs the base, string, table, math and utf8
 * libraries. */
LL_MODULE_ENTRY int luaopen_lodeloom(lua_State *L);

#endif
