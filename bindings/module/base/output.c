/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/output.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/file_fault.h"
#include "module/base/settings.h"
#include <errno.h>
#include <fcntl.h>
#include <lauxlib.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

void bind_show_progress(lua_State *L, const char *what, double share_done)
{
    const bind_talk *talk = bind_talk_of(L);
    if (!talk->show_progress || talk->sweeping) /* a sweep's own line says more */
        return;
    if (what && share_done < 1)
        fprintf(stderr, "\r%s: %3.0f %% ", what, 100 * share_done);
    else
        fprintf(stderr, "\r%*s\r", BIND_PROGRESS_WIDTH, "");
    fflush(stderr);
}

/* C0 and DEL, and C1 as UTF-8 has it (0xc2 0x80 to 0x9f); a carriage return only where a line ends. ECMA-48 and the
 * terminals that follow it take commands from these. */
static bool is_control(const unsigned char *at, size_t left)
{
    if (*at == '\r')
        return left < 2 || at[1] != '\n';
    if (*at < ' ' || *at == 0x7f)
        return *at != '\n' && *at != '\t';
    return *at == 0xc2 && left >= 2 && at[1] >= 0x80 && at[1] < 0xa0;
}

void bind_write_plain(FILE *to, const char *text, size_t size)
{
    const unsigned char *bytes = (const unsigned char *)text;
    size_t written = 0;
    for (size_t i = 0; i < size; i++) {
        if (!is_control(bytes + i, size - i))
            continue;
        fwrite(text + written, 1, i - written, to);
        fputc('?', to);
        i += bytes[i] == 0xc2;
        written = i + 1;
    }
    fwrite(text + written, 1, size - written, to);
}

bool bind_arrived(FILE *to)
{
    const bool failed = ferror(to) != 0;
    return fflush(to) == 0 && !failed;
}

void bind_print(lua_State *L, const char *text, size_t size)
{
    bind_write_plain(stdout, text, size);
    if (ferror(stdout))
        bind_raise(L, "standard output cannot be written: %s", bind_file_fault(errno));
}

/* Room for what journals and temporary files add. */
enum { MOST_LETTERS = 100 };

/* A plain name: no folders, nothing hidden, nothing that a terminal or another system stumbles over. */
static bool plain_name(const char *name)
{
    if (*name == '\0' || *name == '.' || *name == '-')
        return false;
    for (; *name; name++)
        if ((unsigned char)*name < ' ' || strchr("/\\:*?\"<>|\x7f", *name))
            return false;
    return true;
}

/* Pushes the table that takes files in place of the folder; false, and nothing pushed, when there is none. */
static bool push_captured(lua_State *L)
{
    bind_push_core(L);
    const bool captured = lua_getfield(L, -1, "captured") == LUA_TTABLE;
    lua_remove(L, -2);
    if (!captured)
        lua_pop(L, 1);
    return captured;
}

int bind_folder_for(lua_State *L, const char *verb, const char *name)
{
    const bind_folders *folders = bind_folders_of(L);
    const bind_check *check = bind_check_of(L);
    if (push_captured(L)) {
        lua_pop(L, 1);
        return -1;
    }
    if (!folders->boxed)
        return AT_FDCWD;
    if (strlen(name) > MOST_LETTERS)
        bind_raise(L, "%s: the name %s has %d letters, and %d are the most", verb,
                   bind_quoted(L, name), (int)strlen(name), MOST_LETTERS);
    if (!plain_name(name))
        bind_raise(L,
                   "%s: %s is not a plain file name; files go into the folder of --out, "
                   "without subfolders",
                   verb, bind_quoted(L, name));
    if (folders->out < 0 && check->on && check->writes_nowhere)
        check->writes_nowhere(L, verb);
    if (folders->out < 0 && !check->on)
        bind_raise(L, "%s: no folder to write to was given; start with --out DIR", verb);
    return folders->out;
}

