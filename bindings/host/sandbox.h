/* sandbox.h - a Lua state in which other people's scripts run.
 *
 * Scripts get an environment of what is allowed and nothing else; see sandbox.lua. Limits: limits.h.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_SANDBOX_H
#define LL_HOST_SANDBOX_H

#include "limits.h"
#include "options.h"
#include <lua.h>

typedef struct host_sandbox {
    lua_State *L;
    host_memory memory;
    int environment; /* reference to the environment in the registry */
} host_sandbox;

/* Opens a sandbox, does the work in it under the limits of the options, and closes it. Whatever the work asks of Lua is
 * protected: want of memory ends it like any other limit. The exit status is the work's, or that of what stopped it. The limits
 * hold until the process leaves, or the work ends them. */
typedef int host_work(host_sandbox *sandbox, const host_options *options);
int host_within(const host_options *options, bool check_mode, host_work *work);

/* Opens a state; in check mode scripts are only checked. Prints what is wrong and returns false. Close it
 * either way. */
bool host_sandbox_open(host_sandbox *sandbox, const host_options *options, bool check_mode);
void host_sandbox_close(host_sandbox *sandbox);

/* Hands NAME=VALUE words to the script's table `given`; prints what is wrong and returns false. The words stay the caller's and must
 * outlive the sandbox, whose tables name them. */
bool host_sandbox_give(host_sandbox *sandbox, int count, char **words);

/* Sets one value of `given`. */
void host_sandbox_set(host_sandbox *sandbox, const char *name, const char *text);

/* Runs a script file. The exit status; what went wrong is on standard error. */
int host_sandbox_run(host_sandbox *sandbox, const char *path, double time_limit_s);

/* The same for a text already loaded as a function on the top of the stack; leaves its results. */
int host_sandbox_call(host_sandbox *sandbox, double time_limit_s);

/* Pushes the text as a function in the environment; false with a message instead. */
bool host_sandbox_load(host_sandbox *sandbox, const char *text, size_t size, const char *name);

#endif
