/* test_past.c - magnets that take and lose charge from scene to scene: what must hold whatever the figures are, and what is refused. What
 * finite elements say stands in reference/test_charging.c.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "magnetics/past.h"

static void add_rod_at(ll_scene *scene, const char *grade, double x_mm, double north)
{
    ll_material *m;
    assert_ok(ll_material_named(grade, &m));
    add_magnet(scene, rod_mm(4.8, 17), mm(x_mm, 0, -8.5), m, ll_vec(0, 0, north));
}

static ll_scene *one_rod(const char *grade, double north)
{
    ll_scene *scene = new_scene();
    add_rod_at(scene, grade, 0, north);
    return scene;
}

/* A solution at the lowest level; frees the scene. */
static ll_solution *follow(ll_scene *scene, const ll_past *const *past, const double *current_a)
{
    const ll_solve_options options = {.level = 1, .past = past, .current_a = current_a};
    ll_solution *s;
    assert_ok(ll_solve(scene, &options, &s));
    ll_scene_free(scene);
    return s;
}

static ll_past *begin(bool full)
{
    ll_past *past;
    assert_ok(full ? ll_past_full(0, &past) : ll_past_virgin(0, &past));
    return past;
}

/* The past of part 0; frees the solution. */
static ll_past *leave(ll_solution *s)
{
    ll_past *past;
    assert_ok(ll_solution_past(s, 0, &past));
    ll_solution_free(s);
    return past;
}

static double charge_of(const ll_solution *s, size_t part)
{
    ll_magnetised m;
    assert_ok(ll_solution_magnetised(s, part, &m));
    return m.charge;
}

/* The law of a full magnet is its demagnetisation curve, so it must work where one does that was charged where it stands. */
static void a_full_rod_is_one_that_was_charged_in_place(void **state)
{
    (void)state;
    static const char *const grades[] = {"AlNiCo 2", "AlNiCo 5", "AlNiCo 8"};
    for (int g = 0; g < 3; g++) {
        ll_past *full = begin(true);
        ll_solution *own = follow(one_rod(grades[g], 1), (const ll_past *[]){full}, NULL),
                    *known = solved(one_rod(grades[g], 1), 0.7);
        for (double z = 0.5; z < 10; z += 3)
            assert_relative(b_at(own, mm(1, 0, z)).z, b_at(known, mm(1, 0, z)).z, 3e-3);
        ll_solution_free(own);
        ll_solution_free(known);
        ll_past_free(full);
    }
}

static void a_virgin_rod_alone_has_no_field(void **state)
{
    (void)state;
    ll_past *virgin = begin(false);
    ll_solution *s = follow(one_rod("AlNiCo 5", 1), (const ll_past *[]){virgin}, NULL);
    assert_close(b_at(s, mm(0, 0, 1)).z, 0, 1e-9);
    assert_close(charge_of(s, 0), 0, 1e-9);
    ll_solution_free(s);
    ll_past_free(virgin);
}

/* A coil of 300 turns around a rod. */
static ll_scene *rod_in_coil(double north)
{
    ll_scene *scene = one_rod("AlNiCo 2", north);
    add_coil(scene, round_coil_mm(4, 10, 20), mm(0, 0, -8.5), 300);
    return scene;
}

/* Rod and winding, the current and then none; what is left of full charge. */
static double pulsed(double north, double ampere, ll_past *past, ll_past **after)
{
    ll_past *during =
        leave(follow(rod_in_coil(north), (const ll_past *[]){past}, (double[]){ampere}));
    ll_solution *s = follow(rod_in_coil(north), (const ll_past *[]){during}, NULL);
    const double charge = charge_of(s, 0);
    ll_past_free(during);
    if (after)
        assert_ok(ll_solution_past(s, 0, after));
    ll_solution_free(s);
    return charge;
}

static void a_larger_pulse_charges_more_and_its_reverse_the_other_way(void **state)
{
    (void)state;
    ll_past *virgin = begin(false);
    double before = 0;
    for (double ampere = 4; ampere < 30; ampere += 6) {
        const double charge = pulsed(1, ampere, virgin, NULL);
        assert_true(charge > before);
        before = charge;
    }
    assert_relative(pulsed(1, -16, virgin, NULL), -pulsed(1, 16, virgin, NULL), 1e-3);
    assert_relative(pulsed(-1, -16, virgin, NULL), pulsed(1, 16, virgin, NULL), 1e-3);
    ll_past_free(virgin);
}

