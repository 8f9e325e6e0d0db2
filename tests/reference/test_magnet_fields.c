/* test_magnet_fields.c - fields of magnets against published closed forms and demagnetising factors.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "field/source.h"

static double bz_on_axis(const ll_shape *shape, double half_m, double br_t, double z_m)
{
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, -half_m));
    const ll_vec3 p = ll_vec(0, 0, z_m);
    ll_vec3 h;
    assert_ok(ll_magnet_h(shape, &pose, ll_vec(0, 0, br_t / LL_MU0), 1, &p, &h));
    return LL_MU0 * h.z;
}

/* Open case A1: rod of 5 mm by 17 mm, Br 1.2 T, Bz in T over the pole face; B = Br/2 (cos a2 - cos a1), textbook. */
static void rod_magnet_has_its_textbook_field_on_the_axis(void **state)
{
    (void)state;
    static const double cases[][2] = {{0.5, 0.476300}, {1, 0.371461}, {2, 0.220056},
                                      {3, 0.134434},   {5, 0.059507}, {8, 0.024334}};
    ll_shape rod;
    assert_ok(ll_shape_rod(0.005, 0.017, &rod));
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const double z = cases[i][0], b = bz_on_axis(&rod, 0.0085, 1.2, 1e-3 * z);
        assert_close(b, cases[i][1], 6e-7);
        assert_relative(b, 0.6 * ((z + 17) / hypot(z + 17, 2.5) - z / hypot(z, 2.5)), 1e-9);
    }
}

/* Br = 1 T, mm over the face, digits from the closed forms in J. M. Camacho and V. Sosa, Rev. Mex. Fis. E 59 (2013) 8. */
static void magnets_match_published_fields_on_the_axis(void **state)
{
    (void)state;
    static const struct {
        double z_mm, rod, bar, cube; /* 0: not listed */
    } cases[] = {{0, 0.494006, 0, 0.435906},        {0.5, 0.396300, 0.146214, 0},
                 {1, 0.308984, 0.139561, 0.356656}, {2, 0.182899, 0.124513, 0.283571},
                 {3, 0.111617, 0.108874, 0},        {4, 0.072140, 0, 0},
                 {5, 0.049281, 0.080951, 0.134782}, {6, 0.035264, 0, 0},
                 {10, 0.012633, 0.039825, 0.045359}};
    ll_shape rod, bar, cube;
    assert_ok(ll_shape_rod(0.005, 0.016, &rod));
    assert_ok(ll_shape_block(ll_vec(0.062, 0.0127, 0.0032), &bar));
    assert_ok(ll_shape_block(ll_vec(0.01, 0.01, 0.01), &cube));
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const double z = 1e-3 * cases[i].z_mm;
        assert_close(bz_on_axis(&rod, 0.008, 1, z), cases[i].rod, 6e-7);
        if (cases[i].bar > 0)
            assert_close(bz_on_axis(&bar, 0.0016, 1, z), cases[i].bar, 6e-7);
        if (cases[i].cube > 0)
            assert_close(bz_on_axis(&cube, 0.005, 1, z), cases[i].cube, 6e-7);
    }
}

/* Midpoints of equal steps in t, crowded to both ends of (0, 1): psi has edges with x^2 log x there. */
#define STEPS 60
static double crowded(int i, double *weight)
{
    const double t = (i + 0.5) / STEPS;
    *weight = (1 - cos(2 * LL_PI * t)) / STEPS;
    return t - sin(2 * LL_PI * t) / (2 * LL_PI);
}

static double psi_at(const ll_shape *shape, ll_vec3 m, ll_vec3 p)
{
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    double psi;
    assert_ok(ll_magnet_potential(shape, &pose, m, 1, &p, &psi));
    return psi;
}

/* Magnetometric factor along z: minus the mean of Hz over the volume, by Gauss's theorem the mean step of psi
 * between the end faces over the length. Even in z, so twice the upper face. */
