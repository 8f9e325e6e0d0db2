/* test_material.c - the laws B(H), what is refused, names and ownership.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "material/material.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_interp.h>

static double b_at(const ll_material *m, double h)
{
    double b;
    ll_material_b(m, h, &b, NULL);
    return b;
}

static double slope_at(const ll_material *m, double h)
{
    double slope;
    ll_material_b(m, h, NULL, &slope);
    return slope;
}

static void straight_laws_follow_their_formulas(void **state)
{
    (void)state;
    ll_material *magnet, *steel, *metal;
    assert_ok(ll_material_magnet(0.38, 1.05, 0, &magnet));
    assert_ok(ll_material_steel(500, 5e6, &steel));
    assert_ok(ll_material_conductor(1.5e7, &metal));
    /* B = mu0 mu_r H + Br; mu0 = 1.256637e-6 H/m. */
    assert_close(b_at(magnet, -1e5), 0.38 - 1.05 * 0.1256637061, 1e-9);
    assert_close(b_at(steel, -100), -500 * 1.256637061e-4, 1e-9);
    assert_close(b_at(metal, 1e6), 1.256637061, 1e-8);
    assert_true(ll_material_is_linear(magnet) && ll_material_is_linear(steel));
    assert_close(ll_material_remanence_t(magnet), 0.38, 0);
    assert_close(ll_material_remanence_t(steel), 0, 0);
    assert_close(ll_material_mu_r(metal), 1, 0);
    assert_close(ll_material_conductivity_s_m(metal), 1.5e7, 0);
    assert_string_equal(ll_material_name(magnet), "magnet");
    assert_string_equal(ll_material_name(steel), "steel");
    assert_string_equal(ll_material_name(metal), "conductor");
    ll_material_free(magnet);
    ll_material_free(steel);
    ll_material_free(metal);
}

static void arctangent_law_starts_with_its_initial_slope_and_saturates(void **state)
{
    (void)state;
    ll_material *m;
    assert_ok(ll_material_steel_arctan(2.0, 1001, 0, &m));
    assert_false(ll_material_is_linear(m));
    assert_relative(slope_at(m, 0), 1001 * LL_MU0, 1e-12);
    /* Half of the saturation where the arctangent's argument is 1: H = 2 Js / (pi mu0 (mu - 1)). */
    const double h = 4.0 / (LL_PI * LL_MU0 * 1000);
    assert_close(b_at(m, h), 1.0 + LL_MU0 * h, 1e-12);
    assert_close(b_at(m, 1e9) - LL_MU0 * 1e9, 2.0, 1e-5);
    assert_close(b_at(m, -h), -b_at(m, h), 0);
    ll_material_free(m);
}

static const double steel_h[] = {0, 100, 300, 1000, 5000, 50000};
static const double steel_b[] = {0, 0.2, 0.9, 1.4, 1.7, 2.0};

static void steel_curve_meets_its_points_is_odd_and_ends_as_vacuum(void **state)
{
    (void)state;
    ll_material *m;
    assert_ok(ll_material_steel_curve(6, steel_h, steel_b, 0, &m));
    for (int i = 0; i < 6; i++) {
        assert_close(b_at(m, steel_h[i]), steel_b[i], 1e-14);
        assert_close(b_at(m, -steel_h[i]), -steel_b[i], 1e-14);
    }
    assert_close(slope_at(m, -700), slope_at(m, 700), 0);
    assert_close(b_at(m, 150000), 2.0 + LL_MU0 * 1e5, 1e-12);
    assert_relative(slope_at(m, 60000), LL_MU0, 1e-12);
    assert_relative(ll_material_mu_r(m), 0.002 / LL_MU0, 1e-12);
    ll_material_free(m);
}

