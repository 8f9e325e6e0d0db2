/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/shield.h"
#include "module/base/fault.h"
#include <lauxlib.h>

/* Results of the shielded function, or its error at the script's line; upvalues: the function, its name. */
static int finish(lua_State *L, int code, lua_KContext first)
{
    if (code == LUA_OK || code == LUA_YIELD)
        return lua_gettop(L) - (int)first + 1;
    const char *text = bind_behind_own_place(L);
    if (!text)
        return lua_error(L);
    return bind_raise(
        L,
        "%s: a value given here is of another kind than is asked for (%s); compare it "
        "with the manual's table of %s",
        lua_tostring(L, lua_upvalueindex(2)), text, lua_tostring(L, lua_upvalueindex(2)));
}

static int shielded(lua_State *L)
{
    luaL_checkstack(L, 10, "too deeply nested");
    lua_pushvalue(L, lua_upvalueindex(1));
    lua_insert(L, 1);
    return finish(L, lua_pcallk(L, lua_gettop(L) - 1, LUA_MULTRET, 0, 1, finish), 1);
}

void bind_shield_all(lua_State *L)
{
    const int table = lua_gettop(L);
    luaL_checkstack(L, 6, "too many values");
    for (lua_pushnil(L); lua_next(L, table);) {
        if (lua_isfunction(L, -1) && !lua_iscfunction(L, -1) && lua_type(L, -2) == LUA_TSTRING) {
            lua_pushvalue(L, -2); /* key, function, key */
            lua_pushcclosure(L, shielded, 2);
            lua_pushvalue(L, -2);
            lua_insert(L, -2);
            lua_rawset(L, table); /* a key that is there may be set while the table is walked */
        } else {
            lua_pop(L, 1);
        }
    }
}
