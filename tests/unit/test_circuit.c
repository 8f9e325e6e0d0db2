/* test_circuit.c - networks against closed forms, and what is refused.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "circuit/network.h"

static const ll_coil_row middle = {0, 7500, 2.5};
static const ll_network_coil bare_coil = {1, &middle, 0, false, 1, 0, 0, 0, false};

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

static ll_network *build(const ll_network_spec *spec)
{
    ll_network *network = NULL;
    assert_ok(ll_network_new(spec, &network));
    return network;
}

static double complex response(const ll_network_spec *spec, double f_hz)
{
    double complex h = 0;
    ll_network *network = build(spec);
    assert_ok(ll_network_response(network, f_hz, &h));
    ll_network_free(network);
    return h;
}

static ll_peak peak_of(const ll_network_spec *spec)
{
    ll_peak peak = {0};
    ll_network *network = build(spec);
    assert_ok(ll_network_peak(network, &peak));
    ll_network_free(network);
    return peak;
}

static void a_coil_without_load_gives_its_emf(void **state)
{
    (void)state;
    const ll_network_spec spec = {.coil_count = 1, .coils = &bare_coil};
    const double f_hz[] = {1, 440, 20e3};
    for (size_t i = 0; i < COUNT(f_hz); i++)
        assert_close(cabs(response(&spec, f_hz[i]) - 1), 0, 1e-14);
    const ll_peak peak = peak_of(&spec);
    assert_true(isnan(peak.f_hz) && isnan(peak.f_minus3_hz));
    assert_close(peak.low_gain, 1, 1e-14);
}

/* Second-order low-pass, any textbook: Q = sqrt(L / C) / R, peak at f0 sqrt(1 - 1 / (2 Q^2)) of height
 * Q / sqrt(1 - 1 / (4 Q^2)), half power at f0 sqrt(1 - 1/(2 Q^2) + sqrt((1 - 1/(2 Q^2))^2 + 1)). */
static void a_coil_and_a_capacitor_are_a_second_order_low_pass(void **state)
{
    (void)state;
    static const double capacitances_f[] = {1e-12, 100e-12, 600e-12, 20e-9};
    for (size_t i = 0; i < COUNT(capacitances_f); i++) {
        const double c_f = capacitances_f[i];
        const ll_network_spec spec = {.coil_count = 1, .coils = &bare_coil, .cable_f = c_f};
        const ll_peak peak = peak_of(&spec);
        const double q = sqrt(2.5 / c_f) / 7500, f0_hz = 1 / (2 * LL_PI * sqrt(2.5 * c_f));
        const double u = 1 - 1 / (2 * q * q);
        assert_relative(peak.low_gain, 1, 1e-4);
        assert_relative(peak.f_hz, f0_hz * sqrt(u), 1e-6);
        assert_relative(peak.gain, q / sqrt(1 - 1 / (4 * q * q)), 1e-9);
        assert_relative(peak.q, q, 1e-4); /* the level at 1 Hz is not quite that at 0 */
        assert_relative(peak.f_minus3_hz, f0_hz * sqrt(u + sqrt(u * u + 1)), 1e-4);
    }
}

/* With Q under 1 / sqrt(2) there is no peak: 100 nF gives 0.667. */
static void a_damped_coil_only_falls(void **state)
{
    (void)state;
    const ll_network_spec spec = {.coil_count = 1, .coils = &bare_coil, .cable_f = 100e-9};
    const ll_peak peak = peak_of(&spec);
    assert_true(isnan(peak.f_hz) && isnan(peak.gain) && isnan(peak.q));
    assert_true(peak.f_minus3_hz > 250 && peak.f_minus3_hz < 320);
}

static void equal_coils_one_reversed_cancel(void **state)
{
    (void)state;
    const ll_network_coil coils[] = {{1, &middle, 110e-12, false, 1, 0, 0, 0, false},
                                     {1, &middle, 110e-12, true, 1, 0, 0, 0, false}};
    for (int wiring = LL_SERIES; wiring <= LL_PARALLEL; wiring++) {
        const ll_network_spec spec = {.coil_count = 2,
                                      .coils = coils,
                                      .wiring = (ll_wiring)wiring,
                                      .volume = {250e3, 1, LL_AUDIO_TAPER},
                                      .cable_f = 500e-12};
        const ll_peak peak = peak_of(&spec);
        assert_close(cabs(response(&spec, 3000)), 0, 1e-14);
        assert_true(peak.low_gain == 0 && isnan(peak.f_hz) && isnan(peak.f_minus3_hz));
    }
}

