/* listings.c - commands whose text the module makes in Lua.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"
#include "module/base/fault.h"
#include "sandbox.h"
#include <lauxlib.h>
#include <string.h>

/* Runs a chunk of the program's own, which finds the command's word in given.name. */
static int list(const host_options *options, const char *chunk)
{
    host_sandbox sandbox;
    int status = HOST_WRONG;
    if (host_sandbox_open(&sandbox, options, false) &&
        host_sandbox_load(&sandbox, chunk, strlen(chunk), BIND_OWN_CHUNK "listing")) {
        if (options->word_count > 0)
            host_sandbox_set(&sandbox, "name", options->words[0]);
        status = host_sandbox_call(&sandbox, options->time_limit_s);
    }
    host_sandbox_close(&sandbox);
    return status;
}

int host_materials(const host_options *options)
{
    return list(options, "local name = given.name\n"
                         "ll.materials(name):print()\n");
}

int host_annotations(const host_options *options)
{
    return list(options, "print(ll.annotations())\n");
}
