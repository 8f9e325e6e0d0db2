/* test_signal_voltage.c - the voltage of strings in motion: by a second route, its combs, distortion and decay.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "signal/spectrum.h"
#include "signal/voltage.h"

#include <stdlib.h>

enum { RATE = 48000, SIDE = 7, ALL = SIDE * SIDE, PARTIALS = 24 };

/* Wb; x and z in m. */
typedef double (*surface)(double x, double z);

static double straight(double x, double z)
{
    return 1e-2 * z + 4e-3 * x;
}

static double bent(double x, double z)
{
    return 1e-2 * z + 4e-3 * x - 1.5 * z * z - 0.5 * x * x + 100 * z * z * z;
}

/* Slope 1e-2 Wb/m, curvature 2 Wb/m2, upwards only. */
static double curved(double x, double z)
{
    (void)x;
    return 1e-2 * z + z * z;
}

static ll_linkage_map *map_of(surface f, double from_bridge)
{
    double x[ALL], z[ALL], wb[ALL];
    const double weight = 1;
    ll_linkage_map *map = NULL;
    for (int i = 0; i < ALL; i++) {
        x[i] = 0.7e-3 * (i % SIDE - SIDE / 2);
        z[i] = 0.7e-3 * (i / SIDE - SIDE / 2);
        wb[i] = f(x[i], z[i]);
    }
    assert_ok(ll_linkage_map_new(&(ll_linkage_samples){ALL, x, z, wb}, 3,
                                 &(ll_aperture){1, &from_bridge, &weight}, &map));
    return map;
}

static ll_stiff_string a2(double young_pa)
{
    ll_stiff_string s;
    assert_ok(ll_stiff_string_tune(
        &(ll_string_tuning){0.648, 110, 0, 4.28e-3, 0.9e-3, 0.4e-3, young_pa}, &s));
    return s;
}

static ll_motion *plucked(const ll_stiff_string *s, const ll_pluck *p, size_t partials,
                          double split, const ll_damping *damping)
{
    ll_mode_pair pairs[PARTIALS];
    ll_motion *m = NULL;
    assert_ok(ll_mode_pairs(s, split, NULL, partials, pairs));
    assert_ok(ll_motion_new(s, partials, pairs, damping, p, &m));
    return m;
}

static const ll_damping no_damping = {0, 0, 0, 0, NULL};

static double linkage_at(const ll_motion *m, const ll_linkage_map *map, double y, double t)
{
    double x, z, wb = 0;
    ll_motion_at(m, y, t, &x, &z);
    assert_ok(ll_linkage_map_value(map, x, z, &wb));
    return wb;
}

/* The other route: the linkage itself, differenced in time over a hundredth of a sample either way. A string starts
 * between two samples and is followed across the ends of blocks. */
static void voltage_is_minus_the_rate_of_the_linkage(void **state)
{
    (void)state;
    enum { N = 1500 };
    const ll_stiff_string s = a2(207e9);
    const ll_pluck p = {0.15, 1e-3, 1, 3e-3, 1e-4};
    ll_motion *m = plucked(&s, &p, PARTIALS, 2e-3, &ll_damping_wound);
    ll_linkage_map *map = map_of(bent, 0.07);
    static double v[N];
    const double start = 100.37 / RATE, step = 0.01 / RATE;
    const ll_heard_string heard = {m, map, start};
    assert_ok(ll_voltage(1, &heard, RATE, N, v, NULL));
    const double peak = ll_peak_level(N, v);
    for (int i = 0; i < N; i++) {
        const double t = (double)i / RATE - start;
        const double rate =
            t < 0 ? 0
                  : (linkage_at(m, map, 0.07, t + step) - linkage_at(m, map, 0.07, t - step)) /
                        (2 * step);
        /* Central difference at the highest partial, 2.7 kHz: (omega step)^2 / 6 = 2e-6. */
        assert_close(v[i], -rate, 1e-5 * peak);
    }
    ll_motion_free(m);
    ll_linkage_map_free(map);
}

