/* explain.h - Lua's own messages in the words of people who do not program.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_EXPLAIN_H
#define LL_HOST_EXPLAIN_H

#include <lua.h>

/* Cuts the message on the top to some KB: a script's own text may be of any length and shape, and explaining it or copying it
 * takes time. */
void host_cut_message(lua_State *L);

/* Prints the message on the top on standard error: what is wrong and what to do, where Lua's words for it are known. */
void host_say_mistake(lua_State *L);

/* Prints the mistakes noted so far on standard error; returns how many. */
int host_list_mistakes(lua_State *L);

#endif
