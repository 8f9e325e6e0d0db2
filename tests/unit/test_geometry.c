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

static bool same_numbers(const ll_pose *a, const ll_pose *b)
{
    const ll_pose p = ll_pose_snapped(a), q = ll_pose_snapped(b);
    bool same = p.origin_m.x == q.origin_m.x && p.origin_m.y == q.origin_m.y &&
                p.origin_m.z == q.origin_m.z;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            same = same && p.rotation.m[i][j] == q.rotation.m[i][j];
    return same;
}

static void snapped_poses_are_equal_only_where_place_and_turn_are(void **state)
{
    (void)state;
    const ll_pose home = {ll_rotation_about(ll_vec(1, 1, 0), 0.4), {0.01, 0.02, 0.03}};
    ll_pose other = home;
    other.origin_m.y = 0.02 + 1e-17;
    other.rotation = ll_rotation_after(ll_rotation_about(ll_vec(1, 1, 0), 0.1),
                                       ll_rotation_about(ll_vec(1, 1, 0), 0.3));
    assert_true(same_numbers(&home, &other));
    other.origin_m.y += 2e-9;
    assert_false(same_numbers(&home, &other));
    other = home;
    other.rotation = ll_rotation_about(ll_vec(1, 1, 0), 0.4 + 1e-6);
    assert_false(same_numbers(&home, &other));
}

static void a_pose_seen_from_another_leads_back(void **state)
{
    (void)state;
    const ll_pose frame = {ll_rotation_about(ll_vec(1, 2, -3), 0.9), {0.01, -0.02, 0.03}},
                  own = {ll_rotation_about(ll_vec(-1, 0, 2), 2.1), {0.005, 0.04, 0}};
    const ll_pose seen = ll_pose_seen_from(&frame, &own);
    assert_close(
        ll_norm(ll_sub(ll_to_world(&frame, ll_to_world(&seen, some)), ll_to_world(&own, some))), 0,
        1e-11); /* snapped to 1e-12 */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_vector_turned_and_turned_back_is_itself),
        cmocka_unit_test(turns_are_right_handed_and_follow_each_other),
        cmocka_unit_test(z_is_turned_to_any_direction),
        cmocka_unit_test(snapped_poses_are_equal_only_where_place_and_turn_are),
        cmocka_unit_test(a_pose_seen_from_another_leads_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
