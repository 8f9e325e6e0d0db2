/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"
#include "fault.h"
#include "sandbox.h"
#include <lauxlib.h>

/* The listing is made by the module in Lua: ll.materials([name]):print(). */
static const char listing[] = "local name = given.name\n"
                              "ll.materials(name):print()\n";

int host_materials(const host_options *options)
{
    host_sandbox sandbox;
    int status = HOST_WRONG;
    if (host_sandbox_open(&sandbox, options, false) &&
        host_sandbox_load(&sandbox, listing, sizeof listing - 1, BIND_OWN_CHUNK "materials")) {
        if (options->word_count > 0)
            host_sandbox_set(&sandbox, "name", options->words[0]);
        status = host_sandbox_call(&sandbox, options->time_limit_s);
    }
    host_sandbox_close(&sandbox);
    return status;
}
