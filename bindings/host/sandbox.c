/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sandbox.h"
#include "base/cache.h"
#include "explain.h"
#include "finished_rows.h"
#include "header.h"
#include "host_api.h"
#include "module/base/check_mode.h"
#include "module/base/fault.h"
#include "module/base/file_fault.h"
#include "module/base/hash.h"
#include "module/base/input.h"
#include "module/base/output.h"
#include "module/base/settings.h"
#include "module/module.h"
#include "module/work/worker.h"
#include "own_chunks.h"
#include "sanitized.h"
#include "source.h"
#include "version.h"
#include "wall.h"
#include <errno.h>
#include <fcntl.h>
#include <lauxlib.h>
#include <lualib.h>
#include <omp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* No io, os, package or debug: what is not there cannot leak. */
static void open_libraries(lua_State *L)
{
    static const luaL_Reg libraries[] = {
        {LUA_GNAME, luaopen_base},       {LUA_COLIBNAME, luaopen_coroutine},
        {LUA_TABLIBNAME, luaopen_table}, {LUA_STRLIBNAME, luaopen_string},
        {LUA_MATHLIBNAME, luaopen_math}, {LUA_UTF8LIBNAME, luaopen_utf8},
        {"lodeloom", luaopen_lodeloom},
    };
    for (size_t i = 0; i < sizeof libraries / sizeof *libraries; i++) {
        luaL_requiref(L, libraries[i].name, libraries[i].func, 1);
        lua_pop(L, 1);
    }
}

/* Builds the environment; its reference is the only result. */
static int build(lua_State *L)
{
    open_libraries(L);
    host_load_own(L, "sandbox");
    host_api_push(L);
    lua_getglobal(L, "lodeloom");
    lua_call(L, 2, 1);
    lua_pushinteger(L, luaL_ref(L, LUA_REGISTRYINDEX));
    return 1;
}

/* OpenBLAS built on threads of its own has this; weak, since any BLAS will do. */
extern void openblas_set_num_threads(int count) __attribute__((weak));

/* Of the engine's loops, which sum in one order on any number of threads; 0 leaves as many as there are processors. OpenBLAS sums
 * in another order on two threads than on one, so it has one: its share of the work is small. */
static void set_threads(int count)
{
    if (count)
        omp_set_num_threads(count);
    if (openblas_set_num_threads)
        openblas_set_num_threads(1);
}

static host_memory *memory_of(lua_State *L)
{
    void *memory = NULL;
    lua_getallocf(L, &memory);
    return memory;
}

/* What the engine keeps may take half of the memory; it is given up where a solution needs the room. */
static size_t cache_budget(size_t limit_bytes, size_t processes)
{
    const size_t most = (size_t)1 << 30, share = limit_bytes / 2 / (processes > 0 ? processes : 1);
    return share < most ? share : most;
}

/* A process of a sweep computes with one thread: there are as many processes as threads were wanted. */
static void become_worker(lua_State *L, size_t place)
{
    const bind_limits *limits = bind_limits_of(L);
    const bind_sweeps *sweeps = bind_sweeps_of(L);
    host_memory_fork(memory_of(L), place);
    ll_cache_set_budget(cache_budget(limits->memory_bytes, sweeps->processes));
    set_threads(1);
}

static void worker_gone(lua_State *L, size_t place)
{
    host_memory_give_back(memory_of(L), place);
}

static size_t memory_left(lua_State *L)
{
    return host_memory_left(memory_of(L));
}

/* What a sweep wants to know. */
static void settle_sweeps(lua_State *L, const host_options *options)
{
    *bind_sweeps_of(L) = (bind_sweeps){
        .processes = (size_t)(options->threads ? options->threads : omp_get_num_procs()),
        .part = options->part,
        .parts = options->parts,
        .keep = host_add_finished,
        .become_worker = become_worker,
        .worker_gone = worker_gone};
    bind_stamp_of(L)->script_hash = bind_hash(0, LL_VERSION, strlen(LL_VERSION));
}

static void settle_limits(lua_State *L, const host_options *options)
{
    const size_t memory_bytes = (size_t)(options->memory_limit_mb * 1e6);
    *bind_limits_of(L) = (bind_limits){.memory_bytes = memory_bytes,
                                       .base_bytes = bind_footprint(getpid()),
                                       .memory_left = memory_left,
                                       .go_on = host_go_on,
                                       .limit_reached = host_limit_reached};
    ll_cache_set_budget(cache_budget(memory_bytes, 1));
}

