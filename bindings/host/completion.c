/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "completion.h"

#ifndef LL_HAVE_READLINE

void host_completion_install(host_sandbox *sandbox)
{
    (void)sandbox;
}
void host_completion_behind(const char *text)
{
    (void)text;
}

#else

#include "module/base/chunks.h"
#include "own_chunks.h"
#include <lauxlib.h>
#include <readline/readline.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Readline's callbacks take no context. */
static host_sandbox *current;
static const char *behind = "";
static int finder = LUA_NOREF; /* reference to what prompt.lua returned */

/* Readline asks again and again, with state 0 first; the n-th call answers with the n-th name of the list on the top
 * of the stack. Each answer is its own, to be freed by readline. */
static char *next_name(const char *text, int state)
{
    static lua_Integer given;
    lua_State *L = current->L;
    (void)text;
    given = state == 0 ? 1 : given + 1;
    char *answer = lua_rawgeti(L, -1, given) == LUA_TSTRING ? strdup(lua_tostring(L, -1)) : NULL;
    lua_pop(L, 1);
    return answer;
}

/* What readline calls at the tab key: finder(everything before the word, the word) lists what may stand there. */
static char **complete(const char *text, int start, int end)
{
    lua_State *L = current->L;
    int top = lua_gettop(L);
    char **matches = NULL;
    (void)end;
    rl_attempted_completion_over = 1; /* not file names */
    rl_completion_append_character = '\0';
    rl_completion_suppress_quote = 1;
    if (!lua_checkstack(L, 10))
        return NULL;
    lua_rawgeti(L, LUA_REGISTRYINDEX, finder);
    lua_pushfstring(L, "%s\n", behind);
    lua_pushlstring(L, rl_line_buffer, (size_t)start);
    lua_concat(L, 2);
    lua_pushstring(L, text);
    if (lua_pcall(L, 2, 1, 0) == LUA_OK)
        matches = rl_completion_matches(text, next_name);
    lua_settop(L, top);
    return matches;
}

/* Builds the finder; the environment is its second argument. */
static int build_finder(lua_State *L)
{
    if (!host_load_own(L, "prompt"))
        return 0;
    bind_push_core(L);
    lua_rawgeti(L, LUA_REGISTRYINDEX, current->environment);
    lua_call(L, 2, 1);
    finder = luaL_ref(L, LUA_REGISTRYINDEX);
    return 0;
}

void host_completion_install(host_sandbox *sandbox)
{
    current = sandbox;
    lua_pushcfunction(sandbox->L, build_finder);
    if (lua_pcall(sandbox->L, 0, 0, 0) != LUA_OK)
        lua_pop(sandbox->L, 1);
    rl_readline_name = "lodeloom";
    rl_basic_word_break_characters = " \t\n\"'`=+-*/%^<>~,;(){}[]#";
    rl_attempted_completion_function = complete;
}

void host_completion_behind(const char *text)
{
    behind = text;
}

#endif
