/* test_scene.c - what a scene takes and refuses, what is noticed before solving, and how a solve ends early.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/cache.h"
#include "build.h"
#include "reading/estimator.h"
#include <stdlib.h>
#include <string.h>

/* ---- adding ---- */

static void parts_that_cannot_be_are_refused(void **state)
{
    (void)state;
    ll_material *hard = magnet(0.38, 1), *soft = steel(500);
    const ll_vec3 up = ll_vec(0, 0, 1), none = ll_vec(0, 0, 0);
    const ll_pose here = ll_pose_at(none), nowhere = ll_pose_at(ll_vec(NAN, 0, 0));
    const struct {
        ll_part part;
        ll_status expected;
    } cases[] = {
        {{"fine", rod_mm(5, 17), here, hard, up, 1, LL_CHARGED_ASSEMBLED, 0, 0, {{{0, 0, 0}, 0}}},
         LL_OK},
        {{"reversed",
          rod_mm(5, 17),
          here,
          hard,
          up,
          -1,
          LL_CHARGED_ASSEMBLED,
          0,
          0,
          {{{0, 0, 0}, 0}}},
         LL_OK},
        {{"soft", rod_mm(5, 17), here, soft, none, 1, LL_CHARGED_ASSEMBLED, 0, 0, {{{0, 0, 0}, 0}}},
         LL_OK},
        {{"without north",
          rod_mm(5, 17),
          here,
          hard,
          none,
          1,
          LL_CHARGED_ASSEMBLED,
          0,
          0,
          {{{0, 0, 0}, 0}}},
         LL_NEEDS_NORTH},
        {{"without material",
          rod_mm(5, 17),
          here,
          NULL,
          up,
          1,
          LL_CHARGED_ASSEMBLED,
          0,
          0,
          {{{0, 0, 0}, 0}}},
         LL_BAD_VALUE},
        {{"nowhere",
          rod_mm(5, 17),
          nowhere,
          soft,
          none,
          1,
          LL_CHARGED_ASSEMBLED,
          0,
          0,
          {{{0, 0, 0}, 0}}},
         LL_BAD_VALUE},
        {{"north is no number",
          rod_mm(5, 17),
          here,
          hard,
          ll_vec(0, NAN, 1),
          1,
          LL_CHARGED_ASSEMBLED,
          0,
          0,
          {{{0, 0, 0}, 0}}},
         LL_BAD_VALUE},
        {{"overcharged",
          rod_mm(5, 17),
          here,
          hard,
          up,
          1.01,
          LL_CHARGED_ASSEMBLED,
          0,
          0,
          {{{0, 0, 0}, 0}}},
         LL_BAD_VALUE},
        {{"charge is no number",
          rod_mm(5, 17),
          here,
          hard,
          up,
          NAN,
          LL_CHARGED_ASSEMBLED,
          0,
          0,
          {{{0, 0, 0}, 0}}},
         LL_BAD_VALUE},
    };
    ll_scene *scene = new_scene();
    size_t taken = 0;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_int_equal(ll_scene_add_part(scene, &cases[i].part), cases[i].expected);
        taken += cases[i].expected == LL_OK;
        assert_int_equal(ll_scene_part_count(scene), taken);
    }
    ll_material_free(hard);
    ll_material_free(soft);
    ll_scene_free(scene);
}

static void coils_that_cannot_be_are_refused(void **state)
{
    (void)state;
    const ll_coil_shape shape = round_coil_mm(3, 8, 10);
    const ll_pose here = ll_pose_at(ll_vec(0, 0, 0)), nowhere = ll_pose_at(ll_vec(0, INFINITY, 0));
    const ll_coil refused[] = {{"no turns", shape, here, 0},
                               {"negative turns", shape, here, -1},
                               {"endless turns", shape, here, INFINITY},
                               {"nowhere", shape, nowhere, 8000}};
    ll_scene *scene = new_scene();
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++)
        assert_int_equal(ll_scene_add_coil(scene, &refused[i]), LL_BAD_VALUE);
    assert_int_equal(ll_scene_coil_count(scene), 0);
    ll_scene_free(scene);
}

