/* pool.c - a pool is a handful of forked processes. Each takes the next run of neighbouring items until none is left, so
 * that what the engine keeps from one item serves the next. All of them share one budget of memory: whose item does not fit beside
 * the others' leaves it, and what was left is done by half as many.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/work/pool.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/fields.h"
#include "module/base/settings.h"
#include "module/work/worker.h"
#include <errno.h>
#include <lauxlib.h>
#include <poll.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

enum { MOST_WORKERS = BIND_MOST_WORKERS, RUNS_PER_WORKER = 8, WAIT_MS = 100 };
static const char type_name[] = "lodeloom.pool";

typedef struct bind_pool {
    size_t items;         /* how many in all */
    bool *done;           /* for each */
    size_t *open;         /* those that this round is about */
    size_t open_count;    /* how many they are */
    size_t run;           /* how many a worker takes at once */
    atomic_size_t *taken; /* runs handed out, shared by all */
    size_t count;         /* workers of this round */
    bool cramped;         /* one of them ran out of memory beside the others */
    int waits;            /* since the memory was last looked at */
    bind_worker workers[MOST_WORKERS];
} bind_pool;

/* In a worker: the list is at index 1, the work at index 2. */
static void labour(lua_State *L, void *context, int file)
{
    const bind_pool *pool = context;
    for (;;) {
        const size_t first = pool->run * atomic_fetch_add(pool->taken, 1);
        for (size_t i = first; i < first + pool->run && i < pool->open_count; i++) {
            lua_pushvalue(L, 2);
            lua_rawgeti(L, 1, (lua_Integer)pool->open[i] + 1);
            if (!bind_worker_send(L, lua_pcall(L, 1, 1, 0), pool->open[i], file))
                _exit(1);
            lua_pop(L, 1);
        }
        if (first >= pool->open_count)
            return;
    }
}

/* Runs when the variable closes and again at collection. */
static int pool_clear(lua_State *L)
{
    bind_pool *pool = luaL_checkudata(L, 1, type_name);
    for (size_t i = 0; i < pool->count; i++)
        bind_worker_clear(L, &pool->workers[i], i);
    pool->count = 0;
    if (pool->taken)
        munmap(pool->taken, sizeof *pool->taken);
    pool->taken = NULL;
    free(pool->done);
    free(pool->open);
    pool->done = NULL;
    pool->open = NULL;
    return 0;
}

/* Sends up to `wanted` workers at what is not done yet. The list and the work are at indices 1 and 2. */
static void begin_round(lua_State *L, bind_pool *pool, size_t wanted)
{
    for (size_t i = 0; i < pool->count; i++)
        bind_worker_clear(L, &pool->workers[i], i);
    pool->count = pool->open_count = 0;
    pool->cramped = false;
    for (size_t i = 0; i < pool->items; i++)
        if (!pool->done[i])
            pool->open[pool->open_count++] = i;
    wanted = wanted < 1 ? 1 : wanted > MOST_WORKERS ? MOST_WORKERS : wanted;
    pool->run = 1 + pool->open_count / (RUNS_PER_WORKER * wanted);
    atomic_store(pool->taken, 0);
    fflush(NULL); /* else every child has it to flush */
    for (; pool->count < wanted && pool->count < pool->open_count; pool->count++)
        if (!bind_worker_start(L, &pool->workers[pool->count], pool->count, labour, pool))
            bind_raise(L, "sweep: no process can be started: %s", strerror(errno));
}

