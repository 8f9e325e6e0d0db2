/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "prompt.h"
#include "completion.h"
#include "explain.h"
#include "finished_rows.h"
#include "history.h"
#include "limits.h"
#include "module/base/output.h"
#include "sandbox.h"
#include "version.h"
#include <lauxlib.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/select.h>
#include <unistd.h>
#ifdef LL_HAVE_READLINE
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

#ifdef LL_HAVE_READLINE
static char *edited;
static bool edited_whole;

static void take_edited(char *line)
{
    rl_callback_handler_remove();
    edited = line;
    edited_whole = true;
}

/* A line with editing; *dropped tells that Ctrl-C ended it. */
static char *edited_line(const char *prompt, bool *dropped)
{
    edited = NULL;
    edited_whole = false;
    rl_callback_handler_install(prompt, take_edited);
    while (!edited_whole) {
        fd_set input;
        FD_ZERO(&input);
        FD_SET(STDIN_FILENO, &input);
        if (select(STDIN_FILENO + 1, &input, NULL, NULL, NULL) > 0)
            rl_callback_read_char();
        if ((*dropped = host_interrupted_idle())) {
            rl_free_line_state();
            rl_callback_sigcleanup();
            rl_callback_handler_remove();
            fputc('\n', stderr);
            free(edited);
            return NULL;
        }
    }
    return edited;
}
#endif

/* With history and editing on a terminal; `before` is what the chunk holds so far. */
static char *next_line(const char *prompt, const char *before, bool *dropped)
{
    *dropped = false;
#ifdef LL_HAVE_READLINE
    if (isatty(STDIN_FILENO)) {
        host_completion_behind(before);
        char *line = edited_line(prompt, dropped);
        host_history_add(line);
        return line;
    }
#endif
    (void)before;
    return plain_line(prompt);
}

/* Words that leave, however they are written: exit, quit(), bye; */
static bool leaves(const char *line)
{
    static const char *const words[] = {"exit", "quit", "bye"};
    line += strspn(line, " \t");
    const size_t length = strcspn(line, " \t();");
    if (line[length + strspn(line + length, " \t();")])
        return false;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strlen(words[i]) == length && strncmp(line, words[i], length) == 0)
            return true;
    return false;
}

/* `help` and `help coil` are no Lua: they stand for ll.help("coil"), however they are written. Leaves the line, or what
 * it stands for, alone on the stack. */
static void take_help(lua_State *L, const char *line)
{
    static const char between[] = " \t(\"'", word[] = "help";
    const char *topic = line + strspn(line, " \t");
    size_t length = strlen(word);
    lua_pushstring(L, line);
    if (strncmp(topic, word, length) != 0 || (topic[length] && !strchr(between, topic[length])))
        return;
    topic += length;
    topic += strspn(topic, between);
    lua_pushlstring(L, topic, strcspn(topic, "\"'\\({)"));
    if (*lua_tostring(L, -1))
        lua_pushfstring(L, "print(ll.help(\"%s\"))", lua_tostring(L, -1));
    else
        lua_pushliteral(L, "print(ll.help())");
    lua_insert(L, 1);
    lua_settop(L, 1);
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

/* Leaves a loaded function; false when the input ended, the text is wrong, which was then said, or it was dropped. */
static bool read_chunk(host_sandbox *sandbox, bool *ended)
{
    lua_State *L = sandbox->L;
    bool dropped = false;
    char *line = next_line(first_prompt, "", &dropped);
    *ended = !dropped && (!line || leaves(line));
    if (line && !*ended)
        take_help(L, line);
    free(line);
    while (!*ended && !dropped) {
        if (load_text(sandbox, lua_tostring(L, 1)))
            return true;
        char *more = wants_more(L) ? next_line(next_prompt, lua_tostring(L, 1), &dropped) : NULL;
        if (!more && !dropped)
            host_say_mistake(L);
        if (!more)
            return false;
        lua_pop(L, 1);
        lua_pushfstring(L, "%s\n%s", lua_tostring(L, 1), more);
        lua_replace(L, 1);
        free(more);
    }
    return false;
}

static int environment; /* reference to that of the prompt's sandbox */

/* What a line calls local is kept for the next lines: the names in sight as the line's chunk returns. */
static void keep_locals(lua_State *L, lua_Debug *at)
{
    lua_getinfo(L, "S", at);
    if (strcmp(at->source, "=prompt") != 0 || strcmp(at->what, "main") != 0 ||
        !lua_checkstack(L, 8))
        return;
    lua_rawgeti(L, LUA_REGISTRYINDEX, environment);
    const char *name;
    for (int n = 1; (name = lua_getlocal(L, at, n)); n++) {
        if (*name == '(') { /* Lua's own */
            lua_pop(L, 1);
            continue;
        }
        lua_pushstring(L, name);
        lua_insert(L, -2);
        lua_rawset(L, -3);
    }
    lua_pop(L, 1);
}

static void greet(void)
{
    if (isatty(STDIN_FILENO))
        fputs("lodeloom " LL_VERSION ". Three things to try:\n"
              "  ll.awg(42):figures()\n"
              "  ll.pickup{ coils = { ll.coil{ turns = 8000, wire = ll.awg(42), opening = {57, 6}, "
              "build = 4, height = 11, "
              "at = {0, 0, 0} } } }:winding()\n"
              "  help coil\n"
              "The tab key completes, Ctrl-C drops a line, `exit` leaves.\n",
              stderr);
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

/* Each answer has the whole time limit; waiting for somebody to type has none. */
static int converse(host_sandbox *sandbox, const host_options *options)
{
    bool ended = false;
    host_limits_end();
    environment = sandbox->environment;
    host_limits_hook_returns(sandbox->L, keep_locals);
    host_completion_install(sandbox);
    host_history_read();
    greet();
    while (!ended) {
        host_trip_clear();
        host_add_finished(NULL, 0); /* what was computed stands there still */
        lua_settop(sandbox->L, 0);
        if (read_chunk(sandbox, &ended) &&
            host_sandbox_call(sandbox, options->time_limit_s) == HOST_FINE)
            show_results(sandbox);
        host_limits_end();
        ended = !bind_arrived(stdout) || ended;
    }
    if (isatty(STDIN_FILENO))
        fputc('\n', stderr);
    host_history_write();
    return HOST_FINE;
}

int host_prompt(const host_options *options)
{
    return host_within(options, false, converse);
}
