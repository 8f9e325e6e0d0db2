/* One list, the most recent in front: some thousand things at most, told apart by the sum of their key before the key itself.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/cache_kind.h"

#include <stdatomic.h>
#include <stdlib.h>

typedef struct entry {
    struct entry *next;
    const ll_cache_kind *kind;
    ll_key key;
    size_t bytes;
    void *thing;
} entry;

static entry *front;
static size_t held, budget = (size_t)1 << 30;

/* The place of the pointer to what is wanted, or of the end. */
static entry **find(const ll_cache_kind *kind, const ll_key *key)
{
    entry **at = &front;
    while (*at && ((*at)->kind != kind || !ll_keys_equal(&(*at)->key, key)))
        at = &(*at)->next;
    return at;
}

/* A share of it, now in front. */
static void *take(entry **at)
{
    entry *k = *at;
    if (!k)
        return NULL;
    *at = k->next;
    k->next = front;
    front = k;
    return ll_share(k->thing);
}

/* Cuts off what does not fit behind the front; what is given up is freed by the caller, outside the lock. */
static entry *cut(size_t bytes)
{
    entry **at = &front;
    for (size_t sum = 0; *at && sum + (*at)->bytes <= bytes; at = &(*at)->next)
        sum += (*at)->bytes;
    entry *rest = *at;
    *at = NULL;
    for (const entry *k = rest; k; k = k->next)
        held -= k->bytes;
    return rest;
}

static void give_up(entry *list)
{
    while (list) {
        entry *next = list->next;
        ll_release(list->thing);
        ll_key_clear(&list->key);
        free(list);
        list = next;
    }
}

void *ll_cache_find(const ll_cache_kind *kind, const ll_key *key)
{
    void *thing = NULL;
    if (ll_key_is_short(key))
        return NULL;
#pragma omp critical(ll_cache)
    thing = take(find(kind, key));
    return thing;
}

void *ll_cache_keep(const ll_cache_kind *kind, const ll_key *key, void *thing)
{
    void *other = NULL;
    entry *k = ll_key_is_short(key) ? NULL : malloc(sizeof *k), *rest = NULL;
    if (!k)
        return thing;
    *k = (entry){.kind = kind, .bytes = kind->bytes_of(thing), .thing = thing};
    if (!ll_key_copy(key, &k->key)) {
        free(k);
        return thing;
    }
    k->bytes += sizeof *k + ll_key_bytes(key);
    ll_share(thing);
#pragma omp critical(ll_cache)
    {
        other = take(find(kind, key));
        if (!other && k->bytes <= budget) { /* one thing too large would drive out all others */
            k->next = front;
            front = k;
            held += k->bytes;
            rest = cut(budget);
            k = NULL;
        }
    }
    give_up(k);
    give_up(rest);
    if (!other)
        return thing;
    ll_release(thing);
    return other;
}

void ll_cache_shrink(size_t bytes)
{
    entry *rest;
#pragma omp critical(ll_cache)
    rest = cut(bytes);
    give_up(rest);
}

void ll_cache_set_budget(size_t bytes)
{
#pragma omp critical(ll_cache)
    budget = bytes;
    ll_cache_shrink(bytes);
}

void ll_cache_empty(void)
{
    ll_cache_shrink(0);
}

size_t ll_cache_bytes(void)
{
    size_t bytes;
#pragma omp critical(ll_cache)
    bytes = held;
    return bytes;
}

size_t ll_cache_serial(void)
{
    static atomic_size_t last;
    return atomic_fetch_add(&last, 1) + 1;
}
