/* test_recording_impedance.c - impedance from a sound card's recording: made-up sessions whose truth is known in full.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "card_session.h"
#include "check.h"
#include "recording/one_channel.h"

enum { POINTS = 60, RATE = 48000 };

static const ll_sweep_signal signal_used = {.from_hz = 15,
                                            .to_hz = 21e3,
                                            .sweep_s = 3,
                                            .rest_s = 0.6,
                                            .tone_hz = 440,
                                            .tone_s = 0.5,
                                            .peak = 0.5,
                                            .repeats = 2};

/* Invented: a coil under a brass cover with steel poles, on an input that loads it. */
static const card_session usual = {.coil = {7800, 3.1, 140e-12, 0.3, 4e3, 0.4, 6e3},
                                   .series_ohm = 47e3,
                                   .input_ohm = 9e5,
                                   .input_f = 90e-12,
                                   .drift = 30e-6,
                                   .noise = 1.5e-4,
                                   .hum = 2e-3,
                                   .hum_hz = 50.02,
                                   .corner_hz = {8, 5},
                                   .ripple_db = {2, 1},
                                   .seed = 5,
                                   .bits = 16};

static void fill_frequencies(double *f)
{
    for (int i = 0; i < POINTS; i++)
        f[i] = 25 * pow(800, (double)i / (POINTS - 1));
}

static void measure(const card_session *s, const double *f, ll_transfer_point *ratio,
                    ll_transfer_facts *facts)
{
    ll_recording *r = card_record(s, &signal_used, RATE);
    assert_non_null(r);
    assert_ok(ll_transfer(r, 0, 1, &signal_used, POINTS, f, ratio, facts));
    ll_recording_free(r);
}

static card_session changed(bool bridged, double known_ohm, uint64_t seed)
{
    card_session s = usual;
    s.bridged = bridged;
    s.known_ohm = known_ohm;
    s.seed = seed;
    return s;
}

/* Two inputs that are not flat and not alike, one that loads the coil, noise at -70 dB of the sweep, hum, 30 ppm of drift, 16 bits. */
static void the_whole_chain_finds_the_coil(void **state)
{
    (void)state;
    const card_session bridged = changed(true, 0, 6), known = changed(false, 100e3, 7);
    double f[POINTS];
    ll_transfer_point ratio[POINTS], alike[POINTS], with_known[POINTS];
    ll_transfer_facts facts;
    ll_bridge_input input;
    ll_impedance_point z[POINTS];
    ll_coil_found found;
    fill_frequencies(f);
    measure(&usual, f, ratio, &facts);
    measure(&bridged, f, alike, NULL);
    measure(&known, f, with_known, NULL);
    /* The made-up player begins each sweep at a whole sample: up to one in 172,800. */
    assert_close(facts.drift, 30e-6, 6e-6);
    assert_true(facts.likeness > 0.6);
    assert_ok(ll_bridge_input_of(usual.series_ohm, 100e3, POINTS, with_known, alike, &input));
    assert_relative(1 / input.conductance_s, usual.input_ohm, 0.01);
    assert_relative(input.capacitance_f, usual.input_f, 0.01);
    assert_true(input.misfit < 1.5);
    const ll_bridge bridge = {usual.series_ohm, input.conductance_s, input.capacitance_f};
    assert_ok(ll_bridge_impedance(&bridge, POINTS, ratio, alike, z));
    double pull = 0;
    for (int i = 0; i < POINTS; i++) {
        const double complex truth = card_impedance(&usual.coil, f[i]);
        pull += pow(cabs(z[i].re_ohm + I * z[i].im_ohm - truth) / z[i].sd_ohm, 2) / 2 / POINTS;
    }
    /* Mean squares of 120 unit normals stay within these limits 99.99 times in 100. */
    assert_true(pull > 0.5 && pull < 1.6);
    assert_ok(ll_coil_find(POINTS, z, &found));
    assert_relative(found.model.r_ohm, usual.coil.r_ohm, 0.005);
    assert_relative(found.model.l_h, usual.coil.l_h, 0.01);
    assert_relative(found.model.c_f, usual.coil.c_f, 0.03);
    assert_true(found.has_peak);
}

