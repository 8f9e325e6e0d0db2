/* crew.c - a crew is a handful of forked processes. Each takes the next run of neighbouring items until none is left, so
 * that what the engine keeps from one item serves the next, and sends each answer through a pipe of its own.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/work/crew.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/fields.h"
#include "module/base/settings.h"
#include <errno.h>
#include <fcntl.h>
#include <lauxlib.h>
#include <poll.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

enum { MOST_WORKERS = 256, RUNS_PER_WORKER = 8, CHUNK_BYTES = 65536, WAIT_MS = 200 };
enum { ANSWER = 'a', FAULT = 'f', LIMIT = 'l' };
static const char type_name[] = "lodeloom.crew";

typedef struct header {
    size_t size, kind;
} header;

typedef struct bind_worker {
    pid_t pid; /* 0: gone */
    int file;  /* -1: closed */
    char *bytes;
    size_t have, room;
    int status; /* of wait, once gone */
} bind_worker;

typedef struct bind_crew {
    size_t items, run;    /* how many in all, how many a worker takes at once */
    atomic_size_t *taken; /* runs handed out, shared by all */
    size_t count;
    bind_worker workers[MOST_WORKERS];
} bind_crew;

static bool send_all(int file, const void *bytes, size_t size)
{
    for (const char *at = bytes; size > 0;) {
        const ssize_t written = write(file, at, size);
        if (written < 0 && errno == EINTR)
            continue;
        if (written < 0)
            return false;
        at += written;
        size -= (size_t)written;
    }
    return true;
}

/* Sends what the call left on the top: its text, or what went wrong. */
static bool send_result(lua_State *L, int code, int file)
{
    const bind_settings *settings = bind_settings_of(L);
    const bool stopped = settings->go_on && !settings->go_on();
    header head = {.kind = code == LUA_OK ? ANSWER : FAULT};
    if (code == LUA_ERRMEM || (code != LUA_OK && stopped))
        head.kind = LIMIT;
    const char *text = "the script raised an error that is no text";
    head.size = strlen(text);
    if (lua_type(L, -1) == LUA_TSTRING)
        text = lua_tolstring(L, -1, &head.size);
    return send_all(file, &head, sizeof head) && send_all(file, text, head.size);
}

/* In the child, to its end: the list is at index 1, the work at index 2. */
static _Noreturn void labour(lua_State *L, const bind_crew *crew, int file)
{
    for (;;) {
        const size_t first = crew->run * atomic_fetch_add(crew->taken, 1);
        for (size_t i = first; i < first + crew->run && i < crew->items; i++) {
            lua_pushvalue(L, 2);
            lua_rawgeti(L, 1, (lua_Integer)i + 1);
            const int code = lua_pcall(L, 1, 1, 0);
            if (!send_result(L, code, file) || code != LUA_OK)
                _exit(1);
            lua_pop(L, 1);
        }
        if (first >= crew->items)
            _exit(0);
    }
}

/* A child must not outlive its parent, nor answer the interrupt key beside it. */
static void become_worker(lua_State *L, pid_t parent)
{
    bind_settings *settings = bind_settings_of(L);
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    if (getppid() != parent)
        _exit(1);
    signal(SIGINT, SIG_IGN);
    settings->show_progress = false;
    settings->print_aside = true;
    settings->sealed = true;
    if (settings->become_worker)
        settings->become_worker();
}

static bool start_worker(lua_State *L, bind_crew *crew)
{
    int ends[2];
    const pid_t parent = getpid();
    if (pipe(ends) != 0)
        return false;
    fcntl(ends[0], F_SETFD, FD_CLOEXEC);
    fcntl(ends[1], F_SETFD, FD_CLOEXEC);
    const pid_t pid = fork();
    if (pid == 0) {
        become_worker(L, parent);
        close(ends[0]);
        labour(L, crew, ends[1]);
    }
    close(ends[1]);
    if (pid < 0) {
        close(ends[0]);
        return false;
    }
    crew->workers[crew->count++] = (bind_worker){.pid = pid, .file = ends[0]};
    return true;
}

/* Waits for a process that is at its end. */
static void bury(bind_worker *w)
{
    while (waitpid(w->pid, &w->status, 0) < 0 && errno == EINTR)
        ;
    w->pid = 0;
    close(w->file);
    w->file = -1;
}

/* Runs when the variable closes and again at collection. */
static int crew_clear(lua_State *L)
{
    bind_crew *crew = luaL_checkudata(L, 1, type_name);
    for (size_t i = 0; i < crew->count; i++) {
        bind_worker *w = &crew->workers[i];
        if (w->pid > 0) {
            kill(w->pid, SIGKILL);
            bury(w);
        }
        free(w->bytes);
        w->bytes = NULL;
    }
    if (crew->taken)
        munmap(crew->taken, sizeof *crew->taken);
    crew->taken = NULL;
    return 0;
}

