/* main.c - the program: commands and their help.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "commands.h"
#include "foresee.h"
#include "header.h"
#include "host_api.h"
#include "module/base/file_fault.h"
#include "module/base/nearest.h"
#include "module/base/output.h"
#include "module/base/settings.h"
#include "options.h"
#include "process.h"
#include "prompt.h"
#include "sandbox.h"
#include "source.h"
#include "stamp.h"
#include "usage.h"
#include "version.h"
#include "watch.h"
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PATH_ROOM = 4096 };

/* Why the word is no script, as far as the file tells; NULL when there is none. */
static const char *fault_of_file(const char *word)
{
    struct stat about;
    if (host_is_folder(word))
        return "is a folder; name a script in it";
    if (access(word, F_OK) == 0)
        return "is no plain file";
    if (errno == ENOENT && lstat(word, &about) == 0)
        return "is a link to what is not there";
    return errno == ENOENT ? NULL : bind_file_fault(errno);
}

/* A script is missing, or is not where the word says. */
static int no_script(const host_options *options, const char *command)
{
    const char *word = options->word_count > 0 ? options->words[0] : "";
    const char *fault = *word ? fault_of_file(word) : NULL;
    if (!*word)
        fprintf(stderr, "lodeloom: %s needs a script, as in `lodeloom %s six.lua`\n", command,
                command);
    else if (fault)
        fprintf(stderr, "lodeloom: '%.200s' %s\n", word, fault);
    else
        fprintf(stderr,
                "lodeloom: there is no script '%.200s'; `lodeloom scripts` lists those that came "
                "along\n",
                word);
    return HOST_USAGE;
}

static char script[PATH_ROOM];

/* Hands over the values, runs or checks the script. */
static int run_script(host_sandbox *sandbox, const host_options *options)
{
    lua_State *L = sandbox->L;
    const bool check_mode = bind_settings_of(L)->check_mode;
    if (!host_sandbox_give(sandbox, options->word_count - 1, options->words + 1))
        return HOST_USAGE;
    const int status = check_mode ? host_check(sandbox, script, options->time_limit_s)
                                  : host_sandbox_run(sandbox, script, options->time_limit_s);
    if (status == HOST_FINE && !options->quiet)
        host_api_report_unused(L);
    if (status == HOST_FINE && options->stamp && !check_mode)
        host_print_stamp(L, options);
    return status;
}

static int run_once(const host_options *options)
{
    if (host_foresee_writing(script, options, run_script))
        return HOST_WRONG;
    return host_within(options, false, run_script);
}

static int run(const host_options *options)
{
    if (options->word_count == 0 || !host_find_script(options->words[0], script, sizeof script))
        return no_script(options, "run");
    return options->watch ? host_watch(options, script, run_once) : run_once(options);
}

static int check(const host_options *options)
{
    if (options->word_count == 0 || !host_find_script(options->words[0], script, sizeof script))
        return no_script(options, "check");
    return host_within(options, true, run_script);
}

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

/* A script that is checked may have the command line with which it is to be run. */
#define HELP "--help -h "
#define LIMITS HELP "--time-limit --memory-limit --quiet "
#define SESSION LIMITS "--format --in --out --threads "
#define ALL SESSION "--part --stamp --watch "

const host_command host_commands[] = {
    {"run", "SCRIPT [NAME=VALUE ...]", "run a script; it finds the values in `given`", run, -1,
     ALL},
    {"check", "SCRIPT [NAME=VALUE ...]",
     "build what it describes, report every mistake, solve nothing", check, -1, ALL},
    {"prompt", "", "an interactive prompt", host_prompt, 0, SESSION},
    {"join", "FILE", "put the shares of a sweep together into its file", host_join, 1, LIMITS},
    {"start", "[KIND [FILE]]", "write a script for a usual build, to be filled in", host_start, 2,
     HELP},
    {"scripts", "", "list the scripts that came with it", scripts, 0, HELP},
    {"materials", "[NAME]", "print the material tables with their sources", host_materials, 1,
     LIMITS "--format "},
    {"help", "[WORD]", "what a command takes, or a word of the language means", host_help, 1,
     LIMITS},
    {"annotations", "", "print annotations for an editor's language server", host_annotations, 0,
     LIMITS},
    {"describe", "man|bash|zsh|fish", "print the man page, or completion for a shell",
     host_describe, 1, HELP},
    {"--version", "", "print the version", version, 0, HELP},
    {"--help", "", "print this", host_help, 0, HELP},
    {"-h", NULL, NULL, host_help, 0, HELP},
    {.name = NULL},
};

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
