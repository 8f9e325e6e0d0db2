/* limits.h - time, memory and the interrupt key: what ends a script that does not end by itself.
 *
 * The first alarm, or the first interrupt, sets a flag that a hook in every coroutine and the engine's progress ask;
 * the second ends the process on the spot, for code that asks nobody.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_LIMITS_H
#define LL_HOST_LIMITS_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

enum { HOST_FINE = 0, HOST_WRONG = 1, HOST_USAGE = 2, HOST_LIMIT = 3, HOST_INTERRUPTED = 130 };

typedef enum host_trip { TRIP_NONE, TRIP_TIME, TRIP_MEMORY, TRIP_INTERRUPT } host_trip;

/* Catches the interrupt key, and what else asks the program to end, and ends the memory of the whole process at a multiple of the limit. */
void host_limits_install(size_t memory_limit_bytes);
/* Between these two the clock runs (0: without end) and the interrupt key stops the script. Begun twice, the first clock goes
 * on. Whoever runs one script never ends them: what is still to be told and written is under them, too. */
void host_limits_begin(double time_limit_s);
void host_limits_end(void);

host_trip host_tripped(void);
/* Keeps the first reason. */
void host_trip_set(host_trip reason);
void host_trip_clear(void);
/* " (at six.lua:3)", where the script was when it was first told; "" when nobody knows. */
const char *host_trip_place(void);
/* Raises once a limit is reached, and notes the place. */
void host_raise_if_tripped(lua_State *L);
const char *host_trip_text(host_trip reason);
int host_trip_status(host_trip reason);

/* For bind_limits. */
bool host_go_on(void);
void host_limit_reached(const char *which);

/* True once after Ctrl-C while nothing ran. */
bool host_interrupted_idle(void);
/* Beside the limits, `returned` is called whenever a function of the state returns. */
void host_limits_hook_returns(lua_State *L, lua_Hook returned);
/* The count hook of the state and of every coroutine made from it. */
void host_limits_hook(lua_State *L);

/* Lua's memory in all processes of a run, which share one limit. */
typedef struct host_account host_account;

/* Lua's memory in this process: a lua_Alloc whose `ud` is one of these. */
typedef struct host_memory {
    size_t used, limit;
    size_t inherited,
        reserved; /* what the process began with; what it has put on the account for the rest */
    size_t place; /* among the processes: 0, or a worker's from 1 on */
    host_account *account;
} host_memory;
void *host_allocate(void *ud, void *block, size_t old_size, size_t new_size);

/* False when there is no memory for the account; close it either way, after the state. */
bool host_memory_open(host_memory *memory, size_t limit_bytes);
void host_memory_close(host_memory *memory);

/* In a new process, and in its parent when it is gone. */
void host_memory_fork(host_memory *memory, size_t worker);
void host_memory_give_back(host_memory *memory, size_t worker);

/* What is left of the limit. */
size_t host_memory_left(const host_memory *memory);

#endif
