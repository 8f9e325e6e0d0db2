/* test_steel_reference.c - soft steel against values from outside: demagnetising factors, the polarisability of a cube, the
 * two-bar pickup as the trade knows it. SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"

/* ---- a uniform field ---- */

/* Two large blocks far off; over the length of a rod their field changes by 0.1 % at most, and by nothing to second order in
 * the mean that a long rod takes. */
static void add_uniform_field(ll_scene *scene)
{
    for (int side = -1; side <= 1; side += 2)
        add_magnet(scene, block_mm(2000, 2000, 500), mm(0, 0, 4000 * side), magnet(1, 1),
                   ll_vec(0, 0, 1));
}

/* Ballistic demagnetising factor (H0 - H) / M over the middle section of a rod of 5 mm. */
static double ballistic_factor(double slenderness, double mu_r, double fineness)
{
    ll_scene *empty = new_scene(), *scene = new_scene();
    add_uniform_field(empty);
    add_uniform_field(scene);
    add_soft(scene, rod_mm(5, 5 * slenderness), mm(0, 0, 0), mu_r);
    ll_solution *without = solved(empty, 1), *with = solved(scene, fineness);
    const double applied = b_at(without, mm(0, 0, 0)).z, b = section_t(with, 2, 0);
    ll_solution_free(without);
    ll_solution_free(with);
    return (applied - b / mu_r) / (b - b / mu_r);
}

/* Axisymmetric finite elements of third order (FreeFEM 4.11, decks/ballistic.edp, error 1e-4), relative permeability
 * 1e6. The measured values of R. M. Bozorth and D. M. Chapin, J. Appl. Phys. 13 (1942) 320, are 0.040, 0.0172 and 0.00617
 * (from memory): up to 15 % higher for the longer rods, so they make no check. */
static void permeable_rods_have_the_ballistic_factors_of_finite_elements(void **state)
{
    (void)state;
    assert_relative(ballistic_factor(5, 1e6, 0.7), 0.0398813, 2e-3);
    assert_relative(ballistic_factor(10, 1e6, 0.7), 0.0152994, 2e-3);
    assert_relative(ballistic_factor(20, 1e6, 0.7), 0.0053610, 3e-3);
}

/* D.-X. Chen, J. Brug, R. Goldfarb, IEEE Trans. Magn. 27 (1991) 3601, susceptibility going to zero (digits computed from
 * their formula). At 0.02 the factor is a small difference of two fields: 3 % of it is 1e-4 of the field. */
static void weak_rods_have_the_fluxmetric_factors_of_chen_brug_and_goldfarb(void **state)
{
    (void)state;
    static const double table[][2] = {{1, 0.232211}, {2, 0.0935061}, {5, 0.0188912}};
    for (int i = 0; i < 3; i++)
        assert_relative(ballistic_factor(table[i][0], 1.02, 1), table[i][1], 0.03);
}

/* ---- polarisability ---- */

/* Moment per applied field and volume of a body in the field of two far opposite charges, read from the steel's answer
 * on the axis at forty times its size, where the next multipole is of the order of 1e-3. */
static double polarisability(ll_shape shape, double mu_r, double fineness)
{
    ll_scene *scene = new_scene();
    add_soft(scene, shape, mm(0, 0, 0), mu_r);
    const double away = 10 * ll_norm(shape.size_m), volume = ll_shape_volume_m3(&shape);
    ll_solution *s = solved(scene, fineness);
    const double far = 100 * ll_norm(shape.size_m);
    const ll_vec3 at[2] = {{0, 0, -far}, {0, 0, far}};
    const double applied = 2 / (4 * LL_PI * far * far), charge[2] = {1, -1};
    const ll_vec3 point = ll_vec(0, 0, away);
    ll_vec3 h;
    ll_response *r;
    assert_ok(ll_response_new(s, 1e-4, 2, at, charge, &r));
    assert_ok(ll_response_h(r, 1, &point, &h));
    ll_response_free(r);
    ll_solution_free(s);
    return h.z * 2 * LL_PI * pow(away, 3) / (applied * volume);
}

/* L. Eyges, P. Gianino, IEEE Trans. Antennas Propag. 27 (1979) 557: a conducting cube, 3.6442 (from memory; the same number
 * in A. Sihvola et al., J. Electromagn. Waves Appl. 18 (2004)). A permeable cube has it in the limit. */
static void a_permeable_cube_has_the_polarisability_of_eyges_and_gianino(void **state)
{
    (void)state;
    assert_relative(polarisability(block_mm(5, 5, 5), 1e6, 1), 3.6442, 0.003);
}

/* ---- two bars ---- */

/* Bz in mT 3 mm over the third pole of A6 with both bars turned about their long axes. */
static double turned_bars(double neck_deg, double bridge_deg)
{
    ll_scene *scene = new_scene();
    add_six_poles(scene, 500);
    add_two_bars(scene, neck_deg, bridge_deg);
    ll_solution *s = solved(scene, 0.5);
    const double bz = 1e3 * b_at(s, mm(5.1, 0, 7)).z;
    ll_solution_free(s);
    return bz;
}

/* Common practice, no source: of the sixteen ways to put two bars back by quarter turns, two give a pickup of full strength,
 * one of either polarity; all others are weak. */
static void of_sixteen_quarter_turns_two_are_strong_and_opposite(void **state)
{
    (void)state;
    double strong[16];
    int count = 0;
    const double full = turned_bars(0, 0);
    for (int i = 0; i < 16; i++) {
        const double bz = turned_bars(90 * (i / 4), 90 * (i % 4));
        if (fabs(bz) > 0.8 * fabs(full))
            strong[count++] = bz;
        else
            assert_true(fabs(bz) < 0.6 * fabs(full));
    }
    assert_int_equal(count, 2);
    assert_relative(strong[1], -strong[0], 1e-3);
}

/* Bars of a given turn about the axis that they are magnetised along: the body comes back to itself. */
static void turning_a_bar_end_for_end_about_its_own_magnetisation_changes_nothing(void **state)
{
    (void)state;
    double bz[2];
    for (int i = 0; i < 2; i++) {
        ll_scene *scene = new_scene();
        add_six_poles(scene, 500);
        for (int side = -1; side <= 1; side += 2) {
            const ll_pose pose = {ll_rotation_about(ll_vec(0, 1, 0), LL_PI * i),
                                  mm(0, 8 * side, -9)};
            add_posed(scene, block_mm(60, 10, 4), pose, magnet(0.38, 1),
                      ll_rotate(&pose.rotation, ll_vec(0, -side, 0)));
        }
        ll_solution *s = solved(scene, 0.5);
        bz[i] = b_at(s, mm(15.3, 1, 7)).z;
        ll_solution_free(s);
    }
    assert_relative(bz[1], bz[0], 1e-6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(permeable_rods_have_the_ballistic_factors_of_finite_elements),
        cmocka_unit_test(weak_rods_have_the_fluxmetric_factors_of_chen_brug_and_goldfarb),
        cmocka_unit_test(a_permeable_cube_has_the_polarisability_of_eyges_and_gianino),
        cmocka_unit_test(of_sixteen_quarter_turns_two_are_strong_and_opposite),
        cmocka_unit_test(turning_a_bar_end_for_end_about_its_own_magnetisation_changes_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
