/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "completion.h"

#ifndef LL_HAVE_READLINE

void host_completion_install(host_sandbox *sandbox)
{
    (void)sandbox;
}

#else

#include <readline/readline.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Readline's callbacks take no context. */
static host_sandbox *current;

/* Replaces the value on the top by what its names are looked up in: a table itself, or the methods of an object, the
 * second upvalue of its __index. Nil when there is none. */
static void to_names(lua_State *L)
{
    if (lua_type(L, -1) == LUA_TUSERDATA && lua_getmetatable(L, -1)) {
        lua_pushliteral(L, "__index");
        lua_rawget(L, -2);
        if (!lua_iscfunction(L, -1) || !lua_getupvalue(L, -1, 2))
            lua_pushnil(L);
        lua_replace(L, -4);
        lua_pop(L, 2);
    }
    if (lua_type(L, -1) == LUA_TTABLE)
        return;
    lua_pop(L, 1);
    lua_pushnil(L);
}

/* Pushes the table that the text up to its last dot or colon names; returns where the last name starts. */
static size_t push_owner(lua_State *L, const char *text)
{
    const char *name = text;
    size_t length;
    lua_rawgeti(L, LUA_REGISTRYINDEX, current->environment);
    while (name[length = strcspn(name, ".:")]) {
        if (lua_type(L, -1) == LUA_TTABLE) {
            lua_pushlstring(L, name, length);
            lua_rawget(L, -2);
            lua_remove(L, -2);
            to_names(L);
        }
        name += length + 1;
    }
    return (size_t)(name - text);
}

/* The text up to `start` and a name behind it, for readline to free. */
static char *joined(const char *text, size_t start, const char *name)
{
    size_t length = strlen(name);
    char *whole = malloc(start + length + 1);
    if (!whole)
        return NULL;
    memcpy(whole, text, start);
    memcpy(whole + start, name, length + 1);
    return whole;
}

/* Readline asks again and again, with state 0 first; the n-th call answers with the n-th name. */
static char *next_name(const char *text, int state)
{
    static int given;
    lua_State *L = current->L;
    int top = lua_gettop(L);
    char *answer = NULL;
    given = state == 0 ? 0 : given;
    size_t start = push_owner(L, text);
    if (lua_type(L, -1) == LUA_TTABLE) {
        int seen = 0;
        for (lua_pushnil(L); !answer && lua_next(L, -2); lua_pop(L, 1)) {
            const char *name = lua_type(L, -2) == LUA_TSTRING ? lua_tostring(L, -2) : NULL;
            if (name && strncmp(name, text + start, strlen(text + start)) == 0 && seen++ == given)
                answer = joined(text, start, name);
        }
    }
    given++;
    lua_settop(L, top);
    return answer;
}

/* What readline calls at the tab key. */
static char **complete(const char *text, int start, int end)
{
    (void)start;
    (void)end;
    rl_attempted_completion_over = 1; /* not file names */
    rl_completion_append_character = '\0';
    return rl_completion_matches(text, next_name);
}

void host_completion_install(host_sandbox *sandbox)
{
    current = sandbox;
    rl_readline_name = "lodeloom";
    rl_basic_word_break_characters = " \t\n\"'`=+-*/%^<>~,;(){}[]#";
    rl_attempted_completion_function = complete;
}

#endif