/* A loop whose corner no point reaches is bound by nothing: what is told of the peak must not follow it. */
static void a_loop_out_of_reach_leaves_the_peak_sure(void **state)
{
    (void)state;
    const card_coil coil = {.r_ohm = 4000,
                            .l_h = 4.7,
                            .c_f = 110e-12,
                            .coupling = 0.3,
                            .cover_corner_hz = 6500,
                            .second_coupling = 0.5,
                            .second_corner_hz = 690e3};
    double f[POINTS];
    ll_impedance_point z[POINTS];
    ll_coil_found found;
    fill_frequencies(f);
    for (int i = 0; i < POINTS; i++) {
        const double complex value = card_impedance(&coil, f[i]);
        const double noise = 1e-5 * cabs(value) * (i % 3 - 1);
        z[i] = (ll_impedance_point){f[i], creal(value) + noise, cimag(value) - noise,
                                    1e-4 * cabs(value)};
    }
    assert_ok(ll_coil_find(POINTS, z, &found));
    assert_true(found.has_peak);
    const ll_coil_peak truth = card_peak(&coil);
    assert_relative(found.peak.f_hz, truth.f_hz, 0.001);
    assert_true(found.peak_sd.f_hz < 2e-4);
    assert_true(found.relative_sd[LL_COIL_C] < 6e-4);
}

static void measure_one_channel(const card_session *s, const double *f, ll_transfer_point *ratio,
                                ll_transfer_facts *facts)
{
    ll_sweep_signal signal = signal_used;
    signal.repeats = 4;
    signal.pause_s = 7.2;
    ll_recording *r = card_record_one_channel(s, &signal, RATE);
    assert_non_null(r);
    assert_ok(ll_one_channel_transfer(r, 0, &signal, POINTS, f, ratio, facts));
    ll_recording_free(r);
}

static void one_channel_finds_the_coil_as_well(void **state)
{
    (void)state;
    card_session coil = usual, known = changed(false, 100e3, 7);
    coil.drift = known.drift = 5.0 / 172800; /* whole samples from sweep to sweep */
    double f[POINTS];
    ll_transfer_point ratio[POINTS], with_known[POINTS];
    ll_transfer_facts facts;
    ll_bridge_input input;
    ll_impedance_point z[POINTS];
    ll_coil_found found;
    fill_frequencies(f);
    measure_one_channel(&coil, f, ratio, &facts);
    measure_one_channel(&known, f, with_known, NULL);
    assert_close(facts.drift, coil.drift, 2e-9);
    assert_ok(ll_bridge_input_of(usual.series_ohm, 100e3, POINTS, with_known, NULL, &input));
    assert_relative(1 / input.conductance_s, usual.input_ohm, 0.01);
    assert_relative(input.capacitance_f, usual.input_f, 0.02);
    const ll_bridge bridge = {usual.series_ohm, input.conductance_s, input.capacitance_f};
    assert_ok(ll_bridge_impedance(&bridge, POINTS, ratio, NULL, z));
    assert_ok(ll_coil_find(POINTS, z, &found));
    const ll_coil_peak peak = card_peak(&usual.coil);
    assert_relative(found.model.r_ohm, usual.coil.r_ohm, 0.005);
    assert_relative(found.model.l_h, usual.coil.l_h, 0.01);
    assert_relative(found.model.c_f, usual.coil.c_f, 0.03);
    assert_true(found.has_peak);
    assert_relative(found.peak.f_hz, peak.f_hz, 0.005);
    assert_relative(found.peak.q, peak.q, 0.03);
}

static void one_channel_wants_two_halves(void **state)
{
    (void)state;
    ll_recording *r = card_record(&usual, &signal_used, RATE);
    const double f = 1000;
    ll_transfer_point point;
    ll_sweep_signal signal = signal_used;
    signal.pause_s = 7.2;
    assert_int_equal(ll_one_channel_transfer(r, 0, &signal, 1, &f, &point, NULL), LL_BAD_VALUE);
    signal.repeats = 4; /* of which the recording has two */
    assert_int_equal(ll_one_channel_transfer(r, 0, &signal, 1, &f, &point, NULL), LL_NO_SIGNAL);
    ll_recording_free(r);
}

