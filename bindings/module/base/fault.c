/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/base/settings.h"
#include <lauxlib.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static const char key; /* names the list of mistakes in the registry */

bool bind_is_script_line(const lua_Debug *at)
{
    return at->currentline > 0 && strncmp(at->source, BIND_OWN_CHUNK, strlen(BIND_OWN_CHUNK)) != 0;
}

void bind_where(lua_State *L)
{
    lua_Debug at;
    for (int level = 0; lua_getstack(L, level, &at); level++) {
        lua_getinfo(L, "Sl", &at);
        if (bind_is_script_line(&at)) {
            lua_pushfstring(L, "%s:%d: ", at.short_src, at.currentline);
            return;
        }
    }
    lua_pushliteral(L, "");
}

const char *bind_behind_own_place(lua_State *L)
{
    static const char letters[] = "abcdefghijklmnopqrstuvwxyz_", digits[] = "0123456789";
    const char *own = BIND_OWN_CHUNK + 1; /* the chunk's name without its sign */
    const char *text = lua_type(L, -1) == LUA_TSTRING ? lua_tostring(L, -1) : "";
    if (strncmp(text, own, strlen(own)) != 0)
        return NULL;
    const char *line = text + strlen(own) + strspn(text + strlen(own), letters);
    if (*line != ':' || !strchr(digits, line[1]))
        return NULL;
    line += 1 + strspn(line + 1, digits);
    return strncmp(line, ": ", 2) == 0 ? line + 2 : NULL;
}

int bind_placed(lua_State *L)
{
    const char *rest = bind_behind_own_place(L);
    if (!rest)
        return 1;
    bind_where(L);
    lua_pushstring(L, rest);
    lua_concat(L, 2);
    return 1;
}

int bind_raise(lua_State *L, const char *format, ...)
{
    bind_where(L);
    va_list arguments;
    va_start(arguments, format);
    lua_pushvfstring(L, format, arguments);
    va_end(arguments);
    lua_concat(L, 2);
    return lua_error(L);
}

void bind_mistakes(lua_State *L)
{
    if (lua_rawgetp(L, LUA_REGISTRYINDEX, &key) != LUA_TNIL)
        return;
    lua_pop(L, 1);
    lua_newtable(L);
    lua_pushvalue(L, -1);
    lua_rawsetp(L, LUA_REGISTRYINDEX, &key);
}

void bind_note_mistake(lua_State *L)
{
    luaL_checkstack(L, 6, "too many values");
    bind_mistakes(L);
    lua_pushvalue(L, -2);
    if (lua_rawget(L, -2) == LUA_TNIL) {
        lua_pushvalue(L, -3);
        lua_rawseti(L, -3, (lua_Integer)lua_rawlen(L, -3) + 1);
        lua_pushvalue(L, -3);
        lua_pushboolean(L, 1);
        lua_rawset(L, -4);
    }
    lua_pop(L, 3);
}

/* Pushes the text with the script's line before it. */
static void push_placed(lua_State *L, const char *format, va_list arguments)
{
    luaL_checkstack(L, 6, "too many values");
    bind_where(L);
    lua_pushvfstring(L, format, arguments);
    lua_concat(L, 2);
}

void bind_mistake(lua_State *L, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    push_placed(L, format, arguments);
    va_end(arguments);
    if (!bind_check_of(L)->on) {
        bind_reader_of(L)->for_script = false;
        lua_error(L);
    }
    bind_note_mistake(L);
}

/* Prints the text on the top unless the key below it was met before; pops both. */
static void remark(lua_State *L)
{
    luaL_getsubtable(L, LUA_REGISTRYINDEX, "lodeloom.remarks");
    lua_pushvalue(L, -3);
    if (lua_rawget(L, -2) == LUA_TNIL && !bind_talk_of(L)->quiet)
        fprintf(stderr, "%s\n", lua_tostring(L, -3));
    lua_pop(L, 1);
    lua_pushvalue(L, -3);
    lua_pushboolean(L, 1);
    lua_rawset(L, -3);
    lua_pop(L, 3);
}

void bind_remark_once(lua_State *L, const char *about, const char *format, ...)
{
    va_list arguments;
    luaL_checkstack(L, 8, "too many values");
    bind_where(L);
    lua_pushstring(L, about);
    lua_concat(L, 2);
    va_start(arguments, format);
    push_placed(L, format, arguments);
    va_end(arguments);
    remark(L);
}

void bind_demand(lua_State *L, ll_status status, const char *place)
{
    const bind_limits *limits = bind_limits_of(L);
    if (status == LL_OK)
        return;
    if ((status == LL_TOO_BIG || status == LL_NO_MEMORY) && limits->limit_reached)
        limits->limit_reached("memory");
    bind_raise(L, "%s: %s", place, ll_status_text(status));
}

const char *bind_quoted(lua_State *L, const char *text)
{
    enum { MOST = 60 };
    if (strlen(text) <= MOST)
        return lua_pushfstring(L, "'%s'", text);
    size_t length = MOST;
    while (length > 0 && ((unsigned char)text[length] & 0xc0) == 0x80)
        length--; /* do not cut a UTF-8 letter in two */
    luaL_Buffer buffer;
    luaL_buffinit(L, &buffer);
    luaL_addchar(&buffer, '\'');
    luaL_addlstring(&buffer, text, length);
    luaL_addstring(&buffer, "...'");
    luaL_pushresult(&buffer);
    return lua_tostring(L, -1);
}
