/* test_circuit_reference.c - networks against ngspice 39. The decks are in decks/c*.cir, those of A7 and A8 in the open
 * cases. SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "circuit/ladder.h"
#include "circuit/network.h"
#include <math.h>

/* One coil of the trade's middle, and a usual load: 250 kohm, 500 pF, 1 Mohm. */
static const ll_coil_row middle = {0, 7500, 2.5};
static const ll_network_coil one_coil = {1, &middle, 110e-12, false, 1, 0, 0, 0, false};

static ll_network_spec loaded(size_t count, const ll_network_coil *coils)
{
    return (ll_network_spec){.coil_count = count,
                             .coils = coils,
                             .volume = {250e3, 1, LL_AUDIO_TAPER},
                             .cable_f = 500e-12,
                             .input_ohm = 1e6};
}

static double db(double gain)
{
    return 20 * log10(gain);
}

/* Gain in dB and phase in degrees at one frequency. */
typedef struct point {
    double f_hz, gain_db, phase_deg;
} point;

/* ngspice prints six digits or more. */
static void assert_points(const ll_network *network, size_t n, const point *points)
{
    for (size_t i = 0; i < n; i++) {
        double complex h = 0;
        assert_ok(ll_network_response(network, points[i].f_hz, &h));
        assert_close(db(cabs(h)), points[i].gain_db, 2e-4);
        assert_close(carg(h) * 180 / LL_PI, points[i].phase_deg, 2e-3);
    }
}

/* The decks' scan has steps of 0.2 Hz or less. */
static void assert_peak(const ll_network *network, double f_hz, double gain_db)
{
    ll_peak peak = {0};
    assert_ok(ll_network_peak(network, &peak));
    assert_close(peak.f_hz, f_hz, 0.5);
    assert_close(db(peak.gain), gain_db, 1e-4);
}

static ll_network *build(const ll_network_spec *spec)
{
    ll_network *network = NULL;
    assert_ok(ll_network_new(spec, &network));
    return network;
}

static void check_case(const ll_network_spec *spec, size_t n, const point *points, double peak_hz,
                       double peak_db)
{
    ll_network *network = build(spec);
    assert_points(network, n, points);
    assert_peak(network, peak_hz, peak_db);
    ll_network_free(network);
}

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

/* Cases A7 and A8: level at 1 Hz to 0.01 dB, peak to 0.1 %, rise to 0.01 dB. */
static void loaded_coils_have_the_levels_and_peaks_of_the_open_cases(void **state)
{
    (void)state;
    static const double cases[][3] = {{-0.3198, 3955.4, 7.550}, {5.3924, 2826.0, 4.716}};
    const ll_network_coil coils[] = {one_coil, one_coil};
    for (size_t i = 0; i < COUNT(cases); i++) {
        const ll_network_spec spec = loaded(i + 1, coils);
        ll_network *network = build(&spec);
        ll_peak peak = {0};
        assert_ok(ll_network_peak(network, &peak));
        assert_close(db(peak.low_gain), cases[i][0], 1e-4);
        assert_relative(peak.f_hz, cases[i][1], 1e-4);
        assert_close(db(peak.gain / peak.low_gain), cases[i][2], 1e-3);
        ll_network_free(network);
    }
}

/* c1_tone_down.cir. */
static void tone_pot_turned_down_moves_the_peak_to_the_capacitor(void **state)
{
    (void)state;
    static const point tenth[] = {{1, -0.319779, -0.0631775}, {100, -0.467184, -5.98578},
                                  {1000, -2.47650, -35.2291}, {3000, -7.23904, -74.5572},
                                  {5000, -11.3673, -95.4232}, {10000, -18.9114, -123.466}};
    static const point zero[] = {{100, -0.185709, -6.42953},
                                 {1000, -4.36868, -136.225},
                                 {2000, -18.2908, -163.826},
                                 {10000, -46.9430, -177.052}};
    ll_network_spec spec = loaded(1, &one_coil);
    spec.tone = (ll_pot){250e3, 0.1, LL_LINEAR_TAPER};
    spec.tone_cap_f = 22e-9;
    ll_network *network = build(&spec);
    ll_peak peak = {0};
    assert_points(network, COUNT(tenth), tenth);
    assert_ok(ll_network_peak(network, &peak));
    assert_true(isnan(peak.f_hz) && isnan(peak.gain) && isnan(peak.q)); /* it only falls */
    ll_network_free(network);
    spec.tone.turn = 0;
    check_case(&spec, COUNT(zero), zero, 577.52, 2.819213);
}

