/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "target.h"
#include "host_api.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/hash.h"
#include "module/base/rows.h"
#include "module/base/settings.h"
#include <lauxlib.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/time.h>

extern const bind_chunk fuzz_chunks[];

enum { INPUTS = 200, INSTRUCTIONS = 1000, MOST_LOOKS = 100 };

static host_sandbox kept;
static int inputs, looks;
static int maker; /* reference to sandbox.lua, loaded */
static char folder[4096];

/* What scripts print is of no interest; what libFuzzer says on standard error is. */
int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    const char *base = getenv("TMPDIR");
    snprintf(folder, sizeof folder, "%s/lodeloom-fuzz-XXXXXX", base ? base : "/tmp");
    if (!mkdtemp(folder) || !freopen("/dev/null", "w", stdout))
        abort();
    setenv("OMP_NUM_THREADS", "1", 1);
    return 0;
}

const char *fuzz_folder(void)
{
    return folder;
}

_Noreturn void fuzz_found(const char *what)
{
    fprintf(stderr, "FOUND: %s\n", what);
    abort();
}

/* Lines of Lua that were met, or functions that were called, which libFuzzer takes for as good as branches of C; a script's own
 * count for nothing. */
enum { PLACES = 1 << 14 };
__attribute__((section("__libfuzzer_extra_counters"))) static uint8_t places[PLACES];

static void count_place(lua_State *L, lua_Debug *at)
{
    lua_getinfo(L, "Sl", at);
    const int line = at->event == LUA_HOOKLINE ? at->currentline : at->linedefined;
    if (strncmp(at->source, BIND_OWN_CHUNK, strlen(BIND_OWN_CHUNK)) == 0)
        places[(bind_hash(0, at->source, at->srclen) + 31 * (uint64_t)line) % PLACES]++;
}

/* As that of the program, but counting instructions in place of seconds. */
static void hook(lua_State *L, lua_Debug *at)
{
    if (at->event != LUA_HOOKCOUNT)
        count_place(L, at);
    else if (++looks > MOST_LOOKS)
        host_trip_set(TRIP_TIME);
    if (host_tripped() != TRIP_NONE)
        luaL_error(L, "%s", host_trip_text(host_tripped()));
}

static int keep_maker(lua_State *L)
{
    host_load_own(L, "sandbox");
    maker = luaL_ref(L, LUA_REGISTRYINDEX);
    return 0;
}

/* The program takes the alarm clock, with which libFuzzer finds what hangs: it gets it back, and the program, for which a script
 * then is always running, sets it no more. */
static void open_with_clock(const host_options *options)
{
    struct sigaction alarm_action;
    struct itimerval timer;
    sigaction(SIGALRM, NULL, &alarm_action);
    getitimer(ITIMER_REAL, &timer);
    if (!host_sandbox_open(&kept, options, true))
        abort();
    host_limits_begin(0);
    sigaction(SIGALRM, &alarm_action, NULL);
    setitimer(ITIMER_REAL, &timer, NULL);
}

static void open_sandbox(void)
{
    const host_options options = {.format = "text",
                                  .in = folder,
                                  .out = folder,
                                  .memory_limit_mb = 40,
                                  .threads = 1,
                                  .quiet = true};
    open_with_clock(&options);
    bind_sweeps *sweeps = bind_sweeps_of(kept.L);
    bind_limits *limits = bind_limits_of(kept.L);
    sweeps->processes = 0;        /* no children */
    limits->limit_reached = NULL; /* a refusal like any other */
    lua_sethook(kept.L, hook, LUA_MASKCOUNT | LUA_MASKLINE, INSTRUCTIONS);
    lua_pushcfunction(kept.L, keep_maker);
    if (lua_pcall(kept.L, 0, 0, 0) != LUA_OK)
        abort();
}

host_sandbox *fuzz_sandbox(bool check_mode)
{
    if (inputs++ % INPUTS == 0 || kept.memory.used > kept.memory.limit / 2) {
        host_sandbox_close(&kept);
        open_sandbox();
    }
    bind_check_of(kept.L)->on = check_mode;
    looks = 0;
    host_trip_clear();
    lua_settop(kept.L, 0);
    return &kept;
}

/* sandbox.lua(functions of the host, module). */
static int make_environment(lua_State *L)
{
    lua_rawgeti(L, LUA_REGISTRYINDEX, maker);
    host_api_push(L);
    lua_getglobal(L, "lodeloom");
    lua_call(L, 2, 1);
    return 1;
}

void fuzz_fresh_environment(host_sandbox *sandbox)
{
    static const char *const patterns[] = {"find", "gmatch", "gsub", "match"};
    lua_State *L = sandbox->L;
    lua_sethook(L, hook, LUA_MASKCOUNT | LUA_MASKCALL, INSTRUCTIONS); /* lines cost too much here */
    lua_pushcfunction(L, make_environment);
    if (lua_pcall(L, 0, 1, 0) != LUA_OK)
        abort();
    lua_getfield(L, -1, "string");
    for (size_t i = 0; i < sizeof patterns / sizeof *patterns; i++) {
        lua_pushnil(L);
        lua_setfield(L, -2, patterns[i]);
    }
    lua_pop(L, 1);
    lua_rawseti(L, LUA_REGISTRYINDEX, sandbox->environment);
}

void fuzz_forget_mistakes(host_sandbox *sandbox)
{
    lua_State *L = sandbox->L;
    bind_mistakes(L);
    for (lua_pushnil(L); lua_next(L, -2);) {
        lua_pop(L, 1);
        lua_pushvalue(L, -1);
        lua_pushnil(L);
        lua_rawset(L, -4);
    }
    lua_pop(L, 1);
}

static int call_chunk(lua_State *L)
{
    const char *name = lua_tostring(L, 1);
    for (size_t i = 0; fuzz_chunks[i].name; i++)
        if (strcmp(fuzz_chunks[i].name, name) == 0)
            bind_load_chunk(L, &fuzz_chunks[i]);
    lua_insert(L, 2);
    lua_getglobal(L, "lodeloom");
    bind_push_core(L);
    lua_call(L, 3, 0);
    return 0;
}

void fuzz_call_chunk(host_sandbox *sandbox, const char *name, const uint8_t *data, size_t size)
{
    lua_State *L = sandbox->L;
    lua_pushcfunction(L, call_chunk);
    lua_pushstring(L, name);
    lua_pushlstring(L, (const char *)data, size);
    const char *text = lua_pcall(L, 2, 0, 0) == LUA_OK ? "" : lua_tostring(L, -1);
    const char *found = text ? strstr(text, "FOUND: ") : NULL;
    if (found)
        fuzz_found(found + strlen("FOUND: "));
}
