/* test_shape_overlap.c - how far placed shapes cut into each other. Lengths in millimetres as plain numbers: the
 * geometry does not know its unit. Expected depths are worked out by hand.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "shape/shape.h"

static ll_shape block, bar, rod, thin_rod, ring, screw;

static int make_shapes(void **state)
{
    (void)state;
    assert_ok(ll_shape_block(ll_vec(6, 4, 2), &block));
    assert_ok(ll_shape_block(ll_vec(60, 10, 4), &bar));
    assert_ok(ll_shape_rod(5, 18, &rod));
    assert_ok(ll_shape_rod(3, 30, &thin_rod));
    assert_ok(ll_shape_ring(12, 6, 3, &ring));
    assert_ok(ll_shape_screw(3, 20, 8, 4, &screw));
    return 0;
}

static ll_pose placed(double x, double y, double z, char about, double degrees)
{
    const ll_vec3 axis = ll_vec(about == 'x', about == 'y', about == 'z');
    const ll_rotation turn =
        about ? ll_rotation_about(axis, degrees * LL_PI / 180) : ll_rotation_identity();
    return (ll_pose){turn, ll_vec(x, y, z)};
}

typedef struct placing {
    double x, y, z;
    char about;
    double degrees;
} placing;

typedef struct overlap_case {
    const ll_shape *a, *b; /* a stands in the origin */
    placing at;            /* of b */
    double depth, tolerance;
} overlap_case;

/* Both ways round, here and with the pair placed askew in space. */
static void check_cases(size_t n, const overlap_case *cases)
{
    const ll_pose elsewhere = {ll_rotation_about(ll_vec(1, 2, 3), 0.7), ll_vec(11, -7, 5)};
    for (size_t i = 0; i < n; i++) {
        const overlap_case *c = &cases[i];
        const ll_pose pa = placed(0, 0, 0, 0, 0);
        const ll_pose pb = placed(c->at.x, c->at.y, c->at.z, c->at.about, c->at.degrees);
        const ll_pose qb = {ll_rotation_after(elsewhere.rotation, pb.rotation),
                            ll_to_world(&elsewhere, pb.origin_m)};
        assert_close(ll_shape_overlap_m(c->a, &pa, c->b, &pb), c->depth, c->tolerance);
        assert_close(ll_shape_overlap_m(c->b, &pb, c->a, &pa), c->depth, c->tolerance);
        assert_close(ll_shape_overlap_m(c->a, &elsewhere, c->b, &qb), c->depth, c->tolerance);
        assert_close(ll_shape_overlap_m(c->b, &qb, c->a, &elsewhere), c->depth, c->tolerance);
    }
}

#define CHECK_CASES(cases) check_cases(sizeof(cases) / sizeof(cases)[0], cases)

static void blocks_cut_by_the_least_of_their_three_overlaps(void **state)
{
    (void)state;
    const overlap_case cases[] = {
        {&block, &block, {0, 0, 0, 0, 0}, 2, 1e-9},
        {&block, &block, {5.6, 0, 0, 0, 0}, 0.4, 1e-9},
        {&block, &block, {5, 3.5, 1, 0, 0}, 0.5, 1e-9},
        {&block, &block, {0, 0, 2, 0, 0}, 0, 1e-9},
        {&block, &block, {0, 0, 5, 0, 0}, -3, 1e-9},
        {&block, &block, {6, 4, 2, 0, 0}, 0, 1e-9},
        {&block, &block, {9, 8, 0, 0, 0}, -5, 1e-6}, /* edges 3 and 4 apart */
        {&block, &block, {8, 5, 4, 0, 0}, -3, 1e-6}, /* corners 2, 1, 2 apart */
        {&block, &block, {4.5, 0, 0, 'z', 90}, 0.5, 1e-9},
        {&block, &block, {3.5 + 3.6055512754639891, 0, 0, 'z', 33.690067525979785}, -0.5, 1e-9},
        {&bar, &block, {0, 0, 2.9, 0, 0}, 0.1, 1e-9},
    };
    CHECK_CASES(cases);
}

static void bars_along_one_axis_cut_by_radius_or_length(void **state)
{
    (void)state;
    const overlap_case cases[] = {
        {&rod, &rod, {4.6, 0, 0, 0, 0}, 0.4, 1e-9},
        {&rod, &rod, {3, 4, 0, 0, 0}, 0, 1e-9},
        {&rod, &rod, {10.2, 0, 0, 0, 0}, -5.2, 1e-9},
        {&rod, &rod, {0, 0, 17.5, 0, 0}, 0.5, 1e-9},
        {&rod, &rod, {0, 0, 17.5, 'x', 180}, 0.5, 1e-9},
        {&rod, &thin_rod, {0, 0, 24, 0, 0}, 0, 1e-9},
        {&rod, &thin_rod, {0, 0, 0, 0, 0}, 4, 1e-9},
        {&rod, &thin_rod, {0, 0, 25, 0, 0}, -1, 1e-9},
    };
    CHECK_CASES(cases);
}

