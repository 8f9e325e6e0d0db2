/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/work/journal.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/file_fault.h"
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
enum { SUM = BIND_HASH_TEXT - 1, LOCK_TRIES = 30, MOST_KEPT = 999 };
static const double sync_every_s = 1; /* docs/language.md tells it */
static const off_t most_bytes = (off_t)1 << 30;
static const char type_name[] = "lodeloom.journal";

typedef struct journal {
    int file;     /* -1: closed */
    bool waiting; /* lines have been added since the disk was last waited for */
    struct timespec synced;
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
        if (errno != EACCES && errno != EAGAIN)
            return false;
        nanosleep(&pause, NULL);
    }
    errno = EAGAIN;
    return false;
}

static bool is_regular(int file)
{
    struct stat about;
    return fstat(file, &about) == 0 && S_ISREG(about.st_mode) && about.st_size <= most_bytes;
}

/* True for an empty file, and for one whose first line begins, behind its checksum, with the word, or is what a full disk
 * has left of such a line. */
static bool begins_with(int file, const char *word)
{
    char head[64] = "";
    const ssize_t got = pread(file, head, SUM + 1 + strlen(word), 0);
    if (got == 0)
        return true;
    if (got <= SUM || strspn(head, "0123456789abcdef") != SUM || head[SUM] != ' ')
        return false;
    return strncmp(head + SUM + 1, word, (size_t)(got - SUM - 1)) == 0;
}

/* Opens the journal's file anew and locks it; raises. */
static void open_file(lua_State *L, journal *j, const char *name)
{
    j->file = openat(bind_folder_for(L, "sweep", name), name,
                     O_RDWR | O_CREAT | O_APPEND | O_NOFOLLOW | O_CLOEXEC | O_NONBLOCK, 0644);
    if (j->file < 0)
        bind_raise(L, "sweep: %s cannot be opened: %s", bind_quoted(L, name),
                   bind_file_fault(errno));
    if (!is_regular(j->file))
        bind_raise(L, "sweep: %s is no plain file", bind_quoted(L, name));
    if (lock(j->file))
        return;
    if (errno == EAGAIN)
        bind_raise(L, "sweep: another run is at work on %s", bind_quoted(L, name));
    bind_raise(L, "sweep: %s cannot be locked: %s", bind_quoted(L, name), strerror(errno));
}

/* core.journal(name, word) */
static int core_journal(lua_State *L)
{
    const char *name = luaL_checkstring(L, 1), *word = luaL_checkstring(L, 2);
    journal *j = lua_newuserdatauv(L, sizeof *j, 0);
    *j = (journal){.file = -1};
    luaL_setmetatable(L, type_name);
    open_file(L, j, name);
    if (!begins_with(j->file, word))
        return bind_raise(L,
                          "sweep: %s is there and holds no rows of a sweep; move it away, or give "
                          "the sweep another file",
                          bind_quoted(L, name));
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

/* Pushes the list of sound lines without their checksums; a damaged one is left out. Returns how many bytes end in a line's
 * end: what follows is torn. */
static size_t push_lines(lua_State *L, int file)
{
    size_t size = 0, used = 0;
    lua_Integer count = 0;
    const char *bytes = push_bytes(L, file, &size), *end;
    lua_newtable(L);
    for (; (end = memchr(bytes + used, '\n', size - used)); used = (size_t)(end - bytes) + 1) {
        const char *line = bytes + used;
        if (!is_sound(line, (size_t)(end - line)))
            continue;
        lua_pushlstring(L, line + SUM + 1, (size_t)(end - line) - SUM - 1);
        lua_rawseti(L, -2, ++count);
    }
    lua_remove(L, -2);
    return used;
}

static int not_kept(lua_State *L, int error)
{
    return bind_raise(L, "sweep: its rows cannot be written: %s", bind_file_fault(error));
}

static int journal_lines(lua_State *L)
{
    const journal *j = self(L);
    const size_t used = push_lines(L, j->file);
    if (ftruncate(j->file, (off_t)used) != 0)
        return not_kept(L, errno);
    return 1;
}

static double seconds_since(const struct timespec *then)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)(now.tv_sec - then->tv_sec) + 1e-9 * (double)(now.tv_nsec - then->tv_nsec);
}

/* Waits for the disk, when lines were added and the last time is long enough ago, or at once. */
static void sync_lines(lua_State *L, journal *j, bool at_once)
{
    if (!j->waiting || (!at_once && seconds_since(&j->synced) < sync_every_s))
        return;
    if (!bind_on_disk(j->file))
        not_kept(L, errno);
    j->waiting = false;
    clock_gettime(CLOCK_MONOTONIC, &j->synced);
}

/* What was written of a line that did not fit is taken back, so that the file ends in a whole one. */
static int take_back(lua_State *L, const journal *j, ssize_t written)
{
    const int error = written < 0 ? errno : ENOSPC;
    struct stat about;
    if (written > 0 && fstat(j->file, &about) == 0 &&
        ftruncate(j->file, about.st_size - written) != 0)
        return not_kept(L, errno);
    return not_kept(L, error);
}

static int journal_add(lua_State *L)
{
    size_t size;
    char sum[BIND_HASH_TEXT];
    journal *j = self(L);
    const char *line = luaL_checklstring(L, 2, &size);
    bind_hash_text(bind_hash(0, line, size), sum);
    lua_pushfstring(L, "%s %s\n", sum, line);
    const char *bytes = lua_tolstring(L, -1, &size);
    ssize_t written;
    do
        written = write(j->file, bytes, size);
    while (written < 0 && errno == EINTR);
    if (written < 0 || (size_t)written < size)
        return take_back(L, j, written);
    j->waiting = true;
    sync_lines(L, j, false);
    return 0;
}

/* journal:sync(at_once): now, or when it is time. */
static int journal_sync(lua_State *L)
{
    sync_lines(L, self(L), lua_toboolean(L, 2));
    return 0;
}

/* journal:restart(): empties it. */
static int journal_restart(lua_State *L)
{
    if (ftruncate(self(L)->file, 0) != 0)
        return not_kept(L, errno);
    return 0;
}

/* journal:set_aside(name): begins anew and keeps what it held under another name, which is returned. */
static int journal_set_aside(lua_State *L)
{
    journal *j = self(L);
    const char *name = luaL_checkstring(L, 2), *other = NULL;
    const int folder = bind_folder_for(L, "sweep", name);
    struct stat about;
    for (int i = 1; i <= MOST_KEPT && !other; i++) {
        other = lua_pushfstring(L, "%s.%d", name, i);
        if (fstatat(folder, other, &about, AT_SYMLINK_NOFOLLOW) == 0)
            other = NULL;
    }
    if (!other)
        return bind_raise(L, "sweep: too many earlier rows are kept beside %s; take some away",
                          bind_quoted(L, name));
    if (renameat(folder, name, folder, other) != 0)
        return not_kept(L, errno);
    close(j->file);
    j->file = -1;
    open_file(L, j, name);
    return 1;
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
    *j = (journal){.file = file};
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
                                       {"sync", journal_sync},
                                       {"restart", journal_restart},
                                       {"set_aside", journal_set_aside},
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
