/* noun.h - what a described thing is: its name, its fields, and the box that it is kept in.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_NOUN_H
#define LL_BIND_NOUN_H

#include "module/base/plausible.h"
#include "module/base/units.h"
#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

/* Every box begins with this. */
typedef struct bind_object {
    bool wrong; /* a mistake was noted while it was made: it must not reach the engine */
} bind_object;

/* What may stand in a field, and what is stored at its offset. */
typedef enum bind_kind {
    FIELD_NUMBER,    /* double, SI */
    FIELD_WHOLE,     /* double without a fraction */
    FIELD_FLAG,      /* bool */
    FIELD_FLAGS,     /* bind_flags, from one or from a list */
    FIELD_TEXT,      /* const char *, a printable name */
    FIELD_CHOICE,    /* int, index into `words` */
    FIELD_PAIR,      /* double[2], SI */
    FIELD_PLACE,     /* ll_vec3, SI */
    FIELD_DIRECTION, /* ll_vec3 of length 1, from "+x" or a vector */
    FIELD_TURN,      /* ll_rotation, from {"x", 90} or a list of such pairs */
    FIELD_LIST,      /* bind_list: `width` numbers an item, SI */
    FIELD_NAMED,     /* what the noun `of` reads by itself: a thing, or its name */
    FIELD_OBJECT,    /* pointer to the struct of the noun `of` */
    FIELD_OBJECTS,   /* bind_objects of the noun `of`, from one or from nested lists */
    FIELD_RECORD,    /* a table of its own with the fields of the noun `of`, stored at the offset */
    FIELD_FUNCTION,  /* nothing is stored: it stays in the table */
    FIELD_ANY        /* nothing is stored: read by others */
} bind_kind;

typedef struct bind_list {
    const double *values; /* count * width */
    size_t count;
} bind_list;

typedef struct bind_flags {
    const bool *values;
    size_t count;
} bind_flags;

typedef struct bind_objects {
    void *const *items;
    size_t count;
} bind_objects;

typedef struct bind_noun bind_noun;
typedef struct bind_parser bind_parser;

typedef struct bind_field {
    const char *name;
    bind_kind kind;
    size_t offset;
    const char *meaning; /* for lists of fields, and after "is missing" */
    bool required;
    bind_unit unit;
    /* Range of numbers in the script's unit; both zero: any finite number. */
    double low, high;
    bool above_low;           /* low itself is not allowed */
    bind_usual usual;         /* what is usual of it */
    size_t width;             /* of a FIELD_LIST */
    const char *const *words; /* of a FIELD_CHOICE, NULL-terminated */
    const bind_noun *of;
} bind_field;

struct bind_noun {
    const char *name;    /* "coil" */
    const char *article; /* "a coil" */
    const char *type;    /* metatable's name; NULL for mere options */
    size_t size;         /* of the struct */
    const void *defaults;
    const bind_field *fields;
    size_t field_count;
    lua_CFunction make; /* takes the table of fields; NULL for mere options */
    bool (*parse_named)(const bind_parser *p); /* for FIELD_NAMED; else NULL */
    const bind_noun *const *kinds; /* a general noun: those that it stands for, NULL-terminated */
};

#define BIND_NOUN_FIELDS(table) .fields = (table), .field_count = sizeof(table) / sizeof *(table)

/* The box at `index`, or NULL when it is of another kind. */
void *bind_test(lua_State *L, int index, const bind_noun *noun);

#endif
