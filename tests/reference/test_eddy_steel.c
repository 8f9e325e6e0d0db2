/* test_eddy_steel.c - a coil with a conducting core at a frequency, against axisymmetric finite elements that resolve the skin
 * depth: FreeFEM, deck e1_cores.edp, error 1e-4. A5 is an open reference case.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "eddies/alternating.h"
#include "eddies/eddies.h"
#include "eddies/model_error.h"

#include <stdlib.h>

enum { FREQUENCIES = 3 };
static const double f_hz[FREQUENCIES] = {100, 1000, 10000};

typedef struct core_case {
    const char *what;
    double inner, radius, from_z, to_z, mu_r, conductivity_s_m; /* mm; inner > 0: a tube */
    double turns, r0, r1, z0, z1;                               /* the coil */
    double l_h[FREQUENCIES], extra_ohm[FREQUENCIES];
    double l_share, r_share; /* tolerances of a complex permeability in place of currents */
} core_case;

/* A complex permeability: L within 1 % and extra R within 2 %, as a bench can tell. In a bar that is no longer than wide the ends count for more than
 * the long bar's law knows, and in the hole of a tube of low permeability runs a flux that it keeps whole. Solid bars of low permeability are the nearest: they
 * tell how the two laws of a bar are to be blended. */
static const core_case cases[] = {
    {"A5",
     0,
     2.5,
     -8,
     8,
     100,
     5e+06,
     8000,
     3,
     8,
     -5,
     5,
     {1.12617, 1.029974, 0.7740951},
     {16.30387, 760.3473, 12052.3},
     0.01,
     0.02},
    {"AlNiCo-like",
     0,
     2.45,
     -12,
     5,
     4,
     2.1e+06,
     8000,
     3,
     8,
     -5,
     5,
     {0.4971772, 0.4967887, 0.4668464},
     {0.4815389, 48.02115, 3784.769},
     0.01,
     0.0075},
    {"mu 500",
     0,
     2,
     -14,
     4,
     500,
     5e+06,
     7000,
     3,
     7,
     -6,
     3,
     {0.8357376, 0.7914408, 0.6716921},
     {10.6311, 336.4196, 6949.956},
     0.01,
     0.02},
    {"mu 20",
     0,
     2.5,
     -8,
     8,
     20,
     3e+06,
     8000,
     3,
     8,
     -5,
     5,
     {0.8766787, 0.8584765, 0.6169579},
     {4.978688, 465.936, 10418.22},
     0.01,
     0.02},
    {"short",
     0,
     3,
     -3,
     3,
     100,
     5e+06,
     6000,
     3.2,
     9,
     -6,
     6,
     {0.3038618, 0.2989519, 0.2809333},
     {0.9297659, 48.16933, 1215.766},
     0.01,
     0.13},
    {"tube",
     1.5,
     3,
     -9,
     9,
     500,
     5e+06,
     6000,
     3.2,
     9,
     -6,
     6,
     {0.7665503, 0.7236933, 0.6081544},
     {10.0699, 323.3753, 6862.845},
     0.01,
     0.02},
    {"AlNiCo tube",
     1.5,
     3,
     -9,
     9,
     4,
     2.1e+06,
     6000,
     3.2,
     9,
     -6,
     6,
     {0.2990545, 0.2988407, 0.2811534},
     {0.3075507, 30.69382, 2563.161},
     0.01,
     0.14},
    {"plate",
     0,
     15,
     -8,
     -7,
     200,
     5e6,
     6000,
     3.2,
     9,
     -6,
     6,
     {0.2297107, 0.2281536, 0.2219013},
     {0.2600219, 18.07865, 432.692},
     0.01,
     0.02},
    {"d 5, 10 long",
     0,
     2.5,
     -5,
     5,
     100,
     5e6,
     8000,
     3,
     8,
     -5,
     5,
     {0.7696391, 0.7386939, 0.6354667},
     {5.401698, 283.9706, 5908.797},
     0.01,
     0.05},
    {"d 8",
     0,
     4,
     -8,
     8,
     100,
     5e6,
     8000,
     4.5,
     9,
     -5,
     5,
     {1.630235, 1.47715, 1.114478},
     {33.62923, 1074.031, 17593.52},
     0.01,
     0.035},
    {"mu 1000",
     0,
     2.5,
     -8,
     8,
     1000,
     1e7,
     8000,
     3,
     8,
     -5,
     5,
     {1.199709, 1.142405, 0.9812363},
     {15.88476, 449.8725, 9854.62},
     0.01,
     0.02},
    {"d 5, 10 long, mu 4",
     0,
     2.5,
     -5,
     5,
     4,
     2e6,
     8000,
     3,
     8,
     -5,
     5,
     {0.4751594, 0.4749143, 0.4548246},
     {0.3563536, 35.56344, 2969.203},
     0.01,
     0.014},
    {"d 8, mu 4",
     0,
     4,
     -8,
     8,
     4,
     2e6,
     8000,
     4.5,
     9,
     -5,
     5,
     {0.8616267, 0.857436, 0.6840042},
     {2.395947, 236.4394, 10863.86},
     0.01,
     0.0125},
    {"out of the coil",
     0,
     2.5,
     -4,
     14,
     100,
     5e6,
     8000,
     3,
     8,
     -5,
     5,
     {0.9917681, 0.9093212, 0.6990439},
     {13.93225, 636.8209, 9733.269},
     0.01,
     0.03},
};

