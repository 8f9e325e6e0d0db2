/* test_coils.c - coils in air against published inductances and the textbook field on the axis.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "field/source.h"

/* A round coil from its inner radius. */
static ll_coil_shape round_coil(double inner_m, double build_m, double height_m)
{
    return (ll_coil_shape){2 * inner_m, 2 * inner_m, inner_m, build_m, height_m};
}

static double self(ll_coil_shape coil, double turns)
{
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    double l;
    assert_ok(ll_coil_inductance(&coil, &pose, turns, &coil, &pose, turns, &l));
    return l;
}

/* Open case A3: axisymmetric finite elements of third order (FreeFEM 4.11), error 5e-5. */
static void thick_coil_matches_finite_elements(void **state)
{
    (void)state;
    assert_relative(self(round_coil(0.003, 0.005, 0.010), 8000), 0.346662, 5e-5);
}

/* A winding thin enough that its build costs less than the tolerance: to first order L falls by the share
 * of the flux that the build excludes. */
static double thin_solenoid(double radius_m, double length_m)
{
    const double build = 1e-6 * radius_m;
    return self(round_coil(radius_m - 0.5 * build, build, length_m), 1);
}

/* H. Nagaoka 1909 by diameter / length: L = mu0 pi a^2 N^2 K / l. Digits from Lorenz's formula. */
static void thin_solenoids_match_nagaoka(void **state)
{
    (void)state;
    static const double cases[][2] = {{0.1, 0.95880712}, {0.2, 0.92009267}, {0.5, 0.81813575},
                                      {1, 0.68842261},   {2, 0.52551002},   {5, 0.31982547},
                                      {10, 0.20332352}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const double a = 0.004, length = 2 * a / cases[i][0];
        const double k = thin_solenoid(a, length) * length / (LL_MU0 * LL_PI * a * a);
        assert_relative(k, cases[i][1], 5e-6);
    }
}

/* T. R. Lyle, Phil. Trans. R. Soc. A 213 (1914) 429: one turn, radius 1 m, by length. */
static void thin_solenoids_match_lyle(void **state)
{
    (void)state;
    assert_relative(thin_solenoid(1, 2), 1.08137 * LL_MU0, 5e-6);
    assert_relative(thin_solenoid(1, 1), 2.07463e-6, 5e-6);
    assert_relative(thin_solenoid(1, 0.5), 2.885335e-6, 5e-6);
}

/* H. B. Brooks, NBS J. Res. 7 (1931) 289: L = 1.6994e-6 a N^2, build = height = inner radius = a / 1.5 (from memory). */
static void square_winding_matches_brooks(void **state)
{
    (void)state;
    assert_relative(self(round_coil(0.01, 0.01, 0.01), 300), 1.6994e-6 * 0.015 * 300 * 300, 3e-5);
}

/* H. A. Wheeler, Proc. IRE 16 (1928) 1398: 0.8 a^2 N^2 / (6 a + 9 l + 10 c) microhenry in inches, said to hold within 1 %
 * where the three terms are alike. */
static void multilayer_coils_agree_with_wheeler(void **state)
{
    (void)state;
    static const double cases[][3] = {{1, 0.67, 0.6}, {1, 0.5, 0.5}, {0.3, 0.2, 0.2}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const double a = cases[i][0], l = cases[i][1], c = cases[i][2], inch = 0.0254;
        const double wheeler = 0.8e-6 * a * a * 1e4 / (6 * a + 9 * l + 10 * c);
        assert_relative(self(round_coil((a - 0.5 * c) * inch, c * inch, l * inch), 100), wheeler,
                        0.01);
    }
}

static double loops(double radius_a, double radius_b, double distance)
{
    const double thin = 1e-5 * radius_a;
    const ll_coil_shape a = round_coil(radius_a - 0.5 * thin, thin, thin),
                        b = round_coil(radius_b - 0.5 * thin, thin, thin);
    const ll_pose pa = ll_pose_at(ll_vec(0, 0, 0)), pb = ll_pose_at(ll_vec(0, 0, distance));
    double m;
    assert_ok(ll_coil_inductance(&a, &pa, 1, &b, &pb, 1, &m));
    return m;
}

