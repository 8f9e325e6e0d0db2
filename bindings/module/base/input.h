/* input.h - files that a script reads: data of the bench, beneath the folder of --in and nowhere else.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_INPUT_H
#define LL_BIND_INPUT_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

/* Opens `relative` beneath the open folder for reading: plain files only, no links on the way, neither "." nor "..", not from the
 * root. -1 with errno set: EINVAL for such a name and for what is no plain file, ELOOP or ENOTDIR for a link. */
int bind_open_below(int folder, const char *relative);

/* True in a check without a folder to read from: what would be read stands for anything. */
bool bind_reads_nowhere(lua_State *L);

/* The bytes of a file of at most most_bytes, in a box that it pushes; *size of them, and a zero behind. `place` opens messages. What
 * is read counts in the hash of the run. Under a host only beneath its folder; a plain lua5.4 reads where it stands. Raises. */
const char *bind_read_input(lua_State *L, const char *place, const char *name, size_t most_bytes,
                            size_t *size);

/* Adds a text that the run rests on to its hash, under a name: that of a module or of data, "" for the script. */
void bind_hash_source(lua_State *L, const char *name, const char *text, size_t size);

/* Adds core.read_file(place, name, most_bytes): the bytes as a text; the unknown where bind_reads_nowhere. */
void bind_open_input(lua_State *L);

#endif
