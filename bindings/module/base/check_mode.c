/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/check_mode.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/settings.h"
#include <lauxlib.h>

static const char key; /* names the unknown in the registry */

void bind_push_unknown(lua_State *L)
{
    lua_rawgetp(L, LUA_REGISTRYINDEX, &key);
}

bool bind_is_unknown(lua_State *L, int index)
{
    index = lua_absindex(L, index);
    bind_push_unknown(L);
    const bool same = lua_rawequal(L, index, -1);
    lua_pop(L, 1);
    return same && !lua_isnil(L, index);
}

/* Indexing, calling, reckoning. */
static int give_unknown(lua_State *L)
{
    bind_push_unknown(L);
    return 1;
}

static int give_nothing(lua_State *L)
{
    (void)L;
    return 0;
}

static int give_zero(lua_State *L)
{
    lua_pushinteger(L, 0);
    return 1;
}

static int give_false(lua_State *L)
{
    lua_pushboolean(L, 0);
    return 1;
}

/* For pairs: an iterator that ends at once. */
static int give_iterator(lua_State *L)
{
    lua_pushcfunction(L, give_nothing);
    return 1;
}

static int give_name(lua_State *L)
{
    lua_pushliteral(L, BIND_UNKNOWN);
    return 1;
}

static const luaL_Reg behaviour[] = {
    {"__index", give_unknown},
    {"__call", give_unknown},
    {"__add", give_unknown},
    {"__sub", give_unknown},
    {"__mul", give_unknown},
    {"__div", give_unknown},
    {"__mod", give_unknown},
    {"__pow", give_unknown},
    {"__unm", give_unknown},
    {"__idiv", give_unknown},
    {"__band", give_unknown},
    {"__bor", give_unknown},
    {"__bxor", give_unknown},
    {"__bnot", give_unknown},
    {"__shl", give_unknown},
    {"__shr", give_unknown},
    {"__concat", give_unknown},
    {"__len", give_zero},
    {"__lt", give_false},
    {"__le", give_false},
    {"__pairs", give_iterator},
    {"__newindex", give_nothing},
    {"__tostring", give_name},
    {"__close", give_nothing},
    {NULL, NULL},
};

/* Limits are no mistakes of the script: they go on upwards. */
static bool is_mistake(lua_State *L, int code)
{
    const bind_limits *limits = bind_limits_of(L);
    const bool stopped = limits->go_on && !limits->go_on();
    return code == LUA_ERRRUN && !stopped && lua_type(L, -1) == LUA_TSTRING;
}

/* The guarded function, the real one as its upvalue. */
static int guarded(lua_State *L)
{
    const int count = lua_gettop(L);
    for (int i = 1; i <= count; i++)
        if (bind_is_unknown(L, i))
            return give_unknown(L);
    luaL_checkstack(L, 10, "too deeply nested");
    lua_pushvalue(L, lua_upvalueindex(1));
    lua_insert(L, 1);
    lua_pushcfunction(L, bind_placed);
    lua_insert(L, 1);
    const int code = lua_pcall(L, count, LUA_MULTRET, 1);
    lua_remove(L, 1);
    if (code == LUA_OK)
        return lua_gettop(L);
    if (!is_mistake(L, code))
        return lua_error(L);
    bind_note_mistake(L);
    return give_unknown(L);
}

void bind_guard(lua_State *L)
{
    if (bind_check_of(L)->on)
        lua_pushcclosure(L, guarded, 1);
}

void bind_guard_all(lua_State *L)
{
    const int table = lua_gettop(L);
    for (lua_pushnil(L); lua_next(L, table);) {
        if (lua_isfunction(L, -1)) {
            lua_pushvalue(L, -2);
            lua_insert(L, -2);
            bind_guard(L);
            lua_rawset(L, table); /* a key that is there may be set while the table is walked */
        } else {
            lua_pop(L, 1);
        }
    }
}

/* core.guard(function) or core.guard(table of functions): itself, in a check wrapped. */
static int core_guard(lua_State *L)
{
    lua_settop(L, 1);
    if (lua_istable(L, 1))
        bind_guard_all(L);
    else
        bind_guard(L);
    return 1;
}

/* core.is_unknown(value) */
static int core_is_unknown(lua_State *L)
{
    lua_settop(L, 1);
    lua_pushboolean(L, bind_is_unknown(L, 1));
    return 1;
}

void bind_open_check_mode(lua_State *L)
{
    lua_newuserdatauv(L, 0, 0);
    lua_newtable(L);
    luaL_setfuncs(L, behaviour, 0);
    lua_pushliteral(L, BIND_UNKNOWN);
    lua_setfield(L, -2, "__name");
    lua_pushliteral(L, BIND_UNKNOWN);
    lua_setfield(L, -2, "__metatable");
    lua_setmetatable(L, -2);
    lua_rawsetp(L, LUA_REGISTRYINDEX, &key);
    bind_core_function(L, "guard", core_guard);
    bind_core_function(L, "is_unknown", core_is_unknown);
}