/* A call may write less than it was asked to. */
static bool write_all(int file, const char *bytes, size_t size)
{
    while (size > 0) {
        ssize_t written = write(file, bytes, size);
        if (written < 0 && errno == EINTR)
            continue;
        if (written < 0)
            return false;
        bytes += written;
        size -= (size_t)written;
    }
    return true;
}

bool bind_on_disk(int file)
{
    /* Pipes and some file systems have no disk to wait for. */
    return fdatasync(file) == 0 || errno == EINVAL || errno == EROFS || errno == ENOSYS;
}

/* Behind the wall the system gives another reason. */
static bool is_folder(int folder, const char *name)
{
    struct stat about;
    return fstatat(folder, name, &about, AT_SYMLINK_NOFOLLOW) == 0 && S_ISDIR(about.st_mode);
}

/* A link that stands under the name is replaced, not followed. */
static bool write_then_rename(int folder, const char *temporary, const char *name,
                              const char *bytes, size_t size)
{
    unlinkat(folder, temporary, 0); /* left over from a run that was ended */
    int file =
        openat(folder, temporary, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0644);
    if (file < 0)
        return false;
    bool fine = write_all(file, bytes, size) && bind_on_disk(file);
    fine = close(file) == 0 && fine;
    fine = fine && renameat(folder, temporary, folder, name) == 0;
    int error = errno;
    if (!fine && is_folder(folder, name))
        error = EISDIR;
    if (!fine)
        unlinkat(folder, temporary, 0);
    errno = error;
    return fine;
}

void bind_write_file(lua_State *L, const char *name, const char *bytes, size_t size)
{
    if (push_captured(L)) {
        lua_pushlstring(L, bytes, size);
        lua_setfield(L, -2, name);
        lua_pop(L, 1);
        return;
    }
    int folder = bind_folder_for(L, "save", name);
    if (bind_check_of(L)->on)
        return;
    /* A name that no script can choose and nobody else has a reason to. */
    const char *slash = strrchr(name, '/');
    const int folder_length = slash ? (int)(slash - name) + 1 : 0;
    lua_pushlstring(L, name, (size_t)folder_length);
    const char *temporary =
        lua_pushfstring(L, "%s.%s.lodeloom", lua_tostring(L, -1), name + folder_length);
    lua_remove(L, -2);
    if (!write_then_rename(folder, temporary, name, bytes, size))
        bind_raise(L, "save: %s cannot be written: %s", bind_quoted(L, name),
                   bind_file_fault(errno));
    lua_pop(L, 1);
}

/* core.write_file(name, bytes). */
static int core_write_file(lua_State *L)
{
    size_t length, size;
    const char *name = luaL_checklstring(L, 1, &length);
    const char *bytes = luaL_checklstring(L, 2, &size);
    if (strlen(name) != length)
        return bind_raise(L, "save: a file name cannot hold a zero byte");
    bind_write_file(L, name, bytes, size);
    return 0;
}

/* Prints a table and an empty line after it, where the format allows one. */
static int core_print_table(lua_State *L)
{
    size_t size;
    const bind_check *check = bind_check_of(L);
    const bind_talk *talk = bind_talk_of(L);
    const char *text = luaL_checklstring(L, 1, &size);
    if (check->on)
        return 0;
    bind_print(L, text, size);
    if (strcmp(talk->format, "json") != 0) {
        const char *end = strcmp(talk->format, "csv") == 0 ? "\r\n" : "\n";
        bind_print(L, end, strlen(end));
    }
    return 0;
}

/* core.folder_for(verb, name): raises when a file of that name may go nowhere. */
static int core_folder_for(lua_State *L)
{
    bind_folder_for(L, luaL_checkstring(L, 1), luaL_checkstring(L, 2));
    return 0;
}

/* core.format(): how tables are printed. */
static int core_format(lua_State *L)
{
    lua_pushstring(L, bind_talk_of(L)->format);
    return 1;
}

void bind_open_output(lua_State *L)
{
    bind_core_function(L, "write_file", core_write_file);
    bind_core_function(L, "print_table", core_print_table);
    bind_core_function(L, "format", core_format);
    bind_core_function(L, "folder_for", core_folder_for);
}