/* core.pool(todo, work) */
static int core_pool(lua_State *L)
{
    luaL_checktype(L, 1, LUA_TTABLE);
    luaL_checktype(L, 2, LUA_TFUNCTION);
    lua_settop(L, 2);
    bind_pool *pool = lua_newuserdatauv(L, sizeof *pool, 2);
    memset(pool, 0, sizeof *pool);
    luaL_setmetatable(L, type_name);
    for (int i = 1; i <= 2; i++) {
        lua_pushvalue(L, i);
        lua_setiuservalue(L, 3, i);
    }
    pool->items = lua_rawlen(L, 1);
    pool->done = calloc(pool->items + 1, sizeof *pool->done);
    pool->open = calloc(pool->items + 1, sizeof *pool->open);
    void *shared =
        mmap(NULL, sizeof *pool->taken, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    pool->taken = shared == MAP_FAILED ? NULL : shared;
    if (!pool->done || !pool->open || !pool->taken)
        return bind_raise(L, "sweep: no memory is left for its processes");
    bind_sweeps *sweeps = bind_sweeps_of(L);
    sweeps->pool_worked = true;
    begin_round(L, pool, sweeps->processes);
    return 1;
}

/* What the engine takes in each process is no part of Lua's account: where all together really take more than the limit, the
 * largest leaves its work to a later round. */
static void mind_memory(lua_State *L, bind_pool *pool)
{
    const bind_limits *limits = bind_limits_of(L);
    size_t sum = bind_footprint(getpid()), largest = 0, alive = 0;
    bind_worker *victim = NULL;
    for (size_t i = 0; i < pool->count; i++) {
        bind_worker *w = &pool->workers[i];
        const size_t bytes = w->pid > 0 && !w->excused ? bind_footprint(w->pid) : 0;
        alive += bytes > 0;
        sum += bytes;
        if (bytes > largest) {
            largest = bytes;
            victim = w;
        }
    }
    if (!victim || alive < 2 || sum <= limits->memory_bytes + limits->base_bytes)
        return;
    kill(victim->pid, SIGKILL);
    victim->excused = pool->cramped = true;
}

/* Waits a while for any worker to say something; *quiet when none did. False when all are gone. */
static bool wait_for_news(lua_State *L, bind_pool *pool, bool *quiet)
{
    struct pollfd files[MOST_WORKERS] = {{0}};
    size_t open = 0;
    for (size_t i = 0; i < pool->count; i++) {
        files[i] = (struct pollfd){.fd = pool->workers[i].file, .events = POLLIN};
        open += files[i].fd >= 0;
    }
    const bind_limits *limits = bind_limits_of(L);
    *quiet = open > 0 && poll(files, pool->count, WAIT_MS) == 0;
    if (limits->go_on && !limits->go_on())
        bind_raise(L, "sweep: stopped");
    for (size_t i = 0; i < pool->count; i++)
        if (files[i].fd >= 0 && files[i].revents)
            bind_worker_receive(L, &pool->workers[i], i);
    if (limits->memory_bytes > 0 && (*quiet || ++pool->waits % 16 == 0))
        mind_memory(L, pool);
    return open > 0;
}

/* A process that was ended from outside, by somebody or for want of memory, leaves its work undone. */
static void check_ends(lua_State *L, const bind_pool *pool)
{
    for (size_t i = 0; i < pool->count; i++)
        if (pool->workers[i].status != 0 && !pool->workers[i].excused)
            bind_raise(L, "sweep: one of its processes was ended from outside; start the "
                          "script again to go on where it was");
}

/* Takes a message from any worker: true when its text is an answer, on the top. */
static bool take_answer(lua_State *L, bind_pool *pool)
{
    const bind_limits *limits = bind_limits_of(L);
    for (size_t i = 0; i < pool->count; i++) {
        size_t item = 0;
        const bind_news news = bind_worker_news(L, &pool->workers[i], &item);
        if (news == NEWS_ANSWER)
            return pool->done[item] = true;
        if (news == NEWS_LIMIT && pool->count > 1) { /* it may fit when there are fewer */
            pool->workers[i].excused = pool->cramped = true;
            lua_pop(L, 1);
        } else if (news != NEWS_NONE) {
            if (news == NEWS_LIMIT && limits->limit_reached)
                limits->limit_reached("memory");
            lua_error(L);
        }
    }
    return false;
}

/* When all workers are gone: half as many for what one of them has left for want of memory. False when nothing is left. */
static bool go_on_with_fewer(lua_State *L, bind_pool *pool)
{
    check_ends(L, pool);
    if (!pool->cramped)
        return false;
    lua_getiuservalue(L, 1, 1);
    lua_insert(L, 1);
    lua_getiuservalue(L, 2, 2);
    lua_insert(L, 2);
    begin_round(L, pool, (pool->count + 1) / 2);
    lua_settop(L, 3);
    lua_remove(L, 1);
    lua_remove(L, 1);
    return pool->count > 0;
}

/* core.pool_next(pool) */
static int core_pool_next(lua_State *L)
{
    bind_pool *pool = luaL_checkudata(L, 1, type_name);
    bool quiet = false;
    lua_settop(L, 1);
    do {
        if (take_answer(L, pool))
            return 1;
    } while ((wait_for_news(L, pool, &quiet) || go_on_with_fewer(L, pool)) && !quiet);
    if (!quiet)
        return 0;
    lua_pushboolean(L, false);
    return 1;
}

void bind_open_pool(lua_State *L)
{
    luaL_newmetatable(L, type_name);
    lua_pushcfunction(L, pool_clear);
    lua_setfield(L, -2, "__gc");
    lua_pushcfunction(L, pool_clear);
    lua_setfield(L, -2, "__close");
    lua_pop(L, 1);
    bind_core_function(L, "pool", core_pool);
    bind_core_function(L, "pool_next", core_pool_next);
}
