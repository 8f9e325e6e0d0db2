/* main.c - the program: its words, and what becomes of its output.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "limits.h"
#include "module/base/file_fault.h"
#include "module/base/nearest.h"
#include "module/base/output.h"
#include "options.h"
#include "process.h"
#include "usage.h"
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

/* A command that does not exist, with the one that was meant. */
static int refuse(const char *word)
{
    bind_nearest nearest = {.wanted = word};
    for (const host_command *command = host_commands; command->name; command++)
        bind_nearest_try(&nearest, command->name);
    fprintf(stderr, "lodeloom: there is no command '%s'", word);
    if (nearest.name)
        fprintf(stderr, "; did you mean '%s'?\n", nearest.name);
    else
        fputs("; `lodeloom --help` lists them\n", stderr);
    return HOST_USAGE;
}

/* A command with its words. */
static int do_command(const host_command *command, int count, char **words)
{
    host_options options;
    if (!host_options_read(count, words, &options))
        return HOST_USAGE;
    const char *idle = host_option_beside(&options, command->takes);
    if (options.help)
        return host_help_command(command);
    if (idle) {
        fprintf(stderr, "lodeloom: %s does nothing for '%s'; leave it out\n", idle, command->name);
        return HOST_USAGE;
    }
    if (command->most_words < 0 || options.word_count <= command->most_words)
        return command->run(&options);
    fprintf(stderr, "lodeloom: '%s' is one word too many\n", options.words[command->most_words]);
    return HOST_USAGE;
}

static int do_words(int argc, char **argv)
{
    if (argc < 2) {
        host_usage(stderr);
        return HOST_USAGE;
    }
    const host_command *command = host_command_named(argv[1]);
    return command ? do_command(command, argc - 2, argv + 2) : refuse(argv[1]);
}

int main(int argc, char **argv)
{
    if (!host_process_prepare(argv))
        _exit(HOST_LIMIT);
    setvbuf(stdout, NULL, _IOLBF,
            1 << 16); /* what was printed is kept when a limit ends the process */
    const int status = do_words(argc, argv);
    if (bind_arrived(stdout))
        return status;
    /* A full disk, a closed stream or a broken pipe; whatever raised an error of it has told so. */
    if (status != HOST_WRONG)
        fprintf(stderr, "lodeloom: standard output cannot be written: %s\n",
                bind_file_fault(errno));
    return status == HOST_FINE ? HOST_WRONG : status;
}
