/* commands.c - what the program can be asked to do, as data.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"
#include "header.h"
#include "limits.h"
#include "prompt.h"
#include "usage.h"
#include "version.h"

static int scripts(const host_options *options)
{
    (void)options;
    return host_list_scripts();
}

static int version(const host_options *options)
{
    (void)options;
    puts("lodeloom " LL_VERSION);
    return HOST_FINE;
}

/* `lodeloom help [WORD]`: a command, or a word of the language. */
static int help(const host_options *options)
{
    if (options->word_count == 0) {
        host_usage(stdout);
        return HOST_FINE;
    }
    const host_command *command = host_command_named(options->words[0]);
    return command ? host_help_command(command) : host_help_word(options);
}

/* A script that is checked may have the command line with which it is to be run. */
#define HELP "--help -h "
#define LIMITS HELP "--time-limit --memory-limit --quiet "
#define SESSION LIMITS "--format --in --out --threads "
#define ALL SESSION "--part --stamp --watch "

const host_command host_commands[] = {
    {"run", "SCRIPT [NAME=VALUE ...]",
     "run a script, - for standard input; it finds the values in `given`", host_run, -1, ALL},
    {"check", "SCRIPT [NAME=VALUE ...]",
     "build what it describes, report every mistake, solve nothing", host_check_only, -1, ALL},
    {"prompt", "", "an interactive prompt", host_prompt, 0, SESSION},
    {"join", "FILE", "put the shares of a sweep together into its file", host_join, 1,
     LIMITS "--stamp "},
    {"start", "[KIND [FILE]]",
     "write a script for a usual build, - for standard output; to be filled in", host_start, 2,
     HELP},
    {"scripts", "", "list the scripts that came with it", scripts, 0, HELP},
    {"materials", "[NAME]", "print the material tables with their sources", host_materials, 1,
     LIMITS "--format "},
    {"help", "[WORD]", "what a command takes, or a word of the language means", help, 1, LIMITS},
    {"annotations", "", "print annotations for an editor's language server", host_annotations, 0,
     LIMITS},
    {"describe", "man|bash|zsh|fish", "print the man page, or completion for a shell",
     host_describe, 1, HELP},
    {"--version", "", "print the version", version, 0, HELP},
    {"--help", "", "print this", help, 0, HELP},
    {"-h", NULL, NULL, help, 0, HELP},
    {.name = NULL},
};
