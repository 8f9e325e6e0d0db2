/* test_recording_strings.c - plucked strings in a recording: made-up ones whose partials, decays and beats are known.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "card_session.h"
#include "check.h"
#include "recording/hum_lines.h"
#include "recording/partial.h"
#include "recording/plucks.h"

enum { RATE = 48000 };

/* Adds a decaying sine from frame `from` on. */
static void ring(size_t n, double *v, size_t from, double hz, double amplitude, double decay,
                 double phase)
{
    for (size_t i = from; i < n; i++) {
        const double t = (double)(i - from) / RATE;
        v[i] += amplitude * exp(-decay * t) * sin(2 * LL_PI * hz * t + phase);
    }
}

static void hiss(size_t n, double *v, double rms, uint64_t seed)
{
    for (size_t i = 0; i < n; i++)
        v[i] += rms * card_normal(&seed);
}

/* Two directions of motion 0.31 Hz apart, neighbours of the partial and noise 60 dB below. */
static void a_beat_is_found_within_a_fiftieth_of_a_hertz(void **state)
{
    (void)state;
    enum { N = 4 * RATE };
    double *v = calloc(N, sizeof *v);
    ll_partial_found found;
    assert_non_null(v);
    ring(N, v, 0, 110.02, 0.3, 0.5, 0.2);
    ring(N, v, 0, 110.33, 0.12, 0.9, 1.1);
    ring(N, v, 0, 220.4, 0.4, 0.8, 0.7);
    ring(N, v, 0, 331.0, 0.2, 1.2, 0.1);
    hiss(N, v, 3e-4, 5);
    assert_ok(ll_partial_find(N, v, RATE, 110, 25, &found));
    assert_int_equal(found.modes, 2);
    assert_close(found.beat_hz, 0.31, 0.02);
    assert_close(found.beat_hz, 0.31, 4 * found.beat_sd_hz);
    assert_close(found.mode[0].f_hz, 110.02, 0.01);
    assert_relative(found.mode[0].amplitude, 0.3, 0.02);
    assert_relative(found.mode[0].decay_per_s, 0.5, 0.03);
    assert_relative(found.mode[1].decay_per_s, 0.9, 0.1);
    free(v);
}

static void what_does_not_beat_is_one_mode(void **state)
{
    (void)state;
    enum { N = 3 * RATE };
    double *v = calloc(N, sizeof *v);
    ll_partial_found found;
    assert_non_null(v);
    ring(N, v, 0, 82.41, 0.2, 0.4, 0.2);
    ring(N, v, 0, 164.9, 0.3, 0.6, 1);
    hiss(N, v, 1e-3, 6);
    assert_ok(ll_partial_find(N, v, RATE, 82, 20, &found));
    assert_int_equal(found.modes, 1);
    assert_close(found.mode[0].f_hz, 82.41, 4 * found.mode[0].f_sd_hz + 1e-3);
    assert_relative(found.mode[0].amplitude, 0.2, 0.01);
    assert_close(found.beat_hz, 0, 0);
    free(v);
}

/* Four strings plucked one after the other, levels 6 dB apart, the second before the first is over. */
static void plucks_are_found_with_their_levels(void **state)
{
    (void)state;
    enum { N = 12 * RATE };
    static const double at_s[4] = {1.2, 3.4, 6.0, 8.3}, hz[4] = {82.4, 110, 146.8, 196},
                        size[4] = {0.4, 0.2, 0.1, 0.05};
    double *v = calloc(N, sizeof *v);
    ll_recording *r;
    ll_pluck_found pluck[10];
    ll_quiet quiet;
    size_t count = 0;
    assert_non_null(v);
    for (int k = 0; k < 4; k++) {
        const size_t from = (size_t)lround(at_s[k] * RATE), till = from + 2 * RATE;
        ring(till, v, from, hz[k], size[k], 1.5, 0);
    }
    hiss(N, v, 2e-4, 9);
    assert_ok(ll_recording_new(1, N, RATE, v, &r));
    assert_ok(ll_plucks_find(r, 0, 10, pluck, &count, &quiet));
    assert_int_equal(count, 4);
    for (int k = 0; k < 4; k++) {
        assert_close(pluck[k].starts_s, at_s[k], 0.025);
        /* Over the first second of a sine that decays by exp(-1.5 t). */
        assert_relative(pluck[k].rms, size[k] * sqrt((1 - exp(-3)) / 6), 0.02);
    }
    assert_relative(quiet.rms, 2e-4, 0.1);
    assert_true(quiet.lasts_s > 1);
    ll_recording_free(r);
    free(v);
}

static void silence_has_no_plucks_and_no_partials(void **state)
{
    (void)state;
    enum { N = 2 * RATE };
    double *v = calloc(N, sizeof *v);
    ll_recording *r;
    ll_pluck_found pluck[4];
    ll_partial_found found;
    ll_quiet quiet;
    size_t count = 9;
    assert_non_null(v);
    assert_int_equal(ll_partial_find(N, v, RATE, 110, 25, &found), LL_NO_SIGNAL);
    assert_int_equal(ll_partial_find(N, v, RATE, 20, 25, &found), LL_BAD_VALUE);
    assert_int_equal(ll_partial_find(1000, v, RATE, 110, 25, &found), LL_BAD_VALUE);
    assert_ok(ll_recording_new(1, N, RATE, v, &r));
    assert_ok(ll_plucks_find(r, 0, 4, pluck, &count, &quiet));
    assert_int_equal(count, 0);
    assert_int_equal(ll_plucks_find(r, 1, 4, pluck, &count, &quiet), LL_BAD_VALUE);
    ll_recording_free(r);
    free(v);
}

/* Mains 0.03 Hz off, a strong first line beside weak ones, none at the second: each within 0.1 dB, and nothing where nothing is. */
static void lines_of_the_mains_are_found_and_no_others(void **state)
{
    (void)state;
    enum { N = 3 * RATE, LINES = 5 };
    static const double size[LINES] = {1e-2, 0, 1e-4, 0, 3e-5};
    double *v = calloc(N, sizeof *v), mains_hz = 0;
    ll_hum_line line[LINES];
    assert_non_null(v);
    for (int k = 0; k < LINES; k++)
        ring(N, v, 0, 59.97 * (k + 1), size[k], 0, 0.3 * k);
    hiss(N, v, 1e-4, 11);
    assert_ok(ll_hum_lines_find(N, v, RATE, 60, LINES, line, &mains_hz));
    assert_close(mains_hz, 59.97, 0.005);
    for (int k = 0; k < LINES; k++) {
        assert_int_equal(line[k].heard, size[k] > 0);
        if (size[k] > 0)
            assert_close(line[k].rms, size[k] / sqrt(2), 4 * line[k].rms_sd + 1e-3 * size[k]);
    }
    assert_int_equal(ll_hum_lines_find(RATE / 3, v, RATE, 60, LINES, line, &mains_hz),
                     LL_BAD_VALUE);
    assert_int_equal(ll_hum_lines_find(N, v, RATE, 60, 400, line, &mains_hz), LL_BAD_VALUE);
    v[7] = NAN;
    assert_int_equal(ll_hum_lines_find(N, v, RATE, 60, LINES, line, &mains_hz), LL_BAD_VALUE);
    free(v);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_beat_is_found_within_a_fiftieth_of_a_hertz),
        cmocka_unit_test(what_does_not_beat_is_one_mode),
        cmocka_unit_test(plucks_are_found_with_their_levels),
        cmocka_unit_test(silence_has_no_plucks_and_no_partials),
        cmocka_unit_test(lines_of_the_mains_are_found_and_no_others),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
