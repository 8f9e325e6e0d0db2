/* test_motion.c - a plucked string's parts: stiffness, damping, pluck and their sum; what must hold, what is refused.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "string/motion.h"
#include "string/string.h"

#include <stdlib.h>

enum { PARTIALS = 40 };

/* 0.010 in plain steel, E4 over 648 mm. */
static const ll_string_tuning thin = {0.648, 329.63, 0, 0.3978e-3, 0.254e-3, 0.254e-3, 207e9};

static ll_stiff_string tuned(ll_string_tuning tuning)
{
    ll_stiff_string s;
    assert_ok(ll_stiff_string_tune(&tuning, &s));
    return s;
}

static ll_stiff_string flexible(void)
{
    ll_string_tuning t = thin;
    t.young_pa = 0;
    return tuned(t);
}

static void the_first_partial_sounds_the_note_however_stiff(void **state)
{
    (void)state;
    for (double core = 0.1e-3; core < 1e-3; core += 0.2e-3) {
        const ll_stiff_string s =
            tuned((ll_string_tuning){0.648, 110, 0, 4.28e-3, 1e-3, core, 207e9});
        assert_relative(ll_stiff_string_partial_hz(&s, 1), 110, 1e-14);
        /* B as its definition says, pi^2 E I / (T L^2). */
        const double bending = 207e9 * LL_PI * pow(core, 4) / 64;
        const double b = LL_PI * LL_PI * bending / (s.tension_n * 0.648 * 0.648);
        assert_relative(s.inharmonicity, b, 1e-12);
    }
}

static void a_fret_shortens_the_string_and_keeps_its_tension(void **state)
{
    (void)state;
    const ll_stiff_string open = tuned(thin);
    ll_string_tuning at_12 = thin;
    at_12.fret = 12;
    const ll_stiff_string octave = tuned(at_12);
    assert_relative(octave.length_m, open.length_m / 2, 1e-14);
    assert_relative(octave.tension_n, open.tension_n, 1e-14);
    assert_relative(octave.ideal_hz, 2 * open.ideal_hz, 1e-13);
    assert_relative(octave.inharmonicity, 4 * open.inharmonicity, 1e-13);
}

static void partials_are_counted_below_a_frequency(void **state)
{
    (void)state;
    const ll_stiff_string s = flexible();
    assert_int_equal(ll_stiff_string_partials_below(&s, 329), 0);
    assert_int_equal(ll_stiff_string_partials_below(&s, 330), 1);
    assert_int_equal(ll_stiff_string_partials_below(&s, 5 * 329.63 + 1), 5);
    const ll_stiff_string stiff = tuned(thin);
    const size_t n = ll_stiff_string_partials_below(&stiff, 24000);
    assert_true(ll_stiff_string_partial_hz(&stiff, n) < 24000);
    assert_true(ll_stiff_string_partial_hz(&stiff, n + 1) >= 24000);
}

static void strings_that_cannot_be_are_refused(void **state)
{
    (void)state;
    static const struct {
        ll_string_tuning tuning;
        ll_status status;
    } cases[] = {{{0, 330, 0, 4e-4, 3e-4, 3e-4, 2e11}, LL_BAD_SIZE},
                 {{0.6, NAN, 0, 4e-4, 3e-4, 3e-4, 2e11}, LL_BAD_SIZE},
                 {{0.6, 330, 0, -4e-4, 3e-4, 3e-4, 2e11}, LL_BAD_SIZE},
                 {{0.6, 330, 0, 4e-4, 3e-4, 0, 2e11}, LL_BAD_SIZE},
                 {{0.6, 330, -1, 4e-4, 3e-4, 3e-4, 2e11}, LL_BAD_VALUE},
                 {{0.6, 330, NAN, 4e-4, 3e-4, 3e-4, 2e11}, LL_BAD_VALUE},
                 {{0.6, 330, 0, 4e-4, 3e-4, 4e-4, 2e11}, LL_BAD_VALUE},
                 {{0.6, 330, 0, 4e-4, 3e-4, 3e-4, -1}, LL_BAD_VALUE},
                 /* A bar: it sounds the note without being pulled. */
                 {{0.1, 330, 0, 0.4, 8e-3, 8e-3, 2e11}, LL_BAD_VALUE}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ll_stiff_string s = {.length_m = 7};
        assert_int_equal(ll_stiff_string_tune(&cases[i].tuning, &s), cases[i].status);
        assert_close(s.length_m, 7, 0);
    }
}

