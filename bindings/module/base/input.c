/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/input.h"
#include "module/base/check_mode.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/file_fault.h"
#include "module/base/hash.h"
#include "module/base/settings.h"
#include <errno.h>
#include <fcntl.h>
#include <lauxlib.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { LONGEST_NAME = 1024 };

/* A part of a path that leads further down. */
static bool leads_down(const char *part)
{
    return *part && strcmp(part, ".") != 0 && strcmp(part, "..") != 0;
}

/* Closes `folder` and opens what is called `part` in it. What is no plain file is not even opened: that alone can rewind a tape. */
static int open_part(int folder, const char *part, bool last)
{
    struct stat about;
    int next = -1;
    errno = EINVAL;
    const bool fine =
        leads_down(part) && (!last || (fstatat(folder, part, &about, AT_SYMLINK_NOFOLLOW) == 0 &&
                                       (S_ISREG(about.st_mode) || S_ISLNK(about.st_mode))));
    if (fine)
        next = openat(folder, part,
                      O_NOFOLLOW | O_RDONLY | O_CLOEXEC | (last ? O_NONBLOCK : O_DIRECTORY));
    const int error = errno;
    close(folder);
    errno = error;
    return next;
}

int bind_open_below(int folder, const char *relative)
{
    char rest[LONGEST_NAME + 1];
    struct stat about;
    const size_t length = strlen(relative);
    if (length > LONGEST_NAME) {
        errno = ENAMETOOLONG;
        return -1;
    }
    memcpy(rest, relative, length + 1);
    int at = fcntl(folder, F_DUPFD_CLOEXEC, 3);
    char *part = rest, *slash;
    while (at >= 0 && (slash = strchr(part, '/'))) {
        *slash = '\0';
        at = open_part(at, part, false);
        part = slash + 1;
    }
    if (at >= 0)
        at = open_part(at, part, true);
    if (at >= 0 && (fstat(at, &about) != 0 || !S_ISREG(about.st_mode))) {
        close(at);
        errno = EINVAL;
        return -1;
    }
    return at;
}

void bind_hash_source(lua_State *L, const char *name, const char *text, size_t size)
{
    /* Sizes go in as well, so that nothing can move from one text to the next unseen. */
    char head[64];
    bind_stamp *stamp = bind_stamp_of(L);
    const int length = snprintf(head, sizeof head, "%zu %zu ", strlen(name), size);
    stamp->script_hash = bind_hash(stamp->script_hash, head, (size_t)length);
    stamp->script_hash = bind_hash(stamp->script_hash, name, strlen(name));
    stamp->script_hash = bind_hash(stamp->script_hash, text, size);
}

/* Why a file could not be opened, and what to do. */
static void refuse_file(lua_State *L, const char *place, const char *name, int error)
{
    const char *quoted = bind_quoted(L, name);
    const bool boxed = bind_folders_of(L)->boxed;
    if (error == ELOOP || error == ENOTDIR)
        bind_raise(
            L,
            "%s: %s is a link, or a link stands in its way, and links are not followed; copy "
            "the file itself into the folder of --in",
            place, quoted);
    if (error == EINVAL && boxed)
        bind_raise(L,
                   "%s: %s is no plain file below the folder of --in; name a file in it, as in "
                   "\"coil.wav\" or \"before/coil.wav\"",
                   place, quoted);
    if (error == ENOENT)
        bind_raise(L, "%s: there is no file %s%s", place, quoted,
                   boxed ? " in the folder of --in" : "");
    bind_raise(L, "%s: %s cannot be opened: %s", place, quoted, bind_file_fault(error));
}

bool bind_reads_nowhere(lua_State *L)
{
    bind_check *check = bind_check_of(L);
    const bind_folders *folders = bind_folders_of(L);
    const bool nowhere = check->on && folders->boxed && folders->in < 0;
    check->placeholders_used = check->placeholders_used || nowhere;
    return nowhere;
}

static int open_input(lua_State *L, const char *place, const char *name)
{
    const bind_folders *folders = bind_folders_of(L);
    const bind_stamp *stamp = bind_stamp_of(L);
    if (folders->boxed && folders->in < 0)
        bind_raise(L,
                   "%s: no folder to read %s from was given; start with --in DIR, the folder that "
                   "the file lies in",
                   place, bind_quoted(L, name));
    if (stamp->sealed)
        bind_raise(
            L,
            "%s: %s is read within the build or read of a sweep with a file, where nobody would "
            "see that it has changed; read it further up, outside of them",
            place, bind_quoted(L, name));
    const int file = folders->boxed ? bind_open_below(folders->in, name)
                                    : open(name, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    if (file < 0)
        refuse_file(L, place, name, errno);
    return file;
}

/* All of an open file into room, which has a byte more; false when there are not `size` bytes or they cannot be read. */
static bool read_all(int file, char *room, size_t size)
{
    size_t have = 0;
    ssize_t got = 1;
    while (have < size && got != 0) {
        got = read(file, room + have, size - have);
        if (got < 0 && errno != EINTR)
            return false;
        have += got > 0 ? (size_t)got : 0;
    }
    return have == size;
}

/* Closes the file when there is something against reading it. */
static size_t size_of(lua_State *L, const char *place, const char *name, int file,
                      size_t most_bytes)
{
    struct stat about;
    const bool plain = fstat(file, &about) == 0 && S_ISREG(about.st_mode);
    const bool small = plain && about.st_size >= 0 && (uintmax_t)about.st_size <= most_bytes;
    if (small)
        return (size_t)about.st_size;
    close(file);
    if (!plain)
        refuse_file(L, place, name, EINVAL);
    bind_raise(L, "%s: %s has %I MB; at most %I MB are read, so cut out what is needed", place,
               bind_quoted(L, name), (lua_Integer)(about.st_size / 1000000),
               (lua_Integer)(most_bytes / 1000000));
    return 0;
}

const char *bind_read_input(lua_State *L, const char *place, const char *name, size_t most_bytes,
                            size_t *size)
{
    const int file = open_input(L, place, name);
    const size_t have = size_of(L, place, name, file, most_bytes);
    /* Lua's own memory: were it refused, the process would end right after, and the file with it. */
    char *bytes = lua_newuserdatauv(L, have + 1, 0);
    const bool fine = read_all(file, bytes, have);
    close(file);
    if (!fine)
        bind_raise(L, "%s: %s cannot be read to its end", place, bind_quoted(L, name));
    bytes[have] = '\0';
    bind_hash_source(L, name, bytes, have);
    *size = have;
    return bytes;
}

static int core_read_file(lua_State *L)
{
    size_t size = 0, length;
    const char *place = luaL_checkstring(L, 1), *name = luaL_checklstring(L, 2, &length);
    if (strlen(name) != length)
        return bind_raise(L, "%s: a file name cannot hold a zero byte", place);
    if (bind_reads_nowhere(L)) {
        bind_push_unknown(L);
        return 1;
    }
    const char *bytes = bind_read_input(L, place, name, (size_t)luaL_checkinteger(L, 3), &size);
    lua_pushlstring(L, bytes, size);
    return 1;
}

void bind_open_input(lua_State *L)
{
    bind_core_function(L, "read_file", core_read_file);
}