static void a_scene_keeps_its_own_copies_in_order(void **state)
{
    (void)state;
    char name[] = "pole 1";
    ll_material *soft = steel(500);
    ll_scene *scene = new_scene();
    const ll_part part = {
        name, rod_mm(5, 18),   ll_pose_at(mm(1, 2, 3)), soft, {0, 0, 0}, 1, LL_CHARGED_ASSEMBLED, 0,
        0,    {{{0, 0, 0}, 0}}};
    assert_ok(ll_scene_add_part(scene, &part));
    strcpy(name, "xxxx x");
    ll_material_free(soft);
    add_magnet(scene, block_mm(60, 10, 4), mm(0, 0, -20), magnet(0.38, 1), ll_vec(0, 1, 0));
    add_coil(scene, round_coil_mm(5, 8, 10), mm(1, 2, 3), 100);
    assert_string_equal(ll_scene_part(scene, 0)->name, "pole 1");
    assert_close(ll_material_mu_r(ll_scene_part(scene, 0)->material), 500, 0);
    assert_int_equal(ll_scene_part(scene, 1)->shape.kind, LL_BLOCK);
    assert_close(ll_scene_coil(scene, 0)->turns, 100, 0);
    assert_null(ll_scene_part(scene, 2));
    assert_null(ll_scene_coil(scene, 1));
    ll_scene_free(scene);
    ll_scene_free(NULL);
}

/* ---- clashes ---- */

static ll_clash only_clash(const ll_scene *scene)
{
    ll_clash clash = {0};
    size_t found = 99;
    assert_ok(ll_scene_check(scene, 1, &clash, &found));
    assert_int_equal(found, 1);
    return clash;
}

static void expect_no_clash(const ll_scene *scene)
{
    size_t found = 99;
    assert_ok(ll_scene_check(scene, 0, NULL, &found));
    assert_int_equal(found, 0);
}

/* A bar reaches `depth` into a pole of 5 mm beside it. */
static ll_scene *bar_into_pole(double depth)
{
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 18), mm(0, 0, 0), 500);
    add_magnet(scene, block_mm(60, 10, 4), mm(0, 7.5 - depth, 0), magnet(0.38, 1),
               ll_vec(0, -1, 0));
    return scene;
}

static void a_magnet_that_cuts_into_a_pole_is_named_with_its_depth(void **state)
{
    (void)state;
    static const double cuts[] = {0.002, 0.4, 1.5};
    for (int i = 0; i < 3; i++) {
        ll_scene *scene = bar_into_pole(cuts[i]);
        const ll_clash clash = only_clash(scene);
        assert_false(clash.with_coil);
        assert_int_equal(clash.a, 0);
        assert_int_equal(clash.b, 1);
        assert_close(1e3 * clash.depth_m, cuts[i], 0.05); /* 1 % of the smaller part's size */
        ll_solution *s = NULL;
        assert_int_equal(ll_solve(scene, NULL, &s), LL_OVERLAP);
        assert_null(s);
        ll_scene_free(scene);
    }
}

static void contact_and_cuts_below_a_micrometre_are_no_clash(void **state)
{
    (void)state;
    static const double cuts[] = {-1, 0, 0.0005};
    for (int i = 0; i < 3; i++) {
        ll_scene *scene = bar_into_pole(cuts[i]);
        expect_no_clash(scene);
        ll_scene_free(scene);
    }
}

static void steel_through_steel_is_no_clash(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, block_mm(30, 30, 2), mm(0, 0, -5), 500);
    add_soft(scene, rod_mm(5, 18), mm(0, 0, 0), 500);
    expect_no_clash(scene);
    ll_scene_free(scene);
}

static void a_part_in_the_winding_is_named_and_one_in_its_hole_is_not(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 18), mm(0, 0, 0), 500);
    add_coil(scene, round_coil_mm(2.5, 8, 10), mm(0, 0, 0), 8000);
    expect_no_clash(scene);
    add_coil(scene, round_coil_mm(2.2, 8, 10), mm(0, 0, 0), 8000);
    const ll_clash clash = only_clash(scene);
    assert_true(clash.with_coil);
    assert_int_equal(clash.a, 0);
    assert_int_equal(clash.b, 1);
    assert_close(1e3 * clash.depth_m, 0.3, 0.05);
    ll_scene_free(scene);
}

static void every_clash_is_counted_even_without_room_for_it(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    for (int i = 0; i < 3; i++)
        add_magnet(scene, rod_mm(5, 18), mm(i, 0, 0), magnet(0.38, 1), ll_vec(0, 0, 1));
    ll_clash clash[3] = {{0}};
    size_t found;
    assert_ok(ll_scene_check(scene, 2, clash, &found));
    assert_int_equal(found, 3);
    assert_true(clash[0].depth_m > 0 && clash[1].depth_m > 0);
    assert_close(clash[2].depth_m, 0, 0);
    ll_scene_free(scene);
}

/* ---- solving ---- */

static void an_empty_scene_has_no_field(void **state)
{
    (void)state;
    ll_solution *s = solved(new_scene(), 1);
    assert_close(ll_norm(b_at(s, mm(1, 2, 3))), 0, 0);
    assert_int_equal(ll_solution_facts(s).bodies, 0);
    ll_solution_free(s);
    ll_solution_free(NULL);
}