static ll_solution *coil_with_core(const core_case *c, bool tetrahedra)
{
    ll_scene *scene = new_scene();
    ll_material *material;
    const double length = c->to_z - c->from_z;
    assert_ok(ll_material_steel(c->mu_r, c->conductivity_s_m, &material));
    add_posed(scene,
              c->inner > 0 ? ring_mm(2 * c->radius, 2 * c->inner, length)
                           : rod_mm(2 * c->radius, length),
              ll_pose_at(mm(0, 0, (c->from_z + c->to_z) / 2)), material, ll_vec(0, 0, 0));
    add_coil(scene, round_coil_mm(c->r0, c->r1, c->z1 - c->z0), mm(0, 0, (c->z0 + c->z1) / 2),
             c->turns);
    const ll_solve_options options = {.fineness = 1, .tetrahedra = tetrahedra};
    ll_solution *s;
    assert_ok(ll_solve(scene, &options, &s));
    ll_scene_free(scene);
    return s;
}

/* The currents themselves: the references' own 1e-4 and as much again for either mesh. */
static void a_conducting_core_loses_inductance_and_adds_resistance(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const core_case *c = &cases[i];
        ll_solution *s = coil_with_core(c, false);
        ll_eddies *eddies;
        double complex change[FREQUENCIES];
        assert_ok(ll_eddies_new(s, NULL, FREQUENCIES, f_hz, &eddies));
        assert_ok(ll_eddies_inductance(eddies, 0, 0, FREQUENCIES, f_hz, change));
        for (int k = 0; k < FREQUENCIES; k++) {
            assert_relative(inductance(s, 0, 0) + creal(change[k]), c->l_h[k], 2e-4);
            assert_relative(-2 * LL_PI * f_hz[k] * cimag(change[k]), c->extra_ohm[k], 4e-4);
        }
        ll_eddies_free(eddies);
        ll_solution_free(s);
    }
}

/* What stands for the currents where bodies have no common axis, on the same bars; and the error told of it holds. */
static void a_complex_permeability_stands_for_the_currents(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const core_case *c = &cases[i];
        ll_solution *s = coil_with_core(c, true);
        ll_alternating *alternating;
        assert_ok(ll_alternating_new(s, &alternating));
        for (int k = 0; k < FREQUENCIES; k++) {
            ll_alternating_state *answer;
            assert_ok(ll_alternating_set(alternating, f_hz[k]));
            assert_ok(ll_alternating_keep(alternating, 0, &answer));
            const double complex change = ll_alternating_inductance(alternating, 0, answer);
            const double ohm = -2 * LL_PI * f_hz[k] * cimag(change);
            assert_relative(inductance(s, 0, 0) + creal(change), c->l_h[k], c->l_share);
            assert_relative(ohm, c->extra_ohm[k], c->r_share);
            assert_true(fabs(ohm / c->extra_ohm[k] - 1) <
                        ll_eddies_model_share(ll_solution_scene(s)));
            free(answer);
        }
        ll_alternating_free(alternating);
        ll_solution_free(s);
    }
}

/* Systems are stored by what is in them: a core that does not conduct is no stand-in for its twin that does. */
static void a_core_that_does_not_conduct_before_it_changes_nothing(void **state)
{
    (void)state;
    core_case still = cases[0];
    still.conductivity_s_m = 0;
    double complex change[2][FREQUENCIES];
    for (int k = 0; k < 2; k++) {
        ll_solution *s = coil_with_core(k == 0 ? &still : &cases[0], false);
        ll_eddies *eddies;
        assert_ok(ll_eddies_new(s, NULL, FREQUENCIES, f_hz, &eddies));
        assert_ok(ll_eddies_inductance(eddies, 0, 0, FREQUENCIES, f_hz, change[k]));
        ll_eddies_free(eddies);
        ll_solution_free(s);
    }
    assert_close(cimag(change[0][2]), 0, 1e-9);
    assert_relative(-2 * LL_PI * f_hz[2] * cimag(change[1][2]), cases[0].extra_ohm[2], 0.02);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_core_that_does_not_conduct_before_it_changes_nothing),
        cmocka_unit_test(a_complex_permeability_stands_for_the_currents),
        cmocka_unit_test(a_conducting_core_loses_inductance_and_adds_resistance),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
