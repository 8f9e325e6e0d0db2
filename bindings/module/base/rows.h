/* rows.h - builds a result table from C: rows of named values, notes, a title.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_ROWS_H
#define LL_BIND_ROWS_H

#include "module/base/units.h"
#include <lua.h>

/* Pushes what the calls below add to; between them the stack must be balanced. */
void bind_result_begin(lua_State *L);

void bind_row_begin(lua_State *L);
/* The value in SI; the column's suffix says what it is shown in. A NaN or infinity raises. */
void bind_set(lua_State *L, const char *column, double si);
void bind_set_text(lua_State *L, const char *column, const char *text);
void bind_row_end(lua_State *L);

/* A remark under the table; between rows or after them. The format is that of lua_pushfstring. */
void bind_note(lua_State *L, const char *format, ...);

/* Replaces it all by the finished table object; columns are separated by spaces. Returns 1. */
int bind_result_end(lua_State *L, const char *columns, const char *title);

#endif