static void strings_sound_together_as_the_sum_of_each_alone(void **state)
{
    (void)state;
    enum { N = 3000 };
    static double both[N], first[N], second[N];
    const ll_stiff_string s = a2(207e9);
    ll_motion *m[2] = {plucked(&s, &(ll_pluck){0.15, 1e-3, 1, 0, 0}, 20, 0, &ll_damping_wound),
                       plucked(&s, &(ll_pluck){0.09, 1e-3, 2, 0, 0}, 12, 0, &ll_damping_plain)};
    ll_linkage_map *map = map_of(bent, 0.07);
    const ll_heard_string heard[2] = {{m[0], map, 0}, {m[1], map, 0.02}};
    assert_ok(ll_voltage(2, heard, RATE, N, both, NULL));
    assert_ok(ll_voltage(1, &heard[0], RATE, N, first, NULL));
    assert_ok(ll_voltage(1, &heard[1], RATE, N, second, NULL));
    for (int i = 0; i < N; i++)
        assert_close(both[i], first[i] + second[i], 1e-15);
    assert_close(ll_peak_level(960, second), 0, 0); /* a strum: silent for 20 ms */
    assert_true(ll_peak_level(N, second) > 0);
    ll_motion_free(m[0]);
    ll_motion_free(m[1]);
    ll_linkage_map_free(map);
}

/* Levels of the string's partials, in V, over one second without damping. */
static void levels(const ll_stiff_string *s, const ll_pluck *p, double pickup, size_t count,
                   double *level)
{
    enum { N = RATE };
    static double v[N];
    double hz[PARTIALS];
    for (size_t n = 1; n <= count; n++)
        hz[n - 1] = ll_stiff_string_partial_hz(s, n);
    ll_motion *m = plucked(s, p, count, 0, &no_damping);
    ll_linkage_map *map = map_of(straight, pickup);
    const ll_heard_string heard = {m, map, 0};
    assert_ok(ll_voltage(1, &heard, RATE, N, v, NULL));
    assert_ok(ll_tone_levels(N, v, RATE, count, hz, level));
    ll_motion_free(m);
    ll_linkage_map_free(map);
}

/* Each partial by hand: 2 pi f a_n |sin(n pi y / L)| times the slope of the map. Plucked at a fifth, every fifth partial is
 * missing; heard at a quarter, every fourth. */
static void partials_vanish_where_pluck_and_pickup_say(void **state)
{
    (void)state;
    const ll_stiff_string s = a2(207e9);
    const ll_pluck p = {s.length_m / 5, 0.2e-3, LL_PI / 2, 0, 0};
    double level[20];
    levels(&s, &p, s.length_m / 4, 20, level);
    for (size_t n = 1; n <= 20; n++) {
        const double hz = ll_stiff_string_partial_hz(&s, n), heard = sin((double)n * LL_PI / 4);
        const double expected =
            2 * LL_PI * hz * 1e-2 * fabs(ll_pluck_amplitude_m(&p, &s, n) * heard);
        /* -90 dB is what the window lets through of a neighbour. */
        assert_close(level[n - 1], expected, 4e-5 * level[0]);
        if (n % 5 == 0 || n % 4 == 0)
            assert_true(level[n - 1] < 1e-4 * level[0]);
        else
            assert_true(level[n - 1] > 0.02 * level[0]);
    }
}

/* One partial, moving only up. */
static void one_partial(surface f, double height, double tones[3])
{
    enum { N = RATE };
    static double v[N];
    const ll_stiff_string s = a2(0);
    const double hz[3] = {110, 220, 330};
    ll_motion *m =
        plucked(&s, &(ll_pluck){s.length_m / 2, height, LL_PI / 2, 0, 0}, 1, 0, &no_damping);
    ll_linkage_map *map = map_of(f, s.length_m / 2);
    const ll_heard_string heard = {m, map, 0};
    assert_ok(ll_voltage(1, &heard, RATE, N, v, NULL));
    assert_ok(ll_tone_levels(N, v, RATE, 3, hz, tones));
    ll_motion_free(m);
    ll_linkage_map_free(map);
}

