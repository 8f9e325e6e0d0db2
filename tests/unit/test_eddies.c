/* test_eddies.c - what eddy currents must obey whatever the pickup: Bessel's functions for a rod, powers of the frequency,
 * causality, reciprocity, passivity.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "eddies/eddies.h"
#include "eddies/skin.h"

/* 2 J1(ka) / (ka J0(ka)), k = (1 - j) / delta (Landau and Lifshitz, section 59): digits derived from the formula by other
 * programs, to 6 places. */
static void a_round_bar_follows_bessels_functions(void **state)
{
    (void)state;
    static const double known[][3] = {{0.25, 0.999675, -0.015618}, {0.5, 0.994830, -0.062056},
                                      {1, 0.925506, -0.224410},    {1.5, 0.736120, -0.359106},
                                      {2, 0.536534, -0.369308},    {3, 0.335527, -0.277822},
                                      {5, 0.200637, -0.179517},    {10, 0.100069, -0.094938}};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        const double complex kappa = (1 + I) * known[i][0];
        const double complex round = ll_skin_round(kappa, 1);
        assert_close(creal(round), known[i][1], 1e-6);
        assert_close(cimag(round), known[i][2], 1e-6);
        /* The same from rings within, and as a tube whose hole is hardly there. */
        const double complex inner = ll_skin_annulus(kappa, 1, 0, 0.7);
        const double complex outer = ll_skin_annulus(kappa, 1, 0.7, 1);
        assert_true(cabs(0.49 * inner + 0.51 * outer - round) < 1e-9);
        assert_true(cabs(ll_skin_tube(kappa, 1, 1, 1e-4) - round) < 1e-4);
    }
}

/* Far below the skin depth a bar of any section follows its loss integral: round a^2 kappa^2 / 8, flat b^2 kappa^2 / 3, and a
 * square 0.1406 a^2 kappa^2 with edge a / ... the torsion constant of the square, 0.140577 edge^4 (Timoshenko and Goodier,
 * Theory of Elasticity, section 109): 1 - F = kappa^2 * 0.140577 / 4 * edge^2. */
static void thin_bars_follow_their_loss_integrals(void **state)
{
    (void)state;
    const double complex kappa = (1 + I) * 0.02;
    const double complex k2 = kappa * kappa;
    assert_true(cabs((1 - ll_skin_round(kappa, 1)) / k2 - 1.0 / 8) < 1e-3);
    assert_true(cabs((1 - ll_skin_plate(kappa, 1, -1, 1)) / k2 - 1.0 / 3) < 1e-3);
    assert_true(cabs((1 - ll_skin_rectangle(kappa, 1e4, 1)) / k2 - 1.0 / 3) < 1e-3);
    assert_true(cabs((1 - ll_skin_rectangle(kappa, 1, 1)) / k2 - 0.140577) < 1e-3);
}

/* A thin tube around a wide hole: the field within is that outside over 1 + j w mu0 sigma t b / 2, b its radius and t its
 * thickness, and falls evenly through the wall (the thin cylinder of any text on screening). kappa^2 = j w mu0 mu sigma. */
static void a_thin_tube_screens_its_hole(void **state)
{
    (void)state;
    static const double mu[] = {1, 4}, strength[] = {0.1, 1, 3};
    const double a = 1, b = 0.998, mean = (a + b) / 2;
    for (int i = 0; i < 2; i++)
        for (int k = 0; k < 3; k++) {
            const double complex kappa = csqrt(I * mu[i] * 2 * strength[k] / (mean * (a - b)));
            const double complex within = 1 / (1 + I * strength[k]);
            assert_true(cabs(ll_skin_tube(kappa, mu[i], a, b) - (1 + within) / 2) < 0.01);
        }
}

/* Two coils side by side, a core in one of them, a plate under both. */
static ll_solution *two_coils(void)
{
    ll_scene *scene = new_scene();
    ll_material *steel_material, *brass;
    assert_ok(ll_material_steel(100, 5e6, &steel_material));
    assert_ok(ll_material_conductor(1.5e7, &brass));
    add_posed(scene, rod_mm(5, 14), ll_pose_at(mm(-10, 0, 0)), steel_material, ll_vec(0, 0, 0));
    add_posed(scene, block_mm(40, 20, 1), ll_pose_at(mm(0, 0, -8)), brass, ll_vec(0, 0, 0));
    add_coil(scene, round_coil_mm(3, 8, 10), mm(-10, 0, 0), 8000);
    add_coil(scene, round_coil_mm(3, 8, 10), mm(10, 0, 0), 5000);
    return solved(scene, 1);
}

/* Resistance grows with the square of the frequency and the inductance falls with it, while all metal is thin. */
static void low_frequencies_follow_the_square(void **state)
{
    (void)state;
    static const double f[2] = {5, 10};
    ll_solution *s = two_coils();
    ll_eddies *eddies;
    double complex change[2];
    assert_ok(ll_eddies_new(s, NULL, 2, f, &eddies));
    assert_ok(ll_eddies_inductance(eddies, 0, 0, 2, f, change));
    assert_relative(f[1] * cimag(change[1]) / (f[0] * cimag(change[0])), 4, 0.01);
    assert_relative(creal(change[1]) / creal(change[0]), 4, 0.02);
    ll_eddies_free(eddies);
    ll_solution_free(s);
}

