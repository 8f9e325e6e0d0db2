/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "explain.h"
#include "sandbox.h"

/* explain.lua(message): the message in other words. */
static int explain(lua_State *L)
{
    if (!host_load_own(L, "explain"))
        return 1;
    lua_insert(L, 1);
    lua_call(L, 1, 1);
    return 1;
}

const char *host_explained(lua_State *L)
{
    lua_pushcfunction(L, explain);
    lua_pushvalue(L, -2);
    if (lua_pcall(L, 1, 1, 0) == LUA_OK && lua_type(L, -1) == LUA_TSTRING)
        lua_replace(L, -2);
    else
        lua_pop(L, 1); /* then in Lua's words */
    return lua_tostring(L, -1);
}