/* c2_unlike_parallel.cir. */
static void unlike_coils_in_parallel_one_reversed_leave_a_thin_rest(void **state)
{
    (void)state;
    static const point points[] = {{1, -19.2283, 179.4628},    {100, -18.1612, 130.6395},
                                   {1000, -12.8813, 23.51356}, {2000, -11.4941, 5.239696},
                                   {3000, -9.22610, -7.68136}, {5000, -3.03715, -92.2770},
                                   {10000, -23.1041, -165.874}};
    static const ll_coil_row larger = {0, 6000, 4};
    const ll_network_coil coils[] = {one_coil, {1, &larger, 90e-12, true, 1, 0, 0, 0, false}};
    ll_network_spec spec = loaded(2, coils);
    spec.wiring = LL_PARALLEL;
    check_case(&spec, COUNT(points), points, 4774.0, -2.662767);
}

/* c3_treble_bleed.cir; a linear pot at a tenth is an audio pot at half. */
static void treble_bleed_keeps_the_highs_at_half_volume(void **state)
{
    (void)state;
    static const point across[] = {{1, -13.9750, 5.093562e-03},
                                   {1000, -13.1317, 3.655471},
                                   {3000, -8.61555, -15.7070},
                                   {10000, -18.4107, -124.815}};
    static const point in_series[] = {{1, -20.4506, 4.047712e-02},
                                      {1000, -16.6112, 11.59767},
                                      {3000, -13.8331, -22.7377},
                                      {10000, -18.5744, -127.644}};
    ll_network_spec spec = loaded(1, &one_coil);
    spec.volume.turn = 0.5;
    spec.bleed_f = 680e-12;
    spec.bleed_ohm = 150e3;
    check_case(&spec, COUNT(across), across, 4019.2, -7.399900);
    spec.bleed_in_series = true;
    check_case(&spec, COUNT(in_series), in_series, 4140.6, -13.62136);
}

/* c4_coupled.cir. */
static void coupled_coils_in_series_peak_lower_when_they_aid(void **state)
{
    (void)state;
    static const point aiding[] = {{1, 5.364198, -1.50017e-02},
                                   {1000, 6.340707, -17.0349},
                                   {3000, 6.843532, -111.495},
                                   {10000, -17.1859, -169.402}};
    static const point opposing[] = {{1, 5.364197, -9.42614e-03},
                                     {1000, 5.938954, -10.1232},
                                     {3000, 10.19179, -59.3281},
                                     {10000, -11.6210, -166.405}};
    static const ll_coil_row other = {0, 8200, 3.1};
    const ll_network_coil coils[] = {one_coil, {1, &other, 80e-12, false, 1, 0, 0, 0, false}};
    ll_network_spec spec = loaded(2, coils);
    spec.coupling = 0.3;
    check_case(&spec, COUNT(aiding), aiding, 2292.8, 9.180657);
    spec.coupling = -0.3;
    check_case(&spec, COUNT(opposing), opposing, 3246.0, 10.38858);
}

/* c5_tapped.cir. */
static void a_tapped_coil_is_a_transformer_with_an_open_end(void **state)
{
    (void)state;
    static const point points[] = {{1, -4.63024, -2.66961e-03},
                                   {1000, -4.39247, -2.74120},
                                   {3000, -2.24221, -10.4792},
                                   {5000, 3.936560, -37.1946},
                                   {10000, -10.0043, -167.371}};
    ll_network_coil coil = one_coil;
    coil.tap = 0.6;
    const ll_network_spec spec = loaded(1, &coil);
    check_case(&spec, COUNT(points), points, 5867.6, 6.963581);
}

/* c6_noise.cir: V/sqrt(Hz), and V over 20 Hz to 20 kHz, at 293 K. */
static void thermal_noise_of_a_loaded_coil(void **state)
{
    (void)state;
    static const double cases[][2] = {
        {100, 1.082966e-08}, {1000, 1.228457e-08}, {4000, 4.845421e-08}, {10000, 9.037840e-09}};
    const ll_network_spec spec = loaded(1, &one_coil);
    ll_network *network = build(&spec);
    for (size_t i = 0; i < COUNT(cases); i++) {
        double v2_per_hz = 0;
        assert_ok(ll_network_noise_density(network, cases[i][0], &v2_per_hz));
        assert_relative(sqrt(v2_per_hz), cases[i][1], 2e-6);
    }
    double rms_v = 0;
    assert_ok(ll_network_noise(network, 20, 20e3, &rms_v));
    assert_relative(rms_v, 2.518923e-06, 2e-5); /* 2000 points a decade there */
    ll_network_free(network);
}

