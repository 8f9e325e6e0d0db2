/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/work/journal.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/hash.h"
#include "module/base/output.h"
#include <errno.h>
#include <fcntl.h>
#include <lauxlib.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

/* A line is its checksum, a blank, its text. */
enum { SUM = BIND_HASH_TEXT - 1, LOCK_TRIES = 30 };
static const off_t most_bytes = (off_t)1 << 30;
static const char type_name[] = "lodeloom.journal";

typedef struct journal {
    int file; /* -1: closed */
} journal;

static journal *self(lua_State *L)
{
    return luaL_checkudata(L, 1, type_name);
}

/* The lock is the process's own: children of a process that was killed do not hold it. Such a process may be dying still. */
static bool lock(int file)
{
    struct flock whole = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
    const struct timespec pause = {.tv_nsec = 100000000};
    for (int i = 0; i < LOCK_TRIES; i++) {
        if (fcntl(file, F_SETLK, &whole) == 0)
            return true;
        nanosleep(&pause, NULL);
    }
    return false;
}

static bool is_regular(int file)
{
    struct stat about;
    return fstat(file, &about) == 0 && S_ISREG(about.st_mode) && about.st_size <= most_bytes;
}

/* core.journal(name) */
static int core_journal(lua_State *L)
{
    const char *name = luaL_checkstring(L, 1);
    const int folder = bind_folder_for(L, "sweep", name);
    journal *j = lua_newuserdatauv(L, sizeof *j, 0);
    j->file = -1;
    luaL_setmetatable(L, type_name);
    j->file = openat(folder, name,
                     O_RDWR | O_CREAT | O_APPEND | O_NOFOLLOW | O_CLOEXEC | O_NONBLOCK, 0644);
    if (j->file < 0)
        return bind_raise(L, "sweep: %s cannot be opened: %s", bind_quoted(L, name),
                          strerror(errno));
    if (!is_regular(j->file))
        return bind_raise(L, "sweep: %s is no plain file", bind_quoted(L, name));
    if (!lock(j->file))
        return bind_raise(L, "sweep: another run is at work on %s", bind_quoted(L, name));
    return 1;
}

/* The whole file as a text on the stack. */
static const char *push_bytes(lua_State *L, int file, size_t *size)
{
    luaL_Buffer text;
    luaL_buffinit(L, &text);
    for (;;) {
        char *room = luaL_prepbuffer(&text);
        const ssize_t got = pread(file, room, LUAL_BUFFERSIZE, (off_t)luaL_bufflen(&text));
        if (got < 0 && errno == EINTR)
            continue;
        if (got <= 0)
            break;
        luaL_addsize(&text, (size_t)got);
    }
    luaL_pushresult(&text);
    return lua_tolstring(L, -1, size);
}

/* True for "checksum text". */
static bool is_sound(const char *line, size_t length)
{
    char sum[BIND_HASH_TEXT];
    if (length <= SUM || line[SUM] != ' ')
        return false;
    bind_hash_text(bind_hash(0, line + SUM + 1, length - SUM - 1), sum);
    return memcmp(line, sum, SUM) == 0;
}

/* Pushes the list of sound lines without their checksums; returns how many bytes they take. */
static size_t push_lines(lua_State *L, int file)
{
    size_t size = 0, used = 0;
    const char *bytes = push_bytes(L, file, &size);
    lua_newtable(L);
    for (lua_Integer i = 1; used < size; i++) {
        const char *line = bytes + used, *end = memchr(line, '\n', size - used);
        if (!end || !is_sound(line, (size_t)(end - line)))
            break;
        lua_pushlstring(L, line + SUM + 1, (size_t)(end - line) - SUM - 1);
        lua_rawseti(L, -2, i);
        used = (size_t)(end - bytes) + 1;
    }
    lua_remove(L, -2);
    return used;
}

static int journal_lines(lua_State *L)
{
    const journal *j = self(L);
    const size_t used = push_lines(L, j->file);
    if (ftruncate(j->file, (off_t)used) != 0)
        return bind_raise(L, "sweep: its rows cannot be kept: %s", strerror(errno));
    return 1;
}

static int journal_add(lua_State *L)
{
    size_t size;
    char sum[BIND_HASH_TEXT];
    const journal *j = self(L);
    const char *line = luaL_checklstring(L, 2, &size);
    bind_hash_text(bind_hash(0, line, size), sum);
    lua_pushfstring(L, "%s %s\n", sum, line);
    const char *bytes = lua_tolstring(L, -1, &size);
    ssize_t written;
    do
        written = write(j->file, bytes, size);
    while (written < 0 && errno == EINTR);
    if (written < 0 || (size_t)written < size)
        return bind_raise(L, "sweep: its rows cannot be written: %s",
                          strerror(written < 0 ? errno : ENOSPC));
    return 0;
}

static int journal_restart(lua_State *L)
{
    if (ftruncate(self(L)->file, 0) != 0)
        return bind_raise(L, "sweep: its rows cannot be kept: %s", strerror(errno));
    return 0;
}

/* Closes, and so unlocks; may run twice. */
static int journal_close(lua_State *L)
{
    journal *j = self(L);
    if (j->file >= 0)
        close(j->file);
    j->file = -1;
    return 0;
}

/* core.journal_lines(name) */
static int core_journal_lines(lua_State *L)
{
    const char *name = luaL_checkstring(L, 1);
    const int file = openat(bind_folder_for(L, "join", name), name,
                            O_RDONLY | O_NOFOLLOW | O_CLOEXEC | O_NONBLOCK);
    if (file < 0)
        return 0;
    journal *j = lua_newuserdatauv(L, sizeof *j, 0);
    j->file = file;
    luaL_setmetatable(L, type_name);
    if (!is_regular(file))
        return 0;
    push_lines(L, file);
    return 1;
}

/* core.hash(text, before) */
static int core_hash(lua_State *L)
{
    size_t size;
    char digits[BIND_HASH_TEXT];
    const char *text = luaL_checklstring(L, 1, &size);
    const uint64_t before = strtoull(luaL_optstring(L, 2, "0"), NULL, 16);
    bind_hash_text(bind_hash(before, text, size), digits);
    lua_pushstring(L, digits);
    return 1;
}

void bind_open_journal(lua_State *L)
{
    static const luaL_Reg methods[] = {{"lines", journal_lines},
                                       {"add", journal_add},
                                       {"restart", journal_restart},
                                       {"close", journal_close},
                                       {NULL, NULL}};
    luaL_newmetatable(L, type_name);
    luaL_newlib(L, methods);
    lua_setfield(L, -2, "__index");
    lua_pushcfunction(L, journal_close);
    lua_setfield(L, -2, "__gc");
    lua_pop(L, 1);
    bind_core_function(L, "journal", core_journal);
    bind_core_function(L, "journal_lines", core_journal_lines);
    bind_core_function(L, "hash", core_hash);
}
