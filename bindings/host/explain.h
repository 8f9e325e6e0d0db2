/* explain.h - Lua's own messages in the words of people who do not program.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_EXPLAIN_H
#define LL_HOST_EXPLAIN_H

#include <lua.h>

/* Replaces the message on the top by one that says what is wrong and what to do, where Lua's is known; returns it. */
const char *host_explained(lua_State *L);

#endif