static void the_wraps_mass_is_its_length_by_its_area(void **state)
{
    (void)state;
    /* One turn of 0.3 mm wire around 0.4 mm: pi 0.7 mm around and 0.3 mm on, for 0.3 mm of string. */
    const double turn_kg = 8000 * LL_PI * 0.09e-6 / 4 * hypot(LL_PI * 0.7e-3, 0.3e-3);
    const double core = ll_string_plain_mass_kg_m(0.4e-3, 7850);
    assert_relative(ll_string_wound_mass_kg_m(0.4e-3, 0.3e-3, 7850, 8000), core + turn_kg / 0.3e-3,
                    1e-12);
}

static void each_loss_follows_its_law_and_they_add_up(void **state)
{
    (void)state;
    const ll_stiff_string s = tuned(thin);
    const ll_damping bending = {0, 0, 3e-4, 0, NULL}, rest = {0, 0, 0, 2e-4, NULL};
    const ll_damping air = {1.8e-5, 1.2, 0, 0, NULL}, all = {1.8e-5, 1.2, 3e-4, 2e-4, NULL};
    for (size_t n = 1; n <= PARTIALS; n++) {
        const double b = ll_damping_loss_factor(&bending, &s, n);
        const double a = ll_damping_loss_factor(&air, &s, n);
        assert_relative(b, 3e-4 * s.inharmonicity * (double)(n * n), 1e-12);
        assert_relative(ll_damping_loss_factor(&rest, &s, n), 2e-4, 1e-12);
        assert_relative(ll_damping_loss_factor(&all, &s, n), a + b + 2e-4, 1e-12);
        /* Air: between 1 / f for the creeping part and 1 / sqrt(f) for the boundary layer. */
        const double fall = a / ll_damping_loss_factor(&air, &s, 4 * n);
        assert_in_range((int)(1000 * fall), 2000, 4010);
    }
}

/* The loss factor's definition: energy lost in a radian over the energy. */
static void energy_falls_by_the_loss_factor_in_each_radian(void **state)
{
    (void)state;
    const ll_stiff_string s = tuned(thin);
    for (size_t n = 1; n <= PARTIALS; n += 3) {
        const double radian_s = 1 / (2 * LL_PI * ll_stiff_string_partial_hz(&s, n));
        const double decay = ll_damping_decay_per_s(&ll_damping_plain, &s, n);
        const double lost = -expm1(-2 * decay * radian_s);
        assert_relative(lost, ll_damping_loss_factor(&ll_damping_plain, &s, n), 1e-3);
    }
}

/* The shape before release is the pluck's triangle: its sine coefficients by quadrature. */
static void amplitudes_are_the_sine_coefficients_of_the_triangle(void **state)
{
    (void)state;
    enum { STEPS = 20000 };
    const ll_stiff_string s = flexible();
    const ll_pluck p = {0.13, 1.5e-3, 0, 0, 0};
    for (size_t n = 1; n <= 12; n++) {
        double sum = 0;
        for (int i = 0; i < STEPS; i++) {
            const double y = s.length_m * (i + 0.5) / STEPS;
            const double shape = y < p.from_bridge_m
                                     ? y / p.from_bridge_m
                                     : (s.length_m - y) / (s.length_m - p.from_bridge_m);
            sum += p.height_m * shape * sin((double)n * LL_PI * y / s.length_m);
        }
        assert_close(ll_pluck_amplitude_m(&p, &s, n), 2 * sum / STEPS, 1e-10);
    }
}

