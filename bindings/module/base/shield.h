/* shield.h - no place inside the module's own Lua reaches a script: what breaks there is told at the script's line.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_SHIELD_H
#define LL_BIND_SHIELD_H

#include <lua.h>

/* Wraps every function of the table on the top that is written in Lua; its key is the name by which it is told. A script's own
 * messages, limits and values that are no texts go on upwards as they are. Functions stay free to yield. */
void bind_shield_all(lua_State *L);

#endif
