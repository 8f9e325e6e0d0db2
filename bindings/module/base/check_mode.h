/* check_mode.h - how a script that is only checked goes on after a mistake.
 *
 * In a check every function of the module is wrapped: what it raises is noted, and it answers with the unknown, a value that stands
 * for whatever the script would have got. All that is done with the unknown gives the unknown, and a field that holds it says no
 * more, so that one mistake is told once.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_CHECK_MODE_H
#define LL_BIND_CHECK_MODE_H

#include <lua.h>
#include <stdbool.h>

/* What Lua calls the unknown in its own messages. */
#define BIND_UNKNOWN "something unknown"

/* Makes the unknown, and adds core.guard(function): the function as a script may have it. */
void bind_open_check_mode(lua_State *L);

/* Wraps the function on the top in a check; leaves it alone otherwise. */
void bind_guard(lua_State *L);

/* Wraps the functions of the table on the top. */
void bind_guard_all(lua_State *L);

void bind_push_unknown(lua_State *L);
bool bind_is_unknown(lua_State *L, int index);

#endif