/* GSL's Steffen interpolation of the polarisation, an independent implementation of the same paper. */
static void steel_curve_agrees_with_gsl_between_its_points(void **state)
{
    (void)state;
    double j[6];
    for (int i = 0; i < 6; i++)
        j[i] = steel_b[i] - LL_MU0 * steel_h[i];
    gsl_interp *gsl = gsl_interp_alloc(gsl_interp_steffen, 6);
    assert_non_null(gsl);
    assert_int_equal(gsl_interp_init(gsl, steel_h, j, 6), GSL_SUCCESS);
    ll_material *m;
    assert_ok(ll_material_steel_curve(6, steel_h, steel_b, 0, &m));
    for (double h = 1; h < 50000; h *= 1.1) {
        double expected, slope;
        assert_int_equal(gsl_interp_eval_e(gsl, steel_h, j, h, NULL, &expected), GSL_SUCCESS);
        assert_int_equal(gsl_interp_eval_deriv_e(gsl, steel_h, j, h, NULL, &slope), GSL_SUCCESS);
        assert_close(b_at(m, h), expected + LL_MU0 * h, 1e-12);
        assert_relative(slope_at(m, h), slope + LL_MU0, 1e-9);
    }
    gsl_interp_free(gsl);
    ll_material_free(m);
}

static void magnet_curve_goes_on_beyond_both_ends(void **state)
{
    (void)state;
    const double h[] = {-50e3, -40e3, -20e3, 0}, b[] = {0, 0.9, 1.15, 1.25};
    ll_material *m;
    assert_ok(ll_material_magnet_curve(4, h, b, 4.3, 2e6, &m));
    for (int i = 0; i < 4; i++)
        assert_close(b_at(m, h[i]), b[i], 1e-14);
    /* Beyond the coercive field the polarisation mirrors itself about the field where it is zero, as a loop does: it falls along
     * the first chord from mu0 50 kA/m to zero at h_zero, and J(2 h_zero - h) = -J(h). */
    const double first = 0.9 / 10e3 - LL_MU0, h_zero = -50e3 - LL_MU0 * 50e3 / first;
    assert_close(b_at(m, h_zero) - LL_MU0 * h_zero, 0, 1e-12);
    for (int i = 1; i < 4; i++) {
        const double mirrored = 2 * h_zero - h[i];
        assert_close(b_at(m, mirrored) - LL_MU0 * mirrored, -(b[i] - LL_MU0 * h[i]), 1e-9);
    }
    assert_relative(slope_at(m, 10e3), 0.1 / 20e3, 1e-12);
    assert_relative(slope_at(m, 10e3), slope_at(m, -1e-3), 1e-6);
    assert_close(ll_material_mu_r(m), 4.3, 0);
    assert_close(ll_material_remanence_t(m), 1.25, 0);
    ll_material_free(m);
    assert_ok(ll_material_magnet_curve(4, h, b, 0, 2e6, &m));
    assert_relative(ll_material_mu_r(m), 0.1 / 20e3 / LL_MU0, 1e-12);
    ll_material_free(m);
}

static void a_curve_of_two_points_is_a_straight_line_between_them(void **state)
{
    (void)state;
    ll_material *m;
    assert_ok(ll_material_steel_curve(2, (double[]){0, 1000}, (double[]){0, 1}, 0, &m));
    assert_close(b_at(m, 250), 0.25, 1e-14);
    ll_material_free(m);
}

/* The polarisation cannot fall, so B rises at least as fast as in vacuum; rounded figures get 1 %. */
static void slopes_below_vacuum_are_refused_beyond_one_percent(void **state)
{
    (void)state;
    static const struct {
        double slope;
        ll_status status;
    } cases[] = {{1.0, LL_OK}, {0.995, LL_OK}, {0.985, LL_BAD_CURVE}, {0.0, LL_BAD_CURVE}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const double rise = cases[i].slope * LL_MU0 * 1e5;
        const double h[] = {0, 1e3, 101e3}, b[] = {0, 1.5, 1.5 + rise};
        const double magnet_h[] = {-200e3, -100e3, 0}, magnet_b[] = {0.1, 0.3, 0.3 + rise};
        ll_material *m = NULL;
        assert_int_equal(ll_material_steel_curve(3, h, b, 0, &m), cases[i].status);
        ll_material_free(m);
        m = NULL;
        assert_int_equal(ll_material_magnet_curve(3, magnet_h, magnet_b, 0, 0, &m),
                         cases[i].status);
        ll_material_free(m);
    }
}

