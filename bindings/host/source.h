/* source.h - script files: where they are found, and how they are read.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_SOURCE_H
#define LL_HOST_SOURCE_H

#include <dirent.h>
#include <lua.h>
#include <stdbool.h>

/* The folder of the scripts that came with the program; "" when there is none. */
const char *host_scripts_folder(void);

/* Fills `path` (room bytes) with the script that a word of the command line means: a file, or the name of one that
 * came with the program, with or without .lua. */
bool host_find_script(const char *word, char *path, int room);

/* 1 for what a folder holds of scripts, hidden ones left out; for scandir. */
int host_is_script(const struct dirent *entry);

/* True for the path of a folder. */
bool host_is_folder(const char *path);

/* Leaves out the mark that some editors put before a text in UTF-8. NULL, or what is wrong with the text, in words that
 * follow its name. */
const char *host_plain_text(const char **text, size_t *size);

/* Pushes the text of a file, which the caller trusts, or what was read for HOST_PIPED; false and nothing pushed with errno set. */
bool host_push_file(lua_State *L, const char *path);

/* Pushes the text of `relative` below the folder: no links on the way, regular files only. */
bool host_push_file_below(lua_State *L, const char *folder, const char *relative);

#endif
