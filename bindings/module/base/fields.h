/* fields.h - reads the named fields of a description into a C struct, from a table that says what may stand
 * there: name, kind, unit, range. The same table serves messages, `ll.fields` and completion.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_FIELDS_H
#define LL_BIND_FIELDS_H

#include "module/base/units.h"
#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

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
typedef struct bind_reading bind_reading;

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
    bool (*read_named)(const bind_reading *r); /* for FIELD_NAMED; else NULL */
    const bind_noun *const *kinds; /* a general noun: those that it stands for, NULL-terminated */
};

#define BIND_NOUN_FIELDS(table) .fields = (table), .field_count = sizeof(table) / sizeof *(table)

/* Reads the table at `index` into *out, which must hold the noun's defaults. `place` opens messages ("coil 1").
 * Pushes a private copy of the table; whatever *out points to lives as long as that copy.
 * Raises at a mistake; in a check notes them all and returns false. */
bool bind_read(lua_State *L, int index, const bind_noun *noun, const char *place, void *out);

/* True when the copy at `index` holds a value in that field. */
bool bind_given(lua_State *L, int index, const char *field);

/* Pushes a deep copy of a value made of plain tables. */
void bind_copy(lua_State *L, int index);

/* Zeroed memory that Lua collects; pushes it. Raises when count is absurd or memory is short. */
void *bind_buffer(lua_State *L, size_t count, size_t size);

/* Pushes the text of a field's range, such as "greater than 0 mm". */
const char *bind_range_text(lua_State *L, const bind_field *field);

/* Pushes a list of records {field, kind, type, unit, range, needed, meaning, of} of a noun. */
void bind_push_fields(lua_State *L, const bind_noun *noun);

#endif
