/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "source.h"
#include "module/base/input.h"
#include "piped.h"
#include <errno.h>
#include <fcntl.h>
#include <lauxlib.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PATH_ROOM = 4096 };

bool host_is_folder(const char *path)
{
    struct stat about;
    return stat(path, &about) == 0 && S_ISDIR(about.st_mode);
}

int host_is_script(const struct dirent *entry)
{
    const char *dot = strrchr(entry->d_name, '.');
    return entry->d_name[0] != '.' && dot && strcmp(dot, ".lua") == 0;
}

static bool is_file(const char *path)
{
    struct stat about;
    return stat(path, &about) == 0 && S_ISREG(about.st_mode);
}

/* The folder in which the program lies, wherever it was moved to; empty when the system does not tell. */
static void program_folder(char *path, size_t room)
{
    ssize_t length = readlink("/proc/self/exe", path, room - 1);
    path[length < 0 ? 0 : length] = '\0';
    char *slash = strrchr(path, '/');
    if (slash)
        *slash = '\0';
}

/* No path of the machine that built it is in the program: it looks beside itself, as installed (bin/../share) and as built. */
const char *host_scripts_folder(void)
{
    static const char *const places[] = {"../share/lodeloom/scripts", "share/lodeloom/scripts"};
    static char path[PATH_ROOM];
    char program[PATH_ROOM];
    if (*path)
        return path;
    program_folder(program, sizeof program);
    for (int i = 0; i < 2; i++) {
        int written = snprintf(path, sizeof path, "%s/%s", program, places[i]);
        if (written > 0 && written < (int)sizeof path && host_is_folder(path))
            return path;
    }
    *path = '\0';
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
    if (*size >= 1 && **text == LUA_SIGNATURE[0])
        return "is compiled Lua, which nobody can read; give the script's own text";
    if (memchr(*text, '\0', *size))
        return "holds zero bytes: it is no script, or saved as UTF-16; save it as UTF-8 in your "
               "editor";
    return NULL;
}

/* A plain file of bearable size; else errno is set. */
static bool is_readable(int file, size_t *size)
{
    struct stat about;
    if (fstat(file, &about) != 0)
        return false;
    const bool plain = S_ISREG(about.st_mode), small = about.st_size <= HOST_LARGEST_SCRIPT;
    errno = plain ? EFBIG : EINVAL;
    *size = small ? (size_t)about.st_size : 0;
    return plain && small;
}

/* Up to `size` bytes; false with errno set when they cannot be read. */
static bool read_all(int file, char *room, size_t size, size_t *have)
{
    ssize_t got = 1;
    for (*have = 0; *have < size && got != 0; *have += got > 0 ? (size_t)got : 0) {
        got = read(file, room + *have, size - *have);
        if (got < 0 && errno != EINTR)
            return false;
    }
    return true;
}

/* Reads an open file to its end onto the stack and closes it. */
static bool push_and_close(lua_State *L, int file)
{
    size_t size = 0, have = 0;
    bool fine = is_readable(file, &size);
    int error = errno;
    luaL_Buffer text;
    /* Lua's own memory: were it refused, the process would end right after, and the file with it. */
    char *room = luaL_buffinitsize(L, &text, size + 1);
    if (fine) {
        fine = read_all(file, room, size, &have);
        error = errno;
    }
    close(file);
    luaL_pushresultsize(&text, have);
    if (!fine)
        lua_pop(L, 1);
    errno = error;
    return fine;
}

bool host_push_file(lua_State *L, const char *path)
{
    size_t size;
    const char *piped = host_piped_text(path, &size);
    if (piped)
        return lua_pushlstring(L, piped, size) != NULL;
    int file = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    return file >= 0 && push_and_close(L, file);
}

bool host_push_file_below(lua_State *L, const char *folder, const char *relative)
{
    const int at = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    const int file = at < 0 ? -1 : bind_open_below(at, relative);
    if (at >= 0)
        close(at);
    return file >= 0 && push_and_close(L, file);
}