static void a_straight_map_gives_the_strings_partials_alone(void **state)
{
    (void)state;
    double tones[3];
    one_partial(straight, 1e-3, tones);
    assert_true(tones[1] < 1e-9 * tones[0]);
    assert_true(tones[2] < 1e-9 * tones[0]);
}

/* linkage = s z + c z^2 and z = a cos(w t): voltage w (s a sin(w t) + c a^2 sin(2 w t)), second over first c a / s. */
static void a_curved_map_adds_a_second_harmonic_that_grows_with_the_swing(void **state)
{
    (void)state;
    for (double height = 0.1e-3; height < 2e-3; height *= 2) {
        double tones[3];
        one_partial(curved, height, tones);
        const double a = 8 * height / (LL_PI * LL_PI); /* of a triangle plucked at its middle */
        assert_relative(tones[0], 2 * LL_PI * 110 * 1e-2 * a, 1e-6);
        assert_relative(tones[1] / tones[0], a / 1e-2, 1e-6);
        assert_true(tones[2] < 1e-7 * tones[0]);
    }
}

/* Amplitude exp(-pi f eta t): measured over two windows half a second apart. */
static void partials_decay_as_their_losses_say(void **state)
{
    (void)state;
    enum { N = RATE, WINDOW = RATE / 2 };
    static double v[N];
    const ll_stiff_string s = a2(207e9);
    double hz[10], early[10], late[10];
    for (size_t n = 1; n <= 10; n++)
        hz[n - 1] = ll_stiff_string_partial_hz(&s, n);
    ll_motion *m = plucked(&s, &(ll_pluck){0.05, 1e-4, 1, 0, 0}, 10, 0, &ll_damping_wound);
    ll_linkage_map *map = map_of(straight, 0.04);
    const ll_heard_string heard = {m, map, 0};
    assert_ok(ll_voltage(1, &heard, RATE, N, v, NULL));
    assert_ok(ll_tone_levels(WINDOW, v, RATE, 10, hz, early));
    assert_ok(ll_tone_levels(WINDOW, v + WINDOW, RATE, 10, hz, late));
    for (size_t n = 1; n <= 10; n++) {
        const double eta = ll_damping_loss_factor(&ll_damping_wound, &s, n);
        assert_relative(log(early[n - 1] / late[n - 1]), LL_PI * hz[n - 1] * eta * 0.5, 1e-3);
    }
    ll_motion_free(m);
    ll_linkage_map_free(map);
}

/* Energy: two modes of the same height, one hundred times faster damped, are dropped and kept as their levels ask. */
static void what_dies_away_leaves_the_rest_as_it_is(void **state)
{
    (void)state;
    enum { N = 4 * RATE };
    static double all[N], alone[N];
    const ll_stiff_string s = a2(0);
    ll_motion *both = plucked(&s, &(ll_pluck){0.2, 1e-4, LL_PI / 2, 0, 0}, 2, 0, &no_damping);
    ll_motion *first = plucked(&s, &(ll_pluck){0.2, 1e-4, LL_PI / 2, 0, 0}, 1, 0, &no_damping);
    for (size_t i = 0; i < both->count; i++)
        if (both->modes[i].number == 2)
            both->modes[i].decay_per_s = 20; /* -140 dB after 0.8 s */
    ll_linkage_map *map = map_of(straight, 0.1);
    assert_ok(ll_voltage(1, &(ll_heard_string){both, map, 0}, RATE, N, all, NULL));
    assert_ok(ll_voltage(1, &(ll_heard_string){first, map, 0}, RATE, N, alone, NULL));
    const double peak = ll_peak_level(N, alone);
    for (int i = RATE; i < N; i++)
        assert_close(all[i], alone[i], 1e-6 * peak);
    ll_motion_free(both);
    ll_motion_free(first);
    ll_linkage_map_free(map);
}

