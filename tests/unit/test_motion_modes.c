/* test_motion_modes.c - how a pull along the string detunes its pairs of modes: exact cases, limits, refusals.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "string/modes.h"

enum { PARTIALS = 20 };
static const double none[4] = {0, 0, 0, 0};

static ll_stiff_string string_of(double young_pa)
{
    ll_stiff_string s;
    assert_ok(ll_stiff_string_tune(
        &(ll_string_tuning){0.648, 329.63, 0, 0.3978e-3, 0.254e-3, 0.254e-3, young_pa}, &s));
    return s;
}

/* A pull with the given gradient up and down only. */
static ll_pull up_only(size_t points, const double *y, const double *gradient_zz)
{
    return (ll_pull){points, y, none, none, none, none, gradient_zz};
}

/* An elastic bed: every point of the string carries its own spring, so each mode is one mass on two springs:
 * f^2 = f_n^2 + k / (4 pi^2 mass), exactly, for a stiff string too. */
static void a_uniform_stiffness_adds_to_the_square_of_the_frequency(void **state)
{
    (void)state;
    const ll_stiff_string s = string_of(207e9);
    const double y[2] = {0, 0.648}, gradient[2] = {-90, -90};
    const ll_pull pull = up_only(2, y, gradient);
    ll_mode_pair pairs[PARTIALS];
    assert_ok(ll_mode_pairs(&s, 0, &pull, PARTIALS, pairs));
    for (size_t n = 1; n <= PARTIALS; n++) {
        const double free_hz = ll_stiff_string_partial_hz(&s, n);
        const double bed = 90 / (4 * LL_PI * LL_PI * s.mass_kg_m);
        assert_relative(pairs[n - 1].vertical_hz, sqrt(free_hz * free_hz + bed), 1e-12);
        assert_relative(pairs[n - 1].horizontal_hz, free_hz, 1e-12);
        assert_close(pairs[n - 1].angle_rad, 0, 0);
    }
}

/* A string with one spring K at y = s: the slope jumps there, T [u'] = K u, hence
 * q sin(q L) + (K / T) sin(q s) sin(q (L - s)) = 0 with q = 2 pi f / c. Solved by bisection near partial n. */
static double with_spring_hz(const ll_stiff_string *s, double k_n_m, double at, size_t n)
{
    const double low = ((double)n - 0.4) * LL_PI / s->length_m;
    const double high = ((double)n + 0.4) * LL_PI / s->length_m;
    double a = low, b = high;
    for (int i = 0; i < 100; i++) {
        const double q = (a + b) / 2;
        const double jump = q * sin(q * s->length_m) +
                            k_n_m / s->tension_n * sin(q * at) * sin(q * (s->length_m - at));
        const double rising = n % 2 ? -jump : jump;
        if (rising > 0)
            b = q;
        else
            a = q;
    }
    return a * 2 * s->length_m * s->ideal_hz / (2 * LL_PI);
}

static double perturbed_hz(const ll_stiff_string *s, double k_n_m, double at, size_t n)
{
    const double half = 0.1e-3;
    const double y[3] = {at - half, at, at + half}, gradient[3] = {0, -k_n_m / half, 0};
    const ll_pull pull = up_only(3, y, gradient);
    ll_mode_pair pairs[PARTIALS];
    assert_ok(ll_mode_pairs(s, 0, &pull, PARTIALS, pairs));
    return pairs[n - 1].vertical_hz;
}

/* First order: the error is of second order in the spring, so a spring of half the stiffness has a quarter of it. */
static void a_local_spring_shifts_as_its_own_equation_says(void **state)
{
    (void)state;
    const ll_stiff_string s = string_of(0);
    static const size_t partials[] = {1, 2, 3, 5, 8, 13};
    for (size_t i = 0; i < sizeof partials / sizeof partials[0]; i++) {
        const size_t n = partials[i];
        const double free_hz = ll_stiff_string_partial_hz(&s, n), at = 0.0617;
        double error[2];
        for (int half = 0; half < 2; half++) {
            const double k = half ? -1 : -2; /* N/m, softening as a magnet's does */
            const double exact = with_spring_hz(&s, k, at, n) - free_hz;
            error[half] = perturbed_hz(&s, k, at, n) - free_hz - exact;
            assert_true(exact < 0);
            assert_close(error[half], 0, 0.01 * fabs(exact));
        }
        assert_close(error[0] / error[1], 4, 0.15);
    }
}

