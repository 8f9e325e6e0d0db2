/* tables.c - finding a row among all tables, by place or by name.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "material/tables.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>

/* The order in which rows are listed. */
static const ll_table *const tables[] = {&ll_magnet_grades, &ll_soft_steels, &ll_conductors,
                                         &ll_string_stock};

static const ll_table_entry *entry_at(size_t i)
{
    for (size_t t = 0; t < LL_COUNT_OF(tables); t++) {
        if (i < tables[t]->n)
            return &tables[t]->entries[i];
        i -= tables[t]->n;
    }
    return NULL;
}

/* The next letter or digit of a name in lower case; spaces, hyphens and underscores do not count. */
static int next_sign(const char **name)
{
    while (**name == ' ' || **name == '-' || **name == '_')
        ++*name;
    return **name ? tolower((unsigned char)*(*name)++) : 0;
}

static bool same_name(const char *a, const char *b)
{
    for (;;) {
        const int sign = next_sign(&a);
        if (sign != next_sign(&b))
            return false;
        if (!sign)
            return true;
    }
}

static const ll_table_entry *find_row(const char *name)
{
    const ll_table_entry *entry = NULL;
    for (size_t i = 0; (entry = entry_at(i)) != NULL; i++)
        if (same_name(name, entry->row.name))
            return entry;
    return NULL;
}

static const char *meaning_of(const ll_trade_name *list, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++)
        if (same_name(name, list[i].name))
            return list[i].means;
    return NULL;
}

/* What is left of a name behind a beginning; NULL when it begins otherwise. */
static const char *rest_behind(const char *name, const char *beginning)
{
    for (int sign; (sign = next_sign(&beginning));)
        if (sign != next_sign(&name))
            return NULL;
    return name;
}

/* The row whose name is a beginning's meaning and the rest of this name. */
static const ll_table_entry *find_by_beginning(const char *name)
{
    enum { LONGEST = 64 };
    for (size_t i = 0; i < ll_trade.beginning_count; i++) {
        const char *rest = rest_behind(name, ll_trade.beginnings[i].name);
        char whole[LONGEST];
        const int length =
            rest ? snprintf(whole, sizeof whole, "%s%s", ll_trade.beginnings[i].means, rest)
                 : LONGEST;
        const ll_table_entry *entry = length < LONGEST ? find_row(whole) : NULL;
        if (entry)
            return entry;
    }
    return NULL;
}

const ll_table_entry *ll_table_find(const char *name)
{
    if (!name)
        return NULL;
    const char *meaning = meaning_of(ll_trade.names, ll_trade.name_count, name);
    const ll_table_entry *entry = find_row(meaning ? meaning : name);
    return entry ? entry : find_by_beginning(name);
}

const char *ll_material_which(const char *name)
{
    return name ? meaning_of(ll_trade.unclear, ll_trade.unclear_count, name) : NULL;
}

size_t ll_material_row_count(void)
{
    size_t count = 0;
    for (size_t t = 0; t < LL_COUNT_OF(tables); t++)
        count += tables[t]->n;
    return count;
}

const ll_material_row *ll_material_row_at(size_t i)
{
    const ll_table_entry *entry = entry_at(i);
    return entry ? &entry->row : NULL;
}