/* Without resistance, into a resistor: H = k R / (R + j w L); L from H. */
static double inductance_h(ll_wiring wiring, double coupling, bool reversed, double emf)
{
    const double f_hz = 1000, load_ohm = 10e3;
    const ll_coil_row row = {0, 0, 2.5};
    const ll_network_coil coils[] = {{1, &row, 0, false, 1, 0, 0, 0, false},
                                     {1, &row, 0, reversed, 1, 0, 0, 0, false}};
    const ll_network_spec spec = {.coil_count = 2,
                                  .coils = coils,
                                  .wiring = wiring,
                                  .coupling = coupling,
                                  .input_ohm = load_ohm};
    double complex coil[2];
    ll_network *network = build(&spec);
    assert_ok(ll_network_transfer(network, f_hz, coil));
    ll_network_free(network);
    const double complex h = coil[0] + (reversed ? -coil[1] : coil[1]);
    return cimag(emf / h) * load_ohm / (2 * LL_PI * f_hz);
}

/* Textbook: two equal coils with M give 2 L +- 2 M in series, (L +- M) / 2 in parallel. */
static void mutual_inductance_adds_and_takes(void **state)
{
    (void)state;
    static const double couplings[] = {-0.9, -0.2, 0, 0.35, 0.99};
    for (size_t i = 0; i < COUNT(couplings); i++) {
        const double k = couplings[i], m_h = 2.5 * k;
        assert_relative(inductance_h(LL_SERIES, k, false, 2), 5 + 2 * m_h, 1e-10);
        assert_relative(inductance_h(LL_SERIES, k, true, 2), 5 - 2 * m_h, 1e-10);
        assert_relative(inductance_h(LL_PARALLEL, k, false, 1), (2.5 + m_h) / 2, 1e-10);
        assert_relative(inductance_h(LL_PARALLEL, k, true, 1), (2.5 - m_h) / 2, 1e-10);
    }
}

/* Johnson and Nyquist: 4 k T R, here 1.2721e-8 V/sqrt(Hz) for 10 kohm at 293 K, worked out by hand. */
static void a_single_resistor_makes_4_k_t_r(void **state)
{
    (void)state;
    const double r_ohm = 10e3;
    double v2_per_hz = 0;
    ll_circuit *circuit = NULL;
    assert_ok(ll_circuit_new(&circuit));
    assert_ok(ll_circuit_add_resistor(circuit, 0, 1, r_ohm));
    assert_ok(ll_circuit_noise_density(circuit, 1, 1000, &v2_per_hz));
    assert_relative(v2_per_hz, 4 * 1.380649e-23 * 293 * r_ohm, 1e-12);
    assert_relative(sqrt(v2_per_hz), 1.2721e-8, 1e-4);
    ll_circuit_free(circuit);
}

/* Equipartition: over all frequencies the noise on a capacitor is k T / C whatever the resistances around it. */
static void noise_on_a_capacitor_is_k_t_over_c(void **state)
{
    (void)state;
    const double c_f = 500e-12;
    const ll_network_spec spec = {.coil_count = 1,
                                  .coils = &bare_coil,
                                  .volume = {250e3, 0.7, LL_LINEAR_TAPER},
                                  .cable_f = c_f,
                                  .input_ohm = 1e6};
    double rms_v = 0;
    ll_network *network = build(&spec);
    assert_ok(ll_network_noise(network, 1e-3, 1e10, &rms_v));
    assert_relative(rms_v * rms_v, LL_BOLTZMANN * LL_ROOM_K / c_f, 1e-5);
    ll_network_free(network);
}

/* A passive network's noise is that of the resistance seen into its output: the coil's 7.5 kohm with 250 kohm. */
static void low_frequency_noise_is_that_of_the_parallel_resistance(void **state)
{
    (void)state;
    const ll_network_spec spec = {
        .coil_count = 1, .coils = &bare_coil, .volume = {250e3, 1, LL_AUDIO_TAPER}};
    double v2_per_hz = 0;
    ll_network *network = build(&spec);
    assert_ok(ll_network_noise_density(network, 1e-3, &v2_per_hz));
    assert_relative(v2_per_hz, 4 * LL_BOLTZMANN * LL_ROOM_K * 7500 * 250e3 / 257.5e3, 1e-9);
    ll_network_free(network);
}

