/* test_moving_turns.c - turns that move in a field, against the flux that they lose.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "reading/moving_turns.h"

/* A round coil around a rod magnet, shifted up by z; a thin layer of it, so that its turns are one circle each. */
static ll_solution *coil_over_rod(double z_mm)
{
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(5, 17), mm(0, 0, -8.5), magnet(1.2, 1), ll_vec(0, 0, 1));
    add_coil(scene, round_coil_mm(4, 7, 6), mm(0, 0, z_mm), 5000);
    return solved(scene, 0.5);
}

/* Flux through a circle by rings of Bz: 400 midpoints of radius, the field of an axial magnet being round. */
static double flux(const ll_solution *s, double radius_mm, double z_mm)
{
    enum { RINGS = 400 };
    double sum = 0;
    for (int i = 0; i < RINGS; i++) {
        const double r = radius_mm * (i + 0.5) / RINGS;
        sum += 2 * LL_PI * 1e-3 * r * 1e-3 * radius_mm / RINGS * b_at(s, mm(r, 0, z_mm)).z;
    }
    return sum;
}

/* Turns that move up lose flux: the voltage is minus its slope, mean over the layer's height by five Gauss points (Abramowitz
 * and Stegun, table 25.4). Above the rod, where no edge comes near. */
static void moving_turns_lose_flux(void **state)
{
    (void)state;
    static const double at[] = {-0.9061798459, -0.5384693101, 0, 0.5384693101, 0.9061798459},
                        weight[] = {0.2369268850, 0.4786286705, 0.5688888889, 0.4786286705,
                                    0.2369268850};
    ll_solution *s = coil_over_rod(6);
    ll_vec3 v;
    double slope = 0;
    assert_ok(ll_moving_turns(s, 0, 2e-3, 2e-3, 100, &v));
    for (int i = 0; i < 5; i++) {
        const double z = 6 + 3 * at[i], h = 0.05;
        slope += weight[i] / 2 * (flux(s, 6, z + h) - flux(s, 6, z - h)) / (2e-3 * h);
    }
    assert_relative(v.z, -100 * slope, 2e-3);
    assert_close(v.x, 0, 1e-6 * fabs(v.z));
    assert_close(v.y, 0, 1e-6 * fabs(v.z));
    ll_solution_free(s);
}

/* In the middle of the magnet's length flux neither grows nor falls as they move up; off the axis they hear sideways motion. */
static void turns_around_the_middle_are_silent(void **state)
{
    (void)state;
    ll_solution *middle = coil_over_rod(-8.5), *above = coil_over_rod(6);
    ll_vec3 a, b;
    assert_ok(ll_moving_turns(middle, 0, 1e-3, 2e-3, 100, &a));
    assert_ok(ll_moving_turns(above, 0, 1e-3, 2e-3, 100, &b));
    assert_close(a.z, 0, 1e-3 * fabs(b.z));
    ll_solution_free(middle);
    ll_solution_free(above);
}

static void depths_and_coils_that_cannot_be_are_refused(void **state)
{
    (void)state;
    ll_solution *s = coil_over_rod(6);
    ll_vec3 v = ll_vec(7, 7, 7);
    assert_int_equal(ll_moving_turns(s, 1, 0, 1e-3, 10, &v), LL_NO_COIL);
    assert_int_equal(ll_moving_turns(s, 0, -1e-3, 1e-3, 10, &v), LL_BAD_VALUE);
    assert_int_equal(ll_moving_turns(s, 0, 2e-3, 1e-3, 10, &v), LL_BAD_VALUE);
    assert_int_equal(ll_moving_turns(s, 0, 0, 3.1e-3, 10, &v), LL_BAD_VALUE);
    assert_close(v.x, 7, 0);
    ll_solution_free(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(moving_turns_lose_flux),
        cmocka_unit_test(turns_around_the_middle_are_silent),
        cmocka_unit_test(depths_and_coils_that_cannot_be_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
