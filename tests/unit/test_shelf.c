/* test_shelf.c - a store of things that may be wanted again: the most recent stay.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/shelf.h"
#include "check.h"

static size_t given_up, last_size;

static size_t size_of(const void *thing)
{
    return *(const size_t *)thing;
}

static void give_up(void *thing)
{
    given_up++;
    last_size = *(size_t *)thing;
}

static bool has_size(const void *thing, const void *wanted)
{
    return *(const size_t *)thing == *(const size_t *)wanted;
}

static bool is_there(ll_shelf *shelf, size_t size)
{
    return ll_shelf_find(shelf, has_size, &size) != NULL;
}

static ll_shelf new_shelf(size_t places, size_t bytes)
{
    given_up = 0;
    return (ll_shelf){.places = places, .bytes = bytes, .bytes_of = size_of, .give_up = give_up};
}

static void what_was_wanted_last_stays(void **state)
{
    (void)state;
    size_t thing[] = {1, 2, 3};
    ll_shelf shelf = new_shelf(2, 100);
    ll_shelf_put(&shelf, &thing[0]);
    ll_shelf_put(&shelf, &thing[1]);
    assert_true(is_there(&shelf, 1));
    ll_shelf_put(&shelf, &thing[2]);
    assert_int_equal(given_up, 1);
    assert_int_equal(last_size, 2);
    assert_true(is_there(&shelf, 1) && is_there(&shelf, 3) && !is_there(&shelf, 2));
}

static void what_does_not_fit_behind_the_front_is_given_up(void **state)
{
    (void)state;
    size_t thing[] = {10, 20, 75};
    ll_shelf shelf = new_shelf(8, 100);
    for (int k = 0; k < 3; k++)
        ll_shelf_put(&shelf, &thing[k]);
    assert_int_equal(given_up, 1);
    assert_true(is_there(&shelf, 75) && is_there(&shelf, 20) && !is_there(&shelf, 10));
}

static void a_thing_larger_than_the_shelf_stays_only_where_it_is_wished(void **state)
{
    (void)state;
    size_t small = 10, large = 101;
    ll_shelf shelf = new_shelf(8, 100);
    ll_shelf_put(&shelf, &small);
    ll_shelf_put(&shelf, &large);
    assert_int_equal(given_up, 2);
    shelf.keeps_front = true;
    ll_shelf_put(&shelf, &large);
    assert_true(is_there(&shelf, 101));
    ll_shelf_put(&shelf, &small);
    assert_true(is_there(&shelf, 10) && !is_there(&shelf, 101));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_was_wanted_last_stays),
        cmocka_unit_test(what_does_not_fit_behind_the_front_is_given_up),
        cmocka_unit_test(a_thing_larger_than_the_shelf_stays_only_where_it_is_wished),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