/* Mains hum a tenth as strong as the sweep is some lines of the spectrum: the margins fade, and above these lines nothing is left. */
static void hum_stays_where_it_is(void **state)
{
    (void)state;
    double f[POINTS];
    ll_transfer_point still[POINTS], humming[POINTS];
    card_session s = usual;
    s.noise = s.hum = 0;
    s.bits = 24;
    fill_frequencies(f);
    measure(&s, f, still, NULL);
    s.hum = 0.05;
    measure(&s, f, humming, NULL);
    for (int i = 0; i < POINTS; i++) {
        const double off = hypot(humming[i].re - still[i].re, humming[i].im - still[i].im);
        if (f[i] > 10 * s.hum_hz)
            assert_true(off < 1e-6 * hypot(still[i].re, still[i].im));
    }
}

/* Without loss and load a coil peaks at 1 / (2 pi sqrt(L C)) and has Q = R0 / R-like width: textbook resonance of R, L and C. */
static void a_plain_coils_peak_is_the_textbooks(void **state)
{
    (void)state;
    const ll_coil_model m = {.r_ohm = 500, .l_h = 2, .c_f = 200e-12};
    ll_coil_peak peak;
    assert_true(ll_coil_model_peak(&m, &peak));
    const double w = 1 / sqrt(m.l_h * m.c_f);
    assert_relative(peak.f_hz, w / (2 * LL_PI), 1e-4);
    assert_relative(peak.q, w * m.l_h / m.r_ohm, 1e-3);
    assert_relative(peak.ohm, m.l_h / m.c_f / m.r_ohm, 1e-3);
}

static void a_resistor_has_no_peak_and_is_no_coil(void **state)
{
    (void)state;
    const ll_coil_model m = {.r_ohm = 1e4, .l_h = 1e-9, .c_f = 1e-15};
    ll_coil_peak peak = {7, 7, 7};
    ll_impedance_point z[20];
    ll_coil_found found;
    assert_false(ll_coil_model_peak(&m, &peak));
    assert_close(peak.f_hz, 7, 0);
    for (int i = 0; i < 20; i++)
        z[i] = (ll_impedance_point){100 * (i + 1), 1e4, -i, 1};
    assert_int_equal(ll_coil_find(20, z, &found), LL_BAD_VALUE);
}

/* Points computed by the model itself, told exact. */
static void what_fits_exactly_is_found_exactly(void **state)
{
    (void)state;
    const ll_coil_model m = {
        .r_ohm = 6e3, .l_h = 2.4, .c_f = 120e-12, .loops = 1, .share = {0.2}, .corner_hz = {3e3}};
    double f[POINTS], re[POINTS], im[POINTS];
    ll_impedance_point z[POINTS];
    ll_coil_found found;
    fill_frequencies(f);
    ll_coil_model_impedance(&m, POINTS, f, re, im);
    for (int i = 0; i < POINTS; i++)
        z[i] = (ll_impedance_point){f[i], re[i], im[i], 0};
    assert_ok(ll_coil_find(POINTS, z, &found));
    assert_int_equal(found.model.loops, 1);
    assert_relative(found.model.r_ohm, 6e3, 1e-5);
    assert_relative(found.model.l_h, 2.4, 1e-5);
    assert_relative(found.model.c_f, 120e-12, 1e-5);
    assert_relative(found.model.share[0], 0.2, 1e-4);
    assert_relative(found.model.corner_hz[0], 3e3, 1e-4);
    assert_true(found.misfit < 0.01);
}

