/* output.h - where results, remarks, progress and files of the module go.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_OUTPUT_H
#define LL_BIND_OUTPUT_H

#include <lua.h>
#include <stddef.h>
#include <stdio.h>

enum { BIND_PROGRESS_WIDTH = 60 };

/* Progress on a terminal, one line written over; `what` NULL wipes it. Nothing when it is not wanted. */
void bind_show_progress(lua_State *L, const char *what, double share_done);

/* Writes a text of a script's so that it can do nothing to a terminal: control characters, but for line ends and tabs, become
 * question marks. */
void bind_write_plain(FILE *to, const char *text, size_t size);

/* Writes a whole file or none: to a temporary name first, then renamed. Under a host only below its folder. Raises. */
void bind_write_file(lua_State *L, const char *name, const char *bytes, size_t size);

/* The open folder where a file of that name may go; raises when it may go nowhere, with the verb in front. */
int bind_folder_for(lua_State *L, const char *verb, const char *name);

/* Adds the output functions to the core table. */
void bind_open_output(lua_State *L);

#endif