static double axial_factor(double diameter, double length)
{
    ll_shape rod;
    assert_ok(ll_shape_rod(diameter, length, &rod));
    double mean = 0;
    for (int i = 0; i < STEPS; i++) {
        double weight;
        const double rho = crowded(i, &weight);
        mean += weight * 2 * rho *
                psi_at(&rod, ll_vec(0, 0, 1), ll_vec(0.5 * diameter * rho, 0, 0.5 * length));
    }
    return 2 * mean / length;
}

/* Along x: psi = M f(z) cos(phi) on the side face, N = mean of f over the length / radius. */
static double transverse_factor(double diameter, double length)
{
    ll_shape rod;
    assert_ok(ll_shape_rod(diameter, length, &rod));
    double mean = 0;
    for (int i = 0; i < STEPS; i++) {
        double weight;
        const double z = length * (crowded(i, &weight) - 0.5);
        mean += weight * psi_at(&rod, ll_vec(1, 0, 0), ll_vec(0.5 * diameter, 0, z));
    }
    return mean / (0.5 * diameter);
}

/* Fluxmetric factor: minus the mean of Hz over the middle section. */
static double fluxmetric_factor(double diameter, double length)
{
    ll_shape rod;
    assert_ok(ll_shape_rod(diameter, length, &rod));
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    double mean = 0;
    for (int i = 0; i < STEPS; i++) {
        double weight;
        const double rho = crowded(i, &weight);
        const ll_vec3 p = ll_vec(0.5 * diameter * rho, 0, 0);
        ll_vec3 h;
        assert_ok(ll_magnet_h(&rod, &pose, ll_vec(0, 0, 1), 1, &p, &h));
        mean -= weight * 2 * rho * h.z;
    }
    return mean;
}

/* D. X. Chen, J. A. Brug, R. B. Goldfarb, IEEE Trans. Magn. 27 (1991) 3601, susceptibility zero (tables from memory to
 * four places; digits from Nm = 1 - Nagaoka's coefficient and its derivative). Across: (1 - Nm) / 2 by the sum rule. */
static void uniform_rods_have_the_demagnetising_factors_of_chen_brug_and_goldfarb(void **state)
{
    (void)state;
    static const struct {
        double length_over_diameter, magnetometric, fluxmetric;
    } cases[] = {
        {0.1, 0.796677, 0.784519},   {0.2, 0.680175, 0.656469},    {0.5, 0.474490, 0.422088},
        {1, 0.311577, 0.232211},     {1.5, 0.230112, 0.141813},    {2, 0.181864, 0.0935061},
        {3, 0.127769, 0.0479892},    {5, 0.0799073, 0.0188912},    {10, 0.0411929, 0.00492653},
        {20, 0.0209083, 0.00124534}, {50, 0.00843827, 0.000199880}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const double d = 0.005, l = d * cases[i].length_over_diameter;
        assert_close(axial_factor(d, l), cases[i].magnetometric, 2e-6);
        assert_close(transverse_factor(d, l), 0.5 * (1 - cases[i].magnetometric), 2e-6);
        assert_close(fluxmetric_factor(d, l), cases[i].fluxmetric, 2e-6);
    }
}

static double prism_factor_z(ll_vec3 size)
{
    ll_shape block;
    assert_ok(ll_shape_block(size, &block));
    double mean = 0;
    for (int i = 0; i < STEPS; i++)
        for (int k = 0; k < STEPS; k++) {
            double wx, wy;
            const double x = size.x * (crowded(i, &wx) - 0.5), y = size.y * (crowded(k, &wy) - 0.5);
            mean += wx * wy * psi_at(&block, ll_vec(0, 0, 1), ll_vec(x, y, 0.5 * size.z));
        }
    return 2 * mean / size.z;
}

/* A. Aharoni, J. Appl. Phys. 83 (1998) 3432, eq. 1 (formula from memory, checked by the sum rule): square prisms by
 * height over side, and a bar of 62 x 12.7 x 3.2 along each of its edges. */
