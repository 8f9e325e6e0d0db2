/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/key.h"

#include <stdlib.h>
#include <string.h>

void ll_key_add(ll_key *key, double number)
{
    if (key->n == key->room) {
        const size_t room = key->room ? 2 * key->room : 32;
        double *more = key->is_short ? NULL : realloc(key->number, room * sizeof *more);
        if (!more) {
            key->is_short = true;
            return;
        }
        key->number = more;
        key->room = room;
    }
    const double plain = number + 0.0; /* no minus zero */
    uint64_t bits;
    memcpy(&bits, &plain, sizeof bits);
    key->number[key->n++] = plain;
    key->sum = (key->sum ^ bits) * 0x9e3779b97f4a7c15; /* odd, its bits well mixed */
    key->sum ^= key->sum >> 29;
}

void ll_key_add_key(ll_key *key, const ll_key *other)
{
    for (size_t k = 0; k < other->n; k++)
        ll_key_add(key, other->number[k]);
    key->is_short = key->is_short || other->is_short;
}

void ll_key_clear(ll_key *key)
{
    free(key->number);
    *key = (ll_key){0};
}

bool ll_key_is_short(const ll_key *key)
{
    return key->is_short;
}

size_t ll_key_bytes(const ll_key *key)
{
    return key->n * sizeof *key->number;
}

bool ll_keys_equal(const ll_key *a, const ll_key *b)
{
    return a->n == b->n && a->sum == b->sum && !a->is_short && !b->is_short &&
           (a->n == 0 || memcmp(a->number, b->number, ll_key_bytes(a)) == 0);
}

bool ll_key_copy(const ll_key *from, ll_key *to)
{
    *to = (ll_key){.n = from->n, .room = from->n, .sum = from->sum};
    to->number = malloc(ll_key_bytes(from) + 1);
    if (!to->number)
        return false;
    if (from->n)
        memcpy(to->number, from->number, ll_key_bytes(from));
    return true;
}

static void add_member(ll_key *key, const ll_member *m, const void *thing)
{
    const char *at = (const char *)thing + m->offset;
    switch (m->kind) {
    case LL_MEMBER_NUMBERS:
        for (size_t k = 0; k < m->size / sizeof(double); k++)
            ll_key_add(key, ((const double *)(const void *)at)[k]);
        break;
    case LL_MEMBER_ENUM:
        ll_key_add(key, *(const int *)at);
        break;
    case LL_MEMBER_BOOL:
        ll_key_add(key, *(const bool *)at);
        break;
    case LL_MEMBER_COUNT:
        ll_key_add(key, (double)*(const size_t *)at);
        break;
    case LL_MEMBER_STRUCT:
        ll_key_add_members(key, m->of, at);
        break;
    case LL_MEMBER_BEHIND:
        m->add(key, thing);
        break;
    case LL_MEMBER_ASIDE:
        break;
    }
}

void ll_key_add_members(ll_key *key, const ll_members *members, const void *thing)
{
    for (size_t k = 0; k < members->count; k++)
        add_member(key, &members->member[k], thing);
}
