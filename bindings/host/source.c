/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "source.h"
#include <errno.h>
#include <fcntl.h>
#include <lauxlib.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { LARGEST_BYTES = 4 << 20, PATH_ROOM = 4096 };

bool host_is_folder(const char *path)
{
    struct stat about;
    return stat(path, &about) == 0 && S_ISDIR(about.st_mode);
}

static bool is_file(const char *path)
{
    struct stat about;
    return stat(path, &about) == 0 && S_ISREG(about.st_mode);
}

/* Beside an installed program, wherever it was moved to: bin/../share/lodeloom/scripts. */
static bool beside_program(char *path, size_t room)
{
    char program[PATH_ROOM];
    ssize_t length = readlink("/proc/self/exe", program, sizeof program - 1);
    if (length < 0)
        return false;
    program[length] = '\0';
    char *slash = strrchr(program, '/');
    if (slash)
        *slash = '\0';
    int written = snprintf(path, room, "%s/../share/lodeloom/scripts", program);
    return written > 0 && (size_t)written < room && host_is_folder(path);
}

const char *host_scripts_folder(void)
{
    static char path[PATH_ROOM];
    if (*path)
        return path;
    if (beside_program(path, sizeof path))
        return path;
    /* Run from where it was built, it has the scripts of its source. */
    snprintf(path, sizeof path, "%s",
             host_is_folder(LL_SCRIPTS_SOURCE)      ? LL_SCRIPTS_SOURCE
             : host_is_folder(LL_SCRIPTS_INSTALLED) ? LL_SCRIPTS_INSTALLED
                                                    : "");
    return path;
}

bool host_find_script(const char *word, char *path, int room)
{
    const char *folder = host_scripts_folder();
    if (snprintf(path, (size_t)room, "%s", word) < room && is_file(path))
        return true;
    if (strchr(word, '/') || !*folder)
        return false;
    if (snprintf(path, (size_t)room, "%s/%s", folder, word) < room && is_file(path))
        return true;
    return snprintf(path, (size_t)room, "%s/%s.lua", folder, word) < room && is_file(path);
}

const char *host_plain_text(const char **text, size_t *size)
{
    static const char mark[] = "\xef\xbb\xbf";
    if (*size >= 2 && (memcmp(*text, "\xff\xfe", 2) == 0 || memcmp(*text, "\xfe\xff", 2) == 0))
        return "is saved as UTF-16; save it as UTF-8, or as plain text, in your editor";
    if (*size >= strlen(mark) && memcmp(*text, mark, strlen(mark)) == 0) {
        *text += strlen(mark);
        *size -= strlen(mark);
    }
    if (memchr(*text, '\0', *size))
        return "holds zero bytes: it is no script, or saved as UTF-16; save it as UTF-8 in your "
               "editor";
    return NULL;
}

/* Reads an open file to its end onto the stack and closes it. */
static bool push_and_close(lua_State *L, int file)
{
    struct stat about;
    bool fine = fstat(file, &about) == 0 && S_ISREG(about.st_mode);
    if (fine && about.st_size > LARGEST_BYTES) {
        errno = EFBIG;
        fine = false;
    } else if (!fine) {
        errno = EINVAL;
    }
    size_t size = fine ? (size_t)about.st_size : 0, have = 0;
    char *text = fine ? malloc(size + 1) : NULL;
    while (text && have < size) {
        ssize_t got = read(file, text + have, size - have);
        if (got < 0 && errno == EINTR)
            continue;
        fine = got >= 0;
        if (got <= 0)
            break;
        have += (size_t)got;
    }
    close(file);
    if (!text || !fine) {
        free(text);
        return false;
    }
    /* The text is short beside the limit; were the push to fail, the process ends right after. */
    lua_pushlstring(L, text, have);
    free(text);
    return true;
}

bool host_push_file(lua_State *L, const char *path)
{
    int file = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    return file >= 0 && push_and_close(L, file);
}

bool host_push_file_below(lua_State *L, const char *folder, const char *relative)
{
    char rest[PATH_ROOM];
    int at = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (at < 0 || snprintf(rest, sizeof rest, "%s", relative) >= (int)sizeof rest) {
        if (at >= 0)
            close(at);
        return false;
    }
    char *name = rest, *slash;
    while (at >= 0 && (slash = strchr(name, '/'))) {
        *slash = '\0';
        int next = openat(at, name, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
        close(at);
        at = next;
        name = slash + 1;
    }
    if (at < 0)
        return false;
    int file = openat(at, name, O_RDONLY | O_NOFOLLOW | O_CLOEXEC | O_NONBLOCK);
    close(at);
    return file >= 0 && push_and_close(L, file);
}
