/* test_string.c - a string over a pickup: what its linkage must obey, what is refused, and weak strings done by hand.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "string/string.h"

/* One pole in its coil between two bars, symmetric in x = 0 and y = 0, solved for both ways of magnetising the bars. */
static ll_solution *forward, *backward;

static ll_solution *pole_between_bars(double sign)
{
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 18), mm(0, 0, -5), 500);
    add_magnet(scene, block_mm(10, 10, 4), mm(0, 8, -12), magnet(0.38, 1), ll_vec(0, -sign, 0));
    add_magnet(scene, block_mm(10, 10, 4), mm(0, -8, -12), magnet(0.38, 1), ll_vec(0, sign, 0));
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, -2), 8000);
    return solved(scene, 0.5);
}

static int solve_both(void **state)
{
    (void)state;
    forward = pole_between_bars(1);
    backward = pole_between_bars(-1);
    return 0;
}

static int free_both(void **state)
{
    (void)state;
    ll_solution_free(forward);
    ll_solution_free(backward);
    return 0;
}

static ll_string string_of(const ll_material *material)
{
    return (ll_string){0.43e-3, 0.43e-3, material, 0, 7e-3, NULL};
}

static double linkage(const ll_solution *s, const ll_string *string, double x_mm, double z_mm)
{
    const double x = 1e-3 * x_mm, z = 1e-3 * z_mm;
    double value;
    assert_ok(ll_string_linkage(s, 0, string, 1, &x, &z, &value));
    return value;
}

/* ---- mechanics ---- */

/* Textbook: T = mass (2 L f)^2. E4 over 648 mm on 0.254 mm steel of 7850 kg/m3: 72.59 N. */
static void tension_and_mass_follow_the_textbook(void **state)
{
    (void)state;
    const double mass = ll_string_plain_mass_kg_m(0.254e-3, 7850);
    assert_relative(mass, 0.3978e-3, 2e-4);
    assert_relative(ll_string_tension_n(mass, 0.648, 329.63), 72.59, 5e-4);
    assert_close(ll_string_tension_n(mass, 0.648, 0), 0, 0);
    /* The wave is there and back in a period; half of it between two places cancels. */
    const double wave = ll_string_wave_m_s(0.648, 329.63);
    assert_relative(mass * wave * wave, ll_string_tension_n(mass, 0.648, 329.63), 1e-14);
    assert_relative(ll_string_notch_hz(wave, 2 * 0.648, true), 329.63 / 2, 1e-14);
    assert_relative(ll_string_notch_hz(wave, 0.648, false), 2 * 329.63, 1e-14);
}

/* ---- refusals ---- */

static void strings_that_cannot_be_are_refused(void **state)
{
    (void)state;
    ll_material *m = steel(200);
    const ll_string fine = string_of(m);
    const struct {
        size_t coil;
        double diameter_m, core_m, x_m, z_m;
        ll_status expected;
    } cases[] = {
        {0, 0.43e-3, 0.43e-3, 0, 7e-3, LL_OK},
        {1, 0.43e-3, 0.43e-3, 0, 7e-3, LL_NO_COIL},
        {0, 0, 0, 0, 7e-3, LL_BAD_SIZE},
        {0, -1e-3, 0.43e-3, 0, 7e-3, LL_BAD_SIZE},
        {0, 0.43e-3, 0, 0, 7e-3, LL_BAD_SIZE},
        {0, 0.43e-3, 0.5e-3, 0, 7e-3, LL_BAD_SIZE}, /* core thicker than string */
        {0, NAN, 0.43e-3, 0, 7e-3, LL_BAD_SIZE},
        {0, 0.43e-3, 0.43e-3, 0, 0, LL_STRING_IN_PART},         /* through the pole */
        {0, 0.43e-3, 0.43e-3, 0, 4.2e-3, LL_STRING_IN_PART},    /* its underside cuts the top */
        {0, 0.43e-3, 0.43e-3, 0, 4.23e-3, LL_OK},               /* just clear */
        {0, 0.43e-3, 0.43e-3, 4e-3, -12e-3, LL_STRING_IN_PART}, /* through both bars */
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ll_string string = fine;
        string.diameter_m = cases[i].diameter_m;
        string.core_diameter_m = cases[i].core_m;
        double value = 77;
        assert_int_equal(ll_string_linkage(forward, cases[i].coil, &string, 1, &cases[i].x_m,
                                           &cases[i].z_m, &value),
                         cases[i].expected);
        assert_true((value == 77) == (cases[i].expected != LL_OK));
    }
    ll_string inside = fine;
    inside.z_m = 0;
    double dz = 7, dx = 7;
    assert_int_equal(ll_string_gradient(forward, 0, &inside, &dz, &dx), LL_STRING_IN_PART);
    assert_int_equal(ll_string_gradient(forward, 3, &fine, &dz, &dx), LL_NO_COIL);
    assert_close(dz + dx, 14, 0);
    ll_material_free(m);
}

