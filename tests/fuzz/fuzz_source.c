/* fuzz_source.c - files of scripts: the input is a path below the script's folder, a zero byte, a script, a zero byte, and a module
 * that the script may require. They are written, run in a check, and the path is read; nothing outside the folder may be.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "source.h"
#include "target.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const char secret[] = "return 'what no script may read'";
static char script[4200], below[4200], module[4200];

static void write_file(const char *path, const char *bytes, size_t size)
{
    FILE *file = fopen(path, "w");
    if (!file || fwrite(bytes, 1, size, file) != size || fclose(file) != 0)
        abort();
}

/* FOLDER/secret.lua beside FOLDER/scripts, in which links lead to it. */
static void make_folders(void)
{
    char text[4200];
    snprintf(below, sizeof below, "%s/scripts", fuzz_folder());
    snprintf(script, sizeof script, "%s/script.lua", below);
    snprintf(module, sizeof module, "%s/folder/m.lua", below);
    snprintf(text, sizeof text, "%s/secret.lua", fuzz_folder());
    write_file(text, secret, strlen(secret));
    mkdir(below, 0700);
    snprintf(text, sizeof text, "%s/folder", below);
    mkdir(text, 0700);
    snprintf(text, sizeof text, "%s/link.lua", below);
    if (symlink("../secret.lua", text) != 0)
        abort();
    snprintf(text, sizeof text, "%s/up", below);
    if (symlink("..", text) != 0)
        abort();
}

/* Pieces of the input up to the next zero byte. */
static const char *piece(const char **at, const char *end, size_t *size)
{
    const char *from = *at, *stop = from < end ? memchr(from, '\0', (size_t)(end - from)) : NULL;
    *size = stop ? (size_t)(stop - from) : (size_t)(end - from);
    *at = stop ? stop + 1 : end;
    return from;
}

/* What the script ran into, a limit above all, may still be in force and raise. */
static int read_path(lua_State *L)
{
    const char *path = lua_tostring(L, 1);
    if (host_push_file_below(L, below, path) && strcmp(lua_tostring(L, -1), secret) == 0 &&
        !strstr(path, "..")) /* which the sandbox's require never lets through */
        fuzz_found("a file outside the scripts' folder was read");
    return 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static bool made;
    if (!made)
        make_folders();
    made = true;
    const char *at = (const char *)data, *end = at + size;
    size_t path_size, script_size, module_size;
    const char *path = piece(&at, end, &path_size), *text = piece(&at, end, &script_size),
               *other = piece(&at, end, &module_size);
    write_file(script, text, script_size);
    write_file(module, other, module_size);
    host_sandbox *sandbox = fuzz_sandbox(true);
    fuzz_fresh_environment(sandbox);
    host_sandbox_run(sandbox, script, 0);
    lua_settop(sandbox->L, 0);
    host_trip_clear();
    lua_pushcfunction(sandbox->L, read_path);
    lua_pushlstring(sandbox->L, path, strnlen(path, path_size));
    lua_pcall(sandbox->L, 1, 0, 0);
    return 0;
}
