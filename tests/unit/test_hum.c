/* test_hum.c - linkage with fields from outside: areas in air, and a far loop by two routes.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "field/source.h"
#include "reading/hum.h"

static ll_outside_field even(double x, double y, double z)
{
    return (ll_outside_field){.even_a_m = ll_vec(x, y, z)};
}

static double linkage(const ll_solution *s, size_t coil, const ll_outside_field *field)
{
    double wb;
    assert_ok(ll_hum_linkage(s, coil, field, &wb));
    return wb;
}

/* In air mu0 H turns area, the area of a round winding being the mean of pi r^2 over its build; fields across give nothing. */
static void a_coil_in_air_links_its_area(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, 0), 8000);
    ll_solution *s = solved(scene, 1);
    const double area_m2 = LL_PI * (8 * 8 * 8 - 3 * 3 * 3) / (3.0 * 5) * 1e-6;
    const ll_outside_field along = even(0, 0, 10), across = even(10, 10, 0);
    assert_relative(linkage(s, 0, &along), LL_MU0 * 10 * 8000 * area_m2, 1e-12);
    assert_close(linkage(s, 0, &across), 0, 1e-18);
    ll_solution_free(s);
}

/* The field of a loop of 40 mm, 0.4 m away, at the pickup: its even part and its gradient by differences. */
static ll_outside_field field_of_loop(const ll_coil *loop, ll_vec3 about_m)
{
    const double d = 1e-3;
    ll_outside_field f = {.about_m = about_m};
    assert_ok(ll_coil_h(&loop->shape, &loop->pose, loop->turns, 1, &about_m, &f.even_a_m));
    for (int k = 0; k < 3; k++) {
        const ll_vec3 step = ll_vec(k == 0 ? d : 0, k == 1 ? d : 0, k == 2 ? d : 0);
        const ll_vec3 at[2] = {ll_sub(about_m, step), ll_add(about_m, step)};
        ll_vec3 h[2];
        assert_ok(ll_coil_h(&loop->shape, &loop->pose, loop->turns, 2, at, h));
        f.gradient_a_m2[0][k] = (h[1].x - h[0].x) / (2 * d);
        f.gradient_a_m2[1][k] = (h[1].y - h[0].y) / (2 * d);
        f.gradient_a_m2[2][k] = (h[1].z - h[0].z) / (2 * d);
    }
    return f;
}

/* A coil with a steel core and the loop: mutual inductance against the linkage with the loop's field for one ampere. What is
 * left out is the field's second derivative, some (20 mm / 0.4 m)^2 of it; without the gradient far more would be. */
static void a_far_loop_is_linked_as_its_field(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 20), mm(20, 0, -2), 300);
    add_coil(scene, round_coil_mm(3, 8, 10), mm(20, 0, 0), 8000);
    const ll_coil loop = {"loop",
                          round_coil_mm(39, 41, 2),
                          {ll_rotation_z_to(ll_vec(1, 0, 2)), mm(150, 200, 310)},
                          100};
    assert_ok(ll_scene_add_coil(scene, &loop));
    ll_solution *s = solved(scene, 1);
    const ll_outside_field field = field_of_loop(&loop, mm(0, 0, 0));
    assert_relative(linkage(s, 0, &field), inductance(s, 0, 1), 0.01);
    ll_outside_field steady = field;
    for (int i = 0; i < 3; i++)
        for (int k = 0; k < 3; k++)
            steady.gradient_a_m2[i][k] = 0;
    assert_true(fabs(linkage(s, 0, &steady) / inductance(s, 0, 1) - 1) > 0.03);
    ll_solution_free(s);
}

/* Two coils wound against each other, side by side: the even field cancels; of the field that grows along their line what is
 * left is the difference of what each takes up at its own place, g y; turned into phase they take up twice one coil's. */
static void coils_that_cancel_still_hear_what_grows_between_them(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, -9, 0), 8000);
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 9, 0), 8000);
    ll_solution *s = solved(scene, 1);
    double wb[2 * LL_HUM_FIELDS];
    assert_ok(ll_hum_linkages(s, 10, 0.1, mm(0, 0, 0), wb));
    const double area_m2 = LL_PI * (8 * 8 * 8 - 3 * 3 * 3) / (3.0 * 5) * 1e-6;
    const double one = LL_MU0 * 10 * 8000 * area_m2, grown = 0.009 / 0.1;
    assert_relative(ll_hum_taken(2, (const double[]){1, 0}, wb), one * hypot(1, grown), 1e-12);
    assert_relative(ll_hum_taken(2, (const double[]){1, -1}, wb), 2 * one * grown, 1e-9);
    assert_relative(ll_hum_taken(2, (const double[]){1, 1}, wb), 2 * one, 1e-9);
    ll_solution_free(s);
}

/* Away from currents a field has neither curl nor divergence (Maxwell): what grows along one direction must do so on both others. */
static void fields_asked_about_are_fields_that_can_be(void **state)
{
    (void)state;
    for (size_t k = 0; k < LL_HUM_FIELDS; k++) {
        const ll_outside_field f = ll_hum_field(k, 3, 0.1, ll_vec(0, 0, 0));
        const double even[3] = {f.even_a_m.x, f.even_a_m.y, f.even_a_m.z};
        double trace = 0;
        for (int i = 0; i < 3; i++) {
            trace += f.gradient_a_m2[i][i];
            assert_close(even[i], (size_t)i == k ? 3 : 0, 1e-12);
            for (int j = 0; j < 3; j++)
                assert_close(f.gradient_a_m2[i][j], f.gradient_a_m2[j][i], 1e-12);
        }
        assert_close(trace, 0, 1e-12);
        for (size_t i = 0; i < 3; i++) /* 3 A/m up at 0.1 m along its own direction */
            assert_close(f.gradient_a_m2[2][i] * 0.1, k == 3 + i ? 3 : 0, 1e-12);
    }
}

static void coils_that_are_not_there_are_refused(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, 0), 8000);
    ll_solution *s = solved(scene, 1);
    const ll_outside_field field = even(0, 0, 1);
    double wb = 7;
    assert_int_equal(ll_hum_linkage(s, 1, &field, &wb), LL_NO_COIL);
    assert_close(wb, 7, 0);
    ll_solution_free(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_coil_in_air_links_its_area),
        cmocka_unit_test(a_far_loop_is_linked_as_its_field),
        cmocka_unit_test(coils_that_cancel_still_hear_what_grows_between_them),
        cmocka_unit_test(fields_asked_about_are_fields_that_can_be),
        cmocka_unit_test(coils_that_are_not_there_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