/* Wiping out, in space: after a pulse the same one again changes nothing, and a larger one does what it does to a virgin rod. */
static void a_larger_pulse_forgets_what_was_before(void **state)
{
    (void)state;
    ll_past *virgin = begin(false), *small, *again;
    const double once = pulsed(1, 10, virgin, &small);
    assert_relative(pulsed(1, 10, small, &again), once, 2e-3);
    assert_relative(pulsed(1, 25, again, NULL), pulsed(1, 25, virgin, NULL), 2e-3);
    ll_past_free(virgin);
    ll_past_free(small);
    ll_past_free(again);
}

/* Two virgin rods in line with one strong magnet: the nearer takes more; a rod far off knows nothing of it. */
static void a_neighbour_in_the_stray_field_takes_some_charge(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    static const double x_mm[] = {0, 12, 500};
    for (int i = 0; i < 3; i++)
        add_rod_at(scene, "AlNiCo 2", x_mm[i], 1);
    for (int end = 0; end < 2; end++)
        add_magnet(scene, rod_mm(20, 10), mm(0, 0, end ? 5.2 : -22.2), magnet(1.3, 1.05),
                   ll_vec(0, 0, 1));
    ll_past *virgin = begin(false);
    ll_solution *s = follow(scene, (const ll_past *[]){virgin, virgin, virgin, NULL, NULL}, NULL);
    assert_true(charge_of(s, 0) > 0.9);
    assert_true(fabs(charge_of(s, 1)) < charge_of(s, 0) && fabs(charge_of(s, 1)) > 0.01);
    assert_true(fabs(charge_of(s, 2)) < 1e-3);
    ll_magnetised m;
    assert_int_equal(ll_solution_magnetised(s, 3, &m), LL_NO_PART);
    assert_int_equal(ll_solution_magnetised(s, 9, &m), LL_NO_PART);
    ll_solution_free(s);
    ll_past_free(virgin);
}

/* ---- refused ---- */

static ll_status try(ll_scene *scene, const ll_solve_options *options)
{
    ll_solution *s = NULL;
    const ll_status status = ll_solve(scene, options, &s);
    assert_null(s);
    ll_scene_free(scene);
    return status;
}

static void what_cannot_be_followed_is_refused(void **state)
{
    (void)state;
    ll_past *virgin = begin(false), *none = NULL;
    const ll_past *past[] = {virgin, NULL, NULL};
    const double nothing[] = {NAN}, ten[] = {10};
    assert_int_equal(ll_past_virgin(-1, &none), LL_BAD_VALUE);
    assert_int_equal(ll_past_full(NAN, &none), LL_BAD_VALUE);
    assert_null(none);
    assert_int_equal(try(rod_in_coil(1), &(ll_solve_options){.past = past, .current_a = nothing}),
                     LL_BAD_VALUE);
    assert_int_equal(try(rod_in_coil(1), &(ll_solve_options){.current_a = ten}), LL_BAD_VALUE);
    assert_int_equal(try(rod_in_coil(1), &(ll_solve_options){.past = past, .tetrahedra = true}),
                     LL_BAD_VALUE);
    ll_scene *touching = one_rod("AlNiCo 2", 1);
    add_soft(touching, rod_mm(10, 2), mm(0, 0, 1), 500);
    assert_int_equal(try(touching, &(ll_solve_options){.past = past}), LL_BAD_VALUE);
    /* A straight law without its coercive field. */
    assert_int_equal(try(one_rod("ferrite C8", 1), &(ll_solve_options){.past = past}),
                     LL_BAD_VALUE);
    ll_past_free(virgin);
    ll_past_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_full_rod_is_one_that_was_charged_in_place),
        cmocka_unit_test(a_virgin_rod_alone_has_no_field),
        cmocka_unit_test(a_larger_pulse_charges_more_and_its_reverse_the_other_way),
        cmocka_unit_test(a_larger_pulse_forgets_what_was_before),
        cmocka_unit_test(a_neighbour_in_the_stray_field_takes_some_charge),
        cmocka_unit_test(what_cannot_be_followed_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
