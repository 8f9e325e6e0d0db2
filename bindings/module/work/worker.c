/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/work/worker.h"
#include "module/base/fault.h"
#include "module/base/settings.h"
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

enum { CHUNK_BYTES = 65536 };

typedef struct header {
    size_t size, item;
    bind_news kind;
} header;

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

bool bind_worker_send(lua_State *L, int code, size_t item, int file)
{
    const bind_limits *limits = bind_limits_of(L);
    const bool stopped = limits->go_on && !limits->go_on();
    header head = {.item = item, .kind = code == LUA_OK ? NEWS_ANSWER : NEWS_FAULT};
    if (code == LUA_ERRMEM || (code != LUA_OK && stopped))
        head.kind = NEWS_LIMIT;
    const char *text = "the script raised an error that is no text";
    head.size = strlen(text);
    if (lua_type(L, -1) == LUA_TSTRING)
        text = lua_tolstring(L, -1, &head.size);
    return send_all(file, &head, sizeof head) && send_all(file, text, head.size) && code == LUA_OK;
}

/* A child must not outlive its parent, nor answer the interrupt key beside it. */
static void become_worker(lua_State *L, pid_t parent, size_t place)
{
    bind_talk *talk = bind_talk_of(L);
    bind_stamp *stamp = bind_stamp_of(L);
    const bind_sweeps *sweeps = bind_sweeps_of(L);
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    if (getppid() != parent)
        _exit(1);
    signal(SIGINT, SIG_IGN);
    signal(SIGHUP, SIG_IGN);
    signal(SIGTERM, SIG_DFL);
    talk->show_progress = false;
    talk->print_aside = true;
    stamp->sealed = true;
    if (sweeps->become_worker)
        sweeps->become_worker(L, place);
}

bool bind_worker_start(lua_State *L, bind_worker *worker, size_t place,
                       void (*labour)(lua_State *L, void *context, int file), void *context)
{
    int ends[2];
    const pid_t parent = getpid();
    if (pipe(ends) != 0)
        return false;
    fcntl(ends[0], F_SETFD, FD_CLOEXEC);
    fcntl(ends[1], F_SETFD, FD_CLOEXEC);
    const pid_t pid = fork();
    if (pid == 0) {
        become_worker(L, parent, place);
        close(ends[0]);
        labour(L, context, ends[1]);
        _exit(0);
    }
    close(ends[1]);
    if (pid < 0) {
        close(ends[0]);
        return false;
    }
    *worker = (bind_worker){.pid = pid, .file = ends[0]};
    return true;
}

/* Waits for a process that is at its end. */
static void bury(lua_State *L, bind_worker *w, size_t place)
{
    const bind_sweeps *sweeps = bind_sweeps_of(L);
    while (waitpid(w->pid, &w->status, 0) < 0 && errno == EINTR)
        ;
    w->pid = 0;
    close(w->file);
    w->file = -1;
    if (sweeps->worker_gone)
        sweeps->worker_gone(L, place);
}

void bind_worker_clear(lua_State *L, bind_worker *w, size_t place)
{
    if (w->pid > 0) {
        kill(w->pid, SIGKILL);
        bury(L, w, place);
    }
    free(w->bytes);
    w->bytes = NULL;
}

void bind_worker_receive(lua_State *L, bind_worker *w, size_t place)
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
        bury(L, w, place);
}

bind_news bind_worker_news(lua_State *L, bind_worker *w, size_t *item)
{
    header head;
    if (w->have < sizeof head)
        return NEWS_NONE;
    memcpy(&head, w->bytes, sizeof head);
    const size_t whole = sizeof head + head.size;
    if (w->have < whole)
        return NEWS_NONE;
    lua_pushlstring(L, w->bytes + sizeof head, head.size);
    w->have -= whole;
    memmove(w->bytes, w->bytes + whole, w->have);
    *item = head.item;
    return head.kind;
}

/* The proportional set size, in which pages that several processes share count once in all. */
size_t bind_footprint(pid_t pid)
{
    char line[256];
    unsigned long kilobytes = 0;
    snprintf(line, sizeof line, "/proc/%ld/smaps_rollup", (long)pid);
    FILE *file = fopen(line, "r");
    if (!file)
        return 0;
    while (kilobytes == 0 && fgets(line, sizeof line, file))
        if (sscanf(line, "Pss: %lu", &kilobytes) != 1)
            kilobytes = 0;
    fclose(file);
    return (size_t)kilobytes << 10;
}
