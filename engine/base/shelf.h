/* shelf.h - things that may be wanted again, the most recent in front: behind it, what no longer fits is given up. It knows
 * nothing of threads: who shares a shelf enters a critical section first. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_SHELF_H
#define LL_BASE_SHELF_H

#include <stdbool.h>
#include <stddef.h>

enum { LL_SHELF_PLACES = 512 };

typedef struct ll_shelf {
    size_t places;    /* how many things there may be, at most LL_SHELF_PLACES */
    size_t bytes;     /* how large they may be together */
    bool keeps_front; /* even if it alone is larger */
    size_t (*bytes_of)(const void *thing);
    void (*give_up)(void *thing);
    size_t count;
    void *thing[LL_SHELF_PLACES];
} ll_shelf;

/* The first thing of which `is` says that it is the wanted one, now in front; NULL without one. */
void *ll_shelf_find(ll_shelf *shelf, bool (*is)(const void *thing, const void *wanted),
                    const void *wanted);
/* Puts a thing in front; it may be given up at once if it is larger than the shelf. */
void ll_shelf_put(ll_shelf *shelf, void *thing);

#endif