static void pots_turned_to_their_ends_are_shorts(void **state)
{
    (void)state;
    ll_network_spec spec = {.coil_count = 1,
                            .coils = &bare_coil,
                            .volume = {250e3, 0, LL_AUDIO_TAPER},
                            .cable_f = 500e-12,
                            .input_ohm = 1e6};
    assert_close(cabs(response(&spec, 1000)), 0, 1e-14);
    /* Tone full down without a pot is the same as with one. */
    spec.volume.turn = 1;
    spec.tone_cap_f = 22e-9;
    const double complex direct = response(&spec, 1000);
    spec.tone = (ll_pot){500e3, 0, LL_AUDIO_TAPER};
    assert_close(cabs(response(&spec, 1000) - direct), 0, 1e-12);
    /* Full up it differs by its resistance; a lossless wiper makes no difference with the volume full up. */
    spec.tone.turn = 1;
    const double complex up = response(&spec, 1000);
    spec.tone_at_wiper = true;
    assert_true(cabs(up - direct) > 0.1);
    assert_close(cabs(response(&spec, 1000) - up), 0, 1e-12);
}

static void audio_taper_has_a_tenth_at_half(void **state)
{
    (void)state;
    static const double cases[][3] = {{0, 0, 0}, {0.5, 0.1, 0.5}, {1, 1, 1}};
    for (size_t i = 0; i < COUNT(cases); i++) {
        const ll_pot audio = {250e3, cases[i][0], LL_AUDIO_TAPER};
        const ll_pot linear = {250e3, cases[i][0], LL_LINEAR_TAPER};
        assert_close(ll_pot_share(&audio), cases[i][1], 1e-15);
        assert_close(ll_pot_share(&linear), cases[i][2], 0);
    }
}

/* Far above the bleed's corner the capacitor joins hot end and wiper. */
static void a_large_treble_bleed_undoes_the_volume_pot(void **state)
{
    (void)state;
    ll_network_spec spec = {.coil_count = 1,
                            .coils = &bare_coil,
                            .volume = {250e3, 0.5, LL_LINEAR_TAPER},
                            .bleed_f = 1e-3,
                            .input_ohm = 1e6};
    const double complex bled = response(&spec, 1000);
    spec.bleed_f = 0;
    const double complex half = response(&spec, 1000);
    const double complex z = 7500 + I * 2 * LL_PI * 1000 * 2.5;
    const double lower = 1 / (1 / 125e3 + 1e-6);
    assert_close(cabs(half - lower / (lower + 125e3 + z)), 0, 1e-12);
    assert_close(cabs(bled - lower / (lower + z)), 0, 1e-5);
}

/* Without load a tap gives its share of the EMF; with all turns it is no tap. */
static void a_tap_gives_its_share(void **state)
{
    (void)state;
    ll_network_coil coil = bare_coil;
    const ll_network_spec spec = {.coil_count = 1, .coils = &coil};
    static const double taps[] = {0.1, 0.5, 0.9, 1};
    for (size_t i = 0; i < COUNT(taps); i++) {
        coil.tap = taps[i];
        coil.reversed = false;
        assert_close(cabs(response(&spec, 2000) - taps[i]), 0, 1e-12);
        coil.reversed = true;
        assert_close(cabs(response(&spec, 2000) + taps[i]), 0, 1e-12);
    }
}

/* Turns closed within a coil hold its EMF down as a closed secondary does (any textbook): to half the power at their R / (2 pi L), and
 * a coil of which they concern half the turns to half of that and half of nothing. */
static void closed_turns_hold_the_emf_down(void **state)
{
    (void)state;
    ll_network_coil coil = bare_coil;
    const ll_network_spec spec = {.coil_count = 1, .coils = &coil};
    coil.shorted_s = 1 / (2 * LL_PI * 3000);
    coil.shorted_share = 1;
    assert_close(cabs(response(&spec, 3000)), sqrt(0.5), 1e-12);
    assert_close(cabs(response(&spec, 1)), 1, 1e-6);
    coil.shorted_share = 0.5;
    assert_close(cabs(response(&spec, 3000) - (0.75 - 0.25 * I)), 0, 1e-12);
    coil.shorted_share = 1.5;
    ll_network *network = NULL;
    assert_int_equal(ll_network_new(&spec, &network), LL_BAD_VALUE);
}