static void bad_curves_are_refused_and_leave_the_output_alone(void **state)
{
    (void)state;
    static const struct {
        bool magnet;
        size_t n;
        double h[3], b[3];
        ll_status status;
    } cases[] = {
        {false, 0, {0}, {0}, LL_BAD_CURVE},
        {false, 1, {0}, {0}, LL_BAD_CURVE},
        {false, 2, {1, 100}, {0, 1}, LL_BAD_CURVE},           /* does not start at 0 A/m */
        {false, 2, {0, 100}, {0.1, 1}, LL_BAD_CURVE},         /* does not start at 0 T */
        {false, 3, {0, 100, 100}, {0, 1, 1.1}, LL_BAD_CURVE}, /* h stands still */
        {false, 3, {0, 100, 90}, {0, 1, 1.1}, LL_BAD_CURVE},  /* h falls */
        {false, 3, {0, 100, 200}, {0, 1, 0.9}, LL_BAD_CURVE}, /* b falls */
        {false, 3, {0, 100, NAN}, {0, 1, 1.1}, LL_BAD_VALUE},
        {false, 3, {0, 100, 200}, {0, 1, INFINITY}, LL_BAD_VALUE},
        {true, 1, {0}, {1}, LL_BAD_CURVE},
        {true, 3, {-100e3, -50e3, -1e3}, {0, 0.2, 0.3}, LL_BAD_CURVE}, /* no remanence */
        {true, 3, {-50e3, 0, 50e3}, {0, 0.2, 0.3}, LL_BAD_CURVE},      /* first quadrant */
        {true, 3, {-100e3, -50e3, 0}, {-0.2, 0.2, 0.3}, LL_BAD_CURVE}, /* third quadrant */
        {true, 3, {0, -50e3, -100e3}, {0.3, 0.2, 0}, LL_BAD_CURVE},    /* the wrong way round */
        {true, 3, {-100e3, -50e3, 0}, {0, 200, 380}, LL_BAD_VALUE},    /* millitesla */
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ll_material *m = NULL;
        const ll_status status =
            cases[i].magnet ? ll_material_magnet_curve(cases[i].n, cases[i].h, cases[i].b, 0, 0, &m)
                            : ll_material_steel_curve(cases[i].n, cases[i].h, cases[i].b, 0, &m);
        assert_int_equal(status, cases[i].status);
        assert_null(m);
    }
}

static void figures_out_of_range_are_refused(void **state)
{
    (void)state;
    ll_material *m = NULL;
    const double h[] = {-50e3, 0}, b[] = {0, 1}, soft_h[] = {0, 100};
    const ll_status statuses[] = {
        ll_material_magnet(0, 1.05, 0, &m),
        ll_material_magnet(3.1, 1.05, 0, &m),
        ll_material_magnet(-0.4, 1.05, 0, &m),
        ll_material_magnet(NAN, 1.05, 0, &m),
        ll_material_magnet(0.4, 0.9, 0, &m),
        ll_material_magnet(0.4, 101, 0, &m),
        ll_material_magnet(0.4, NAN, 0, &m),
        ll_material_magnet(0.4, 1.05, -1, &m),
        ll_material_magnet(0.4, 1.05, INFINITY, &m),
        ll_material_magnet_curve(2, h, b, 0.5, 0, &m),
        ll_material_magnet_curve(2, h, b, 1, -1, &m),
        ll_material_steel(0.99, 0, &m),
        ll_material_steel(NAN, 0, &m),
        ll_material_steel(INFINITY, 0, &m),
        ll_material_steel(10, NAN, &m),
        ll_material_steel_curve(2, soft_h, b, -1, &m),
        ll_material_steel_arctan(0, 100, 0, &m),
        ll_material_steel_arctan(-1, 100, 0, &m),
        ll_material_steel_arctan(2, 1, 0, &m),
        ll_material_steel_arctan(2, NAN, 0, &m),
        ll_material_steel_arctan(INFINITY, 100, 0, &m),
        ll_material_steel_arctan(1e-310, 1e9, 0, &m),
        ll_material_steel_arctan(2, 100, -1, &m),
        ll_material_conductor(0, &m),
        ll_material_conductor(-1, &m),
        ll_material_conductor(NAN, &m),
    };
    for (size_t i = 0; i < sizeof statuses / sizeof statuses[0]; i++)
        assert_int_equal(statuses[i], LL_BAD_VALUE);
    assert_null(m);
}