/* The change of a coil's inductance over a plate of steel, a square one or a disc of the same area. */
static void change_over_plate(bool disc, size_t n, const double *f, double complex *change)
{
    const double edge = 20;
    ll_scene *scene = new_scene();
    ll_material *plate;
    ll_eddies *eddies;
    assert_ok(ll_material_steel(100, 5e6, &plate));
    add_posed(scene, disc ? rod_mm(2 * edge / sqrt(LL_PI), 1) : block_mm(edge, edge, 1),
              ll_pose_at(mm(0, 0, -0.5)), plate, ll_vec(0, 0, 0));
    add_coil(scene, round_coil_mm(3, 8, 6), mm(0, 0, 4), 5000);
    ll_solution *s = solved(scene, 1);
    assert_ok(ll_eddies_new(s, NULL, n, f, &eddies));
    assert_ok(ll_eddies_inductance(eddies, 0, 0, n, f, change));
    ll_eddies_free(eddies);
    ll_solution_free(s);
}

/* Currents do not ask whether the rim of a plate is round: within an eighth at any frequency, though a disc is a rod to the solver
 * and a square a block. Its corners lie farther from the coil, and a square damps less. */
static void a_square_plate_damps_nearly_as_a_disc(void **state)
{
    (void)state;
    static const double f[4] = {100, 1000, 5000, 20000};
    double complex disc[4], square[4];
    change_over_plate(true, 4, f, disc);
    change_over_plate(false, 4, f, square);
    for (int k = 0; k < 4; k++) {
        assert_relative(cabs(square[k]), cabs(disc[k]), 0.125);
        assert_true(cabs(square[k]) < cabs(disc[k]));
    }
}

/* Thin metal loses in proportion to its conductivity, also where the same body of another conductivity was asked before. */
static void losses_go_with_the_conductivity(void **state)
{
    (void)state;
    static const double f = 5, conductivity[3] = {5e6, 1e6, 5e6};
    double lost[3];
    for (int i = 0; i < 3; i++) {
        ll_scene *scene = new_scene();
        ll_material *core;
        ll_eddies *eddies;
        double complex change;
        assert_ok(ll_material_steel(100, conductivity[i], &core));
        add_posed(scene, rod_mm(5, 14), ll_pose_at(mm(0, 0, 0)), core, ll_vec(0, 0, 0));
        add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, 0), 8000);
        ll_solution *s = solved(scene, 0.7);
        assert_ok(ll_eddies_new(s, NULL, 1, &f, &eddies));
        assert_ok(ll_eddies_inductance(eddies, 0, 0, 1, &f, &change));
        lost[i] = cimag(change);
        ll_eddies_free(eddies);
        ll_solution_free(s);
    }
    assert_relative(lost[0] / lost[1], 5, 0.01);
    assert_relative(lost[2], lost[0], 1e-9);
}

/* Reciprocity: each coil links of the other what that links of it. Passivity: whatever the currents in the two, losses are
 * positive. Tolerance: the mesh's, since the two ways around use it differently. */
static void coils_are_reciprocal_and_lose_energy(void **state)
{
    (void)state;
    static const double f[3] = {100, 2000, 20000};
    ll_solution *s = two_coils();
    ll_eddies *eddies;
    double complex own[2][3], ab[3], ba[3];
    assert_ok(ll_eddies_new(s, NULL, 3, f, &eddies));
    assert_ok(ll_eddies_inductance(eddies, 0, 0, 3, f, own[0]));
    assert_ok(ll_eddies_inductance(eddies, 1, 1, 3, f, own[1]));
    assert_ok(ll_eddies_inductance(eddies, 0, 1, 3, f, ab));
    assert_ok(ll_eddies_inductance(eddies, 1, 0, 3, f, ba));
    for (int k = 0; k < 3; k++) {
        assert_true(cabs(ab[k] - ba[k]) < 0.01 * cabs(ab[k]));
        assert_true(cimag(own[0][k]) < 0 && cimag(own[1][k]) < 0);
        assert_true(cimag(own[0][k]) * cimag(own[1][k]) > cimag(ab[k]) * cimag(ab[k]));
    }
    ll_eddies_free(eddies);
    ll_solution_free(s);
}