static void one_place_in_a_part_spoils_the_whole_list(void **state)
{
    (void)state;
    ll_material *m = steel(200);
    const ll_string string = string_of(m);
    const double x[3] = {0, 0, 0}, z[3] = {7e-3, 0, 8e-3};
    double value[3] = {7, 7, 7};
    assert_int_equal(ll_string_linkage(forward, 0, &string, 3, x, z, value), LL_STRING_IN_PART);
    assert_close(value[0] + value[1] + value[2], 21, 0);
    ll_material_free(m);
}

/* ---- silence ---- */

static void bronze_and_steel_that_is_not_magnetic_are_silent(void **state)
{
    (void)state;
    ll_material *bronze, *air = steel(1), *hard = steel(200);
    assert_ok(ll_material_conductor(1e7, &bronze));
    const ll_string a = string_of(bronze), b = string_of(air), c = string_of(hard);
    const double signal = fabs(linkage(forward, &c, 0, 7));
    assert_close(linkage(forward, &a, 0, 7), 0, 0);
    assert_close(linkage(forward, &b, 0, 7), 0, 1e-12 * signal);
    assert_true(signal > 1e-5); /* some ten microweber at least from 8000 turns */
    ll_material_free(bronze);
    ll_material_free(air);
    ll_material_free(hard);
}

static void without_magnets_there_is_no_signal(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 18), mm(0, 0, -5), 500);
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, -2), 8000);
    ll_solution *s = solved(scene, 0.5);
    ll_material *m;
    assert_ok(ll_material_named("music wire", &m));
    const ll_string string = string_of(m);
    assert_close(linkage(s, &string, 0, 7), 0, 1e-12);
    ll_material_free(m);
    ll_solution_free(s);
}

/* ---- symmetry ---- */

/* Materials that the symmetries hold for alike: straight and saturating. */
static ll_material *stock(int i)
{
    ll_material *m;
    if (i == 0)
        return steel(200);
    assert_ok(ll_material_named("music wire", &m));
    return m;
}

static void linkage_turns_round_with_the_magnets(void **state)
{
    (void)state;
    for (int i = 0; i < 2; i++) {
        ll_material *m = stock(i);
        const ll_string string = string_of(m);
        const double value = linkage(forward, &string, 0.7, 7);
        assert_relative(linkage(backward, &string, 0.7, 7), -value, 1e-4);
        ll_material_free(m);
    }
}

/* Sideways motion over a pole's middle changes nothing to first order. What remains is the mesh's own asymmetry. */
static void over_the_middle_of_a_pole_only_vertical_motion_counts(void **state)
{
    (void)state;
    for (int i = 0; i < 2; i++) {
        ll_material *m = stock(i);
        ll_string string = string_of(m);
        double dz, dx, dz_side, dx_left, dx_right;
        assert_ok(ll_string_gradient(forward, 0, &string, &dz, &dx));
        assert_close(dx, 0, 0.005 * fabs(dz));
        string.x_m = 1e-3;
        assert_ok(ll_string_gradient(forward, 0, &string, &dz_side, &dx_right));
        string.x_m = -1e-3;
        assert_ok(ll_string_gradient(forward, 0, &string, &dz_side, &dx_left));
        assert_close(dx_left, -dx_right, 0.01 * fabs(dz));
        assert_true(fabs(dx_right) > 0.02 * fabs(dz));
        ll_material_free(m);
    }
}

/* ---- size ---- */

static void linkage_falls_as_the_string_rises(void **state)
{
    (void)state;
    ll_material *m = stock(1);
    const ll_string string = string_of(m);
    double before = HUGE_VAL;
    for (double z = 5; z < 12; z += 1.5) {
        const double value = fabs(linkage(forward, &string, 0, z));
        assert_true(value < before);
        before = value;
    }
    ll_material_free(m);
}

