/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "sandbox.h"
#include <lauxlib.h>
#include <stdio.h>
#include <string.h>

enum { PATH_ROOM = 4096 };

/* Splits a path into its folder and its name. */
static bool split(const char *path, char *folder, const char **name)
{
    const char *slash = strrchr(path, '/');
    const int length = slash ? (int)(slash - path) + (slash == path) : 1;
    *name = slash ? slash + 1 : path;
    return snprintf(folder, PATH_ROOM, "%.*s", length, slash ? path : ".") < PATH_ROOM;
}

/* The joining is done by the module in Lua. */
static int join(lua_State *L)
{
    bind_push_core(L);
    lua_getfield(L, -1, "join");
    lua_pushvalue(L, lua_upvalueindex(1));
    lua_call(L, 1, 0);
    return 0;
}

static int join_in(host_sandbox *sandbox, const host_options *options)
{
    char folder[PATH_ROOM];
    const char *name;
    split(options->words[0], folder, &name);
    lua_pushstring(sandbox->L, name);
    lua_pushcclosure(sandbox->L, join, 1);
    return host_sandbox_call(sandbox, options->time_limit_s);
}

int host_join(const host_options *options)
{
    char folder[PATH_ROOM];
    const char *name;
    if (options->word_count != 1 || !split(options->words[0], folder, &name)) {
        fputs("lodeloom: join needs the file of a sweep, as in `lodeloom join results/x.csv`\n",
              stderr);
        return HOST_USAGE;
    }
    host_options beside = *options;
    beside.out = folder;
    return host_within(&beside, false, join_in);
}
