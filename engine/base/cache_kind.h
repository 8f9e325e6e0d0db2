/* cache_kind.h - how a room keeps its results: a kind of thing, found by its key. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_CACHE_KIND_H
#define LL_BASE_CACHE_KIND_H

#include "base/cache.h"
#include "base/key.h"
#include "base/shared.h"

/* Things of a kind begin with a ll_shared, and never change once they are kept. */
typedef struct ll_cache_kind {
    size_t (*bytes_of)(const void *thing);
} ll_cache_kind;

/* A share of the thing that was kept under an equal key, or NULL. */
void *ll_cache_find(const ll_cache_kind *kind, const ll_key *key);
/* Keeps a share of the thing as well, unless memory is short. Takes the caller's share and gives one back: of the thing, or of its
 * equal where another thread came first. */
void *ll_cache_keep(const ll_cache_kind *kind, const ll_key *key, void *thing);

/* A number that nothing else has: what a key says of a thing that is part of another. */
size_t ll_cache_serial(void);

#endif
