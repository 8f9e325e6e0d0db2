/* worker.h - a forked process that computes with one thread and sends what it finds through a pipe.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_WORKER_H
#define LL_BIND_WORKER_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>
#include <sys/types.h>

typedef enum bind_news { NEWS_NONE, NEWS_ANSWER, NEWS_FAULT, NEWS_LIMIT } bind_news;

typedef struct bind_worker {
    pid_t pid; /* 0: gone */
    int file;  /* -1: closed */
    char *bytes;
    size_t have, room;
    int status;   /* of wait, once gone */
    bool excused; /* ended for want of memory: others will do its work */
} bind_worker;

/* Starts worker number `place`, which calls labour(L, context, file) and ends with it. False, with errno set, when there is no
 * process to be had. */
bool bind_worker_start(lua_State *L, bind_worker *worker, size_t place,
                       void (*labour)(lua_State *L, void *context, int file), void *context);

/* In the worker: sends what a call left on the top, its text or what went wrong. False when nobody listens, or when it went
 * wrong. */
bool bind_worker_send(lua_State *L, int code, size_t item, int file);

/* Reads what there is; at the end of the pipe the worker is gone. Raises when no memory is left. */
void bind_worker_receive(lua_State *L, bind_worker *worker, size_t place);

/* Pushes the text of the first whole message, and tells what it is about; nothing is pushed when there is none. */
bind_news bind_worker_news(lua_State *L, bind_worker *worker, size_t *item);

/* Ends the worker, if it is still there, and gives up what it has sent. */
void bind_worker_clear(lua_State *L, bind_worker *worker, size_t place);

/* Bytes of memory that a process really takes, its part of what it shares; 0 when the system does not tell. */
size_t bind_footprint(pid_t pid);

#endif
