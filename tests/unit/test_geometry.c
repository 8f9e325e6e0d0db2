/* test_geometry.c - turns and places in space, against what must hold of them.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/geometry.h"
#include "check.h"

static const ll_vec3 some = {0.3, -1.7, 2.9};

static void assert_same(ll_vec3 a, ll_vec3 b)
{
    assert_close(ll_norm(ll_sub(a, b)), 0, 1e-14 * (1 + ll_norm(b)));
}

static void a_vector_turned_and_turned_back_is_itself(void **state)
{
    (void)state;
    const ll_rotation r = ll_rotation_about(ll_vec(1, 2, -3), 0.9);
    assert_same(ll_rotate_back(&r, ll_rotate(&r, some)), some);
    assert_same(ll_rotate(&r, ll_rotate_back(&r, some)), some);
}

/* A positive turn about z takes x to y; the axis stays, and two turns follow each other. */
static void turns_are_right_handed_and_follow_each_other(void **state)
{
    (void)state;
    const ll_rotation z = ll_rotation_about(ll_vec(0, 0, 2), acos(0)),
                      x = ll_rotation_about(ll_vec(5, 0, 0), acos(0));
    const ll_rotation both = ll_rotation_after(x, z);
    assert_same(ll_rotate(&z, ll_vec(1, 0, 0)), ll_vec(0, 1, 0));
    assert_same(ll_rotate(&z, ll_vec(0, 0, 1)), ll_vec(0, 0, 1));
    assert_same(ll_rotate(&both, ll_vec(1, 0, 0)), ll_vec(0, 0, 1));
}

static void z_is_turned_to_any_direction(void **state)
{
    (void)state;
    const ll_vec3 directions[] = {{0, 0, 1}, {0, 0, -1}, {1, 0, 0}, {0, -3, 0}, {1, 2, -0.5}};
    for (size_t i = 0; i < sizeof directions / sizeof *directions; i++) {
        const ll_rotation r = ll_rotation_z_to(directions[i]);
        assert_same(ll_rotate(&r, ll_vec(0, 0, 1)),
                    ll_scale(1 / ll_norm(directions[i]), directions[i]));
    }
}

static void poses_agree_only_where_place_and_turn_do(void **state)
{
    (void)state;
    const ll_pose home = {ll_rotation_about(ll_vec(1, 1, 0), 0.4), {0.01, 0.02, 0.03}};
    ll_pose other = home;
    assert_true(ll_poses_agree(&home, &other));
    other.origin_m.y += 2e-9;
    assert_false(ll_poses_agree(&home, &other));
    other = home;
    other.rotation = ll_rotation_about(ll_vec(1, 1, 0), 0.4 + 1e-6);
    assert_false(ll_poses_agree(&home, &other));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_vector_turned_and_turned_back_is_itself),
        cmocka_unit_test(turns_are_right_handed_and_follow_each_other),
        cmocka_unit_test(z_is_turned_to_any_direction),
        cmocka_unit_test(poses_agree_only_where_place_and_turn_do),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