/* Half way between two rows on the logarithm of the frequency; the end rows hold beyond them. */
static void a_coil_over_frequency_follows_its_table(void **state)
{
    (void)state;
    const ll_coil_row rows[] = {{100, 7000, 3}, {10e3, 9000, 2}};
    const ll_network_coil coil = {2, rows, 0, false, 1, 0, 0, 0, false};
    const ll_network_spec spec = {.coil_count = 1, .coils = &coil, .input_ohm = 100e3};
    static const double cases[][3] = {
        {10, 7000, 3}, {1000, 8000, 2.5}, {10e3, 9000, 2}, {50e3, 9000, 2}};
    for (size_t i = 0; i < COUNT(cases); i++) {
        const double f_hz = cases[i][0];
        const double complex z = cases[i][1] + I * 2 * LL_PI * f_hz * cases[i][2];
        assert_close(cabs(response(&spec, f_hz) - 100e3 / (100e3 + z)), 0, 1e-12);
    }
}

/* Two coils in series, each behind a pot of its own at half: each gives (P / 2) / (P + R) of its EMF, whatever stands below it. */
static void pots_of_groups_divide_their_own_coils(void **state)
{
    (void)state;
    const double pot_ohm = 20e3;
    ll_network_coil coils[2] = {bare_coil, bare_coil};
    ll_network_group groups[2] = {{.controls.volume = {pot_ohm, 0.5, LL_LINEAR_TAPER}},
                                  {.controls.volume = {pot_ohm, 0.5, LL_LINEAR_TAPER}}};
    coils[0].group = 1;
    coils[1].group = 2;
    const ll_network_spec spec = {
        .coil_count = 2, .coils = coils, .group_count = 2, .groups = groups};
    ll_network *network = build(&spec);
    double complex transfer[2];
    assert_ok(ll_network_transfer(network, 0.01, transfer));
    for (int i = 0; i < 2; i++)
        assert_close(cabs(transfer[i]), pot_ohm / 2 / (pot_ohm + middle.r_ohm), 1e-9);
    ll_network_free(network);
}

/* Eight coils, all tapped, with all that can be wired: the limits of the circuit hold them. */
static void the_largest_network_fits(void **state)
{
    (void)state;
    ll_network_coil coils[LL_NETWORK_COILS];
    for (size_t i = 0; i < LL_NETWORK_COILS; i++)
        coils[i] = (ll_network_coil){1, &middle, 110e-12, i % 3 == 1, 0.5 + 0.05 * (double)i,
                                     0, 0,       0,       false};
    ll_network_spec spec = {.coil_count = LL_NETWORK_COILS,
                            .coils = coils,
                            .coupling = 0.05,
                            .volume = {500e3, 0.5, LL_AUDIO_TAPER},
                            .tone = {500e3, 0.5, LL_AUDIO_TAPER},
                            .tone_cap_f = 22e-9,
                            .bleed_f = 680e-12,
                            .bleed_ohm = 150e3,
                            .bleed_in_series = true,
                            .cable_f = 500e-12,
                            .input_ohm = 1e6,
                            .input_f = 20e-12};
    assert_true(isfinite(peak_of(&spec).f_hz));
    spec.wiring = LL_PARALLEL;
    assert_true(isfinite(peak_of(&spec).f_hz));
    /* Each coil in a group of its own, with controls as many as there can be. */
    ll_network_group groups[LL_NETWORK_GROUPS];
    for (size_t i = 0; i < LL_NETWORK_GROUPS; i++) {
        groups[i] = (ll_network_group){.controls = {.volume = {500e3, 0.5, LL_AUDIO_TAPER},
                                                    .tone = {500e3, 0.5, LL_AUDIO_TAPER},
                                                    .tone_cap_f = 22e-9,
                                                    .bleed_f = 680e-12,
                                                    .bleed_ohm = 150e3,
                                                    .bleed_in_series = true}};
        coils[i].group = i + 1;
    }
    spec.wiring = LL_SERIES;
    spec.groups = groups;
    spec.group_count = LL_NETWORK_GROUPS;
    assert_true(peak_of(&spec).low_gain > 0);
    spec.coil_count++;
    ll_network *network = NULL;
    assert_int_equal(ll_network_new(&spec, &network), LL_BAD_VALUE);
    assert_null(network);
}

