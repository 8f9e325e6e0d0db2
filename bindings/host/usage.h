/* usage.h - the commands as data, and what is made from them and the options: help, the man page, completion of shells.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_USAGE_H
#define LL_HOST_USAGE_H

#include "options.h"
#include <stdio.h>

typedef struct host_command {
    const char *name;
    const char *words; /* what stands behind it; NULL for a second name of another */
    const char *meaning;
    int (*run)(const host_options *options);
    int most_words;    /* -1: any number */
    const char *takes; /* its options, parted by blanks */
} host_command;

/* All of them, up to one without a name. */
extern const host_command host_commands[];
/* NULL when there is none. */
const host_command *host_command_named(const char *name);

/* What the program does, in a page. */
void host_usage(FILE *to);
/* `lodeloom COMMAND --help`. The exit status. */
int host_help_command(const host_command *command);
/* `lodeloom describe man|bash|zsh|fish`. */
int host_describe(const host_options *options);

#endif
