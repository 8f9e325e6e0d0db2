/* run.c - `lodeloom run` and `lodeloom check`: a script with the values of the command line.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "commands.h"
#include "foresee.h"
#include "host_api.h"
#include "module/base/file_fault.h"
#include "module/base/settings.h"
#include "piped.h"
#include "sandbox.h"
#include "source.h"
#include "stamp.h"
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
    const bool check_mode = bind_check_of(L)->on;
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

/* Why standard input is no script, errno tells. */
static int not_piped(const host_options *options)
{
    if (errno == ETIMEDOUT)
        fprintf(stderr, "lodeloom: standard input: its end did not come within %g s\n",
                options->time_limit_s);
    else
        fprintf(stderr, "lodeloom: standard input cannot be read: %s\n", bind_file_fault(errno));
    return HOST_WRONG;
}

/* Finds the script that the first word means; else says why there is none, and what to end with. */
static bool find_script(const host_options *options, const char *command, int *status)
{
    if (options->word_count == 0 || strcmp(options->words[0], HOST_DASH) != 0) {
        const bool there =
            options->word_count > 0 && host_find_script(options->words[0], script, sizeof script);
        *status = there ? HOST_FINE : no_script(options, command);
        return there;
    }
    if (isatty(STDIN_FILENO) && !options->quiet)
        fputs("lodeloom: type or paste the script; Ctrl-D on a line of its own ends it\n", stderr);
    snprintf(script, sizeof script, HOST_PIPED);
    const bool there = host_piped_read(options->time_limit_s);
    *status = there ? HOST_FINE : not_piped(options);
    return there;
}

int host_run(const host_options *options)
{
    int status;
    if (options->watch && options->word_count > 0 && strcmp(options->words[0], HOST_DASH) == 0) {
        fputs("lodeloom: --watch waits until a file is saved, and standard input is none; name the "
              "script's file\n",
              stderr);
        return HOST_USAGE;
    }
    if (!find_script(options, "run", &status))
        return status;
    return options->watch ? host_watch(options, script, run_once) : run_once(options);
}

int host_check_only(const host_options *options)
{
    int status;
    return find_script(options, "check", &status) ? host_within(options, true, run_script) : status;
}
