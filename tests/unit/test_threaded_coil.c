/* test_threaded_coil.c - steel that goes through a coil and around it: an open U and a T are computed, a closed ring is told.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"

/* Two legs and a foot, one leg through the coil, both reaching beyond it; with a yoke on top they are a ring. */
static ll_scene *frame(double yoke_gap_mm, bool yoke)
{
    ll_scene *scene = new_scene();
    add_soft(scene, block_mm(4, 4, 20), mm(0, 0, 0), 500);
    add_soft(scene, block_mm(4, 4, 20), mm(14, 0, 0), 500);
    add_soft(scene, block_mm(18, 4, 4), mm(7, 0, -12), 500);
    if (yoke)
        add_soft(scene, block_mm(18, 4, 4), mm(7, 0, 12 + yoke_gap_mm), 500);
    add_coil(scene, round_coil_mm(6, 9, 4), mm(0, 0, 0), 1000);
    add_coil(scene, round_coil_mm(2, 3, 2), mm(20, 3, 8), 500);
    return scene;
}

static void a_closed_ring_of_steel_is_told_by_the_readings_that_need_the_coil(void **state)
{
    (void)state;
    ll_solution *s = solved(frame(0, true), 1);
    double l_h = -1;
    ll_vec3 b;
    const ll_vec3 at = mm(0, 0, 30);
    assert_int_equal(ll_solution_inductance(s, 0, 0, &l_h), LL_RING_AROUND_COIL);
    assert_int_equal(ll_solution_inductance(s, 1, 0, &l_h), LL_RING_AROUND_COIL);
    assert_true(l_h == -1);
    assert_ok(ll_solution_inductance(s, 1, 1, &l_h));
    assert_ok(ll_solution_b(s, 1, &at, &b));
    ll_solution_free(s);
}

/* One link of a chain in the other: the winding goes through the hole of a ring. Beside the coil it is a ring like any other. */
static void a_ring_linked_with_a_coil_is_told(void **state)
{
    (void)state;
    for (int tetrahedra = 0; tetrahedra < 2; tetrahedra++)
        for (int linked = 0; linked < 2; linked++) {
            const ll_solve_options options = {.tetrahedra = tetrahedra};
            ll_scene *scene = new_scene();
            const ll_pose pose = {ll_rotation_about(ll_vec(1, 0, 0), LL_PI / 2),
                                  mm(linked ? 6.75 : 20, 0, 0)};
            add_posed(scene, ring_mm(13, 9, 3), pose, steel(500), ll_vec(0, 0, 0));
            add_coil(scene, round_coil_mm(6, 7.5, 2), mm(0, 0, 0), 1000);
            ll_solution *s;
            double l_h;
            assert_ok(ll_solve(scene, &options, &s));
            assert_int_equal(ll_solution_inductance(s, 0, 0, &l_h),
                             linked ? LL_RING_AROUND_COIL : LL_OK);
            ll_solution_free(s);
            ll_scene_free(scene);
        }
}

/* Reciprocity; 0.2 %, as the mesh answers one coil better than the other. */
static void an_open_frame_has_equal_mutual_inductances_both_ways(void **state)
{
    (void)state;
    ll_solution *s = solved(frame(0.1, true), 1);
    double m12, m21;
    assert_ok(ll_solution_inductance(s, 0, 1, &m12));
    assert_ok(ll_solution_inductance(s, 1, 0, &m21));
    assert_relative(m12, m21, 2e-3);
    ll_solution_free(s);
}

/* Closing the frame but for two gaps: each step towards the ring adds inductance. The potential's branch on the outer leg decides:
 * with that of the leg in the coil the yoke would take inductance away. */
static void inductance_grows_as_the_frame_closes(void **state)
{
    (void)state;
    double before = 0;
    static const double gap_mm[] = {-1, 1, 0.1};
    for (size_t i = 0; i < sizeof gap_mm / sizeof *gap_mm; i++) {
        ll_solution *s = solved(frame(gap_mm[i], gap_mm[i] > 0), 1);
        const double l_h = inductance(s, 0, 0);
        assert_true(l_h > 1.05 * before);
        before = l_h;
        ll_solution_free(s);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_closed_ring_of_steel_is_told_by_the_readings_that_need_the_coil),
        cmocka_unit_test(a_ring_linked_with_a_coil_is_told),
        cmocka_unit_test(an_open_frame_has_equal_mutual_inductances_both_ways),
        cmocka_unit_test(inductance_grows_as_the_frame_closes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
