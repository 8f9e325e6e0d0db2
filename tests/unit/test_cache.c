/* test_cache.c - results that may be wanted again: found by an equal key, the longest unwanted given up first.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/cache_kind.h"
#include "check.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>

enum { ROOM = 1000, THING = 4000 }; /* bytes beside a thing, at most; and of a thing */

typedef struct thing {
    ll_shared shared;
    int name;
} thing;

static atomic_int freed, last_freed;

static void thing_free(void *t)
{
    freed++;
    last_freed = ((thing *)t)->name;
    free(t);
}

static size_t bytes_of(const void *t)
{
    (void)t;
    return THING;
}

static const ll_cache_kind kind = {bytes_of}, other_kind = {bytes_of};

static ll_key key_of(int name)
{
    ll_key key = {0};
    ll_key_add(&key, name);
    return key;
}

static thing *new_thing(int name)
{
    thing *t = malloc(sizeof *t);
    assert_non_null(t);
    ll_shared_begin(&t->shared, thing_free);
    t->name = name;
    return t;
}

/* Keeps a new thing and gives the own share back. */
static void put(const ll_cache_kind *k, int name)
{
    ll_key key = key_of(name);
    ll_release(ll_cache_keep(k, &key, new_thing(name)));
    ll_key_clear(&key);
}

static bool is_there(const ll_cache_kind *k, int name)
{
    ll_key key = key_of(name);
    thing *t = ll_cache_find(k, &key);
    const bool found = t != NULL;
    if (found)
        assert_int_equal(t->name, name);
    ll_release(t);
    ll_key_clear(&key);
    return found;
}

static int begin(void **state)
{
    (void)state;
    ll_cache_set_budget(3 * (THING + ROOM));
    ll_cache_empty();
    freed = 0;
    return 0;
}

static void what_was_wanted_last_stays(void **state)
{
    (void)state;
    for (int name = 1; name <= 3; name++)
        put(&kind, name);
    assert_true(is_there(&kind, 1));
    put(&kind, 4);
    assert_int_equal(freed, 1);
    assert_int_equal(last_freed, 2);
    assert_true(is_there(&kind, 1) && is_there(&kind, 3) && is_there(&kind, 4));
}

static void kinds_do_not_meet_but_share_the_budget(void **state)
{
    (void)state;
    put(&kind, 1);
    assert_false(is_there(&other_kind, 1));
    for (int name = 1; name <= 3; name++)
        put(&other_kind, name);
    assert_false(is_there(&kind, 1));
    assert_true(is_there(&other_kind, 1));
    assert_true(ll_cache_bytes() <= 3 * (THING + ROOM) && ll_cache_bytes() >= 3 * THING);
}

static void a_share_outlives_what_is_given_up(void **state)
{
    (void)state;
    put(&kind, 7);
    ll_key key = key_of(7);
    thing *mine = ll_cache_find(&kind, &key);
    ll_cache_empty();
    assert_int_equal(ll_cache_bytes(), 0);
    assert_int_equal(freed, 0);
    assert_int_equal(mine->name, 7);
    ll_release(mine);
    assert_int_equal(freed, 1);
    ll_key_clear(&key);
}

static void of_two_equals_the_first_is_kept(void **state)
{
    (void)state;
    ll_key key = key_of(5);
    thing *first = ll_cache_keep(&kind, &key, new_thing(5));
    thing *second = ll_cache_keep(&kind, &key, new_thing(5));
    assert_ptr_equal(first, second);
    assert_int_equal(freed, 1);
    ll_release(first);
    ll_release(second);
    ll_key_clear(&key);
}

static void what_is_larger_than_the_budget_drives_nothing_out(void **state)
{
    (void)state;
    ll_cache_set_budget(THING - 1);
    put(&kind, 1);
    assert_false(is_there(&kind, 1));
    assert_int_equal(freed, 1);
    ll_cache_set_budget(2 * (THING + ROOM));
    put(&kind, 2);
    put(&kind, 3);
    ll_cache_shrink(THING + ROOM);
    assert_true(is_there(&kind, 3) && !is_there(&kind, 2));
}

static void *find_and_keep(void *from)
{
    for (int k = *(int *)from; k < 4000; k++) {
        ll_key key = key_of(k % 40);
        thing *t = ll_cache_find(&kind, &key);
        if (!t)
            t = ll_cache_keep(&kind, &key, new_thing(k % 40));
        if (t->name != k % 40)
            abort();
        ll_release(t);
        ll_key_clear(&key);
    }
    return NULL;
}

static void threads_find_and_keep_at_once(void **state)
{
    (void)state;
    enum { THREADS = 4 };
    pthread_t thread[THREADS];
    int from[THREADS] = {0, 7, 13, 29};
    ll_cache_set_budget(20 * (THING + ROOM));
    for (int k = 0; k < THREADS; k++)
        assert_int_equal(pthread_create(&thread[k], NULL, find_and_keep, &from[k]), 0);
    for (int k = 0; k < THREADS; k++)
        assert_int_equal(pthread_join(thread[k], NULL), 0);
    ll_cache_empty();
    assert_int_equal(ll_cache_bytes(), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(what_was_wanted_last_stays, begin),
        cmocka_unit_test_setup(kinds_do_not_meet_but_share_the_budget, begin),
        cmocka_unit_test_setup(a_share_outlives_what_is_given_up, begin),
        cmocka_unit_test_setup(of_two_equals_the_first_is_kept, begin),
        cmocka_unit_test_setup(what_is_larger_than_the_budget_drives_nothing_out, begin),
        cmocka_unit_test_setup(threads_find_and_keep_at_once, begin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
