/* shared.h - things with several owners, counted: the last one frees it. A shared thing begins with its count. Thread-safe. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_SHARED_H
#define LL_BASE_SHARED_H

#include <stdatomic.h>
#include <stddef.h>

typedef struct ll_shared {
    atomic_size_t owners;
    void (*free)(void *thing);
} ll_shared;

/* The first owner is whoever made it. */
static inline void ll_shared_begin(ll_shared *thing, void (*free)(void *thing))
{
    atomic_init(&thing->owners, 1);
    thing->free = free;
}

/* One owner more; the count is the one thing in it that changes, hence the cast. NULL is fine, as for the next. */
static inline void *ll_share(const void *thing)
{
    if (thing)
        atomic_fetch_add(&((ll_shared *)thing)->owners, 1);
    return (void *)thing;
}

static inline void ll_release(const void *thing)
{
    ll_shared *shared = (ll_shared *)thing;
    if (shared && atomic_fetch_sub(&shared->owners, 1) == 1)
        shared->free(shared);
}

#endif
