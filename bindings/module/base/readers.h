/* readers.h - the kinds of field that are more than a number or a word. Each returns true when it stored a value, false
 * after a noted mistake.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_READERS_H
#define LL_BIND_READERS_H

#include "module/base/reading.h"

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
