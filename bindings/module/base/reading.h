/* reading.h - one field being read: what the readers of the kinds share.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_READING_H
#define LL_BIND_READING_H

#include "module/base/fields.h"

struct bind_reading {
    lua_State *L;
    const bind_field *field;
    const char *place; /* "coil 1" */
    int copy;          /* the private copy of the table, which keeps what is read alive */
    int value;         /* absolute index of the value */
    void *out;         /* where to store */
};

/* Every reader returns true when it stored a value, false after a noted mistake. */

/* "coil 1: 'height' must be <what>, not <the value>". */
bool bind_wrong(const bind_reading *r, const char *what);

/* The number at `index`, in range, in SI. */
bool bind_read_number(const bind_reading *r, int index, double *si);

/* Exactly `width` numbers of the list at `index`, SI. `shape` shows how to write them. */
bool bind_read_numbers(const bind_reading *r, int index, size_t width, double *si);

bool bind_read_place(const bind_reading *r);
bool bind_read_direction(const bind_reading *r);
bool bind_read_turn(const bind_reading *r);
bool bind_read_list(const bind_reading *r);
bool bind_read_flags(const bind_reading *r);
bool bind_read_object(const bind_reading *r);
bool bind_read_objects(const bind_reading *r);

#endif
