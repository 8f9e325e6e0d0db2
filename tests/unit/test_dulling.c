/* test_dulling.c - how eddy currents dull a string, where the answer is known without them: behind a screen nothing is heard.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "string/dulling.h"
#include "string/hearing.h"

enum { COUNT = 4 };
static const double f_hz[COUNT] = {20, 1000, 20000, 50000};
static const double share[1] = {1};

/* A magnet that does not conduct in a coil, under a copper sheet, 1 mm thick. */
static ll_solution *screened(void)
{
    ll_scene *scene = new_scene();
    ll_material *copper;
    assert_ok(ll_material_conductor(5.8e7, &copper));
    add_magnet(scene, rod_mm(5, 16), mm(0, 0, -8), magnet(1.1, 1), ll_vec(0, 0, 1));
    add_posed(scene, block_mm(50, 50, 1), ll_pose_at(mm(0, 0, 1)), copper, ll_vec(0, 0, 0));
    add_coil(scene, round_coil_mm(3, 6, 8), mm(0, 0, -5), 8000);
    return solved(scene, 1);
}

/* What is left of the slope at each frequency, over what it is without currents. */
static void remaining(const ll_eddies *eddies, double z_mm, double complex *left)
{
    ll_material *m = steel(200);
    const ll_string string = {0.43e-3, 0.43e-3, m, 0, 1e-3 * z_mm, NULL};
    ll_hearing *h;
    double dz, dx;
    assert_ok(ll_hearing_new(ll_eddies_solution(eddies), share, &string, &h));
    ll_hearing_total(h, &dz, &dx);
    assert_ok(ll_dulling(eddies, share, &string, COUNT, f_hz, left));
    for (size_t k = 0; k < COUNT; k++)
        left[k] = 1 + left[k] / dz;
    ll_hearing_free(h);
    ll_material_free(m);
}

/* Currents that keep the coil's field out of a sheet's far side keep the string out of the coil (reciprocity): whatever
 * adds to the slope without currents must be taken away with them. At 20 Hz hardly anything is missing yet; 1 mm of copper is
 * two skin depths at 20 kHz and more than three at 50 kHz. */
static void nothing_is_heard_behind_a_screen(void **state)
{
    (void)state;
    static const double z_mm[] = {3, 5};
    ll_solution *s = screened();
    ll_eddies *eddies;
    assert_ok(ll_eddies_new(s, NULL, COUNT, f_hz, &eddies));
    for (int i = 0; i < 2; i++) {
        double complex left[COUNT];
        remaining(eddies, z_mm[i], left);
        assert_true(cabs(left[0] - 1) < 0.05);
        assert_true(cabs(left[1]) < cabs(left[0]) && cabs(left[2]) < 0.2 * cabs(left[1]));
        assert_true(cabs(left[2]) < 0.06);
        assert_true(cabs(left[3]) < 0.03);
    }
    ll_eddies_free(eddies);
    ll_solution_free(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_is_heard_behind_a_screen),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