static void a_rod_in_the_hole_of_a_ring_clears_it_by_the_gap(void **state)
{
    (void)state;
    const overlap_case cases[] = {
        {&ring, &rod, {0, 0, 0, 0, 0}, -0.5, 1e-9},
        {&ring, &rod, {0.3, 0.4, 0, 0, 0}, 0, 1e-9},
        {&ring, &rod, {0.7, 0, 0, 0, 0}, 0.2, 1e-9},
        {&ring, &thin_rod, {0, 1, 9, 0, 0}, -0.5, 1e-9},
        {&ring, &rod, {8.4, 0, 0, 0, 0}, 0.1, 1e-9},    /* from outside */
        {&ring, &rod, {4.5, 0, 10.4, 0, 0}, 0.1, 1e-9}, /* end on the wall */
        {&ring, &rod, {4.5, 0, 11, 0, 0}, -0.5, 1e-9},
        {&ring, &ring, {0, 0, 3, 0, 0}, 0, 1e-9}, /* stacked */
        {&ring, &ring, {0, 0, 2.9, 0, 0}, 0.1, 1e-9},
        /* A rod tilted by t in the hole: its axis passes the ring's inner edge at 3 cos t - 1.5 sin t, a gap
         * of 0.358 for 5 degrees of which a lower bound is promised; its skin leaves the hole at 2.5 / cos t +
         * 1.5 tan t, for 20 degrees 0.206 within the wall. */
        {&ring, &rod, {0, 0, 0, 'x', 5}, -0.34, 0.018},
        {&ring, &rod, {0, 0, 0, 'x', 20}, 0.2064, 0.005},
        /* A block in the hole reaches the wall with its corners, 3.606 off the axis, or on end 2.236. */
        {&ring, &block, {0, 0, 0, 0, 0}, 0.6056, 0.001},
        {&ring, &block, {0, 0, 0, 'y', 90}, -0.7639, 0.001},
    };
    CHECK_CASES(cases);
}

static void a_screw_is_its_thread_and_its_head(void **state)
{
    (void)state;
    const overlap_case cases[] = {
        /* Thread through the ring, head above it: z 6 to 10 in the screw's frame. */
        {&ring, &screw, {0, 0, 0, 0, 0}, -1.5, 1e-9},
        {&ring, &screw, {0, 0, -4.4, 0, 0}, -0.1, 1e-9},
        {&ring, &screw, {0, 0, -4.7, 0, 0}, 0.2, 1e-9},
        /* Turned over, the head is below. */
        {&ring, &screw, {0, 0, 4.7, 'x', 180}, 0.2, 1e-9},
        {&ring, &screw, {0, 0, -4.7, 'x', 180}, -1.5, 1e-9},
        /* Heads side by side, threads apart; a rod under the head. */
        {&screw, &screw, {7.5, 0, 0, 0, 0}, 0.5, 1e-9},
        {&screw, &screw, {7.5, 0, 4.5, 0, 0}, -0.5, 1e-9},
        {&screw, &rod, {4.5, 0, -3.2, 0, 0}, -0.2, 1e-9},
        {&screw, &rod, {4.5, 0, -2.9, 0, 0}, 0.1, 1e-9},
        /* Through a bar: thread 1.5 + 5 sideways against 2 + 10 endwise. */
        {&bar, &screw, {0, 0, 0, 0, 0}, 6.5, 1e-9},
        {&bar, &screw, {0, 6.8, 0, 0, 0}, -0.3, 1e-9},
        {&bar, &screw, {0, 8.6, -7, 0, 0}, 0.4, 1e-9},
        {&bar, &screw, {0, 8.6, -3.5, 0, 0}, -0.5, 1e-9},
    };
    CHECK_CASES(cases);
}

static void rods_cut_into_blocks_by_face_edge_and_end(void **state)
{
    (void)state;
    const overlap_case cases[] = {
        {&bar, &rod, {5.1, 7.1, 3, 0, 0}, 0.4, 1e-9},
        {&bar, &rod, {5.1, 7.5, 3, 0, 0}, 0, 1e-9},
        {&bar, &rod, {5.1, 7.9, 3, 0, 0}, -0.4, 1e-9},
        {&bar, &rod, {0, 0, 10.7, 0, 0}, 0.3, 1e-9},
        /* A corner of the block: 1.5 and 2 off the axis are 2.5. */
        {&bar, &rod, {31.5, 7, 0, 0, 0}, 0, 1e-9},
        {&bar, &rod, {31.2, 6.6, 0, 0, 0}, 0.5, 1e-9},
        {&bar, &rod, {33, 9, 0, 0, 0}, -2.5, 1e-9},
        /* Lying along x and y. */
        {&bar, &rod, {0, 0, 4.2, 'y', 90}, 0.3, 1e-9},
        {&bar, &rod, {0, 13.9, 0, 'x', 90}, 0.1, 1e-9},
        {&bar, &rod, {0, 6.5, 4, 'y', 90}, 0, 1e-9},
        {&bar, &rod, {0, 6.2, 3.6, 'y', 90}, 0.5, 1e-9},
        {&bar, &rod, {0, 7, 6, 'x', 0}, 0.5, 1e-9},
    };
    CHECK_CASES(cases);
}