static void a_recording_without_the_signal_says_so(void **state)
{
    (void)state;
    enum { N = RATE * 10 };
    double *v = calloc(2 * N, sizeof *v);
    uint64_t seed = 3;
    double f = 1000;
    ll_recording *r;
    ll_transfer_point point;
    assert_non_null(v);
    for (int i = 0; i < 2 * N; i++)
        v[i] = 0.1 * card_normal(&seed);
    assert_ok(ll_recording_new(2, N, RATE, v, &r));
    assert_int_equal(ll_transfer(r, 0, 1, &signal_used, 1, &f, &point, NULL), LL_NO_SIGNAL);
    f = 22e3;
    assert_int_equal(ll_transfer(r, 0, 1, &signal_used, 1, &f, &point, NULL), LL_BAD_VALUE);
    f = 1000;
    assert_int_equal(ll_transfer(r, 2, 1, &signal_used, 1, &f, &point, NULL), LL_BAD_VALUE);
    ll_recording_free(r);
    assert_ok(ll_recording_new(2, 100, RATE, v, &r));
    assert_int_equal(ll_transfer(r, 0, 1, &signal_used, 1, &f, &point, NULL), LL_NO_SIGNAL);
    ll_recording_free(r);
    free(v);
}

static void clipping_is_seen(void **state)
{
    (void)state;
    double v[1000];
    ll_recording *r;
    for (int i = 0; i < 1000; i++)
        v[i] = fmax(-1, fmin(1, 1.5 * sin(0.1 * i)));
    assert_ok(ll_recording_new(1, 1000, RATE, v, &r));
    assert_true(ll_recording_level_of(r, 0).clipped > 300);
    ll_recording_free(r);
    for (int i = 0; i < 1000; i++)
        v[i] = 0.99 * sin(0.1 * i);
    assert_ok(ll_recording_new(1, 1000, RATE, v, &r));
    assert_int_equal(ll_recording_level_of(r, 0).clipped, 0);
    assert_close(ll_recording_level_of(r, 0).rms, 0.99 / sqrt(2), 0.01);
    ll_recording_free(r);
    /* Three equal samples or more at the peak are clipped ones; two may be a crest. */
    static const double runs[] = {0, 1, 1, 1, 0, -1, -1, -1, -1, -1, 0, 1, 1, 0, 0.5, 0.5, 0.5};
    assert_ok(ll_recording_new(1, sizeof runs / sizeof *runs, RATE, runs, &r));
    assert_int_equal(ll_recording_level_of(r, 0).clipped, 3 + 5);
    ll_recording_free(r);
}

static void what_is_no_sound_is_refused(void **state)
{
    (void)state;
    ll_recording *r = NULL;
    const unsigned char text[] = "f_hz;r_ohm\n100;7500\n";
    double v[4] = {0, 0, NAN, 0};
    assert_int_equal(ll_recording_decode(text, sizeof text, &r), LL_NOT_SOUND);
    assert_int_equal(ll_recording_decode(text, 0, &r), LL_NOT_SOUND);
    assert_int_equal(ll_recording_new(1, 4, RATE, v, &r), LL_BAD_VALUE);
    assert_int_equal(ll_recording_new(1, 2, 0, v, &r), LL_NOT_SOUND);
    assert_int_equal(ll_recording_new(9, 2, RATE, v, &r), LL_NOT_SOUND);
    assert_int_equal(ll_recording_new(1, 1u << 30, RATE, v, &r), LL_TOO_LONG);
    assert_null(r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_whole_chain_finds_the_coil),
        cmocka_unit_test(a_loop_out_of_reach_leaves_the_peak_sure),
        cmocka_unit_test(one_channel_finds_the_coil_as_well),
        cmocka_unit_test(one_channel_wants_two_halves),
        cmocka_unit_test(hum_stays_where_it_is),
        cmocka_unit_test(a_plain_coils_peak_is_the_textbooks),
        cmocka_unit_test(a_resistor_has_no_peak_and_is_no_coil),
        cmocka_unit_test(what_fits_exactly_is_found_exactly),
        cmocka_unit_test(a_recording_without_the_signal_says_so),
        cmocka_unit_test(clipping_is_seen),
        cmocka_unit_test(what_is_no_sound_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