static void partials_above_half_the_rate_are_left_out(void **state)
{
    (void)state;
    enum { N = 4000 };
    static double v[N], few[N];
    const ll_stiff_string s = a2(0);
    ll_motion *m = plucked(&s, &(ll_pluck){0.1, 1e-4, 1, 0, 0}, 20, 0, &no_damping);
    ll_motion *low = plucked(&s, &(ll_pluck){0.1, 1e-4, 1, 0, 0}, 9, 0, &no_damping);
    ll_linkage_map *map = map_of(straight, 0.07);
    assert_ok(ll_voltage(1, &(ll_heard_string){m, map, 0}, 2000, N, v, NULL));
    assert_ok(ll_voltage(1, &(ll_heard_string){low, map, 0}, 2000, N, few, NULL));
    for (int i = 0; i < N; i++)
        assert_close(v[i], few[i], 1e-15);
    ll_motion_free(m);
    ll_motion_free(low);
    ll_linkage_map_free(map);
}

static bool stop_half_way(void *told, double share)
{
    *(double *)told = share;
    return share < 0.5;
}

static void failures_leave_the_voltage_untouched(void **state)
{
    (void)state;
    enum { N = 4096 };
    static double v[N];
    const ll_stiff_string s = a2(0);
    ll_motion *wild = plucked(&s, &(ll_pluck){0.1, 5e-3, 1, 0, 0}, 20, 0, &no_damping);
    ll_motion *tame = plucked(&s, &(ll_pluck){0.1, 5e-4, 1, 0, 0}, 20, 0, &no_damping);
    ll_linkage_map *map = map_of(straight, 0.1);
    const ll_heard_string pair[2] = {{tame, map, 0}, {wild, map, 0.01}};
    double told = 0;
    const ll_progress progress = {stop_half_way, &told};
    v[0] = v[N - 1] = 7;
    assert_int_equal(ll_voltage(2, pair, RATE, N, v, NULL), LL_OUTSIDE_MAP);
    assert_int_equal(ll_voltage(1, pair, RATE, N, v, &progress), LL_CANCELLED);
    assert_close(told, 0.5, 0);
    assert_int_equal(ll_voltage(1, pair, 0, N, v, NULL), LL_BAD_VALUE);
    assert_int_equal(ll_voltage(1, pair, NAN, N, v, NULL), LL_BAD_VALUE);
    assert_int_equal(ll_voltage(1, &(ll_heard_string){tame, map, -1}, RATE, N, v, NULL),
                     LL_BAD_VALUE);
    assert_close(v[0] + v[N - 1], 14, 0);
    assert_ok(ll_voltage(1, &(ll_heard_string){wild, map, 3}, RATE, N, v, NULL));
    assert_close(ll_peak_level(N, v), 0, 0); /* it has not begun yet */
    assert_ok(ll_voltage(0, NULL, RATE, N, v, NULL));
    ll_motion_free(wild);
    ll_motion_free(tame);
    ll_linkage_map_free(map);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(voltage_is_minus_the_rate_of_the_linkage),
        cmocka_unit_test(strings_sound_together_as_the_sum_of_each_alone),
        cmocka_unit_test(partials_vanish_where_pluck_and_pickup_say),
        cmocka_unit_test(a_straight_map_gives_the_strings_partials_alone),
        cmocka_unit_test(a_curved_map_adds_a_second_harmonic_that_grows_with_the_swing),
        cmocka_unit_test(partials_decay_as_their_losses_say),
        cmocka_unit_test(what_dies_away_leaves_the_rest_as_it_is),
        cmocka_unit_test(partials_above_half_the_rate_are_left_out),
        cmocka_unit_test(failures_leave_the_voltage_untouched),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
