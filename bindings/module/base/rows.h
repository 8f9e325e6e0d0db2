/* rows.h - builds the table of a reading from C: rows of named values, notes, and what it rests on.
 * Each call leaves the stack as it was but for what is said here; a row clears what was pushed while it was under way.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_ROWS_H
#define LL_BIND_ROWS_H

#include "module/base/mesh_error.h"
#include "module/base/reading.h"

/* A table under way. */
typedef struct bind_result {
    lua_State *L;
    const bind_reading *reading;
    size_t many;              /* columns that the one which stands for many makes */
    int rows, notes, remarks; /* where their lists are on the stack */
    int row;                  /* where the row under way is */
    bind_mesh_error error;
} bind_result;

/* Pushes what the calls below add to, which must stay on the stack until the end. */
bind_result bind_result_begin(lua_State *L, const bind_reading *reading);

/* The table rests on the description at `index`, an object or a copy: what is odd or assumed in it stands below. */
void bind_result_rests_on(const bind_result *t, int index);

void bind_row_begin(bind_result *t);
/* The value in SI; the column's unit says what it is shown in. A NaN or infinity raises, and so does a column that the reading does
 * not declare. */
void bind_set(const bind_result *t, const char *column, double si);
void bind_set_text(const bind_result *t, const char *column, const char *text);
void bind_row_end(const bind_result *t);

/* A remark under the table. The format is that of lua_pushfstring. */
void bind_note(const bind_result *t, const char *format, ...);

/* Pushes the finished table object. Returns 1. */
int bind_result_end(const bind_result *t);

#endif
