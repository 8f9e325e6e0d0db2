/* test_shape.c - making shapes, their size, section, depth and reach.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "shape/shape.h"

static ll_shape block(double x, double y, double z)
{
    ll_shape s;
    assert_ok(ll_shape_block(ll_vec(x, y, z), &s));
    return s;
}

static ll_shape rod(double diameter, double length)
{
    ll_shape s;
    assert_ok(ll_shape_rod(diameter, length, &s));
    return s;
}

static ll_shape ring(double outer, double inner, double length)
{
    ll_shape s;
    assert_ok(ll_shape_ring(outer, inner, length, &s));
    return s;
}

static ll_shape screw(double thread, double length, double head, double height)
{
    ll_shape s;
    assert_ok(ll_shape_screw(thread, length, head, height, &s));
    return s;
}

static void impossible_lengths_are_refused_and_leave_the_output_alone(void **state)
{
    (void)state;
    const ll_shape before = rod(1, 1);
    ll_shape s = before;
    const struct {
        ll_status got, expected;
    } cases[] = {
        {ll_shape_block(ll_vec(1, 1, 0), &s), LL_BAD_SIZE},
        {ll_shape_block(ll_vec(-1, 1, 1), &s), LL_BAD_SIZE},
        {ll_shape_block(ll_vec(1, NAN, 1), &s), LL_BAD_VALUE},
        {ll_shape_rod(0, 1, &s), LL_BAD_SIZE},
        {ll_shape_rod(1, INFINITY, &s), LL_BAD_VALUE},
        {ll_shape_rod(1, -2, &s), LL_BAD_SIZE},
        {ll_shape_ring(2, 0, 1, &s), LL_BAD_SIZE},
        {ll_shape_ring(2, 2, 1, &s), LL_BAD_SIZE}, /* no wall */
        {ll_shape_ring(2, 3, 1, &s), LL_BAD_SIZE},
        {ll_shape_ring(NAN, 1, 1, &s), LL_BAD_VALUE},
        {ll_shape_screw(3, 20, 5, 20, &s), LL_BAD_SIZE}, /* no thread left */
        {ll_shape_screw(3, 20, 5, 0, &s), LL_BAD_SIZE},
        {ll_shape_screw(3, 20, 2.9, 2, &s), LL_BAD_VALUE},
        {ll_shape_screw(3, 20, NAN, 2, &s), LL_BAD_VALUE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_int_equal(cases[i].got, cases[i].expected);
    assert_memory_equal(&s, &before, sizeof s);
}

static void volume_is_the_sum_of_its_sections(void **state)
{
    (void)state;
    const ll_shape shapes[] = {block(3, 2, 1), rod(2, 5), ring(4, 3, 2), screw(2, 8, 5, 2)};
    /* Textbook: a b c; pi r^2 l; pi (R^2 - r^2) l. */
    const double volumes[] = {6, 5 * LL_PI, 3.5 * LL_PI, (6 + 12.5) * LL_PI};
    for (int i = 0; i < 4; i++) {
        double sum = 0.0;
        const double height = shapes[i].size_m.z;
        for (int k = 0; k < 1000; k++)
            sum +=
                ll_shape_section_m2(&shapes[i], height * ((k + 0.5) / 1000 - 0.5)) * height / 1000;
        assert_relative(ll_shape_volume_m3(&shapes[i]), volumes[i], 1e-12);
        assert_relative(sum, volumes[i], 1e-12);
        assert_close(ll_shape_section_m2(&shapes[i], 0.51 * height), 0, 0);
        assert_close(ll_shape_section_m2(&shapes[i], -0.51 * height), 0, 0);
        assert_close(ll_shape_section_m2(&shapes[i], NAN), 0, 0);
    }
}

