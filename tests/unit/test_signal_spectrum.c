/* test_signal_spectrum.c - levels, tones, spectra and filters on signals that are known in full.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "signal/fade.h"
#include "signal/spectrum.h"

enum { RATE = 48000, N = 9600 };

static void sine(double hz, double amplitude, size_t n, double *out)
{
    for (size_t i = 0; i < n; i++)
        out[i] = amplitude * sin(2 * LL_PI * hz * (double)i / RATE + 0.3);
}

static void a_sines_rms_is_its_peak_over_root_two(void **state)
{
    (void)state;
    static double v[N];
    sine(1000, 0.25, N, v);
    assert_relative(ll_rms_level(N, v), 0.25 / sqrt(2), 1e-12);
    assert_relative(ll_peak_level(N, v), 0.25, 3e-3);
    assert_close(ll_rms_level(0, NULL), 0, 0);
    assert_close(ll_peak_level(0, NULL), 0, 0);
}

/* A strong tone beside weak ones, none of them on a bin. */
static void tones_are_told_apart(void **state)
{
    (void)state;
    static double v[N], other[N];
    const double hz[4] = {441.3, 882.9, 1324.1, 5000}, amplitude[4] = {1, 1e-3, 2e-2, 0};
    double level[4];
    for (int k = 0; k < 3; k++) {
        sine(hz[k], amplitude[k], N, other);
        for (int i = 0; i < N; i++)
            v[i] += other[i];
    }
    assert_close(ll_tone_resolution_hz(N, RATE), 20, 1e-12);
    assert_ok(ll_tone_levels(N, v, RATE, 4, hz, level));
    for (int k = 0; k < 4; k++)
        assert_close(level[k], amplitude[k], 3e-5);
}

static void the_transform_agrees_with_the_projection(void **state)
{
    (void)state;
    enum { SIZE = 4096, BINS = SIZE / 2 + 1 };
    static double v[SIZE], amplitude[BINS];
    for (int i = 0; i < SIZE; i++)
        v[i] = sin(0.1 * i) + 0.3 * cos(0.013 * i * i) + 0.1;
    assert_int_equal(ll_spectrum_bins(SIZE), BINS);
    assert_int_equal(ll_spectrum_bins(SIZE - 5), BINS);
    assert_ok(ll_spectrum(SIZE, v, amplitude));
    for (int k = 1; k < BINS - 1; k += 97) {
        const double hz = (double)k * RATE / SIZE;
        double level;
        assert_ok(ll_tone_levels(SIZE, v, RATE, 1, &hz, &level));
        assert_close(amplitude[k], level, 1e-11);
    }
}

static void a_constant_stands_in_the_first_bin(void **state)
{
    (void)state;
    double v[64], amplitude[33];
    for (int i = 0; i < 64; i++)
        v[i] = -0.7;
    assert_ok(ll_spectrum(64, v, amplitude));
    assert_close(amplitude[0], 0.7, 1e-12);
    assert_close(amplitude[20], 0, 1e-4);
}

static void what_has_no_spectrum_is_refused(void **state)
{
    (void)state;
    double v[32] = {0}, level = 7, amplitude[17] = {7};
    static const double bad_hz[] = {0, -1, 24000, NAN};
    const double hz = 1000;
    for (size_t i = 0; i < 4; i++)
        assert_int_equal(ll_tone_levels(32, v, RATE, 1, &bad_hz[i], &level), LL_BAD_VALUE);
    assert_int_equal(ll_tone_levels(15, v, RATE, 1, &hz, &level), LL_BAD_VALUE);
    v[3] = NAN;
    assert_int_equal(ll_tone_levels(32, v, RATE, 1, &hz, &level), LL_BAD_VALUE);
    assert_int_equal(ll_spectrum(32, v, amplitude), LL_BAD_VALUE);
    assert_close(level + amplitude[0], 14, 0);
}

/* A resistor and a capacitor: 1 / (1 + j f / corner). */
static ll_status low_pass(void *corner_hz, size_t n, const double *hz, double *re, double *im)
{
    for (size_t i = 0; i < n; i++) {
        const double u = hz[i] / *(const double *)corner_hz;
        re[i] = 1 / (1 + u * u);
        im[i] = -u / (1 + u * u);
    }
    return LL_OK;
}

/* A step through it rises as 1 - exp(-2 pi corner t) (textbook). The step's upper half of the spectrum folds: it is smeared
 * over about a sample, which the corner at 200 Hz hardly sees. */
static void a_step_charges_a_capacitor(void **state)
{
    (void)state;
    static double v[N];
    double corner = 200;
    for (int i = 0; i < N; i++)
        v[i] = i >= 1000 ? 1 : 0;
    assert_ok(ll_filter(N, v, RATE, N, &(ll_response){low_pass, &corner}));
    for (int i = 1010; i < N; i += 50) {
        const double t = (i - 999.5) / RATE;
        assert_close(v[i], 1 - exp(-2 * LL_PI * corner * t), 1e-3);
    }
    assert_close(v[900], 0, 1e-3);
}

