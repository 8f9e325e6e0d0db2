/* main.c - the program: commands and their help.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "commands.h"
#include "header.h"
#include "host_api.h"
#include "module/base/nearest.h"
#include "options.h"
#include "prompt.h"
#include "sandbox.h"
#include "source.h"
#include "stamp.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { PATH_ROOM = 4096 };

static const char help[] =
    "lodeloom - magnetic pickups, computed from a script\n"
    "\n"
    "  lodeloom run SCRIPT [NAME=VALUE ...]   run a script; it finds the values in `given`\n"
    "  lodeloom check SCRIPT [NAME=VALUE ...] build what it describes, report every mistake, solve "
    "nothing\n"
    "  lodeloom prompt                        an interactive prompt\n"
    "  lodeloom join FILE                     put the shares of a sweep together into its file\n"
    "  lodeloom scripts                       list the scripts that came with it\n"
    "  lodeloom materials [NAME]              print the material tables with their sources\n"
    "  lodeloom annotations                   print annotations for an editor's language server\n"
    "  lodeloom --version | --help\n"
    "\n"
    "  --format text|csv|markdown|json   how tables are printed (text)\n"
    "  --out DIR                         the only folder that files are written to\n"
    "  --time-limit S                    seconds that a script may take (600)\n"
    "  --memory-limit MB                 memory that a script may take (2048)\n"
    "  --threads N                       threads to compute with (one per processor)\n"
    "  --part K/N                        of sweeps with a file, only the K-th of N shares\n"
    "  --stamp                           say at the end which script, version and values it was\n"
    "  --quiet                           no progress and no remarks\n"
    "\n"
    "Exit status: 0 done; 1 the script or its data is wrong; 2 the command line is wrong;\n"
    "3 a limit was reached; 130 interrupted.\n";

/* Text on standard output, where a full disk is an error. */
static int say(const char *text)
{
    fputs(text, stdout);
    return fflush(stdout) == 0 ? HOST_FINE : HOST_WRONG;
}

/* A script is missing, or is not where the word says. */
static int no_script(const host_options *options, const char *command)
{
    if (options->word_count == 0)
        fprintf(stderr, "lodeloom: %s needs a script, as in `lodeloom %s six.lua`\n", command,
                command);
    else
        fprintf(stderr,
                "lodeloom: there is no script '%s'; `lodeloom scripts` lists those that came "
                "along\n",
                options->words[0]);
    return HOST_USAGE;
}

/* Opens a sandbox, hands over the values, runs the script. */
static int run_or_check(const host_options *options, bool dry)
{
    char path[PATH_ROOM];
    host_sandbox sandbox;
    if (options->word_count == 0 || !host_find_script(options->words[0], path, sizeof path))
        return no_script(options, dry ? "check" : "run");
    int status = HOST_USAGE;
    if (host_sandbox_open(&sandbox, options, dry) &&
        host_sandbox_give(&sandbox, options->word_count - 1, options->words + 1)) {
        status = dry ? host_check(&sandbox, path, options->time_limit_s)
                     : host_sandbox_run(&sandbox, path, options->time_limit_s);
        if (status == HOST_FINE && !options->quiet)
            host_api_report_unused(sandbox.L);
        if (status == HOST_FINE && options->stamp && !dry)
            host_print_stamp(sandbox.L, options);
    }
    host_sandbox_close(&sandbox);
    return status;
}

static int run(const host_options *options)
{
    return run_or_check(options, false);
}

static int check(const host_options *options)
{
    return run_or_check(options, true);
}

static int scripts(const host_options *options)
{
    (void)options;
    return host_list_scripts();
}

static int version(const host_options *options)
{
    (void)options;
    return say("lodeloom " LL_VERSION "\n");
}

static int show_help(const host_options *options)
{
    (void)options;
    return say(help);
}

static const struct command {
    const char *name;
    int (*run)(const host_options *options);
    int most_words; /* -1: any number */
} commands[] = {
    {"run", run, -1},
    {"check", check, -1},
    {"prompt", host_prompt, 0},
    {"scripts", scripts, 0},
    {"join", host_join, 1},
    {"materials", host_materials, 1},
    {"annotations", host_annotations, 0},
    {"--version", version, 0},
    {"--help", show_help, 0},
    {"help", show_help, 0},
};

enum { COMMAND_COUNT = sizeof commands / sizeof *commands };

/* A command that does not exist, with the one that was meant. */
static int refuse(const char *word)
{
    bind_nearest nearest = {.wanted = word};
    for (size_t i = 0; i < COMMAND_COUNT; i++)
        bind_nearest_try(&nearest, commands[i].name);
    fprintf(stderr, "lodeloom: there is no command '%s'", word);
    if (nearest.name)
        fprintf(stderr, "; did you mean '%s'?\n", nearest.name);
    else
        fputs("; `lodeloom --help` lists them\n", stderr);
    return HOST_USAGE;
}

/* Threads that have nothing to do shall sleep: by default those of OpenMP wait in a loop, which on a busy machine takes
 * several times longer than the work. The library reads this before main begins, hence the fresh start. */
static void let_threads_sleep(char **argv)
{
    if (getenv("OMP_WAIT_POLICY") || setenv("OMP_WAIT_POLICY", "passive", 1) != 0)
        return;
    execv("/proc/self/exe",
          argv); /* comes back only where that is not possible, and no harm done */
}

int main(int argc, char **argv)
{
    host_options options;
    let_threads_sleep(argv);
    setvbuf(stdout, NULL, _IOLBF,
            1 << 16); /* what was printed is kept when a limit ends the process */
    if (argc < 2) {
        fputs(help, stderr);
        return HOST_USAGE;
    }
    for (size_t i = 0; i < COMMAND_COUNT; i++) {
        if (strcmp(argv[1], commands[i].name) != 0)
            continue;
        if (!host_options_read(argc - 2, argv + 2, &options))
            return HOST_USAGE;
        if (commands[i].most_words >= 0 && options.word_count > commands[i].most_words) {
            fprintf(stderr, "lodeloom: '%s' is one word too many\n",
                    options.words[commands[i].most_words]);
            return HOST_USAGE;
        }
        return commands[i].run(&options);
    }
    return refuse(argv[1]);
}
