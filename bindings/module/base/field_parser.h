/* field_parser.h - one field being parsed: what the parsers of the kinds share.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_FIELD_PARSER_H
#define LL_BIND_FIELD_PARSER_H

#include "module/base/noun.h"

struct bind_parser {
    lua_State *L;
    const bind_field *field;
    const char *place; /* "coil 1" */
    int copy;          /* the private copy of the table, which keeps what is read alive */
    int value;         /* absolute index of the value */
    void *out;         /* where to store */
};

/* What a message says about the value that was found; pushes it. */
void bind_push_found(lua_State *L, int index);

/* "coil 1: 'height' must be <what>, not <the value>". */
bool bind_wrong(const bind_parser *p, const char *what);

/* The number at `index`, in range, in SI. */
bool bind_parse_number(const bind_parser *p, int index, double *si);

/* False for a number, in the script's unit, that can never be; an odd one is remarked. Those of a list are judged by the largest. */
bool bind_check_usual(const bind_parser *p, double value);

/* Pushes the text of a field's range, such as "greater than 0 mm". */
const char *bind_range_text(lua_State *L, const bind_field *field);

#endif
