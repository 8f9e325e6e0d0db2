/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/values.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include <lauxlib.h>
#include <stdint.h>
#include <string.h>

enum { DEEPEST = 8, MOST_VALUES = 100000 };

void *bind_buffer(lua_State *L, size_t count, size_t size)
{
    if (count > (size_t)INT32_MAX / size)
        bind_raise(L, "a list of %I items is too long", (lua_Integer)count);
    void *memory = lua_newuserdatauv(L, count * size + 1, 0);
    memset(memory, 0, count * size + 1);
    return memory;
}

/* Pushes the table, or for a row of results its values, which it keeps elsewhere (table.lua). */
static void push_plain(lua_State *L, int index)
{
    index = lua_absindex(L, index);
    const int top = lua_gettop(L);
    bind_push_core(L);
    bool kept = lua_getfield(L, -1, "cells") == LUA_TTABLE;
    if (kept) {
        lua_pushvalue(L, index);
        kept = lua_rawget(L, -2) == LUA_TTABLE;
    }
    if (!kept)
        lua_pushvalue(L, index);
    lua_replace(L, top + 1);
    lua_settop(L, top + 1);
}

/* Tables are copied to a bounded depth and size: one that holds itself must end somewhere. */
static void copy_value(lua_State *L, int index, int depth, int *budget)
{
    index = lua_absindex(L, index);
    if (lua_type(L, index) != LUA_TTABLE || depth == DEEPEST) {
        lua_pushvalue(L, index);
        return;
    }
    luaL_checkstack(L, 10, "too deeply nested");
    push_plain(L, index);
    const int from = lua_gettop(L);
    lua_newtable(L);
    for (lua_pushnil(L); lua_next(L, from); lua_pop(L, 1)) {
        if (--*budget < 0)
            bind_raise(L, "a description with more than %d values is too long", MOST_VALUES);
        lua_pushvalue(L, -2);
        copy_value(L, -2, depth + 1, budget);
        lua_rawset(L, -5);
    }
    lua_remove(L, from);
}

void bind_copy(lua_State *L, int index)
{
    int budget = MOST_VALUES;
    copy_value(L, index, 0, &budget);
}

void bind_copy_top(lua_State *L, int index)
{
    push_plain(L, index);
    const int from = lua_gettop(L);
    lua_newtable(L);
    for (lua_pushnil(L); lua_next(L, from); lua_pop(L, 1)) {
        lua_pushvalue(L, -2);
        lua_pushvalue(L, -2);
        lua_rawset(L, -5);
    }
    lua_remove(L, from);
}

bool bind_given(lua_State *L, int index, const char *field)
{
    bool given = lua_getfield(L, index, field) != LUA_TNIL;
    lua_pop(L, 1);
    return given;
}
