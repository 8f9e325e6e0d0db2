/* tables.h - the tables of materials as data. Private to this folder.
 *
 * A row's source says READ where the figures were read at the source named, "from memory" where they were
 * recalled from it.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MATERIAL_TABLES_H
#define LL_MATERIAL_TABLES_H

#include "material/row.h"

/* Points {H in A/m, B in T}, rising in both. */
typedef struct ll_curve {
    size_t n;
    const double (*hb)[2];
} ll_curve;

/* Second quadrant, from the coercive field to (0, remanence). */
extern const ll_curve ll_curve_lng12, ll_curve_lng10, ll_curve_alnico_4, ll_curve_alnico_5,
    ll_curve_lng37, ll_curve_lng40, ll_curve_lng44, ll_curve_alnico_8;

/* Initial magnetisation, from (0, 0). */
extern const ll_curve ll_curve_pure_iron, ll_curve_steel_1006, ll_curve_steel_1010,
    ll_curve_steel_1018, ll_curve_steel_1020, ll_curve_stainless_416, ll_curve_stainless_430,
    ll_curve_cold_drawn;

/* A row, and its curve where the law is one. */
typedef struct ll_table_entry {
    ll_material_class kind;
    const ll_curve *curve;
    ll_material_row row;
} ll_table_entry;

typedef struct ll_table {
    size_t n;
    const ll_table_entry *entries;
} ll_table;

extern const ll_table ll_magnet_grades, ll_soft_steels, ll_conductors, ll_string_stock;

/* A name of the trade, what it means, and who says so. */
typedef struct ll_trade_name {
    const char *name, *means, *source;
} ll_trade_name;

typedef struct ll_trade_names {
    const ll_trade_name *names, *beginnings, *unclear;
    size_t name_count, beginning_count, unclear_count;
} ll_trade_names;

extern const ll_trade_names ll_trade;

/* The entry of that name or of what the trade means by it, without regard to case, spaces and hyphens; NULL when there is none. */
const ll_table_entry *ll_table_find(const char *name);

#define LL_COUNT_OF(array) (sizeof(array) / sizeof(array)[0])

#endif