static ll_status five_samples_late(void *unused, size_t n, const double *hz, double *re, double *im)
{
    (void)unused;
    for (size_t i = 0; i < n; i++) {
        re[i] = cos(2 * LL_PI * hz[i] * 5 / RATE);
        im[i] = -sin(2 * LL_PI * hz[i] * 5 / RATE);
    }
    return LL_OK;
}

static void a_delay_moves_the_signal_and_its_end_does_not_come_back(void **state)
{
    (void)state;
    enum { FEW = 1000 };
    double v[FEW], before[FEW];
    for (int i = 0; i < FEW; i++)
        before[i] = v[i] = cos(0.37 * i * i);
    assert_ok(ll_filter(FEW, v, RATE, 5, &(ll_response){five_samples_late, NULL}));
    for (int i = 0; i < FEW; i++)
        assert_close(v[i], i < 5 ? 0 : before[i - 5], 1e-12);
}

static ll_status refuses(void *unused, size_t n, const double *hz, double *re, double *im)
{
    (void)unused;
    (void)n;
    (void)hz;
    (void)re;
    (void)im;
    return LL_NO_COIL;
}

static ll_status is_nan(void *unused, size_t n, const double *hz, double *re, double *im)
{
    (void)unused;
    for (size_t i = 0; i < n; i++)
        re[i] = im[i] = hz[i] > 0 ? 1 : NAN;
    return LL_OK;
}

static void a_filter_that_fails_leaves_the_signal(void **state)
{
    (void)state;
    double v[20] = {7}, bad[20] = {NAN};
    assert_int_equal(ll_filter(20, v, RATE, 0, &(ll_response){refuses, NULL}), LL_NO_COIL);
    assert_int_equal(ll_filter(20, v, RATE, 0, &(ll_response){is_nan, NULL}), LL_BAD_VALUE);
    assert_int_equal(ll_filter(20, v, 0, 0, &(ll_response){refuses, NULL}), LL_BAD_VALUE);
    assert_int_equal(ll_filter(20, bad, RATE, 0, &(ll_response){refuses, NULL}), LL_BAD_VALUE);
    assert_ok(ll_filter(0, v, RATE, 0, &(ll_response){refuses, NULL}));
    assert_close(v[0], 7, 0);
}

/* A tone that is cut off has a click at its end, which is heard far from the tone; one that fades has none. Against a tone of the
 * whole length the click falls by 12 dB each octave further (the square of the distance), that of a raised cosine by 36. */
static void an_end_that_fades_does_not_click(void **state)
{
    (void)state;
    enum { ROOM = 8192, LAST = 5000 };
    static double tone[ROOM], faded[ROOM];
    const double rate_hz = 48000;
    for (size_t i = 0; i < LAST; i++)
        faded[i] = tone[i] = cos(2 * LL_PI * 440 * (double)(LAST - 1 - i) / rate_hz) *
                             fmin(1, (double)i / 2000) * fmin(1, (double)i / 2000);
    ll_fade_out(LAST, faded, rate_hz);
    assert_close(faded[LAST - 1], 0, 0);
    assert_close(faded[LAST - 1 - 240], tone[LAST - 1 - 240] / 2, 1e-12);
    for (size_t i = 0; i <= LAST - 1 - 480; i++)
        assert_close(faded[i], tone[i], 0);
    const double far_hz = 9000;
    double click[2];
    assert_ok(ll_tone_levels(ROOM, tone, rate_hz, 1, &far_hz, &click[0]));
    assert_ok(ll_tone_levels(ROOM, faded, rate_hz, 1, &far_hz, &click[1]));
    assert_true(click[1] < 0.01 * click[0]);
    double few[3] = {1, 1, 1};
    ll_fade_out(3, few, rate_hz);
    assert_close(few[2], 0, 0);
    assert_true(few[0] > few[1] && few[0] <= 1);
    ll_fade_out(0, few, rate_hz);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sines_rms_is_its_peak_over_root_two),
        cmocka_unit_test(tones_are_told_apart),
        cmocka_unit_test(the_transform_agrees_with_the_projection),
        cmocka_unit_test(a_constant_stands_in_the_first_bin),
        cmocka_unit_test(what_has_no_spectrum_is_refused),
        cmocka_unit_test(a_step_charges_a_capacitor),
        cmocka_unit_test(a_delay_moves_the_signal_and_its_end_does_not_come_back),
        cmocka_unit_test(a_filter_that_fails_leaves_the_signal),
        cmocka_unit_test(an_end_that_fades_does_not_click),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
