/* test_pull_reference.c - the magnets' pull and what is heard of a string, against closed forms and published findings.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "string/pull.h"
#include "string/string.h"

#include <string.h>

static const double steel_kg_m3 = 7850; /* music wire ASTM A228, from memory */

/* E4 over 648 mm. */
static ll_stiff_string high_e(double gauge_mm)
{
    const double d = 1e-3 * gauge_mm;
    ll_stiff_string s;
    assert_ok(ll_stiff_string_tune(&(ll_string_tuning){0.648, 329.63, 0,
                                                       ll_string_plain_mass_kg_m(d, steel_kg_m3), d,
                                                       d, LL_YOUNG_MUSIC_WIRE_PA},
                                   &s));
    return s;
}

static ll_string string_at(const ll_material *material, double gauge_mm, double x_mm, double z_mm)
{
    return (ll_string){1e-3 * gauge_mm, 1e-3 * gauge_mm, material, 1e-3 * x_mm, 1e-3 * z_mm, NULL};
}

static ll_material *music_wire(void)
{
    ll_material *m;
    assert_ok(ll_material_named("music wire", &m));
    return m;
}

/* ---- a dipole under a string ---- */

/* A rod that is sqrt(3) / 2 as long as wide has no octupole, so that it is a dipole to the fifth power of its size; from far it
 * magnetises a weakly magnetic string, M = chi H. With a dipole m upwards at the distance d straight below, the energy is
 *   E = -(mu0 / 2) chi A (m / 4 pi)^2 (pi / 16) (15 d^2 / rho^7 + 6 / rho^5),   rho^2 = x^2 + d^2,
 * integrated over the string from the textbook's H of a dipole (J. Jackson, Classical Electrodynamics, section 5.6). Its
 * derivatives are force and stiffness. */
enum { DISTANCE_MM = 12 };
static const double chi = 1e-3, gauge_mm = 0.4, remanence_t = 1;

static double dipole_unit(void)
{
    const double volume = LL_PI / 4 * 2e-3 * 2e-3 * sqrt(3) * 1e-3;
    const double m = remanence_t / LL_MU0 * volume / (4 * LL_PI);
    const double area = LL_PI / 4 * 1e-6 * gauge_mm * gauge_mm;
    return LL_MU0 / 2 * chi * area * m * m * LL_PI / 16;
}

static ll_pull *pull_of_dipole(double from_bridge_m)
{
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(2, sqrt(3)), mm(0, 0, -DISTANCE_MM), magnet(remanence_t, 1),
               ll_vec(0, 0, 1));
    ll_solution *s = solved(scene, 1);
    ll_material *weak = steel(1 + chi);
    const ll_string string = string_at(weak, gauge_mm, 0, 0);
    ll_pull *pull;
    assert_ok(ll_pull_new(s, &string, from_bridge_m, &pull));
    ll_material_free(weak);
    ll_solution_free(s);
    return pull;
}

static void a_dipole_pulls_as_its_energy_says(void **state)
{
    (void)state;
    const double d = 1e-3 * DISTANCE_MM;
    ll_pull *pull = pull_of_dipole(0.324);
    double x, z;
    assert_ok(ll_pull_total(pull, 0.648, &x, &z));
    assert_relative(z, -dipole_unit() * 105 / pow(d, 6), 0.01); /* 5 x 21 */
    assert_close(x, 0, 1e-6 * fabs(z));
    ll_pull_free(pull);
}

/* The shift of a partial whose wave is long against the distance: df / f = -gradient sin^2(n pi y / L) L / (T (n pi)^2), the
 * gradient being 630 units upwards and -135 across; over the middle of the string only odd partials move. */