static void loops_of_shorts_and_free_nodes_are_refused(void **state)
{
    (void)state;
    double complex transfer[4] = {42};
    ll_circuit *circuit = NULL;
    assert_ok(ll_circuit_new(&circuit));
    assert_ok(ll_circuit_add_resistor(circuit, 0, 1, 0));
    assert_ok(ll_circuit_transfer(circuit, 1, 1000, transfer));
    assert_ok(ll_circuit_add_resistor(circuit, 0, 1, 0));
    assert_int_equal(ll_circuit_transfer(circuit, 1, 1000, transfer), LL_NOT_SOLVABLE);
    ll_circuit_free(circuit);
    assert_ok(ll_circuit_new(&circuit));
    assert_ok(ll_circuit_add_resistor(circuit, 0, 2, 1e3)); /* node 1 hangs free */
    transfer[0] = 42;
    assert_int_equal(ll_circuit_transfer(circuit, 2, 1000, transfer), LL_NOT_SOLVABLE);
    assert_true(transfer[0] == 42);
    ll_circuit_free(circuit);
    ll_circuit_free(NULL);
}

/* A solution of a circuit keeps nothing back: what is added later counts from then on. */
static void a_circuit_that_was_solved_may_grow(void **state)
{
    (void)state;
    ll_circuit *grown, *fresh;
    double complex h[2][LL_CIRCUIT_BRANCHES] = {{0}};
    assert_ok(ll_circuit_new(&grown));
    assert_ok(ll_circuit_new(&fresh));
    assert_ok(ll_circuit_add_coil(grown, 0, 1, 1, &middle, 1, NULL));
    assert_ok(ll_circuit_add_resistor(grown, 0, 1, 250e3));
    assert_ok(ll_circuit_transfer(grown, 1, 3000, h[0]));
    const double before = cabs(h[0][0]);
    assert_ok(ll_circuit_add_capacitor(grown, 0, 2, 1e-9));
    assert_ok(ll_circuit_add_resistor(grown, 1, 2, 1e3));
    assert_ok(ll_circuit_transfer(grown, 2, 3000, h[0]));
    assert_ok(ll_circuit_add_coil(fresh, 0, 1, 1, &middle, 1, NULL));
    assert_ok(ll_circuit_add_resistor(fresh, 0, 1, 250e3));
    assert_ok(ll_circuit_add_capacitor(fresh, 0, 2, 1e-9));
    assert_ok(ll_circuit_add_resistor(fresh, 1, 2, 1e3));
    assert_ok(ll_circuit_transfer(fresh, 2, 3000, h[1]));
    assert_close(cabs(h[0][0] - h[1][0]), 0, 0);
    assert_true(fabs(cabs(h[0][0]) - before) > 0.01);
    ll_circuit_free(grown);
    ll_circuit_free(fresh);
}

static void circuits_refuse_what_cannot_be(void **state)
{
    (void)state;
    const ll_coil_row falling[] = {{1000, 1, 1}, {100, 1, 1}}, negative = {0, -1, 1};
    size_t branch = 42;
    double complex transfer[4];
    ll_circuit *circuit = NULL;
    assert_ok(ll_circuit_new(&circuit));
    assert_int_equal(ll_circuit_add_resistor(circuit, 0, 1, -1), LL_BAD_VALUE);
    assert_int_equal(ll_circuit_add_resistor(circuit, 0, 1, NAN), LL_BAD_VALUE);
    assert_int_equal(ll_circuit_add_capacitor(circuit, 0, 1, INFINITY), LL_BAD_VALUE);
    assert_int_equal(ll_circuit_add_capacitor(circuit, 0, LL_CIRCUIT_NODES + 1, 1), LL_BAD_VALUE);
    assert_int_equal(ll_circuit_add_coil(circuit, 0, 1, 0, NULL, 1, &branch), LL_BAD_CURVE);
    assert_int_equal(ll_circuit_add_coil(circuit, 0, 1, 2, falling, 1, &branch), LL_BAD_CURVE);
    assert_int_equal(ll_circuit_add_coil(circuit, 0, 1, 1, &negative, 1, &branch), LL_BAD_VALUE);
    assert_int_equal(ll_circuit_add_coil(circuit, 0, 1, 1, &middle, 1.1, &branch), LL_BAD_VALUE);
    assert_int_equal(branch, 42);
    assert_int_equal(ll_circuit_branches(circuit), 0);
    assert_ok(ll_circuit_add_coil(circuit, 0, 1, 1, &middle, 1, &branch));
    assert_int_equal(branch, 0);
    assert_int_equal(ll_circuit_couple(circuit, 0, 1, 0.1), LL_NO_COIL);
    assert_ok(ll_circuit_add_coil(circuit, 0, 1, 1, &middle, 1, &branch));
    assert_int_equal(ll_circuit_couple(circuit, 0, 1, 1.1), LL_BAD_VALUE);
    assert_int_equal(ll_circuit_transfer(circuit, 1, 0, transfer), LL_BAD_VALUE);
    assert_int_equal(ll_circuit_transfer(circuit, 1, NAN, transfer), LL_BAD_VALUE);
    assert_int_equal(ll_circuit_transfer(circuit, 0, 1000, transfer), LL_BAD_VALUE);
    assert_int_equal(ll_circuit_transfer(circuit, 2, 1000, transfer), LL_BAD_VALUE);
    ll_circuit_free(circuit);
}