/* A mode of mass m L / 2 with one more spring, as strong as the mode moves there: d(f^2) = K shape^2 / (4 pi^2 m L / 2);
 * nothing at a node. */
static void a_spring_at_a_node_shifts_nothing(void **state)
{
    (void)state;
    const ll_stiff_string s = string_of(0);
    const double at = s.length_m / 4, mode_kg = s.mass_kg_m * s.length_m / 2;
    for (size_t n = 1; n <= 12; n++) {
        const double free_hz = ll_stiff_string_partial_hz(&s, n);
        const double shift = perturbed_hz(&s, -1, at, n) - free_hz;
        const double shape = sin((double)n * LL_PI / 4);
        const double by_hand = -shape * shape / (4 * LL_PI * LL_PI * mode_kg) / (2 * free_hz);
        assert_close(shift, by_hand, 2e-3 * fabs(by_hand) + 1e-5);
    }
}

/* df / f = integral k sin^2 dy / (T (n pi)^2 / L), by Simpson's rule over a bell. */
static void a_smooth_bell_shifts_by_its_weighted_integral(void **state)
{
    (void)state;
    enum { POINTS = 201 };
    const ll_stiff_string s = string_of(0);
    double y[POINTS], gradient[POINTS];
    for (int i = 0; i < POINTS; i++) {
        y[i] = 0.03 + 0.06 * i / (POINTS - 1);
        gradient[i] = 60 * exp(-pow((y[i] - 0.06) / 6e-3, 2));
    }
    static const double zero[POINTS];
    const ll_pull pull = {POINTS, y, zero, zero, zero, zero, gradient};
    ll_mode_pair pairs[PARTIALS];
    assert_ok(ll_mode_pairs(&s, 0, &pull, PARTIALS, pairs));
    for (size_t n = 1; n <= PARTIALS; n++) {
        double integral = 0;
        for (int i = 0; i < POINTS; i++) {
            const double wave = sin((double)n * LL_PI * y[i] / s.length_m);
            const double weight = i == 0 || i == POINTS - 1 ? 1 : i % 2 ? 4 : 2;
            integral -= weight / 3 * (y[1] - y[0]) * gradient[i] * wave * wave;
        }
        const double n_pi = (double)n * LL_PI;
        const double share = integral / (s.tension_n * n_pi * n_pi / s.length_m);
        assert_relative(pairs[n - 1].vertical_hz / pairs[n - 1].horizontal_hz - 1, share, 3e-3);
    }
}

/* The pull does not know our axes: turned by an angle, the pair turns with it and keeps its frequencies. */
static void a_turned_pull_turns_the_pair(void **state)
{
    (void)state;
    const ll_stiff_string s = string_of(0);
    const double y[2] = {0.05, 0.07};
    for (double angle = -0.7; angle < 0.75; angle += 0.2) {
        const double c = cos(angle), n = sin(angle), first = -30, second = 80;
        const double xx[2] = {first * c * c + second * n * n, first * c * c + second * n * n};
        const double zz[2] = {first * n * n + second * c * c, first * n * n + second * c * c};
        const double xz[2] = {(first - second) * c * n, (first - second) * c * n};
        const double straight_x[2] = {first, first}, straight_z[2] = {second, second};
        const ll_pull turned = {2, y, none, none, xx, xz, zz};
        const ll_pull straight = {2, y, none, none, straight_x, none, straight_z};
        ll_mode_pair a[3], b[3];
        assert_ok(ll_mode_pairs(&s, 0, &turned, 3, a));
        assert_ok(ll_mode_pairs(&s, 0, &straight, 3, b));
        for (int i = 0; i < 3; i++) {
            assert_relative(a[i].horizontal_hz, b[i].horizontal_hz, 1e-12);
            assert_relative(a[i].vertical_hz, b[i].vertical_hz, 1e-12);
            assert_close(a[i].angle_rad, angle, 1e-9);
            assert_close(b[i].angle_rad, 0, 0);
        }
    }
}