/* Superposition: a wide pluck is many narrow ones of the same force, shared out as a raised cosine. */
static void a_wide_pluck_is_the_sum_of_narrow_ones(void **state)
{
    (void)state;
    enum { STEPS = 2000 };
    const ll_stiff_string s = tuned(thin);
    const ll_pluck wide = {0.1, 1e-3, 0, 12e-3, 0};
    /* The height that a force makes is proportional to d (L - d). */
    const double per_force = wide.height_m / (0.1 * (s.length_m - 0.1));
    for (size_t n = 1; n <= PARTIALS; n++) {
        double sum = 0;
        for (int i = 0; i < STEPS; i++) {
            const double u = (i + 0.5) / STEPS - 0.5, y = 0.1 + u * wide.width_m;
            const ll_pluck narrow = {y, per_force * y * (s.length_m - y), 0, 0, 0};
            sum += (1 + cos(2 * LL_PI * u)) / STEPS * ll_pluck_amplitude_m(&narrow, &s, n);
        }
        assert_close(ll_pluck_amplitude_m(&wide, &s, n), sum, 1e-9);
    }
}

/* Duhamel's integral: what a force that ceases as a raised cosine leaves of one oscillator. */
static void a_slow_release_leaves_what_the_ceasing_force_leaves(void **state)
{
    (void)state;
    enum { STEPS = 20000 };
    const ll_stiff_string s = tuned(thin);
    const ll_pluck at_once = {0.1, 1e-3, 0, 0, 0}, slow = {0.1, 1e-3, 0, 0, 1e-3};
    for (size_t n = 1; n <= 12; n++) {
        const double omega = 2 * LL_PI * ll_stiff_string_partial_hz(&s, n);
        double c = 0;
        for (int i = 0; i < STEPS; i++) {
            const double u = (i + 0.5) / STEPS - 0.5;
            c += (1 + cos(2 * LL_PI * u)) / STEPS * cos(omega * u * slow.release_s);
        }
        const double whole = ll_pluck_amplitude_m(&at_once, &s, n);
        assert_close(ll_pluck_amplitude_m(&slow, &s, n), c * whole, 1e-9 * fabs(whole) + 1e-15);
    }
}

static ll_motion *moving(const ll_stiff_string *s, double split, const ll_pluck *p)
{
    ll_mode_pair pairs[PARTIALS];
    ll_motion *m = NULL;
    assert_ok(ll_mode_pairs(s, split, NULL, PARTIALS, pairs));
    assert_ok(ll_motion_new(s, PARTIALS, pairs, &ll_damping_plain, p, &m));
    return m;
}

static void the_string_starts_where_the_pluck_holds_it(void **state)
{
    (void)state;
    const ll_stiff_string s = flexible();
    const ll_pluck p = {0.2, 1e-3, 0.6, 0, 0};
    ll_motion *m = moving(&s, 2e-3, &p);
    static const struct {
        double y, share;
    } cases[] = {{0.1, 0.5}, {0.2, 1}, {0.424, 0.5}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double x, z;
        ll_motion_at(m, cases[i].y, 0, &x, &z);
        /* 40 partials round the corner by about 2 L^2 / (pi^2 d (L - d)) / 40 = 2.4 %. */
        assert_close(x, cases[i].share * 1e-3 * cos(0.6), 25e-6);
        assert_close(z, cases[i].share * 1e-3 * sin(0.6), 25e-6);
    }
    ll_motion_free(m);
}

static void half_a_period_later_the_corner_is_mirrored(void **state)
{
    (void)state;
    const ll_stiff_string s = flexible();
    const ll_pluck p = {0.2, 1e-3, LL_PI / 2, 0, 0};
    const ll_damping none = {0, 0, 0, 0, NULL};
    ll_mode_pair pairs[PARTIALS];
    ll_motion *m = NULL;
    assert_ok(ll_mode_pairs(&s, 0, NULL, PARTIALS, pairs));
    assert_ok(ll_motion_new(&s, PARTIALS, pairs, &none, &p, &m));
    for (double y = 0.05; y < s.length_m; y += 0.07) {
        double x, now, later;
        ll_motion_at(m, y, 0, &x, &now);
        ll_motion_at(m, s.length_m - y, 0.5 / s.ideal_hz, &x, &later);
        assert_close(later, -now, 1e-12);
    }
    ll_motion_free(m);
}

static void two_polarisations_beat_in_and_out(void **state)
{
    (void)state;
    const ll_stiff_string s = flexible();
    const ll_pluck p = {0.2, 1e-3, LL_PI / 4, 0, 0};
    ll_motion *m = moving(&s, 3e-3, &p);
    const ll_mode *across = &m->modes[0], *up = &m->modes[1];
    assert_int_equal(across->number, 1);
    assert_int_equal(up->number, 1);
    assert_relative(up->frequency_hz - across->frequency_hz, 3e-3 * 329.63, 1e-9);
    assert_close(across->z_m, 0, 0);
    assert_close(up->x_m, 0, 1e-18);
    ll_motion_free(m);
}