static void shapes_askew_cut_by_the_least_shift(void **state)
{
    (void)state;
    const double r2 = sqrt(0.5);
    const overlap_case cases[] = {
        /* Crossed rods: the distance of their axes against the sum of the radii. */
        {&rod, &thin_rod, {3.7, 0, 0, 'x', 90}, 0.3, 1e-9},
        {&rod, &thin_rod, {3.7, 1, 2, 'x', 33}, 0.3, 1e-9},
        {&rod, &thin_rod, {4.5, 1, 2, 'x', 33}, -0.5, 1e-9},
        /* A rod at 45 degrees over the bar: its lowest rim point. */
        {&bar, &rod, {0, 0, 2 + (9 + 2.5) * r2 - 0.2, 'x', 45}, 0.2, 1e-9},
        {&bar, &rod, {0, 0, 2 + (9 + 2.5) * r2 + 0.2, 'x', 45}, -0.2, 1e-9},
        /* A block on its edge. */
        {&bar, &block, {0, 0, 2 + (2 + 1) * r2 - 0.1, 'x', 45}, 0.1, 1e-9},
        {&bar, &block, {0, 0, 2 + (2 + 1) * r2 + 0.1, 'x', 45}, -0.1, 1e-9},
        /* A rod standing beside the ring at a slant, seen across its axis. */
        {&ring, &rod, {8.3, 0, 0, 'x', 30}, 0.2, 0.01},
    };
    CHECK_CASES(cases);
}

/* Each stands on an edge, which reaches half a diagonal up or down, and they cross; the line of centres leans aside. */
static void two_bars_part_edge_against_edge(void **state)
{
    (void)state;
    ll_shape square;
    assert_ok(ll_shape_block(ll_vec(60, 4, 4), &square));
    const ll_rotation on_edge = ll_rotation_about(ll_vec(1, 0, 0), LL_PI / 4),
                      across = ll_rotation_about(ll_vec(0, 0, 1), LL_PI / 2);
    const ll_pose a = {on_edge, ll_vec(0, 0, 0)};
    for (int k = -1; k <= 1; k += 2) {
        const ll_pose b = {ll_rotation_after(across, on_edge),
                           ll_vec(3, 2, 4 * sqrt(2.0) - 0.3 * k)};
        assert_close(ll_shape_overlap_m(&square, &a, &square, &b), 0.3 * k, 1e-9);
        assert_close(ll_shape_overlap_m(&square, &b, &square, &a), 0.3 * k, 1e-9);
    }
}

/* For shapes apart, every point of one is at least the stated clearance from the other, and for shapes that cut,
 * no point of one lies deeper in the other than the stated depth: against the distance of single points. */
static void no_point_contradicts_the_depth(void **state)
{
    (void)state;
    const ll_shape *const shapes[] = {&block, &rod, &ring, &screw};
    for (int i = 0; i < 4; i++)
        for (int j = 0; j < 4; j++)
            for (int k = 0; k < 40; k++) {
                const double t = 1.0 + k + 7 * i + 31 * j;
                const ll_pose pa = {ll_rotation_about(ll_vec(1, sin(t), cos(3 * t)), t),
                                    ll_vec(0, 0, 0)};
                const ll_pose pb = {ll_rotation_about(ll_vec(sin(5 * t), 1, cos(t)), 2 * t),
                                    ll_vec(8 * sin(1.3 * t), 8 * sin(2.9 * t), 8 * sin(4.7 * t))};
                const double depth = ll_shape_overlap_m(shapes[i], &pa, shapes[j], &pb);
                assert_close(ll_shape_overlap_m(shapes[j], &pb, shapes[i], &pa), depth, 1e-6);
                const ll_vec3 half = ll_scale(0.5, shapes[j]->size_m);
                for (int n = 0; n < 1000; n++) {
                    const ll_vec3 own =
                        ll_vec(half.x * (n % 10 / 4.5 - 1), half.y * (n / 10 % 10 / 4.5 - 1),
                               half.z * (n / 100 / 4.5 - 1));
                    const ll_vec3 world = ll_to_world(&pb, own);
                    if (ll_shape_depth_m(shapes[j], own) >= 0)
                        assert_true(ll_shape_depth_m(shapes[i], ll_to_own(&pa, world)) <=
                                    depth + 0.02);
                }
            }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(blocks_cut_by_the_least_of_their_three_overlaps),
        cmocka_unit_test(bars_along_one_axis_cut_by_radius_or_length),
        cmocka_unit_test(a_rod_in_the_hole_of_a_ring_clears_it_by_the_gap),
        cmocka_unit_test(a_screw_is_its_thread_and_its_head),
        cmocka_unit_test(rods_cut_into_blocks_by_face_edge_and_end),
        cmocka_unit_test(shapes_askew_cut_by_the_least_shift),
        cmocka_unit_test(two_bars_part_edge_against_edge),
        cmocka_unit_test(no_point_contradicts_the_depth),
    };
    return cmocka_run_group_tests(tests, make_shapes, NULL);
}
