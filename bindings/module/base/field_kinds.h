/* field_kinds.h - the kinds of field that are more than a number or a word. Each returns true when it stored a value, false
 * after a noted mistake.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_FIELD_KINDS_H
#define LL_BIND_FIELD_KINDS_H

#include "module/base/field_parser.h"

/* Exactly `width` numbers of the list at `index`, SI. `shape` shows how to write them. */
bool bind_parse_numbers(const bind_parser *p, int index, size_t width, double *si);

bool bind_parse_place(const bind_parser *p);
bool bind_parse_direction(const bind_parser *p);
bool bind_parse_turn(const bind_parser *p);
bool bind_parse_list(const bind_parser *p);
bool bind_parse_flags(const bind_parser *p);
bool bind_parse_object(const bind_parser *p);
bool bind_parse_objects(const bind_parser *p);

#endif