/* c7_exercise.cir: an exercise of the literature without a printed answer; a pot of 243 and 73 kohm with the tone
 * control before it, through a cable of some resistance. */
static void an_exercise_of_the_literature(void **state)
{
    (void)state;
    static const ll_coil_row row = {0, 11.9e3, 5.8};
    enum { HOT = 1, WIPER, TONE, OUT };
    ll_circuit *circuit = NULL;
    double complex transfer[LL_CIRCUIT_BRANCHES];
    assert_ok(ll_circuit_new(&circuit));
    assert_ok(ll_circuit_add_coil(circuit, 0, HOT, 1, &row, 1, NULL));
    assert_ok(ll_circuit_add_resistor(circuit, TONE, HOT, 142e3));
    assert_ok(ll_circuit_add_capacitor(circuit, 0, TONE, 46e-9));
    assert_ok(ll_circuit_add_resistor(circuit, WIPER, HOT, 243e3));
    assert_ok(ll_circuit_add_resistor(circuit, 0, WIPER, 73e3));
    assert_ok(ll_circuit_add_resistor(circuit, OUT, WIPER, 1.8));
    assert_ok(ll_circuit_add_capacitor(circuit, 0, OUT, 597e-12));
    assert_ok(ll_circuit_add_resistor(circuit, 0, OUT, 26e6));
    assert_ok(ll_circuit_transfer(circuit, OUT, 1500, transfer));
    assert_close(db(cabs(transfer[0])), -15.0178, 1e-4);
    assert_close(carg(transfer[0]) * 180 / LL_PI, -44.7438, 1e-3);
    ll_circuit_free(circuit);
}

/* c8_ladder.cir: volume and shorted tone pots, a poor joint and a cable that leaks, as an ohm meter at its plug finds them. */
static void a_meter_at_the_plug_sees_the_ladder_and_the_source_is_divided_by_it(void **state)
{
    (void)state;
    const ll_ladder_section ladder[] = {{125e3, 12e3}, {30e3, 2}, {1e6, 0}};
    double ohm = 0, share = 0;
    assert_ok(ll_ladder(7300, 3, ladder, &ohm, &share));
    assert_relative(ohm, 1.146311e4, 1e-6);
    assert_relative(share, 0.5730339, 1e-6);
}

/* 7300 ohm beside 250 kohm are 7092.9 ohm, by hand; of a dead short its own resistance is left, and nothing of the source. */
static void the_ladder_of_one_pot_and_of_a_short_is_what_ohms_law_says(void **state)
{
    (void)state;
    const ll_ladder_section pot = {250e3, 0}, dead = {0.3, 0}, none = {INFINITY, 0};
    const ll_ladder_section wrong[] = {{0, 1}, {-5, 0}, {NAN, 0}, {10, -1}, {10, INFINITY}};
    double ohm = 0, share = 0;
    assert_ok(ll_ladder(7300, 1, &pot, &ohm, &share));
    assert_relative(ohm, 7300 * 250e3 / 257.3e3, 1e-12);
    assert_relative(share, 250e3 / 257.3e3, 1e-12);
    assert_ok(ll_ladder(7300, 1, &dead, &ohm, &share));
    assert_true(ohm < 0.3 && ohm > 0.2999 && share < 1e-4);
    assert_ok(ll_ladder(7300, 1, &none, &ohm, &share));
    assert_true(ohm == 7300 && share == 1);
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        assert_int_equal(ll_ladder(7300, 1, &wrong[i], &ohm, &share), LL_BAD_VALUE);
    assert_int_equal(ll_ladder(-1, 1, &pot, &ohm, &share), LL_BAD_VALUE);
    assert_true(ohm == 7300 && share == 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(loaded_coils_have_the_levels_and_peaks_of_the_open_cases),
        cmocka_unit_test(tone_pot_turned_down_moves_the_peak_to_the_capacitor),
        cmocka_unit_test(unlike_coils_in_parallel_one_reversed_leave_a_thin_rest),
        cmocka_unit_test(treble_bleed_keeps_the_highs_at_half_volume),
        cmocka_unit_test(coupled_coils_in_series_peak_lower_when_they_aid),
        cmocka_unit_test(a_tapped_coil_is_a_transformer_with_an_open_end),
        cmocka_unit_test(thermal_noise_of_a_loaded_coil),
        cmocka_unit_test(an_exercise_of_the_literature),
        cmocka_unit_test(a_meter_at_the_plug_sees_the_ladder_and_the_source_is_divided_by_it),
        cmocka_unit_test(the_ladder_of_one_pot_and_of_a_short_is_what_ohms_law_says),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
