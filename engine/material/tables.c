/* tables.c - finding a row among all tables, by place or by name.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "material/tables.h"

#include <ctype.h>
#include <stdbool.h>

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

const ll_table_entry *ll_table_find(const char *name)
{
    const ll_table_entry *entry = NULL;
    for (size_t i = 0; name && (entry = entry_at(i)) != NULL; i++)
        if (same_name(name, entry->row.name))
            return entry;
    return NULL;
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
