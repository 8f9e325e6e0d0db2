/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "prompt.h"
#include "completion.h"
#include "sandbox.h"
#include <lauxlib.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#ifdef LL_HAVE_READLINE
#include <readline/history.h>
#include <readline/readline.h>
#endif

static const char first_prompt[] = "lodeloom> ", next_prompt[] = "      ... ";

/* A line without its end, to be freed; NULL when the input ends. */
static char *plain_line(const char *prompt)
{
    char *line = NULL;
    size_t room = 0;
    if (isatty(STDIN_FILENO)) {
        fputs(prompt, stderr);
        fflush(stderr);
    }
    ssize_t length = getline(&line, &room, stdin);
    if (length < 0) {
        free(line);
        return NULL;
    }
    line[strcspn(line, "\r\n")] = '\0';
    return line;
}

/* With history and editing on a terminal. */
static char *next_line(const char *prompt)
{
#ifdef LL_HAVE_READLINE
    if (isatty(STDIN_FILENO)) {
        char *line = readline(prompt);
        if (line && *line)
            add_history(line);
        return line;
    }
#endif
    return plain_line(prompt);
}

/* The line as an expression whose value is shown, else as a statement. */
static int load_text(host_sandbox *sandbox, const char *text)
{
    lua_State *L = sandbox->L;
    const char *expression = lua_pushfstring(L, "return %s", text);
    bool fine = host_sandbox_load(sandbox, expression, strlen(expression), "=prompt");
    if (!fine) {
        lua_pop(L, 2);
        fine = host_sandbox_load(sandbox, text, strlen(text), "=prompt");
    } else {
        lua_remove(L, -2);
    }
    return fine;
}

/* True when the text only stopped too early: the message on the top ends in <eof>. */
static bool wants_more(lua_State *L)
{
    const char *message = lua_tostring(L, -1);
    size_t length = strlen(message);
    return length >= 5 && strcmp(message + length - 5, "<eof>") == 0;
}

/* Leaves a loaded function; false when the input ended or the text is wrong, which was then said. */
static bool read_chunk(host_sandbox *sandbox, bool *ended)
{
    lua_State *L = sandbox->L;
    char *line = next_line(first_prompt);
    if (!(*ended = !line))
        lua_pushstring(L, line);
    free(line);
    while (!*ended) {
        if (load_text(sandbox, lua_tostring(L, 1)))
            return true;
        char *more = wants_more(L) ? next_line(next_prompt) : NULL;
        if (!more) {
            fprintf(stderr, "%s\n", lua_tostring(L, -1));
            return false;
        }
        lua_pop(L, 1);
        lua_pushfstring(L, "%s\n%s", lua_tostring(L, 1), more);
        lua_replace(L, 1);
        free(more);
    }
    return false;
}

/* Prints the results of the call, which stand from index 2 on. */
static void show_results(host_sandbox *sandbox)
{
    lua_State *L = sandbox->L;
    int count = lua_gettop(L) - 1;
    if (count == 0)
        return;
    lua_rawgeti(L, LUA_REGISTRYINDEX, sandbox->environment);
    lua_getfield(L, -1, "print");
    lua_insert(L, 2);
    lua_pop(L, 1);
    if (lua_pcall(L, count, 0, 0) != LUA_OK)
        fprintf(stderr, "this cannot be shown\n");
}

int host_prompt(const host_options *options)
{
    host_sandbox sandbox;
    bool ended = !host_sandbox_open(&sandbox, options, false);
    int status = ended ? HOST_USAGE : HOST_FINE;
    if (!ended)
        host_completion_install(&sandbox);
    while (!ended) {
        host_trip_clear();
        lua_settop(sandbox.L, 0);
        if (read_chunk(&sandbox, &ended) && host_sandbox_call(&sandbox, 0) == HOST_FINE)
            show_results(&sandbox);
        fflush(stdout);
    }
    if (isatty(STDIN_FILENO))
        fputc('\n', stderr);
    host_sandbox_close(&sandbox);
    return status;
}