/* The open folder, or -1, after it has said why. */
static int open_folder(const char *path)
{
    const int folder = open(path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (folder < 0)
        fprintf(stderr, "lodeloom: the folder '%.200s' cannot be opened: %s\n", path,
                bind_file_fault(errno));
    return folder;
}

/* Those of --in and --out, where they are given. */
static bool open_folders(bind_folders *folders, const host_options *options, bool check_mode)
{
    folders->boxed = true;
    if (options->in && (folders->in = open_folder(options->in)) < 0)
        return false;
    if (!options->out)
        return true;
    folders->out = open_folder(options->out);
    if (folders->out < 0)
        return false;
    if (check_mode || faccessat(folders->out, ".", W_OK, 0) == 0)
        return true;
    fprintf(stderr, "lodeloom: nothing can be written to the folder '%.200s': %s\n", options->out,
            bind_file_fault(errno));
    return false;
}

/* What the options mean to the module. */
static bool settle(lua_State *L, const host_options *options, bool check_mode)
{
    bind_check_of(L)->on = check_mode;
    *bind_talk_of(L) =
        (bind_talk){.format = options->format,
                    .quiet = options->quiet,
                    .stamp = options->stamp,
                    .show_progress = !options->quiet && !check_mode && isatty(STDERR_FILENO)};
    settle_limits(L, options);
    settle_sweeps(L, options);
    set_threads(options->threads);
    return open_folders(bind_folders_of(L), options, check_mode);
}

/* Errors outside a protected call: only while the state is built. */
static int panic(lua_State *L)
{
    const char *text = lua_type(L, -1) == LUA_TSTRING ? lua_tostring(L, -1) : "";
    fprintf(stderr, "lodeloom: %s\n", text);
    return 0;
}

/* The first thing in a new state that asks for memory. */
static int make_settings(lua_State *L)
{
    bind_make_settings(L);
    return 0;
}

/* A state could not be made: for want of memory, as a rule. */
static bool not_opened(lua_State *L, int code)
{
    if (code == LUA_ERRMEM)
        host_trip_set(TRIP_MEMORY);
    if (code == LUA_ERRMEM)
        fprintf(stderr, "lodeloom: %s\n", host_trip_text(TRIP_MEMORY));
    else
        panic(L);
    return false;
}

bool host_sandbox_open(host_sandbox *sandbox, const host_options *options, bool check_mode)
{
    *sandbox = (host_sandbox){.environment = LUA_NOREF};
    if (host_memory_open(&sandbox->memory, (size_t)(options->memory_limit_mb * 1e6)))
        sandbox->L = lua_newstate(host_allocate, &sandbox->memory);
    lua_State *L = sandbox->L;
    if (!L)
        return not_opened(NULL, LUA_ERRMEM);
    lua_atpanic(L, panic);
    lua_pushcfunction(L, make_settings);
    int code = lua_pcall(L, 0, 0, 0);
    if (code != LUA_OK) {
        lua_close(L);
        sandbox->L = NULL;
        return not_opened(NULL, LUA_ERRMEM);
    }
    if (!settle(L, options, check_mode))
        return false;
    lua_pushcfunction(L, build);
    code = lua_pcall(L, 0, 1, 0);
    if (code != LUA_OK)
        return not_opened(L, code);
    sandbox->environment = (int)lua_tointeger(L, -1);
    lua_pop(L, 1);
    host_limits_install(sandbox->memory.limit);
    host_limits_hook(L);
    return true;
}

void host_sandbox_close(host_sandbox *sandbox)
{
    if (!sandbox->L) {
        host_memory_close(&sandbox->memory);
        return;
    }
    const bind_folders *of_state = bind_folders_of(sandbox->L);
    const int folders[2] = {of_state->out, of_state->in};
    lua_close(sandbox->L);
    host_memory_close(&sandbox->memory);
    for (int i = 0; i < 2; i++)
        if (folders[i] >= 0)
            close(folders[i]);
    *sandbox = (host_sandbox){0};
}

bool host_sandbox_load(host_sandbox *sandbox, const char *text, size_t size, const char *name)
{
    lua_State *L = sandbox->L;
    const int code = luaL_loadbufferx(L, text, size, name, "t");
    if (code == LUA_ERRMEM)
        host_trip_set(TRIP_MEMORY);
    if (code != LUA_OK)
        return false;
    lua_rawgeti(L, LUA_REGISTRYINDEX, sandbox->environment);
    lua_setupvalue(L, -2, 1);
    return true;
}

/* Only strings, and tables with a raw text in `message`: anything else could run code of the script. */
static const char *error_text(lua_State *L)
{
    if (lua_type(L, -1) == LUA_TTABLE) {
        lua_pushliteral(L, "message");
        lua_rawget(L, -2);
        lua_remove(L, -2);
    }
    if (lua_type(L, -1) != LUA_TSTRING) {
        lua_pop(L, 1);
        lua_pushliteral(L, "the script raised an error that is no text");
    }
    host_cut_message(L);
    return lua_tostring(L, -1);
}

/* Message handler: adds the lines of the script that led to the place of the error, which is in the text itself. */
static int with_callers(lua_State *L)
{
    enum { MOST = 6, DEEPEST = 100 };
    lua_Debug at;
    int lines = 0, last_line = 0;
    luaL_Buffer text;
    error_text(L);
    bind_placed(L);
    const char *message = lua_tostring(L, -1);
    luaL_buffinit(L, &text);
    luaL_addstring(&text, message);
    for (int level = 1; lines < MOST && level < DEEPEST && lua_getstack(L, level, &at); level++) {
        lua_getinfo(L, "Sl", &at);
        if (!bind_is_script_line(&at) || at.currentline == last_line)
            continue;
        if (lines++ > 0) {
            lua_pushfstring(L, "\n  called from %s:%d", at.short_src, at.currentline);
            luaL_addvalue(&text);
        }
        last_line = at.currentline;
    }
    luaL_pushresult(&text);
    return 1;
}

/* The status of a call that failed with its text on the top; says why on standard error. */
static int failed(lua_State *L, int code)
{
    if (code == LUA_ERRMEM)
        host_trip_set(TRIP_MEMORY);
    bind_talk_of(L)->sweeping = false; /* it is over */
    bind_show_progress(L, NULL, 1);
    if (bind_check_of(L)->on)
        host_list_mistakes(L); /* they came before what ended the script */
    /* What follows from a mistake that was told before is none of its own. */
    if (host_tripped() == TRIP_NONE && !strstr(error_text(L), BIND_UNKNOWN))
        host_say_mistake(L);
    fflush(stdout);
    const host_trip trip = host_tripped(); /* the telling is under the limits, too */
    if (trip != TRIP_NONE)
        fprintf(stderr, "lodeloom: %s%s\n", host_trip_text(trip), host_trip_place());
    host_print_finished();
    return trip != TRIP_NONE ? host_trip_status(trip) : HOST_WRONG;
}

int host_sandbox_call(host_sandbox *sandbox, double time_limit_s)
{
    lua_State *L = sandbox->L;
    int base = lua_gettop(L);
    lua_pushcfunction(L, with_callers);
    lua_insert(L, base);
    host_limits_begin(time_limit_s);
    int code = lua_pcall(L, 0, LUA_MULTRET, base);
    lua_remove(L, base);
    /* A script that swallowed the limit has not done its work either. */
    if (code == LUA_OK && host_tripped() == TRIP_NONE)
        return HOST_FINE;
    return failed(L, code);
}

/* After a first line that starts with #, for scripts that are programs by themselves. */
static const char *behind_first_line(const char *text, size_t *size)
{
    const char *end = *text == '#' ? strchr(text, '\n') : NULL;
    if (!end)
        return text;
    *size -= (size_t)(end - text);
    return end; /* the line break stays, so that lines count right */
}

/* Pushes the script as a function; else the exit status, and what went wrong is on standard error. */
static int load_script(host_sandbox *sandbox, const char *path)
{
    lua_State *L = sandbox->L;
    size_t size;
    if (!host_push_file(L, path)) {
        fprintf(stderr, "lodeloom: '%.200s' cannot be read: %s\n", path, bind_file_fault(errno));
        return HOST_WRONG;
    }
    host_api_set_folder(L, path);
    const char *slash = strrchr(path, '/');
    bind_stamp_of(L)->script = slash ? slash + 1 : path;
    const char *text = lua_tolstring(L, -1, &size), *fault = host_plain_text(&text, &size);
    if (fault) {
        fprintf(stderr, "lodeloom: '%s' %s\n", path, fault);
        return HOST_WRONG;
    }
    const host_header header = host_header_of(text);
    if (!host_header_suits(&header, path))
        return HOST_WRONG;
    bind_hash_source(L, "", text, size);
    text = behind_first_line(text, &size);
    const bool fine = host_sandbox_load(sandbox, text, size, lua_pushfstring(L, "@%s", path));
    return fine ? HOST_FINE : failed(L, LUA_ERRSYNTAX);
}

/* The sanitizers look into the process from another one when it ends, which both refuse. */
static void raise_wall(int folder)
{
#ifndef LL_SANITIZED
    host_wall_files(folder);
    host_wall_calls();
#else
    (void)folder;
#endif
}

int host_sandbox_run(host_sandbox *sandbox, const char *path, double time_limit_s)
{
    host_limits_begin(time_limit_s); /* reading and loading take time, too */
    raise_wall(bind_folders_of(sandbox->L)->out);
    const int status = load_script(sandbox, path);
    return status == HOST_FINE ? host_sandbox_call(sandbox, time_limit_s) : status;
}

typedef struct job {
    host_sandbox *sandbox;
    const host_options *options;
    host_work *work;
    int status;
} job;

static int do_job(lua_State *L)
{
    job *j = lua_touserdata(L, 1);
    lua_settop(L, 0);
    j->status = j->work(j->sandbox, j->options);
    return 0;
}

int host_within(const host_options *options, bool check_mode, host_work *work)
{
    host_sandbox sandbox;
    job j = {&sandbox, options, work, HOST_USAGE};
    if (host_sandbox_open(&sandbox, options, check_mode)) {
        lua_pushcfunction(sandbox.L, do_job);
        lua_pushlightuserdata(sandbox.L, &j);
        if (lua_pcall(sandbox.L, 1, 0, 0) != LUA_OK) {
            host_trip_set(TRIP_MEMORY); /* the only error that is not caught further in */
            fprintf(stderr, "lodeloom: %s\n", host_trip_text(host_tripped()));
            j.status = host_trip_status(host_tripped());
        }
    } else if (host_tripped() != TRIP_NONE) {
        j.status = host_trip_status(host_tripped());
    }
    host_sandbox_close(&sandbox);
    return j.status;
}

/* A name as Lua takes it, so that given.name can be written. */
static bool is_name(const char *text, size_t length)
{
    static const char letters[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_0123456789";
    return length > 0 && strspn(text, letters) >= length && !strchr("0123456789", *text);
}

void host_sandbox_set(host_sandbox *sandbox, const char *name, const char *text)
{
    host_api_give(sandbox->L, name, strlen(name), text);
}

/* A number with a decimal comma stays the text that it is; whoever wrote it may not know. */
static void mind_comma(const bind_talk *talk, const char *word)
{
    static const char digits[] = "0123456789";
    const char *value = strchr(word, '=') + 1, *sign = value + strspn(value, "+-");
    const size_t whole = strspn(sign, digits);
    const char *comma = sign + whole;
    const size_t parts = *comma == ',' ? strspn(comma + 1, digits) : 0;
    if (!talk->quiet && whole > 0 && parts > 0 && !comma[1 + parts])
        fprintf(stderr,
                "lodeloom: '%s' is taken as a text, not as a number; decimals take a point, as in "
                "%.*s.%s\n",
                word, (int)(comma - word), word, comma + 1);
}

/* NAME=VALUE, once for each name. */
static bool give_word(lua_State *L, const char *word)
{
    const char *equals = strchr(word, '=');
    if (!equals || !is_name(word, (size_t)(equals - word))) {
        fprintf(stderr, "lodeloom: '%s' is not of the form NAME=VALUE\n", word);
        return false;
    }
    mind_comma(bind_talk_of(L), word);
    if (host_api_give(L, word, (size_t)(equals - word), equals + 1))
        return true;
    fprintf(stderr, "lodeloom: '%.*s' is given twice; leave '%s' out, or the other one\n",
            (int)(equals - word), word, word);
    return false;
}

/* For qsort. */
static int by_text(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

/* Sorted, so that the order on the command line does not matter; each with its end. */
bool host_sandbox_give(host_sandbox *sandbox, int count, char **words)
{
    lua_State *L = sandbox->L;
    bind_stamp *stamp = bind_stamp_of(L);
    for (int i = 0; i < count; i++)
        if (!give_word(L, words[i]))
            return false;
    qsort(words, (size_t)count, sizeof *words, by_text);
    stamp->values = words;
    stamp->value_count = count;
    for (int i = 0; i < count; i++)
        stamp->given_hash = bind_hash(stamp->given_hash, words[i], strlen(words[i]) + 1);
    return true;
}
