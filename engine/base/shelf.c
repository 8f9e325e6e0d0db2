/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/shelf.h"

#include <string.h>

static void to_front(ll_shelf *shelf, size_t place, void *thing)
{
    memmove(shelf->thing + 1, shelf->thing, place * sizeof *shelf->thing);
    shelf->thing[0] = thing;
}

void *ll_shelf_find(ll_shelf *shelf, bool (*is)(const void *thing, const void *wanted),
                    const void *wanted)
{
    for (size_t k = 0; k < shelf->count; k++)
        if (is(shelf->thing[k], wanted)) {
            to_front(shelf, k, shelf->thing[k]);
            return shelf->thing[0];
        }
    return NULL;
}

void ll_shelf_put(ll_shelf *shelf, void *thing)
{
    if (shelf->count == shelf->places)
        shelf->give_up(shelf->thing[--shelf->count]);
    to_front(shelf, shelf->count++, thing);
    size_t bytes = 0, kept = 0;
    while (kept < shelf->count) {
        bytes += shelf->bytes_of(shelf->thing[kept]);
        if (bytes > shelf->bytes && !(kept == 0 && shelf->keeps_front))
            break;
        kept++;
    }
    while (shelf->count > kept)
        shelf->give_up(shelf->thing[--shelf->count]);
}
