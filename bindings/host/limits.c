/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "limits.h"
#include "finished_rows.h"
#include "module/base/fault.h"
#include "process.h"
#include "sanitized.h"
#include <errno.h>
#include <lauxlib.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <unistd.h>

enum { INSTRUCTIONS = 1000 };      /* between two looks at the flag */
static const double grace_s = 0.6; /* a stranger's script is gone within a second of its limit */

static volatile sig_atomic_t tripped = TRIP_NONE;
static volatile sig_atomic_t running = 0;
static volatile sig_atomic_t interrupted_idle = 0; /* while nothing ran */

static const struct {
    const char *text;
    int status;
} trips[] = {
    [TRIP_NONE] = {"", HOST_FINE},
    [TRIP_TIME] = {"the time limit was reached; --time-limit S allows more", HOST_LIMIT},
    [TRIP_MEMORY] = {"the memory limit was reached; --memory-limit MB allows more", HOST_LIMIT},
    [TRIP_INTERRUPT] = {"interrupted", HOST_INTERRUPTED},
};

/* Where the script was when it was first told, "" before; a loop without an end is found by that. */
static char tripped_at[160];

host_trip host_tripped(void)
{
    return (host_trip)tripped;
}

void host_trip_set(host_trip reason)
{
    if (tripped == TRIP_NONE)
        tripped = reason;
}

void host_trip_clear(void)
{
    *tripped_at = '\0';
    tripped = TRIP_NONE;
}

const char *host_trip_text(host_trip reason)
{
    return trips[reason].text;
}

int host_trip_status(host_trip reason)
{
    return trips[reason].status;
}

/* 0 stops the clock. */
static void alarm_in(double seconds)
{
    struct itimerval timer = {0};
    timer.it_value.tv_sec = (time_t)seconds;
    timer.it_value.tv_usec = (suseconds_t)(1e6 * (seconds - floor(seconds)));
    setitimer(ITIMER_REAL, &timer, NULL);
}

/* For code that asks nobody: the library's pattern matcher, say. */
static void end_process(void)
{
    host_say(STDERR_FILENO, "lodeloom: ");
    host_say(STDERR_FILENO, trips[tripped].text);
    host_say(STDERR_FILENO, "\n");
    host_print_finished();
    _exit(trips[tripped].status);
}

/* First time: a flag, and a short grace for those that ask. Second time: the end. */
static void on_signal(int number)
{
    interrupted_idle |= !running && number == SIGINT;
    if (!running && number != SIGTERM && number != SIGHUP)
        return;
    if (!running)
        _exit(HOST_INTERRUPTED);
    if (tripped != TRIP_NONE)
        end_process();
    tripped = number == SIGALRM ? TRIP_TIME : TRIP_INTERRUPT;
    alarm_in(grace_s);
}

/* Lua and the engine each keep to the limit by themselves; this ends what slips past both. The sanitizers
 * reserve terabytes of addresses. */
static void limit_process(size_t memory_limit_bytes)
{
#ifndef LL_SANITIZED
    const rlim_t now = host_process_bytes();
    const rlim_t most = now + 3 * (rlim_t)memory_limit_bytes + ((rlim_t)512 << 20);
    if (now > 0)
        setrlimit(RLIMIT_AS, &(struct rlimit){most, most});
#else
    (void)memory_limit_bytes;
#endif
}

void host_limits_install(size_t memory_limit_bytes)
{
    struct sigaction action = {.sa_handler = on_signal, .sa_flags = SA_RESTART}, before;
    sigemptyset(&action.sa_mask);
    sigaction(SIGALRM, &action, NULL);
    sigaction(SIGINT, &action, NULL);
    sigaction(SIGTERM, &action, NULL); /* what a queue of jobs sends at the end of the time given */
    if (sigaction(SIGHUP, NULL, &before) == 0 && before.sa_handler != SIG_IGN)
        sigaction(SIGHUP, &action,
                  NULL); /* the terminal is gone, and nobody has said that it may */
    limit_process(memory_limit_bytes);
}

void host_limits_begin(double time_limit_s)
{
    if (!running)
        alarm_in(time_limit_s);
    running = 1;
}

void host_limits_end(void)
{
    alarm_in(0);
    running = 0;
}

bool host_interrupted_idle(void)
{
    const bool was = interrupted_idle;
    interrupted_idle = 0;
    return was;
}

bool host_go_on(void)
{
    return tripped == TRIP_NONE;
}

void host_limit_reached(const char *which)
{
    (void)which; /* the engine knows no other limit than memory */
    host_trip_set(TRIP_MEMORY);
}

const char *host_trip_place(void)
{
    return tripped_at;
}

void host_raise_if_tripped(lua_State *L)
{
    if (tripped == TRIP_NONE)
        return;
    if (!*tripped_at && lua_checkstack(L, 8)) {
        bind_where(L);
        const size_t length = strlen(lua_tostring(L, -1));
        if (length > 2) /* without the colon and the blank */
            snprintf(tripped_at, sizeof tripped_at, " (at %.*s)", (int)length - 2,
                     lua_tostring(L, -1));
        lua_pop(L, 1);
    }
    luaL_error(L, "%s", trips[tripped].text);
}

static lua_Hook at_return;

/* Runs in every coroutine, since new ones inherit the hook of the one that makes them. */
static void hook(lua_State *L, lua_Debug *at)
{
    if (at->event == LUA_HOOKRET)
        at_return(L, at);
    else
        host_raise_if_tripped(L);
}

void host_limits_hook(lua_State *L)
{
    lua_sethook(L, hook, LUA_MASKCOUNT, INSTRUCTIONS);
}

void host_limits_hook_returns(lua_State *L, lua_Hook returned)
{
    at_return = returned;
    lua_sethook(L, hook, LUA_MASKCOUNT | LUA_MASKRET, INSTRUCTIONS);
}