static void a_dipole_detunes_as_its_stiffness_says(void **state)
{
    (void)state;
    const ll_stiff_string string = high_e(0.254);
    ll_pull *pull = pull_of_dipole(0.324);
    ll_mode_pair pairs[3];
    const double unit = dipole_unit() / pow(1e-3 * DISTANCE_MM, 7);
    assert_ok(ll_mode_pairs(&string, 0, pull, 3, pairs));
    for (size_t n = 1; n <= 3; n++) {
        const double alone = ll_stiff_string_partial_hz(&string, n), n_pi = (double)n * LL_PI;
        const double odd = (double)(n % 2), share = odd * 0.648 / (string.tension_n * n_pi * n_pi);
        const double up = -630 * unit * 0.648 / (string.tension_n * LL_PI * LL_PI);
        assert_close(pairs[n - 1].vertical_hz / alone - 1, -630 * unit * share, 0.02 * fabs(up));
        assert_close(pairs[n - 1].horizontal_hz / alone - 1, 135 * unit * share, 0.02 * fabs(up));
    }
    ll_pull_free(pull);
}

/* ---- published findings ---- */

/* J. Feinberg and B. Yang, abstract of a talk to the Acoustical Society of America: a magnet under the high E string parts its
 * two polarisations by a few hertz. Here a strong rod (1.25 T, 6 wide, 20 long) 1 mm below; "a few" is taken as 1 to 10. */
static double widest_split(double gap_mm)
{
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(6, 20), mm(0, 0, -10), magnet(1.25, 1), ll_vec(0, 0, 1));
    ll_solution *s = solved(scene, 1);
    ll_material *wire = music_wire();
    const ll_string string = string_at(wire, 0.254, 0, gap_mm + 0.127);
    const ll_stiff_string tuned = high_e(0.254);
    ll_pull *pull;
    ll_mode_pair pairs[8];
    double widest = 0;
    assert_ok(ll_pull_new(s, &string, 0.06, &pull));
    assert_ok(ll_mode_pairs(&tuned, 0, pull, 8, pairs));
    for (int n = 0; n < 8; n++)
        widest = fmax(widest, ll_beat_hz(&pairs[n]));
    ll_pull_free(pull);
    ll_material_free(wire);
    ll_solution_free(s);
    return widest;
}

static void a_strong_magnet_close_by_parts_the_polarisations_by_a_few_hertz(void **state)
{
    (void)state;
    const double close = widest_split(1), far = widest_split(6);
    assert_true(close > 1 && close < 10);
    assert_true(ll_beat_warbles(close));
    assert_true(far < close / 10 && !ll_beat_warbles(far));
}

/* L. Guadagnin et al., J. Audio Eng. Soc. 65 (2017) 711, abstract: output is proportional to the cross-section of a plain string,
 * and largest for vertical motion. Over six poles between two bars; an exponent of 2 within 0.1. */
static void output_goes_with_the_cross_section_and_is_largest_up_and_down(void **state)
{
    (void)state;
    ll_scene *scene = a6_scene();
    const ll_coil_shape coil = {57e-3, 6e-3, 3e-3, 3e-3, 9e-3};
    add_coil(scene, coil, mm(0, 0, -0.5), 8000);
    ll_solution *s = solved(scene, 0.7);
    ll_material *wire = music_wire();
    const double gauge[] = {0.23, 0.33, 0.43};
    double up[3], across;
    for (int i = 0; i < 3; i++) {
        const ll_string string = string_at(wire, gauge[i], 5.6, 6.7);
        assert_ok(ll_string_gradient(s, 0, &string, &up[i], &across));
        assert_true(fabs(across) < 0.3 * fabs(up[i]));
    }
    for (int i = 0; i < 2; i++)
        assert_close(log(up[i + 1] / up[i]) / log(gauge[i + 1] / gauge[i]), 2, 0.1);
    ll_material_free(wire);
    ll_solution_free(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_dipole_pulls_as_its_energy_says),
        cmocka_unit_test(a_dipole_detunes_as_its_stiffness_says),
        cmocka_unit_test(a_strong_magnet_close_by_parts_the_polarisations_by_a_few_hertz),
        cmocka_unit_test(output_goes_with_the_cross_section_and_is_largest_up_and_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