static ll_scene *pole_with_coil(void)
{
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 16), mm(0, 0, 0), 100);
    add_magnet(scene, rod_mm(5, 4), mm(0, 0, -11), magnet(0.38, 1), ll_vec(0, 0, 1));
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, 0), 8000);
    return scene;
}

static void options_out_of_range_are_refused(void **state)
{
    (void)state;
    static const double refused[] = {-1, 0.01, 1000, NAN};
    ll_scene *scene = pole_with_coil();
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
        const ll_solve_options options = {.fineness = refused[i]};
        ll_solution *s = NULL;
        assert_int_equal(ll_solve(scene, &options, &s), LL_BAD_VALUE);
        assert_null(s);
    }
    ll_scene_free(scene);
}

static void a_memory_limit_is_kept(void **state)
{
    (void)state;
    ll_scene *scene = pole_with_coil();
    const ll_solve_options tight = {.memory_limit_bytes = 100000},
                           roomy = {.fineness = 0.5, .memory_limit_bytes = 200000000};
    ll_solution *s = NULL;
    assert_int_equal(ll_solve(scene, &tight, &s), LL_TOO_BIG);
    assert_null(s);
    assert_ok(ll_solve(scene, &roomy, &s));
    assert_in_range(ll_solution_facts(s).memory_bytes, 1, 200000000);
    ll_solution_free(s);
    ll_scene_free(scene);
}

/* Counts its calls and stops at one of them. */
typedef struct listener {
    int calls, stop_at;
    double last;
} listener;

static bool listen(void *context, double share_done)
{
    listener *l = context;
    assert_true(share_done >= l->last && share_done <= 1);
    l->last = share_done;
    return ++l->calls != l->stop_at;
}

static void a_solve_can_be_stopped_whenever_it_reports(void **state)
{
    (void)state;
    ll_scene *scene = pole_with_coil();
    listener all = {0, 0, 0};
    const ll_progress progress = {listen, &all};
    const ll_solve_options options = {.fineness = 0.5, .progress = &progress};
    ll_solution *s = NULL;
    ll_cache_empty(); /* what was met before has less to report */
    assert_ok(ll_solve(scene, &options, &s));
    ll_solution_free(s);
    assert_true(all.calls >= 3);
    for (int stop = 1; stop <= all.calls; stop++) {
        listener some = {0, stop, 0};
        const ll_progress short_one = {listen, &some};
        const ll_solve_options stopped = {.fineness = 0.5, .progress = &short_one};
        s = NULL;
        ll_cache_empty();
        assert_int_equal(ll_solve(scene, &stopped, &s), LL_CANCELLED);
        assert_null(s);
        assert_int_equal(some.calls, stop);
    }
    ll_scene_free(scene);
}

static void a_solution_outlives_its_scene_and_tells_how_it_was_reached(void **state)
{
    (void)state;
    ll_solution *s = solved(pole_with_coil(), 0.5);
    const ll_solve_facts facts = ll_solution_facts(s);
    assert_int_equal(ll_scene_part_count(ll_solution_scene(s)), 2);
    assert_int_equal(facts.bodies, 1);
    assert_int_equal(facts.degree, 2);
    assert_true(facts.unknowns > 50);
    /* No steps at all when the same steel and coil were solved before. */
    assert_true(facts.memory_bytes > 0 && facts.seconds > 0);
    assert_true(b_at(s, mm(0, 0, 9)).z > 0);
    ll_solution_free(s);
}

/* What rests on a scene has counted its parts and coils: see scene.h. */
static void expect_closed(ll_scene *scene)
{
    const ll_coil coil = {"late", round_coil_mm(3, 8, 10), ll_pose_at(mm(50, 0, 0)), 5000};
    const ll_part part = {.name = "late",
                          .shape = rod_mm(5, 17),
                          .pose = ll_pose_at(mm(80, 0, 0)),
                          .material = steel(500),
                          .charge = 1};
    assert_int_equal(ll_scene_add_coil(scene, &coil), LL_IN_USE);
    assert_int_equal(ll_scene_add_part(scene, &part), LL_IN_USE);
    assert_int_equal(ll_scene_coil_count(scene), 1);
    assert_int_equal(ll_scene_part_count(scene), 1);
    ll_material_free((ll_material *)part.material);
}