static void what_lies_beyond_the_fret_does_not_count(void **state)
{
    (void)state;
    const ll_stiff_string s = string_of(0);
    const double long_y[2] = {-0.2, 1.2}, short_y[2] = {0, 0.648};
    const double long_k[2] = {50 - 0.2 * 10, 50 + 1.2 * 10}, short_k[2] = {50, 50 + 0.648 * 10};
    const ll_pull beyond = {2, long_y, none, long_k, none, none, long_k};
    const ll_pull within = {2, short_y, none, short_k, none, none, short_k};
    ll_mode_pair a[5], b[5];
    assert_ok(ll_mode_pairs(&s, 0, &beyond, 5, a));
    assert_ok(ll_mode_pairs(&s, 0, &within, 5, b));
    for (int i = 0; i < 5; i++)
        assert_relative(a[i].vertical_hz, b[i].vertical_hz, 1e-12);
    double x, z;
    assert_ok(ll_pull_total(&beyond, s.length_m, &x, &z));
    assert_close(x, 0, 0);
    assert_relative(z, 0.648 * (50 + 0.324 * 10), 1e-12);
}

static void cents_and_beats_are_those_of_the_trade(void **state)
{
    (void)state;
    assert_close(ll_cents(440, 220), 1200, 1e-9);
    assert_close(ll_cents(220 * pow(2, -1.0 / 12), 220), -100, 1e-9);
    assert_close(ll_beat_hz(&(ll_mode_pair){329.5, 328, 0}), 1.5, 1e-12);
    assert_false(ll_beat_warbles(0.1));
    assert_true(ll_beat_warbles(4));
    assert_false(ll_beat_warbles(60));
}

static void pulls_that_cannot_be_are_refused(void **state)
{
    (void)state;
    const ll_stiff_string s = string_of(0);
    const double y[2] = {0, 0.648}, falling[2] = {0.1, 0.1}, bad[2] = {1, NAN};
    const double heavy[2] = {1e5, 1e5};
    const ll_pull cases[] = {{1, y, none, none, none, none, none},
                             {2, falling, none, none, none, none, none},
                             {2, bad, none, none, none, none, none},
                             {2, y, bad, none, none, none, none},
                             {2, y, none, none, none, bad, none},
                             /* A magnet that pulls the string right in. */
                             {2, y, none, none, none, none, heavy}};
    ll_mode_pair pair = {.angle_rad = 7};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_int_equal(ll_mode_pairs(&s, 0, &cases[i], 1, &pair), LL_BAD_VALUE);
    assert_int_equal(ll_mode_pairs(&s, 0.2, NULL, 1, &pair), LL_BAD_VALUE);
    assert_int_equal(ll_mode_pairs(&s, NAN, NULL, 1, &pair), LL_BAD_VALUE);
    assert_close(pair.angle_rad, 7, 0);
    double x = 7, z = 7;
    assert_int_equal(ll_pull_total(&cases[3], 0.648, &x, &z), LL_BAD_VALUE);
    assert_close(x + z, 14, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_uniform_stiffness_adds_to_the_square_of_the_frequency),
        cmocka_unit_test(a_local_spring_shifts_as_its_own_equation_says),
        cmocka_unit_test(a_spring_at_a_node_shifts_nothing),
        cmocka_unit_test(a_smooth_bell_shifts_by_its_weighted_integral),
        cmocka_unit_test(a_turned_pull_turns_the_pair),
        cmocka_unit_test(what_lies_beyond_the_fret_does_not_count),
        cmocka_unit_test(cents_and_beats_are_those_of_the_trade),
        cmocka_unit_test(pulls_that_cannot_be_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