/* One wrong value each. */
static void networks_refuse_what_cannot_be(void **state)
{
    (void)state;
    const ll_network_coil bad_tap = {1, &middle, 0, false, 0, 0, 0, 0, false},
                          two[] = {bare_coil, bare_coil};
    const ll_network_coil bad_c = {1, &middle, -1e-12, false, 1, 0, 0, 0, false};
    const ll_network_spec cases[] = {
        {.coil_count = 0, .coils = &bare_coil},
        {.coil_count = 1, .coils = &bad_tap},
        {.coil_count = 1, .coils = &bad_c},
        {.coil_count = 2, .coils = two, .coupling = 1.01},
        {.coil_count = 2, .coils = two, .coupling = -1.01},
        {.coil_count = 1, .coils = &bare_coil, .volume = {-1, 1, LL_AUDIO_TAPER}},
        {.coil_count = 1, .coils = &bare_coil, .volume = {250e3, 1.5, LL_AUDIO_TAPER}},
        {.coil_count = 1, .coils = &bare_coil, .tone = {250e3, NAN, LL_AUDIO_TAPER}},
        {.coil_count = 1, .coils = &bare_coil, .tone_cap_f = -1},
        {.coil_count = 1, .coils = &bare_coil, .bleed_f = NAN},
        {.coil_count = 1, .coils = &bare_coil, .bleed_ohm = -1},
        {.coil_count = 1, .coils = &bare_coil, .cable_f = INFINITY},
        {.coil_count = 1, .coils = &bare_coil, .input_ohm = -1e6},
        {.coil_count = 1, .coils = &bare_coil, .input_f = -1e-12},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        ll_network *network = NULL;
        assert_int_equal(ll_network_new(&cases[i], &network), LL_BAD_VALUE);
        assert_null(network);
    }
    const ll_network_spec fine = {.coil_count = 1, .coils = &bare_coil};
    ll_network *network = build(&fine);
    double rms_v = 42;
    assert_int_equal(ll_network_noise(network, 20, 20, &rms_v), LL_BAD_VALUE);
    assert_int_equal(ll_network_noise(network, 0, 20, &rms_v), LL_BAD_VALUE);
    assert_true(rms_v == 42);
    ll_network_free(network);
    ll_network_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_coil_without_load_gives_its_emf),
        cmocka_unit_test(a_coil_and_a_capacitor_are_a_second_order_low_pass),
        cmocka_unit_test(a_damped_coil_only_falls),
        cmocka_unit_test(equal_coils_one_reversed_cancel),
        cmocka_unit_test(mutual_inductance_adds_and_takes),
        cmocka_unit_test(a_single_resistor_makes_4_k_t_r),
        cmocka_unit_test(noise_on_a_capacitor_is_k_t_over_c),
        cmocka_unit_test(low_frequency_noise_is_that_of_the_parallel_resistance),
        cmocka_unit_test(pots_turned_to_their_ends_are_shorts),
        cmocka_unit_test(audio_taper_has_a_tenth_at_half),
        cmocka_unit_test(a_large_treble_bleed_undoes_the_volume_pot),
        cmocka_unit_test(a_tap_gives_its_share),
        cmocka_unit_test(closed_turns_hold_the_emf_down),
        cmocka_unit_test(a_coil_over_frequency_follows_its_table),
        cmocka_unit_test(pots_of_groups_divide_their_own_coils),
        cmocka_unit_test(the_largest_network_fits),
        cmocka_unit_test(loops_of_shorts_and_free_nodes_are_refused),
        cmocka_unit_test(a_circuit_that_was_solved_may_grow),
        cmocka_unit_test(circuits_refuse_what_cannot_be),
        cmocka_unit_test(networks_refuse_what_cannot_be),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
