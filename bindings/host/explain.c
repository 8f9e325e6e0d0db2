/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "explain.h"
#include "module/base/fault.h"
#include "module/base/output.h"
#include "own_chunks.h"
#include "piped.h"
#include "source.h"
#include <stdio.h>
#include <string.h>

/* Of the path at the message's begin; 0 when there is none. */
static size_t path_length(const char *message)
{
    const char *end = strstr(message, ".lua:");
    if (strncmp(message, HOST_PIPED ":", sizeof HOST_PIPED) == 0)
        return sizeof HOST_PIPED - 1;
    return end ? (size_t)(end - message) + 4 : 0;
}

/* Pushes the text of the script that the message at index 1 names, or nil. */
static void push_script(lua_State *L)
{
    const char *message = lua_tostring(L, 1);
    const size_t length = message ? path_length(message) : 0;
    const int top = lua_gettop(L);
    if (!length || !host_push_file(L, lua_pushlstring(L, message, length)))
        lua_pushnil(L);
    lua_replace(L, top + 1);
    lua_settop(L, top + 1);
}

/* explain.lua(message, script): the message in other words. */
static int explain(lua_State *L)
{
    lua_settop(L, 1);
    if (!host_load_own(L, "explain"))
        return 1;
    lua_insert(L, 1);
    lua_pushvalue(L, 2);
    lua_insert(L, 1); /* the message, the chunk, the message */
    push_script(L);
    lua_call(L, 2, 1);
    return 1;
}

void host_cut_message(lua_State *L)
{
    enum { MOST_BYTES = 4096 };
    size_t size;
    const char *text = lua_tolstring(L, -1, &size);
    if (size <= MOST_BYTES)
        return;
    size_t kept = MOST_BYTES;
    while (kept > 0 && ((unsigned char)text[kept] & 0xc0) == 0x80)
        kept--; /* not in the middle of a letter */
    lua_pushlstring(L, text, kept);
    lua_pushliteral(L, " ...");
    lua_concat(L, 2);
    lua_replace(L, -2);
}

void host_say_mistake(lua_State *L)
{
    size_t size;
    host_cut_message(L);
    lua_pushcfunction(L, explain);
    lua_pushvalue(L, -2);
    if (lua_pcall(L, 1, 1, 0) == LUA_OK && lua_type(L, -1) == LUA_TSTRING)
        lua_replace(L, -2);
    else
        lua_pop(L, 1); /* then in Lua's words */
    const char *text = lua_tolstring(L, -1, &size);
    bind_write_plain(stderr, text, size);
    fputc('\n', stderr);
}

int host_list_mistakes(lua_State *L)
{
    bind_mistakes(L);
    int count = (int)lua_rawlen(L, -1);
    for (int i = 1; i <= count; i++) {
        lua_rawgeti(L, -1, i);
        host_say_mistake(L);
        lua_pop(L, 1);
    }
    lua_pop(L, 1);
    return count;
}
