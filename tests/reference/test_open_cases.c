/* test_open_cases.c - magnets, steel and coils against converged solutions of general finite-element tools: FreeFEM 4.11
 * (axisymmetric, third order) for A1 to A4, GetDP 3.2 (3-D, second order, infinite shell) for A6. The numbers of the
 * cases are those of the list of open reference cases; errors of the values themselves stand beside them.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"

/* A1: closed form of the uniformly magnetised rod on its axis, exact to the digits given. */
static void rod_magnet_has_its_closed_form_field_on_the_axis(void **state)
{
    (void)state;
    static const double z_b[][2] = {{0.5, 0.476300}, {1, 0.371461}, {2, 0.220056},
                                    {3, 0.134434},   {5, 0.059507}, {8, 0.024334}};
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(5, 17), mm(0, 0, -8.5), magnet(1.2, 1), ll_vec(0, 0, 1));
    ll_solution *s = solved(scene, 1);
    for (size_t i = 0; i < sizeof z_b / sizeof z_b[0]; i++) {
        const ll_vec3 b = b_at(s, mm(0, 0, z_b[i][0]));
        assert_close(b.z, z_b[i][1], 0.6e-6); /* half a unit of the last digit */
        assert_close(hypot(b.x, b.y), 0, 1e-12);
    }
    ll_solution_free(s);
}

/* A2, FreeFEM 4.11, error 1e-4. Tolerance: the aim for every point 0.5 mm or more off the steel. */
static void steel_above_a_magnet_carries_its_field_up(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(5, 17), mm(0, 0, -8.5), magnet(0.38, 1.05), ll_vec(0, 0, 1));
    add_soft(scene, rod_mm(5, 10), mm(0, 0, 5.05), 500);
    ll_solution *s = solved(scene, 1);
    assert_relative(b_at(s, mm(0, 0, 11.05)).z, 0.021630, 0.005);
    assert_relative(b_at(s, mm(0, 0, 13.05)).z, 0.012070, 0.005);
    ll_solution_free(s);
}

/* A3, FreeFEM 4.11, error 5e-5; and A4, the same coil with a core. */
static void a_core_raises_the_inductance_of_a_coil(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 16), mm(0, 0, 0), 100);
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, 0), 8000);
    ll_solution *s = solved(scene, 1);
    double air;
    assert_ok(ll_solution_air_inductance(s, 0, 0, &air));
    assert_relative(air, 0.346662, 0.002);
    assert_relative(inductance(s, 0, 0), 1.12955, 0.005);
    ll_solution_free(s);
}

/* A6, GetDP 3.2, error 0.3 %: tolerance 0.5 % in the air, 1 % on the mean over a pole's section (124.5 mT, from the same
 * solutions, is the last digit of theirs). */
static void six_poles_between_two_bars_match_finite_elements(void **state)
{
    (void)state;
    static const double z_b[][2] = {{6, 40.33}, {7, 31.05}, {8, 24.43}, {10, 16.49}};
    ll_solution *s = solved(a6_scene(), 1);
    for (size_t i = 0; i < sizeof z_b / sizeof z_b[0]; i++)
        assert_relative(1e3 * b_at(s, mm(5.1, 0, z_b[i][0])).z, z_b[i][1], 0.005);
    assert_relative(1e3 * b_at(s, mm(0, 0, 7)).z, 22.12, 0.005);
    const ll_vec3 beside = b_at(s, mm(5.1, 3, 7));
    assert_relative(1e3 * beside.y, 14.44, 0.005);
    assert_relative(1e3 * beside.z, 23.54, 0.005);
    assert_relative(1e3 * section_t(s, 3, -9), 124.5, 0.01);
    ll_solution_free(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rod_magnet_has_its_closed_form_field_on_the_axis),
        cmocka_unit_test(steel_above_a_magnet_carries_its_field_up),
        cmocka_unit_test(a_core_raises_the_inductance_of_a_coil),
        cmocka_unit_test(six_poles_between_two_bars_match_finite_elements),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