static void a_scene_that_was_solved_takes_no_more(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 17), mm(0, 0, 0), 500);
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, 0), 5000);
    ll_solution *solution;
    assert_ok(ll_solve(scene, &(ll_solve_options){.fineness = 0.5}, &solution));
    const double before = inductance(solution, 0, 0);
    expect_closed(scene);
    assert_close(inductance(solution, 0, 0), before, 0);
    double none = -1;
    assert_int_equal(ll_solution_inductance(solution, 1, 1, &none), LL_NO_COIL);
    ll_solution_free(solution);
    expect_closed(scene);
    ll_scene_free(scene);
}

static void a_scene_given_to_an_estimator_takes_no_more(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 17), mm(0, 0, 0), 500);
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, 0), 5000);
    ll_estimator *estimator;
    assert_ok(ll_estimator_new(scene, NULL, 0, &estimator));
    expect_closed(scene);
    ll_estimator_free(estimator);
    ll_scene_free(scene);
}

static void readings_of_what_is_not_there_are_refused(void **state)
{
    (void)state;
    ll_solution *s = solved(pole_with_coil(), 0.5);
    double value = 77;
    ll_vec3 h = ll_vec(7, 7, 7);
    const ll_vec3 p = mm(0, 0, 12);
    assert_int_equal(ll_solution_section_bz(s, 2, 0, &value), LL_NO_PART);
    assert_int_equal(ll_solution_section_bz(s, 0, 0.0081, &value), LL_OUTSIDE_PART);
    assert_int_equal(ll_solution_section_bz(s, 0, -0.0081, &value), LL_OUTSIDE_PART);
    assert_int_equal(ll_solution_section_bz(s, 1, -0.0131, &value), LL_OUTSIDE_PART);
    assert_int_equal(ll_solution_inductance(s, 0, 1, &value), LL_NO_COIL);
    assert_int_equal(ll_solution_inductance(s, 1, 0, &value), LL_NO_COIL);
    assert_int_equal(ll_solution_air_inductance(s, 1, 1, &value), LL_NO_COIL);
    assert_int_equal(ll_solution_coil_h(s, 1, 1, &p, &h), LL_NO_COIL);
    assert_close(value, 77, 0);
    assert_close(h.x + h.y + h.z, 21, 0);
    ll_solution_free(s);
}

static double travel(const ll_scene *scene, size_t part, double up, double most_mm)
{
    double m;
    assert_ok(ll_scene_travel(scene, part, ll_vec(0, 0, up), 1e-3 * most_mm, &m));
    assert_true(m <= 1e-3 * most_mm * (1 + 1e-9));
    return 1e3 * m;
}

/* A blade 0.7 mm above a magnet, under a sheet of brass 0.3 mm thick that is 1.2 mm away, in a winding that it clears. */
static void a_part_travels_until_it_meets_another(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, block_mm(60, 2.5, 14), mm(0, 0, -7), 500);
    assert_close(travel(scene, 0, -1, 2), 2, 1e-9);
    add_magnet(scene, block_mm(60, 12, 5), mm(0, 0, -17.2), magnet(0.38, 1), ll_vec(0, 0, 1));
    assert_close(travel(scene, 0, -1, 2), 0.7, 0.02);
    assert_true(travel(scene, 0, -1, 2) <= 0.7 + 1e-3);
    add_magnet(scene, block_mm(70, 30, 0.3), mm(0, 0, 1.35), magnet(0.1, 1), ll_vec(0, 0, 1));
    assert_close(travel(scene, 0, 1, 5), 1.2, 0.05);
    assert_close(travel(scene, 0, 1, 1), 1, 1e-9);
    double m = 7;
    assert_int_equal(ll_scene_travel(scene, 9, ll_vec(0, 0, 1), 1e-3, &m), LL_NO_PART);
    assert_int_equal(ll_scene_travel(scene, 0, ll_vec(0, 0, 1), 0, &m), LL_BAD_VALUE);
    assert_close(m, 7, 0);
    ll_scene_free(scene);
}

/* Sideways the winding is in the way. */
static void a_part_travels_as_far_as_the_opening_lets_it(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 16), mm(0, 0, -8), 500);
    add_coil(scene, round_coil_mm(3.2, 8, 10), mm(0, 0, -8), 8000);
    double m;
    assert_ok(ll_scene_travel(scene, 0, ll_vec(1, 0, 0), 2e-3, &m));
    assert_close(m, 0.7e-3, 0.03e-3);
    ll_scene_free(scene);
}