static void a_shared_material_lives_until_its_last_owner_lets_go(void **state)
{
    (void)state;
    ll_material *m;
    assert_ok(ll_material_named("steel 1010", &m));
    ll_material *other = ll_material_share(m);
    ll_material_free(m);
    assert_string_equal(ll_material_name(other), "steel 1010");
    assert_close(b_at(other, 795.77), 1.335, 1e-12);
    ll_material_free(other);
    ll_material_free(NULL);
    assert_null(ll_material_share(NULL));
}

/* Made anew they are the same; with any one figure changed they are not. */
static void materials_are_equal_only_in_all_their_figures(void **state)
{
    (void)state;
    enum { KINDS = 15 };
    const double h[] = {-50e3, -20e3, 0}, b[] = {0, 0.5, 1}, other_b[] = {0, 0.6, 1},
                 other_h[] = {-50e3, -25e3, 0}, soft_h[] = {0, 100, 1000}, soft_b[] = {0, 1, 1.5};
    ll_material *m[2][KINDS] = {{0}};
    for (int twin = 0; twin < 2; twin++) {
        ll_material **to = m[twin];
        assert_ok(ll_material_magnet(0.4, 1.05, 0, to++));
        assert_ok(ll_material_magnet(0.41, 1.05, 0, to++));
        assert_ok(ll_material_magnet(0.4, 1.06, 0, to++));
        assert_ok(ll_material_magnet(0.4, 1.05, 1e6, to++));
        assert_ok(ll_material_magnet_curve(3, h, b, 2, 0, to++));
        assert_ok(ll_material_magnet_curve(3, h, other_b, 2, 0, to++));
        assert_ok(ll_material_magnet_curve(3, other_h, b, 2, 0, to++));
        assert_ok(ll_material_steel(100, 0, to++));
        assert_ok(ll_material_steel(101, 0, to++));
        assert_ok(ll_material_steel_arctan(2, 100, 0, to++));
        assert_ok(ll_material_steel_arctan(1.9, 100, 0, to++));
        assert_ok(ll_material_steel_arctan(2, 101, 0, to++));
        assert_ok(ll_material_steel_curve(3, soft_h, soft_b, 0, to++));
        assert_ok(ll_material_steel_curve(2, soft_h, soft_b, 0, to++));
        assert_ok(ll_material_conductor(1e6, to++));
    }
    for (int i = 0; i < KINDS; i++)
        for (int k = 0; k < KINDS; k++)
            assert_int_equal(ll_material_equal(m[0][i], m[1][k]), i == k);
    for (int i = 0; i < 2 * KINDS; i++)
        ll_material_free(m[i / KINDS][i % KINDS]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(straight_laws_follow_their_formulas),
        cmocka_unit_test(arctangent_law_starts_with_its_initial_slope_and_saturates),
        cmocka_unit_test(steel_curve_meets_its_points_is_odd_and_ends_as_vacuum),
        cmocka_unit_test(steel_curve_agrees_with_gsl_between_its_points),
        cmocka_unit_test(magnet_curve_goes_on_beyond_both_ends),
        cmocka_unit_test(a_curve_of_two_points_is_a_straight_line_between_them),
        cmocka_unit_test(slopes_below_vacuum_are_refused_beyond_one_percent),
        cmocka_unit_test(bad_curves_are_refused_and_leave_the_output_alone),
        cmocka_unit_test(figures_out_of_range_are_refused),
        cmocka_unit_test(materials_are_equal_only_in_all_their_figures),
        cmocka_unit_test(a_shared_material_lives_until_its_last_owner_lets_go),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