static void plucks_and_dampings_that_cannot_be_are_refused(void **state)
{
    (void)state;
    const ll_stiff_string s = tuned(thin);
    static const ll_pluck plucks[] = {
        {0, 1e-3, 0, 0, 0},       {0.648, 1e-3, 0, 0, 0},    {0.7, 1e-3, 0, 0, 0},
        {-0.1, 1e-3, 0, 0, 0},    {0.1, NAN, 0, 0, 0},       {0.1, 1e-3, INFINITY, 0, 0},
        {0.1, 1e-3, 0, -1e-3, 0}, {0.002, 1e-3, 0, 5e-3, 0}, {0.1, 1e-3, 0, 0, -1e-3}};
    static const ll_damping dampings[] = {{-1, 1, 0, 0, NULL},
                                          {0, NAN, 0, 0, NULL},
                                          {0, 0, -1e-9, 0, NULL},
                                          {0, 0, 0, INFINITY, NULL}};
    ll_mode_pair pair;
    ll_motion *m = NULL;
    assert_ok(ll_mode_pairs(&s, 0, NULL, 1, &pair));
    for (size_t i = 0; i < sizeof plucks / sizeof plucks[0]; i++)
        assert_int_equal(ll_motion_new(&s, 1, &pair, &ll_damping_plain, &plucks[i], &m),
                         LL_BAD_VALUE);
    const ll_pluck good = {0.1, 1e-3, 0, 0, 0};
    for (size_t i = 0; i < sizeof dampings / sizeof dampings[0]; i++)
        assert_int_equal(ll_motion_new(&s, 1, &pair, &dampings[i], &good, &m), LL_BAD_VALUE);
    assert_int_equal(ll_motion_new(&s, 0, &pair, &ll_damping_plain, &good, &m), LL_BAD_VALUE);
    assert_null(m);
    ll_motion_free(NULL);
}

/* Whichever way its axes lie, a string that is let go starts out along the pull. */
static void a_string_starts_along_the_pull_whatever_its_axes(void **state)
{
    (void)state;
    const ll_stiff_string s = flexible();
    const ll_pluck p = {0.13, 1e-3, 0.7, 3e-3, 0};
    const double hz = ll_stiff_string_partial_hz(&s, 1);
    for (int k = -2; k <= 2; k++) {
        const ll_mode_pair pair = {hz, 1.01 * hz, 0.35 * k};
        ll_motion *m = NULL;
        double x, z;
        assert_ok(ll_motion_new(&s, 1, &pair, &ll_damping_plain, &p, &m));
        ll_motion_at(m, 0.2, 0, &x, &z);
        assert_true(x > 0);
        assert_close(atan2(z, x), 0.7, 1e-12);
        ll_motion_free(m);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_string_starts_along_the_pull_whatever_its_axes),
        cmocka_unit_test(the_first_partial_sounds_the_note_however_stiff),
        cmocka_unit_test(a_fret_shortens_the_string_and_keeps_its_tension),
        cmocka_unit_test(partials_are_counted_below_a_frequency),
        cmocka_unit_test(strings_that_cannot_be_are_refused),
        cmocka_unit_test(the_wraps_mass_is_its_length_by_its_area),
        cmocka_unit_test(each_loss_follows_its_law_and_they_add_up),
        cmocka_unit_test(energy_falls_by_the_loss_factor_in_each_radian),
        cmocka_unit_test(amplitudes_are_the_sine_coefficients_of_the_triangle),
        cmocka_unit_test(a_wide_pluck_is_the_sum_of_narrow_ones),
        cmocka_unit_test(a_slow_release_leaves_what_the_ceasing_force_leaves),
        cmocka_unit_test(the_string_starts_where_the_pluck_holds_it),
        cmocka_unit_test(half_a_period_later_the_corner_is_mirrored),
        cmocka_unit_test(two_polarisations_beat_in_and_out),
        cmocka_unit_test(plucks_and_dampings_that_cannot_be_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
