/* listings.c - commands whose text the module makes in Lua.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"
#include "module/base/fault.h"
#include "sandbox.h"
#include <string.h>

/* Runs a chunk of the program's own, which finds the command's word in given.name. */
static int list(host_sandbox *sandbox, const host_options *options, const char *chunk)
{
    if (!host_sandbox_load(sandbox, chunk, strlen(chunk), BIND_OWN_CHUNK "listing"))
        return HOST_WRONG;
    if (options->word_count > 0)
        host_sandbox_set(sandbox, "name", options->words[0]);
    return host_sandbox_call(sandbox, options->time_limit_s);
}

static int list_materials(host_sandbox *sandbox, const host_options *options)
{
    return list(sandbox, options,
                "local name = given.name\n"
                "ll.materials(name):print()\n");
}

static int list_annotations(host_sandbox *sandbox, const host_options *options)
{
    return list(sandbox, options, "print(ll.annotations())\n");
}

int host_materials(const host_options *options)
{
    return host_within(options, false, list_materials);
}

int host_annotations(const host_options *options)
{
    return host_within(options, false, list_annotations);
}

static int list_help(host_sandbox *sandbox, const host_options *options)
{
    return list(sandbox, options, "print(ll.help(given.name))\n");
}

int host_help_word(const host_options *options)
{
    return host_within(options, false, list_help);
}
