/* fuzz_bindings.c - libFuzzer's entry: whatever comes in, the sandbox and the module must bear it.
 *
 * An input that begins with "L" or "D" drives caller.lua, live or in a check: its bytes choose functions, fields and values. Any
 * other is the text of a script, which is run, or checked when its length is odd. Time and memory are short, since only the
 * engine's doors are to be tried here, not its depths.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/settings.h"
#include "module/module.h"
#include "sandbox.h"
#include <fcntl.h>
#include <lauxlib.h>
#include <signal.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/time.h>
#include <unistd.h>

extern const bind_chunk fuzz_chunks[];
int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Solving takes its time under the sanitizers: small things only. */
static const size_t most_solution_bytes = 2000000;

static char folder[] = "/tmp/lodeloom-fuzz-XXXXXX";

/* Time of the processor, since libFuzzer has the alarm clock. */
static void on_time(int number)
{
    (void)number;
    host_trip_set(TRIP_TIME);
}

static void run_for_ms(long milliseconds)
{
    const struct itimerval timer = {.it_value = {.tv_usec = 1000 * milliseconds}};
    setitimer(ITIMER_PROF, &timer, NULL);
}

/* What scripts print is of no interest; what libFuzzer says on standard error is. */
int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    signal(SIGPROF, on_time);
    if (!mkdtemp(folder) || !freopen("/dev/null", "w", stdout))
        abort();
    setenv("OMP_NUM_THREADS", "1", 1);
    return 0;
}

/* caller.lua(bytes, ll, core, stopped) on the stack as a function without arguments. */
static int call_caller(lua_State *L)
{
    bind_load_chunk(L, &fuzz_chunks[0]);
    lua_pushvalue(L, lua_upvalueindex(1));
    lua_getglobal(L, "lodeloom");
    bind_push_core(L);
    lua_call(L, 3, 0);
    return 0;
}

/* Patterns may take for ever, which in the program ends the process; here that would be a find of no use. */
static void take_patterns_away(host_sandbox *sandbox)
{
    static const char *const names[] = {"find", "gmatch", "gsub", "match"};
    lua_State *L = sandbox->L;
    lua_rawgeti(L, LUA_REGISTRYINDEX, sandbox->environment);
    lua_getfield(L, -1, "string");
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        lua_pushnil(L);
        lua_setfield(L, -2, names[i]);
    }
    lua_pop(L, 2);
}

static void run_input(host_sandbox *sandbox, const char *text, size_t size, bool drives)
{
    lua_State *L = sandbox->L;
    if (drives) {
        lua_pushlstring(L, text + 1, size - 1);
        lua_pushcclosure(L, call_caller, 1);
    } else if (!host_sandbox_load(sandbox, text, size, "=fuzz")) {
        return;
    }
    run_for_ms(300);
    host_sandbox_call(sandbox, 0);
    host_limits_end();
    run_for_ms(0);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *text = (const char *)data;
    const bool drives = size > 0 && (*text == 'L' || *text == 'D');
    const bool check_mode = drives ? *text == 'D' : size % 2 == 1;
    const host_options options = {
        .format = "text", .out = folder, .memory_limit_mb = 40, .threads = 1, .quiet = true};
    host_sandbox sandbox;
    host_trip_clear();
    if (host_sandbox_open(&sandbox, &options, check_mode)) {
        bind_sweeps *sweeps = bind_sweeps_of(sandbox.L);
        bind_limits *limits = bind_limits_of(sandbox.L);
        sweeps->processes = 0; /* no children */
        limits->memory_bytes = most_solution_bytes;
        limits->limit_reached = NULL; /* a refusal like any other */
        take_patterns_away(&sandbox);
        run_input(&sandbox, text, size, drives);
    }
    host_sandbox_close(&sandbox);
    return 0;
}
