/* output.h - where results, remarks, progress and files of the module go.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_OUTPUT_H
#define LL_BIND_OUTPUT_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

enum { BIND_PROGRESS_WIDTH = 60 };

/* Progress on a terminal, one line written over; `what` NULL wipes it. Nothing when it is not wanted. */
void bind_show_progress(lua_State *L, const char *what, double share_done);

/* Writes a text of a script's so that it can do nothing to a terminal: control characters, but for line ends and tabs, become
 * question marks. */
void bind_write_plain(FILE *to, const char *text, size_t size);

/* Prints on standard output, or says that it cannot be written: raises. */
void bind_print(lua_State *L, const char *text, size_t size);

/* True when all that was written to the stream so far has arrived; else errno may tell why not. */
bool bind_arrived(FILE *to);

/* Writes a whole file or none: to a temporary name first, then renamed. Under a host only below its folder. Raises. */
void bind_write_file(lua_State *L, const char *name, const char *bytes, size_t size);

/* Waits until what was written to the open file is on its disk, safe from a power cut; false with errno set when it cannot be. */
bool bind_on_disk(int file);

/* The open folder where a file of that name may go; raises when it may go nowhere, with the verb in front. */
int bind_folder_for(lua_State *L, const char *verb, const char *name);

/* Adds the output functions to the core table. */
void bind_open_output(lua_State *L);

#endif
