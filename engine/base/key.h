/* key.h - what a result depends on, as a list of numbers: equal things have equal keys, and whatever differs in one member has
 * another. What goes into a key is said once for each struct, by a table of its members. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_KEY_H
#define LL_BASE_KEY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct ll_key {
    size_t n, room;
    double *number;
    uint64_t sum;  /* of the numbers */
    bool is_short; /* of memory: it stands for nothing */
} ll_key;

/* All begin as (ll_key){0} and end with ll_key_clear. */
void ll_key_add(ll_key *key, double number);
void ll_key_add_key(ll_key *key, const ll_key *other);
void ll_key_clear(ll_key *key);
bool ll_key_is_short(const ll_key *key);
bool ll_keys_equal(const ll_key *a, const ll_key *b);
/* False when memory is short. */
bool ll_key_copy(const ll_key *from, ll_key *to);
size_t ll_key_bytes(const ll_key *key);

typedef enum ll_member_kind {
    LL_MEMBER_NUMBERS, /* a double, a vector, a rotation: any number of doubles */
    LL_MEMBER_ENUM,
    LL_MEMBER_BOOL,
    LL_MEMBER_COUNT,  /* size_t */
    LL_MEMBER_STRUCT, /* with a table of its own */
    LL_MEMBER_BEHIND, /* a pointer to what `add` says */
    LL_MEMBER_ASIDE   /* changes no result */
} ll_member_kind;

typedef struct ll_members ll_members;

typedef struct ll_member {
    const char *name;
    size_t offset, size;
    ll_member_kind kind;
    const ll_members *of;
    void (*add)(ll_key *key, const void *whole); /* LL_MEMBER_BEHIND: is given the whole struct */
} ll_member;

/* All members of a struct of that size, in their order. */
struct ll_members {
    size_t size, count;
    const ll_member *member;
};

#define LL_MEMBER_ROW(type, name, kind, of, add)                                                   \
    {                                                                                              \
#name, offsetof(type, name), sizeof(((type *)0)->name), kind, of, add                      \
    }
#define LL_MEMBER(type, name, kind) LL_MEMBER_ROW(type, name, kind, NULL, NULL)
#define LL_MEMBER_WITH(type, name, table) LL_MEMBER_ROW(type, name, LL_MEMBER_STRUCT, table, NULL)
#define LL_MEMBER_TOLD(type, name, add) LL_MEMBER_ROW(type, name, LL_MEMBER_BEHIND, NULL, add)
#define LL_MEMBERS(type, list)                                                                     \
    {                                                                                              \
        sizeof(type), sizeof(list) / sizeof *(list), list                                          \
    }

void ll_key_add_members(ll_key *key, const ll_members *members, const void *thing);

#endif