/* A few frequencies asked for by themselves stand for themselves alone; many stand for all between the first and the last. */
static void what_was_not_asked_is_covered_by_many_samples_only(void **state)
{
    (void)state;
    static const double few[2] = {100, 10000}, middle = 1000, beyond = 20000;
    double many[60];
    ll_solution *s = two_coils();
    ll_eddies *eddies;
    assert_ok(ll_eddies_new(s, NULL, 2, few, &eddies));
    assert_true(ll_eddies_covers(eddies, 2, few) && ll_eddies_covers(eddies, 1, few + 1));
    assert_false(ll_eddies_covers(eddies, 1, &middle) || ll_eddies_covers(eddies, 1, &beyond));
    ll_eddies_free(eddies);
    for (int k = 0; k < 60; k++)
        many[k] = 100 * pow(100, k / 59.0);
    assert_ok(ll_eddies_new(s, NULL, 60, many, &eddies));
    assert_true(ll_eddies_covers(eddies, 1, &middle) && !ll_eddies_covers(eddies, 1, &beyond));
    ll_eddies_free(eddies);
    ll_solution_free(s);
}

enum { GRID = 240 };

/* Kramers and Kronig: L'(w) - L'(v) = -(2 / pi) P integral x L''(x) (1 / (x^2 - w^2) - 1 / (x^2 - v^2)) dx, by the midpoint
 * rule in log x between 1 Hz and 10 MHz, w and v halfway between two of its points. */
static double by_causality(const double *f, const double complex *change, double w, double v)
{
    const double step = log(f[1] / f[0]);
    double sum = 0;
    for (int k = 0; k < GRID; k++) {
        const double x2 = f[k] * f[k];
        sum += x2 * cimag(change[k]) * (1 / (x2 - w * w) - 1 / (x2 - v * v)) * step;
    }
    return -2 / LL_PI * sum;
}

static void inductance_follows_from_losses_by_causality(void **state)
{
    (void)state;
    double f[GRID], middle[2];
    double complex change[GRID], at[2];
    for (int k = 0; k < GRID; k++)
        f[k] = pow(10, 7.0 * k / (GRID - 1));
    middle[0] = sqrt(f[85] * f[86]);   /* 310 Hz */
    middle[1] = sqrt(f[143] * f[144]); /* 15 kHz */
    ll_solution *s = two_coils();
    ll_eddies *eddies;
    assert_ok(ll_eddies_new(s, NULL, GRID, f, &eddies));
    assert_ok(ll_eddies_inductance(eddies, 0, 0, GRID, f, change));
    assert_ok(ll_eddies_inductance(eddies, 0, 0, 2, middle, at));
    assert_relative(by_causality(f, change, middle[0], middle[1]), creal(at[0] - at[1]), 0.02);
    ll_eddies_free(eddies);
    ll_solution_free(s);
}

/* More frequencies than are solved: between the samples, rationals; against solving there. */
static void values_between_samples_are_those_of_solving(void **state)
{
    (void)state;
    double many[30], few[3];
    for (int k = 0; k < 30; k++)
        many[k] = 20 * pow(10, 3.0 * k / 29);
    for (int k = 0; k < 3; k++)
        few[k] = many[5 + 9 * k];
    ll_solution *s = two_coils();
    ll_eddies *wide, *narrow;
    double complex between[3], solved_there[3];
    assert_ok(ll_eddies_new(s, NULL, 30, many, &wide));
    assert_ok(ll_eddies_new(s, NULL, 3, few, &narrow));
    assert_true(ll_eddies_samples(wide) < 15);
    assert_ok(ll_eddies_inductance(wide, 0, 0, 3, few, between));
    assert_ok(ll_eddies_inductance(narrow, 0, 0, 3, few, solved_there));
    for (int k = 0; k < 3; k++)
        assert_true(cabs(between[k] - solved_there[k]) < 2e-3 * cabs(solved_there[k]));
    ll_eddies_free(wide);
    ll_eddies_free(narrow);
    ll_solution_free(s);
}

static void bad_frequencies_are_refused(void **state)
{
    (void)state;
    const double bad[] = {0, -1, INFINITY, NAN};
    ll_solution *s = two_coils();
    ll_eddies *eddies = NULL;
    double complex change;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        assert_int_equal(ll_eddies_new(s, NULL, 1, &bad[i], &eddies), LL_BAD_VALUE);
    assert_int_equal(ll_eddies_new(s, NULL, 0, bad, &eddies), LL_BAD_VALUE);
    assert_null(eddies);
    const double f = 1000;
    assert_ok(ll_eddies_new(s, NULL, 1, &f, &eddies));
    assert_int_equal(ll_eddies_inductance(eddies, 2, 0, 1, &f, &change), LL_NO_COIL);
    ll_eddies_free(eddies);
    ll_solution_free(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_round_bar_follows_bessels_functions),
        cmocka_unit_test(thin_bars_follow_their_loss_integrals),
        cmocka_unit_test(a_thin_tube_screens_its_hole),
        cmocka_unit_test(low_frequencies_follow_the_square),
        cmocka_unit_test(losses_go_with_the_conductivity),
        cmocka_unit_test(a_square_plate_damps_nearly_as_a_disc),
        cmocka_unit_test(coils_are_reciprocal_and_lose_energy),
        cmocka_unit_test(what_was_not_asked_is_covered_by_many_samples_only),
        cmocka_unit_test(inductance_follows_from_losses_by_causality),
        cmocka_unit_test(values_between_samples_are_those_of_solving),
        cmocka_unit_test(bad_frequencies_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