/* The step inside is 0.05 mm; here differences of 0.2 mm, fourth order. */
static void gradient_is_the_slope_of_the_linkage(void **state)
{
    (void)state;
    ll_material *m = stock(1);
    ll_string string = string_of(m);
    string.x_m = 1e-3;
    const double h = 0.2;
    double dz, dx;
    assert_ok(ll_string_gradient(forward, 0, &string, &dz, &dx));
    const double up =
        (8 * (linkage(forward, &string, 1, 7 + h) - linkage(forward, &string, 1, 7 - h)) -
         linkage(forward, &string, 1, 7 + 2 * h) + linkage(forward, &string, 1, 7 - 2 * h)) /
        (12e-3 * h);
    const double side =
        (8 * (linkage(forward, &string, 1 + h, 7) - linkage(forward, &string, 1 - h, 7)) -
         linkage(forward, &string, 1 + 2 * h, 7) + linkage(forward, &string, 1 - 2 * h, 7)) /
        (12e-3 * h);
    assert_relative(dz, up, 2e-3);
    assert_close(dx, side, 2e-3 * fabs(dz));
    ll_material_free(m);
}

/* Of a wound string only the core is magnetic. */
static void a_wound_string_sounds_like_its_core(void **state)
{
    (void)state;
    ll_material *m = stock(1);
    ll_string core = string_of(m), wound = core;
    wound.diameter_m = 1.17e-3;
    assert_relative(linkage(forward, &wound, 0, 7), linkage(forward, &core, 0, 7), 1e-12);
    ll_material_free(m);
}

/* Real steel carries 2 T at most: over a strong magnet less than a straight law of the same initial permeability. */
static void saturation_costs_signal(void **state)
{
    (void)state;
    ll_material *soft, *straight = steel(1001);
    assert_ok(ll_material_steel_arctan(2.0, 1001, 0, &soft));
    const ll_string a = string_of(soft), b = string_of(straight);
    assert_true(fabs(linkage(forward, &a, 0, 5)) < 0.9 * fabs(linkage(forward, &b, 0, 5)));
    ll_material_free(soft);
    ll_material_free(straight);
}

/* ---- weak strings by hand ---- */

/* A string of small susceptibility is magnetised by the bias field alone, M = chi H, and across its length 2 chi / (2 + chi)
 * H: linkage = mu0 A chi integral H . H_coil dy to first order in chi. */
static void a_weak_string_links_what_the_two_fields_give(void **state)
{
    (void)state;
    enum { N = 4000 };
    static ll_vec3 at[N], b[N], h[N];
    const double chi = 1e-4, reach_mm = 80;
    ll_material *m = steel(1 + chi);
    const ll_string string = string_of(m);
    for (int i = 0; i < N; i++)
        at[i] = mm(0.8, reach_mm * ((2 * i + 1.0) / N - 1), 6.5);
    assert_ok(ll_solution_b(forward, N, at, b));
    assert_ok(ll_solution_coil_h(forward, 0, N, at, h));
    double sum = 0;
    for (int i = 0; i < N; i++)
        sum += ll_dot(b[i], h[i]) * 2e-3 * reach_mm / N;
    const double area = LL_PI * 0.215e-3 * 0.215e-3;
    assert_relative(linkage(forward, &string, 0.8, 6.5), chi * area * sum, 1e-3);
    ll_material_free(m);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tension_and_mass_follow_the_textbook),
        cmocka_unit_test(strings_that_cannot_be_are_refused),
        cmocka_unit_test(one_place_in_a_part_spoils_the_whole_list),
        cmocka_unit_test(bronze_and_steel_that_is_not_magnetic_are_silent),
        cmocka_unit_test(without_magnets_there_is_no_signal),
        cmocka_unit_test(linkage_turns_round_with_the_magnets),
        cmocka_unit_test(over_the_middle_of_a_pole_only_vertical_motion_counts),
        cmocka_unit_test(linkage_falls_as_the_string_rises),
        cmocka_unit_test(gradient_is_the_slope_of_the_linkage),
        cmocka_unit_test(a_wound_string_sounds_like_its_core),
        cmocka_unit_test(saturation_costs_signal),
        cmocka_unit_test(a_weak_string_links_what_the_two_fields_give),
    };
    return cmocka_run_group_tests(tests, solve_both, free_both);
}
