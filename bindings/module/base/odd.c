/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/odd.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/settings.h"
#include <lauxlib.h>
#include <stdbool.h>

/* Address under which a copy keeps its list. A list holds what is odd and the whole
 * remark in turns, in the order of the description, and each of the former as a key. */
static const char key;

enum { MOST = 12 }; /* remarks; nobody reads more */

/* True when a line of the script, and not the module's own Lua, describes what is made. */
static bool script_describes(lua_State *L)
{
    lua_Debug at;
    if (bind_reader_of(L)->for_script)
        return true;
    for (int level = 0; lua_getstack(L, level, &at); level++) {
        lua_getinfo(L, "Sl", &at);
        if (at.currentline > 0)
            return bind_is_script_line(&at);
    }
    return false;
}

/* Pushes the list of the table at `holder`, made when there is none. */
static void push_list(lua_State *L, int holder)
{
    if (lua_rawgetp(L, holder, &key) == LUA_TTABLE)
        return;
    lua_pop(L, 1);
    lua_newtable(L);
    lua_pushvalue(L, -1);
    lua_rawsetp(L, holder, &key);
}

/* Adds what is odd, below the top, and its remark, on the top, to the list at `list`; pops both. */
static void add(lua_State *L, int list)
{
    const lua_Integer length = (lua_Integer)lua_rawlen(L, list);
    lua_pushvalue(L, -2);
    if (lua_rawget(L, list) != LUA_TNIL || length >= 2 * MOST) {
        lua_pop(L, 3);
        return;
    }
    lua_pop(L, 1);
    lua_rawseti(L, list, length + 2);
    lua_pushvalue(L, -1);
    lua_rawseti(L, list, length + 1);
    lua_pushboolean(L, 1);
    lua_rawset(L, list);
}

void bind_odd(lua_State *L, int copy, const char *place, const char *about)
{
    const int text = lua_gettop(L);
    luaL_checkstack(L, 12, "too deeply nested");
    push_list(L, copy);
    const char *told = lua_pushfstring(L, "about %s", about);
    if (lua_getfield(L, text + 1, told) != LUA_TNIL) { /* a list of numbers speaks once */
        lua_settop(L, text - 1);
        return;
    }
    lua_pushboolean(L, 1);
    lua_setfield(L, text + 1, told);
    lua_pushvalue(L, text);
    const char *remark = lua_pushfstring(L, "odd: %s: %s", place, lua_tostring(L, text));
    if (script_describes(L))
        bind_remark_once(L, about, "%s", remark);
    add(L, text + 1);
    lua_settop(L, text - 1);
}

void bind_assumed(lua_State *L, int copy, const char *text)
{
    const int top = lua_gettop(L);
    luaL_checkstack(L, 8, "too deeply nested");
    push_list(L, copy);
    lua_pushstring(L, text);
    lua_pushfstring(L, "assumed: %s", text);
    add(L, top + 1);
    lua_settop(L, top);
}

/* Pushes the table that holds the remarks of an object, or is itself a copy; false, and nothing pushed, without one. */
static bool push_holder(lua_State *L, int index)
{
    if (lua_type(L, index) == LUA_TTABLE)
        lua_pushvalue(L, index);
    else if (lua_type(L, index) != LUA_TUSERDATA)
        return false;
    else
        lua_getiuservalue(L, index, 1);
    if (lua_type(L, -1) == LUA_TTABLE)
        return true;
    lua_pop(L, 1);
    return false;
}

void bind_odd_inherit(lua_State *L, int copy, int index)
{
    const int top = lua_gettop(L);
    copy = lua_absindex(L, copy);
    luaL_checkstack(L, 10, "too deeply nested");
    if (push_holder(L, lua_absindex(L, index)) && lua_rawgetp(L, top + 1, &key) == LUA_TTABLE) {
        push_list(L, copy);
        for (lua_Integer i = 1; i < (lua_Integer)lua_rawlen(L, top + 2); i += 2) {
            lua_rawgeti(L, top + 2, i);
            lua_rawgeti(L, top + 2, i + 1);
            add(L, top + 3);
        }
    }
    lua_settop(L, top);
}

void bind_push_odd(lua_State *L, int index)
{
    index = lua_absindex(L, index);
    lua_newtable(L);
    const int list = lua_gettop(L);
    if (push_holder(L, index) && lua_rawgetp(L, list + 1, &key) == LUA_TTABLE)
        for (lua_Integer i = 2; i <= (lua_Integer)lua_rawlen(L, list + 2); i += 2) {
            lua_rawgeti(L, list + 2, i);
            lua_rawseti(L, list, i / 2);
        }
    lua_settop(L, list);
}

/* core.odd(value): "odd: ..." or "assumed: ..." for each remark. */
static int core_odd(lua_State *L)
{
    lua_settop(L, 1);
    bind_push_odd(L, 1);
    return 1;
}

void bind_open_odd(lua_State *L)
{
    bind_core_function(L, "odd", core_odd);
}