/* Distances by Pythagoras, worked out by hand. */
static void depth_is_the_distance_to_the_nearest_face_edge_or_corner(void **state)
{
    (void)state;
    const ll_shape b = block(6, 4, 2), r = rod(4, 10), w = ring(10, 4, 2), s = screw(4, 20, 8, 4);
    const struct {
        const ll_shape *shape;
        ll_vec3 p;
        double depth;
    } cases[] = {
        {&b, {0, 0, 0}, 1},
        {&b, {2.5, 0, 0}, 0.5},
        {&b, {3, 2, 1}, 0},
        {&b, {5, 0, 0}, -2},
        {&b, {6, 6, 0}, -5},
        {&b, {5, 3, -3}, -3}, /* 2, 1, 2 off a corner */
        {&r, {0, 0, 0}, 2},
        {&r, {0, 0, 4.5}, 0.5},
        {&r, {1, 1, 0}, 2 - 1.4142135623730951},
        {&r, {0, 5, 0}, -3},
        {&r, {0, 0, -7}, -2},
        {&r, {5, 0, 9}, -5}, /* 3 and 4 off the rim */
        {&w, {0, 0, 0}, -2}, /* in the hole */
        {&w, {1.5, 0, 0}, -0.5},
        {&w, {0, 3, 0}, 1},
        {&w, {0, 3.5, 0}, 1},
        {&w, {0, -2.25, 0.9}, 0.1},
        {&w, {0, 6, 0}, -1},
        {&w, {0, 0, 1}, -2},
        {&w, {0, 3, 3}, -2},
        {&s, {0, 0, 0}, 2},
        {&s, {0, 0, 8}, 2},
        {&s, {0, 0, 6}, 2}, /* the rim under the head is the nearest */
        {&s, {1, 0, 6.5}, 1.118033988749895},
        {&s, {3, 0, 5}, -1}, /* under the head: thread and head are both 1 away */
        {&s, {3, 0, 5.5}, -0.5},
        {&s, {3.5, 0, 6.25}, 0.25},
        {&s, {3, 0, -10}, -1},
        {&s, {0, 0, -11}, -1},
        {&s, {5, 0, 11}, -1.4142135623730951},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_close(ll_shape_depth_m(cases[i].shape, cases[i].p), cases[i].depth, 1e-12);
}

/* No point is farther from another than the straight way, whatever surface lies between. */
static void depth_changes_no_faster_than_the_point_moves(void **state)
{
    (void)state;
    const ll_shape shapes[] = {block(6, 4, 2), rod(4, 10), ring(10, 4, 2), screw(4, 20, 8, 4)};
    for (int i = 0; i < 4; i++)
        for (int k = 0; k < 20000; k++) {
            const double t = 0.001 * k;
            const ll_vec3 p = ll_vec(6 * sin(2.3 * t), 6 * sin(3.1 * t + 1), 11 * sin(1.7 * t + 2));
            const ll_vec3 q = ll_add(p, ll_vec(0.01 * sin(t), 0.01, 0.02));
            const double change = ll_shape_depth_m(&shapes[i], q) - ll_shape_depth_m(&shapes[i], p);
            assert_true(fabs(change) <= ll_norm(ll_sub(q, p)) + 1e-12);
        }
}

static void reach_is_half_the_width_seen_from_a_direction(void **state)
{
    (void)state;
    const ll_shape b = block(6, 4, 2), r = rod(6, 8), s = screw(4, 20, 8, 4);
    const ll_rotation none = ll_rotation_identity();
    const ll_rotation over = ll_rotation_about(ll_vec(1, 0, 0), LL_PI / 2);
    const ll_rotation slant = ll_rotation_about(ll_vec(0, 1, 0), atan2(3, 4));
    const ll_vec3 x = {1, 0, 0}, y = {0, 1, 0}, z = {0, 0, 1};
    assert_close(ll_shape_reach_m(&b, &none, x), 3, 1e-12);
    assert_close(ll_shape_reach_m(&b, &over, y), 1, 1e-12);
    assert_close(ll_shape_reach_m(&b, &over, z), 2, 1e-12);
    /* cos 0.8, sin 0.6: 4 * 0.8 + 3 * 0.6. */
    assert_close(ll_shape_reach_m(&r, &slant, z), 5, 1e-12);
    assert_close(ll_shape_reach_m(&r, &none, ll_scale(-1, z)), 4, 1e-12);
    assert_close(ll_shape_reach_m(&s, &none, y), 4, 1e-12);
    assert_close(ll_shape_reach_m(&s, &over, y), 10, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(impossible_lengths_are_refused_and_leave_the_output_alone),
        cmocka_unit_test(volume_is_the_sum_of_its_sections),
        cmocka_unit_test(depth_is_the_distance_to_the_nearest_face_edge_or_corner),
        cmocka_unit_test(depth_changes_no_faster_than_the_point_moves),
        cmocka_unit_test(reach_is_half_the_width_seen_from_a_direction),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