static void uniform_prisms_have_the_demagnetising_factors_of_aharoni(void **state)
{
    (void)state;
    static const double square[][2] = {
        {0.1, 0.805078}, {0.2, 0.694194}, {0.5, 0.495922}, {1, 0.333333},   {2, 0.198316},
        {3, 0.140363},   {4, 0.108454},   {5, 0.0883157},  {10, 0.0457312}, {20, 0.0232623}};
    for (size_t i = 0; i < sizeof square / sizeof square[0]; i++)
        assert_close(prism_factor_z(ll_vec(0.01, 0.01, 0.01 * square[i][0])), square[i][1], 2e-6);
    assert_close(prism_factor_z(ll_vec(0.062, 0.0127, 0.0032)), 0.741107, 2e-6);
    assert_close(prism_factor_z(ll_vec(0.0032, 0.062, 0.0127)), 0.216984, 2e-6);
    assert_close(prism_factor_z(ll_vec(0.0127, 0.0032, 0.062)), 0.0419086, 2e-6);
}

/* Block's other axes: the same bar turned so that its magnetisation lies along x, then y, of its own frame. */
static void a_turned_block_magnetised_along_another_edge_has_the_same_field(void **state)
{
    (void)state;
    ll_shape upright, lying;
    assert_ok(ll_shape_block(ll_vec(0.062, 0.0127, 0.0032), &upright));
    assert_ok(ll_shape_block(ll_vec(0.0032, 0.062, 0.0127), &lying));
    const ll_pose plain = ll_pose_at(ll_vec(0, 0, 0));
    for (int i = 0; i < 30; i++) {
        const ll_vec3 p = ll_vec(0.002 * i - 0.03, 0.0031, 0.0002 * i + 0.0005);
        const ll_vec3 q = ll_vec(p.z, p.x, p.y), m = ll_vec(1e5, -3e5, 8e5);
        const ll_vec3 n = ll_vec(m.z, m.x, m.y);
        ll_vec3 a, b;
        assert_ok(ll_magnet_h(&upright, &plain, m, 1, &p, &a));
        assert_ok(ll_magnet_h(&lying, &plain, n, 1, &q, &b));
        assert_close(ll_norm(ll_sub(ll_vec(a.z, a.x, a.y), b)), 0, 1e-9 * ll_norm(m));
    }
}

/* Half the mean over a rim of radius 1 of cos phi / distance, from 1 above the rim on: 200 equal steps are exact. */
static double pull_of_rim(double above)
{
    double sum = 0;
    for (int i = 0; i < 200; i++) {
        const double c = cos(2 * LL_PI * i / 200);
        sum += c / sqrt(2 * (1 - c) + above * above);
    }
    return sum / 400;
}

/* Closer to a rim than any atom the field away from the axis is that of a charged edge, (ln(8 a / d) - 2) / (2 pi) of M, from K =
 * ln(4 / k') and E = 1 (Abramowitz and Stegun, 17.3.26 and 17.3.28, from memory): the elliptic integrals have converged there too.
 * The distances are powers of two, which the height of the point holds without rounding. */
static void the_field_at_a_rim_is_that_of_a_charged_edge(void **state)
{
    (void)state;
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    ll_shape rod;
    assert_ok(ll_shape_rod(2, 2, &rod));
    for (int power = 24; power <= 38; power += 2) {
        const double d = ldexp(1, -power);
        const ll_vec3 at = ll_vec(1, 0, 1 + d);
        ll_vec3 h;
        assert_ok(ll_magnet_h(&rod, &pose, ll_vec(0, 0, 1), 1, &at, &h));
        assert_relative(h.x, (log(8 / d) - 2) / (2 * LL_PI) - pull_of_rim(2 + d), 1e-11);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rod_magnet_has_its_textbook_field_on_the_axis),
        cmocka_unit_test(magnets_match_published_fields_on_the_axis),
        cmocka_unit_test(uniform_rods_have_the_demagnetising_factors_of_chen_brug_and_goldfarb),
        cmocka_unit_test(uniform_prisms_have_the_demagnetising_factors_of_aharoni),
        cmocka_unit_test(a_turned_block_magnetised_along_another_edge_has_the_same_field),
        cmocka_unit_test(the_field_at_a_rim_is_that_of_a_charged_edge),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