/* core.crew(todo, work) */
static int core_crew(lua_State *L)
{
    luaL_checktype(L, 1, LUA_TTABLE);
    luaL_checktype(L, 2, LUA_TFUNCTION);
    lua_settop(L, 2);
    bind_crew *crew = lua_newuserdatauv(L, sizeof *crew, 0);
    memset(crew, 0, sizeof *crew);
    luaL_setmetatable(L, type_name);
    crew->items = lua_rawlen(L, 1);
    bind_settings *settings = bind_settings_of(L);
    settings->crew_worked = true;
    size_t wanted = settings->processes;
    wanted = wanted < 1 ? 1 : wanted > MOST_WORKERS ? MOST_WORKERS : wanted;
    crew->run = 1 + crew->items / (RUNS_PER_WORKER * wanted);
    void *shared =
        mmap(NULL, sizeof *crew->taken, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (shared == MAP_FAILED)
        return bind_raise(L, "sweep: no memory is left for its processes");
    crew->taken = shared;
    fflush(NULL); /* else every child has it to flush */
    for (size_t i = 0; i < wanted && i < crew->items; i++)
        if (!start_worker(L, crew))
            return bind_raise(L, "sweep: no process can be started: %s", strerror(errno));
    return 1;
}

/* Reads what there is; at the end of the pipe the worker is gone. */
static void receive(lua_State *L, bind_worker *w)
{
    if (w->room - w->have < CHUNK_BYTES) {
        char *grown = realloc(w->bytes, 2 * w->room + CHUNK_BYTES);
        if (!grown)
            bind_raise(L, "sweep: no memory is left for its rows");
        w->bytes = grown;
        w->room = 2 * w->room + CHUNK_BYTES;
    }
    const ssize_t got = read(w->file, w->bytes + w->have, w->room - w->have);
    if (got > 0)
        w->have += (size_t)got;
    else if (got == 0 || errno != EINTR)
        bury(w);
}

/* Pushes the first whole message of the worker and returns its kind; 0 when there is none. */
static size_t push_message(lua_State *L, bind_worker *w)
{
    header head;
    if (w->have < sizeof head)
        return 0;
    memcpy(&head, w->bytes, sizeof head);
    const size_t whole = sizeof head + head.size;
    if (w->have < whole)
        return 0;
    lua_pushlstring(L, w->bytes + sizeof head, head.size);
    w->have -= whole;
    memmove(w->bytes, w->bytes + whole, w->have);
    return head.kind;
}

/* Waits a while for any worker to say something; *quiet when none did. False when all are gone. */
static bool wait_for_news(lua_State *L, bind_crew *crew, bool *quiet)
{
    struct pollfd files[MOST_WORKERS] = {{0}};
    size_t open = 0;
    for (size_t i = 0; i < crew->count; i++) {
        files[i] = (struct pollfd){.fd = crew->workers[i].file, .events = POLLIN};
        open += files[i].fd >= 0;
    }
    const bind_settings *settings = bind_settings_of(L);
    *quiet = open > 0 && poll(files, crew->count, WAIT_MS) == 0;
    if (settings->go_on && !settings->go_on())
        bind_raise(L, "sweep: stopped");
    for (size_t i = 0; i < crew->count; i++)
        if (files[i].fd >= 0 && files[i].revents)
            receive(L, &crew->workers[i]);
    return open > 0;
}

/* A process that was ended from outside, by somebody or for want of memory, leaves its work undone. */
static int check_ends(lua_State *L, const bind_crew *crew)
{
    for (size_t i = 0; i < crew->count; i++)
        if (crew->workers[i].status != 0)
            return bind_raise(L, "sweep: one of its processes was ended from outside; start the "
                                 "script again to go on where it was");
    return 0;
}

/* core.crew_next(crew) */
static int core_crew_next(lua_State *L)
{
    bind_crew *crew = luaL_checkudata(L, 1, type_name);
    const bind_settings *settings = bind_settings_of(L);
    bool quiet = false;
    do {
        for (size_t i = 0; i < crew->count; i++) {
            const size_t kind = push_message(L, &crew->workers[i]);
            if (kind == LIMIT && settings->limit_reached)
                settings->limit_reached("memory");
            if (kind == FAULT || kind == LIMIT)
                return lua_error(L);
            if (kind == ANSWER)
                return 1;
        }
    } while (wait_for_news(L, crew, &quiet) && !quiet);
    if (!quiet)
        return check_ends(L, crew);
    lua_pushboolean(L, false);
    return 1;
}

void bind_open_crew(lua_State *L)
{
    luaL_newmetatable(L, type_name);
    lua_pushcfunction(L, crew_clear);
    lua_setfield(L, -2, "__gc");
    lua_pushcfunction(L, crew_clear);
    lua_setfield(L, -2, "__close");
    lua_pop(L, 1);
    bind_core_function(L, "crew", core_crew);
    bind_core_function(L, "crew_next", core_crew_next);
}
