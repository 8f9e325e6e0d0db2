/* foresee.c - a check builds what the script describes and solves nothing, so it soon meets what would be written at the end.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "foresee.h"
#include "module/base/fault.h"
#include "module/base/settings.h"
#include "piped.h"
#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

enum { TEXT_ROOM = 65536, WRITES = 77 };
static const double most_s = 1, most_share = 0.2; /* of the time that the script may take */

static int said_to; /* the true standard error, in the process that looks */

/* The first bytes of a script, up to TEXT_ROOM; how many there are. */
static size_t begin_of(const char *path, char *text)
{
    size_t size = 0;
    const char *piped = host_piped_text(path, &size);
    FILE *file = piped ? NULL : fopen(path, "r");
    size = size < TEXT_ROOM ? size : TEXT_ROOM;
    if (piped)
        memcpy(text, piped, size);
    if (!file)
        return piped ? size : 0;
    size = fread(text, 1, TEXT_ROOM, file);
    fclose(file);
    return size;
}

/* A script without these words writes nothing, and is not looked at twice. */
static bool may_write(const char *path)
{
    static const char *const words[] = {"save", "file", "require"};
    char text[TEXT_ROOM + 1];
    const size_t size = begin_of(path, text);
    text[size] = '\0';
    bool may = size == TEXT_ROOM;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        may = may || strstr(text, words[i]);
    return may;
}

/* Whether the script would catch an error that is raised here: by its pcall, which calls xpcall, or in a coroutine. */
static bool is_caught(lua_State *L)
{
    lua_Debug at;
    bool caught = lua_pushthread(L) != 1;
    lua_pop(L, 1);
    lua_getglobal(L, "xpcall");
    const lua_CFunction protects = lua_tocfunction(L, -1);
    lua_pop(L, 1);
    bool below = false;
    for (int level = 0; !caught && lua_getstack(L, level, &at); level++) {
        lua_getinfo(L, "Sf", &at);
        caught = below && strcmp(at.source, BIND_OWN_CHUNK "sandbox") == 0;
        below = lua_tocfunction(L, -1) == protects;
        lua_pop(L, 1);
    }
    return caught;
}

/* For bind_check: a file was to be written, and there is no folder. */
static void on_writing(lua_State *L, const char *verb)
{
    if (is_caught(L))
        return;
    bind_where(L);
    dprintf(said_to, "%s%s: no folder to write to was given; start with --out DIR\n",
            lua_tostring(L, -1), verb);
    _exit(WRITES);
}

static host_work *looked_at;

static int look(host_sandbox *sandbox, const host_options *options)
{
    bind_check_of(sandbox->L)->writes_nowhere = on_writing;
    return looked_at(sandbox, options);
}

/* In the process that looks, to its end. Whatever else it finds will be found again. */
static _Noreturn void look_ahead(const host_options *options, host_work *work)
{
    const int nowhere = open("/dev/null", O_RDWR | O_CLOEXEC);
    said_to = fcntl(STDERR_FILENO, F_DUPFD_CLOEXEC, 3);
    if (nowhere < 0 || said_to < 0 || dup2(nowhere, STDOUT_FILENO) < 0 ||
        dup2(nowhere, STDERR_FILENO) < 0)
        _exit(0);
    host_options quick = *options;
    quick.time_limit_s = fmin(most_s, most_share * options->time_limit_s);
    quick.quiet = true;
    looked_at = work;
    host_within(&quick, true, look);
    _exit(0);
}

bool host_foresee_writing(const char *path, const host_options *options, host_work *work)
{
    int status = 0;
    if (options->out || !may_write(path))
        return false;
    fflush(NULL);
    const pid_t pid = fork();
    if (pid == 0)
        look_ahead(options, work);
    while (pid > 0 && waitpid(pid, &status, 0) < 0 && errno == EINTR)
        ;
    return pid > 0 && WIFEXITED(status) && WEXITSTATUS(status) == WRITES;
}