/* Rectangles around two openings, one of which reaches over the edge: together they are the plate less the squares. */
static void tiles_leave_the_holes_out(void **state)
{
    (void)state;
    const ll_vec3 middle[] = {mm(-10, 2, 0), mm(12, 0, 0), mm(29, 5, 0)};
    const double radius[] = {2e-3, 3e-3, 2e-3};
    ll_tile tile[64];
    const size_t n = ll_plate_tiles(60e-3, 30e-3, 3, middle, radius, 64, tile);
    double area = 0;
    assert_true(n > 8 && n < 64);
    for (size_t i = 0; i < n; i++) {
        area += (tile[i].x_m[1] - tile[i].x_m[0]) * (tile[i].y_m[1] - tile[i].y_m[0]);
        for (int k = 0; k < 3; k++)
            assert_false(tile[i].x_m[0] < middle[k].x + radius[k] - 1e-9 &&
                         tile[i].x_m[1] > middle[k].x - radius[k] + 1e-9 &&
                         tile[i].y_m[0] < middle[k].y + radius[k] - 1e-9 &&
                         tile[i].y_m[1] > middle[k].y - radius[k] + 1e-9);
    }
    assert_relative(area, (60 * 30 - 4 * 4 - 6 * 6 - 3 * 4) * 1e-6, 1e-9);
    assert_int_equal(ll_plate_tiles(60e-3, 30e-3, 0, NULL, NULL, 64, tile), 1);
}

static size_t clashes_of_screw(double x_mm, double thread_mm, double turn)
{
    ll_scene *scene = new_scene();
    ll_material *brass;
    size_t found;
    const ll_rotation about = ll_rotation_about(ll_vec(1, 2, 3), turn);
    assert_ok(ll_material_conductor(1.5e7, &brass));
    const ll_pose pose = {about, ll_rotate(&about, mm(0, 0, -17))};
    ll_part plate = {.name = "plate",
                     .shape = block_mm(60, 30, 1),
                     .pose = pose,
                     .material = brass,
                     .holes = 2,
                     .hole = {{ll_to_world(&pose, mm(-10, 2, 0)), 1.7e-3},
                              {ll_to_world(&pose, mm(12, 0, 0)), 1.7e-3}}};
    assert_ok(ll_scene_add_part(scene, &plate));
    ll_material_free(brass);
    add_posed(scene, screw_mm(thread_mm, 20, 5, 2),
              (ll_pose){about, ll_rotate(&about, mm(x_mm, 0, -10))}, steel(500), ll_vec(0, 0, 0));
    assert_ok(ll_scene_check(scene, 0, NULL, &found));
    ll_scene_free(scene);
    return found;
}

/* A screw passes through its hole, and nowhere else; whichever way both are turned. */
static void a_screw_passes_through_a_hole(void **state)
{
    (void)state;
    for (int k = 0; k < 4; k++) {
        assert_int_equal(clashes_of_screw(12, 3, 0.7 * k), 0);
        assert_int_equal(clashes_of_screw(12.3, 3, 0.7 * k), 1);
        assert_int_equal(clashes_of_screw(12, 3.6, 0.7 * k), 1);
        assert_int_equal(clashes_of_screw(0, 3, 0.7 * k), 1);
        assert_int_equal(clashes_of_screw(-10, 3, 0.7 * k), 1); /* that hole is 2 mm aside */
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parts_that_cannot_be_are_refused),
        cmocka_unit_test(coils_that_cannot_be_are_refused),
        cmocka_unit_test(a_scene_keeps_its_own_copies_in_order),
        cmocka_unit_test(a_magnet_that_cuts_into_a_pole_is_named_with_its_depth),
        cmocka_unit_test(contact_and_cuts_below_a_micrometre_are_no_clash),
        cmocka_unit_test(steel_through_steel_is_no_clash),
        cmocka_unit_test(a_part_in_the_winding_is_named_and_one_in_its_hole_is_not),
        cmocka_unit_test(every_clash_is_counted_even_without_room_for_it),
        cmocka_unit_test(an_empty_scene_has_no_field),
        cmocka_unit_test(options_out_of_range_are_refused),
        cmocka_unit_test(a_memory_limit_is_kept),
        cmocka_unit_test(a_solve_can_be_stopped_whenever_it_reports),
        cmocka_unit_test(a_solution_outlives_its_scene_and_tells_how_it_was_reached),
        cmocka_unit_test(a_scene_that_was_solved_takes_no_more),
        cmocka_unit_test(a_scene_given_to_an_estimator_takes_no_more),
        cmocka_unit_test(readings_of_what_is_not_there_are_refused),
        cmocka_unit_test(a_part_travels_until_it_meets_another),
        cmocka_unit_test(a_part_travels_as_far_as_the_opening_lets_it),
        cmocka_unit_test(tiles_leave_the_holes_out),
        cmocka_unit_test(a_screw_passes_through_a_hole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