/* J. C. Maxwell's formula for coaxial loops, K and E (E. B. Rosa, F. W. Grover, NBS Bull. 8 (1912) 1, eq. 1); digits
 * computed from it. The second case is that of S. Babic and C. Akyel 2010, 248.79 nH (from memory). */
static void thin_coaxial_loops_match_maxwell(void **state)
{
    (void)state;
    assert_relative(loops(0.25, 0.25, 0.01), 1.03666485e-6, 1e-6);
    assert_relative(loops(0.25, 0.20, 0.10), 2.48787359e-7, 1e-6);
    assert_relative(loops(0.05, 0.05, 0.05), 2.47039232e-8, 1e-6);
}

/* Thick solenoid on its axis, textbook (e.g. D. B. Montgomery, Solenoid Magnet Design, 1969):
 * H = N / (2 h b) [z ln((r2 + hypot(r2, z)) / (r1 + hypot(r1, z)))] between the ends. */
static void thick_solenoid_has_its_textbook_field_on_the_axis(void **state)
{
    (void)state;
    const double r1 = 0.003, r2 = 0.008, half = 0.005;
    const ll_coil_shape coil = round_coil(r1, r2 - r1, 2 * half);
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    for (int i = 0; i < 20; i++) {
        const ll_vec3 p = ll_vec(0, 0, 0.001 * i);
        const double up = p.z + half, down = p.z - half;
        const double expected = 8000 / (4 * half * (r2 - r1)) *
                                (up * log((r2 + hypot(r2, up)) / (r1 + hypot(r1, up))) -
                                 down * log((r2 + hypot(r2, down)) / (r1 + hypot(r1, down))));
        ll_vec3 h;
        assert_ok(ll_coil_h(&coil, &pose, 8000, 1, &p, &h));
        assert_relative(h.z, expected, 1e-6);
        assert_close(hypot(h.x, h.y), 0, 1e-6 * expected);
    }
}

/* A rectangular turn at its centre: H = 2 hypot(a, b) / (pi a b) for sides a and b (Biot and Savart, textbook). */
static void thin_rectangle_has_its_textbook_field_at_the_centre(void **state)
{
    (void)state;
    const double a = 0.06, b = 0.01, thin = 1e-5;
    const ll_coil_shape coil = {a - thin, b - thin, 0, thin, thin};
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    const ll_vec3 centre = ll_vec(0, 0, 0);
    ll_vec3 h;
    assert_ok(ll_coil_h(&coil, &pose, 1, 1, &centre, &h));
    assert_relative(h.z, 2 * hypot(a, b) / (LL_PI * a * b), 1e-5);
}

/* Two equal parallel straight filaments opposite each other (F. E. Neumann; Rosa, NBS Bull. 4 (1908) 301). */
static double filaments(double length, double distance)
{
    return LL_MU0 / (2 * LL_PI) *
           (length * asinh(length / distance) - hypot(length, distance) + distance);
}

/* Equal rectangles one above the other: opposite sides count against each other, sides at right angles not at all. */
static void thin_rectangles_link_as_neumanns_formula_says(void **state)
{
    (void)state;
    const double a = 0.06, b = 0.01, d = 0.004, thin = 1e-6;
    const ll_coil_shape coil = {a - thin, b - thin, 0, thin, thin};
    const ll_pose low = ll_pose_at(ll_vec(0, 0, 0)), high = ll_pose_at(ll_vec(0, 0, d));
    const double expected = 2 * (filaments(a, d) - filaments(a, hypot(b, d))) +
                            2 * (filaments(b, d) - filaments(b, hypot(a, d)));
    double m;
    assert_ok(ll_coil_inductance(&coil, &low, 1, &coil, &high, 1, &m));
    assert_relative(m, expected, 1e-5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(thick_coil_matches_finite_elements),
        cmocka_unit_test(thin_solenoids_match_nagaoka),
        cmocka_unit_test(thin_solenoids_match_lyle),
        cmocka_unit_test(square_winding_matches_brooks),
        cmocka_unit_test(multilayer_coils_agree_with_wheeler),
        cmocka_unit_test(thin_coaxial_loops_match_maxwell),
        cmocka_unit_test(thin_rectangles_link_as_neumanns_formula_says),
        cmocka_unit_test(thick_solenoid_has_its_textbook_field_on_the_axis),
        cmocka_unit_test(thin_rectangle_has_its_textbook_field_at_the_centre),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
