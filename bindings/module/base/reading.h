/* reading.h - a reading as data: what it is called and means, what may be asked with it, and what each column of its table counts in
 * and means. Help, completion, the manual, annotations for editors and JSON are made from nothing else.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_READING_H
#define LL_BIND_READING_H

#include "module/base/noun.h"

/* What may put a column off. */
typedef enum bind_error_kind {
    ERROR_NONE,    /* it was given, is listed in a source, or follows from what was given */
    ERROR_COUNTED, /* it is counted */
    ERROR_MESH,    /* it is solved on a mesh: the mesh error under the table holds */
    ERROR_MODEL    /* it rests on a simpler model or on an assumption, whose error is not told */
} bind_error_kind;

/* The word that scripts see: "mesh". */
const char *bind_error_kind_text(bind_error_kind kind);

/* A column is called by its stem, and by its unit's suffix where it has one: "bz" in UNIT_MT is bz_mt. */
typedef struct bind_column {
    const char *stem;
    bind_unit unit;
    bind_error_kind error;
    const char *meaning;
    bool text; /* it holds words */
    bool many; /* it stands for several, 1 in place of the N in its stem, 2, ... */
} bind_column;

enum { BIND_COLUMN_ROOM = 48 }; /* bytes of a column's name */

/* The name of the column; of one that stands for many, that of the given number, or with N for number 0. */
void bind_column_name(const bind_column *column, size_t number, char name[BIND_COLUMN_ROOM]);

typedef struct bind_query bind_query;
typedef struct bind_reading bind_reading;

struct bind_reading {
    const char *name;  /* of the method: "operating" */
    const char *title; /* over its table; NULL: the name */
    const char *
        call; /* what stands behind the name in a list of words; NULL: "{...}", or "()" without options */
    const char *meaning;        /* in a list of words */
    const bind_noun *of;        /* what it is asked of */
    bind_noun options;          /* no fields: nothing is said with it */
    bool sole;                  /* its only option may be given without its name */
    const bind_column *columns; /* none: it gives nothing */
    size_t column_count;
    int (*read)(const bind_query *r, const void *options); /* NULL: not called by this list */
};

/* For the name and the options of a reading. */
#define BIND_READING_NAME(word, an) .name = (word), .options.name = (word), .options.article = (an)
#define BIND_READING_OPTIONS(type, table, usual)                                                   \
    .options.size = sizeof(type), .options.fields = (table),                                       \
    .options.field_count = sizeof(table) / sizeof *(table), .options.defaults = (usual)
#define BIND_READING_COLUMNS(table)                                                                \
    .columns = (table), .column_count = sizeof(table) / sizeof *(table)

#endif
