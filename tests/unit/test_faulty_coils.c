/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "bench/coils.h"
#include "check.h"
#include "circuit/circuit.h"
#include "circuit/together.h"
#include "winding/winding.h"

static const ll_eddy_share none = {0, 1};
static const ll_coil_state sound = {.turns = 1, .wire = 1, .core = 1};

/* Impedance at f of a coil with a closed loop beside it, by nodal analysis: 1 V in the coil, 1 kohm across it. */
static double complex by_circuit(double r, double l, double share, double f)
{
    const ll_coil_row live = {f, r * (1 - share), l * (1 - share) * (1 - share)};
    const ll_coil_row loop = {f, r * share, l * share * share};
    ll_circuit *circuit;
    size_t a, b;
    double complex transfer[4];
    assert_ok(ll_circuit_new(&circuit));
    assert_ok(ll_circuit_add_coil(circuit, 0, 1, 1, &live, 1, &a));
    assert_ok(ll_circuit_add_coil(circuit, 0, 2, 1, &loop, 1, &b));
    assert_ok(ll_circuit_add_resistor(circuit, 0, 2, 0));
    assert_ok(ll_circuit_add_resistor(circuit, 0, 1, 1000));
    assert_ok(ll_circuit_couple(circuit, a, b, LL_SHORTED_COUPLING));
    assert_ok(ll_circuit_transfer(circuit, 1, f, transfer));
    ll_circuit_free(circuit);
    return 1000 / transfer[a] - 1000;
}

static void shorted_turns_load_a_coil_as_nodal_analysis_has_it(void **state)
{
    (void)state;
    const double r = 6000, l = 2.5, share[] = {0.003, 0.05, 0.4}, f[] = {120, 1000, 15000};
    for (size_t i = 0; i < 3; i++)
        for (size_t k = 0; k < 3; k++) {
            const ll_coil_state one = {.turns = 1, .wire = 1, .core = 1, .shorted = share[i]};
            const ll_series_coils coils = {.count = 1, .r_ohm = &r, .l_h = &l, .state = &one};
            const double complex z = by_circuit(r, l, share[i], f[k]);
            ll_series_figures out;
            assert_ok(ll_series_impedance(&coils, f[k], none, 20, &out));
            assert_relative(out.r_ohm, creal(z), 1e-9);
            assert_relative(out.l_h, cimag(z) / (2 * LL_PI * f[k]), 1e-9);
            assert_true(out.shorted_ohm > 0 && out.shorted_h < 0);
        }
}

/* Far above the loop's own corner no flux goes through it: of (1 - s)^2 L the share 1 - k^2 is left. */
static void a_loop_without_resistance_leaves_one_minus_k_squared(void **state)
{
    (void)state;
    const double r = 1e-3, l = 2;
    const ll_coil_state one = {.turns = 1, .wire = 1, .core = 1, .shorted = 0.1};
    const ll_series_coils coils = {.count = 1, .r_ohm = &r, .l_h = &l, .state = &one};
    ll_series_figures out;
    assert_ok(ll_series_impedance(&coils, 1000, none, 20, &out));
    assert_relative(out.l_h, 0.81 * l * (1 - LL_SHORTED_COUPLING * LL_SHORTED_COUPLING), 1e-6);
}

/* Two coils aiding have L1 + L2 + 2 M, opposing L1 + L2 - 2 M, the way a mutual inductance is measured (any handbook). */
/* Two coils with M between them, each with a loop: by nodal analysis with every pair coupled. */
static double complex two_by_circuit(const double r[2], const double l[4], const double share[2],
                                     double f)
{
    ll_circuit *circuit;
    size_t branch[4];
    double complex transfer[8];
    double turns[4], ohm[4];
    assert_ok(ll_circuit_new(&circuit));
    for (int n = 0; n < 4; n++) {
        const int coil = n / 2;
        turns[n] = n % 2 ? share[coil] : 1 - share[coil];
        ohm[n] = r[coil] * turns[n];
        const ll_coil_row row = {f, ohm[n], l[3 * coil] * turns[n] * turns[n]};
        const size_t cold = n == 0   ? 0
                            : n == 2 ? 1
                                     : 0,
                     hot = n == 0   ? 1
                           : n == 2 ? 2
                           : n == 1 ? 3
                                    : 4;
        assert_ok(ll_circuit_add_coil(circuit, cold, hot, 1, &row, 1, &branch[n]));
    }
    for (int a = 0; a < 4; a++)
        for (int b = a + 1; b < 4; b++)
            assert_ok(
                ll_circuit_couple(circuit, branch[a], branch[b],
                                  a / 2 == b / 2 ? LL_SHORTED_COUPLING : l[1] / sqrt(l[0] * l[3])));
    assert_ok(ll_circuit_add_resistor(circuit, 0, 3, 0));
    assert_ok(ll_circuit_add_resistor(circuit, 0, 4, 0));
    assert_ok(ll_circuit_add_resistor(circuit, 0, 2, 1000));
    assert_ok(ll_circuit_transfer(circuit, 2, f, transfer));
    ll_circuit_free(circuit);
    return 1000 / transfer[branch[0]] - 1000;
}

static void loops_in_two_coils_load_them_and_each_other(void **state)
{
    (void)state;
    const double r[] = {4000, 4200}, l[] = {1.4, 0.3, 0.3, 1.6}, share[] = {0.1, 0.02};
    const ll_coil_state two[] = {{.turns = 1, .wire = 1, .core = 1, .shorted = 0.1},
                                 {.turns = 1, .wire = 1, .core = 1, .shorted = 0.02}};
    const ll_series_coils coils = {.count = 2, .r_ohm = r, .l_h = l, .state = two};
    for (double f = 100; f < 2e4; f *= 6) {
        const double complex z = two_by_circuit(r, l, share, f);
        ll_series_figures out;
        assert_ok(ll_series_impedance(&coils, f, none, 20, &out));
        assert_relative(out.r_ohm, creal(z), 1e-9);
        assert_relative(out.l_h, cimag(z) / (2 * LL_PI * f), 1e-9);
    }
}

/* A coil whose leads touch is the shorted secondary of the other: L1 (1 - k^2) is left at high frequency (any handbook). */
static void a_coil_with_its_leads_together_shorts_the_other_ones_flux(void **state)
{
    (void)state;
    const double r[] = {4000, 1e-3}, l[] = {1.4, 0.3, 0.3, 1.6};
    const ll_coil_state two[] = {sound, {.turns = 1, .wire = 1, .core = 1, .shorted = 1}};
    const ll_series_coils coils = {.count = 2, .r_ohm = r, .l_h = l, .state = two};
    ll_series_figures out;
    assert_ok(ll_series_impedance(&coils, 5000, none, 20, &out));
    assert_relative(out.l_h, 1.4 - 0.3 * 0.3 / 1.6, 1e-6);
    assert_relative(out.r_ohm, 4000, 1e-6);
}

/* Alike and without mutual inductance, two loops carry the same current as one through both. A joint's resistance only adds. */
static void a_loop_through_both_coils_is_one_loop(void **state)
{
    (void)state;
    const double r[] = {4000, 4000}, l[] = {1.4, 0, 0, 1.4};
    const ll_coil_state two[] = {
        {.turns = 1, .wire = 1, .core = 1, .shorted = 0.1},
        {.turns = 1, .wire = 1, .core = 1, .shorted = 0.1, .reversed = true}};
    ll_series_coils coils = {.count = 2, .r_ohm = r, .l_h = l, .state = two};
    ll_series_figures apart, together;
    assert_ok(ll_series_impedance(&coils, 1000, none, 20, &apart));
    coils.one_loop = true;
    assert_ok(ll_series_impedance(&coils, 1000, none, 20, &together));
    assert_relative(together.shorted_ohm, apart.shorted_ohm, 1e-9);
    coils.joint_ohm = 500;
    assert_ok(ll_series_impedance(&coils, 1000, none, 20, &apart));
    assert_relative(apart.r_ohm, together.r_ohm + 500, 1e-12);
}

static void a_reversed_coil_takes_twice_the_mutual_inductance_away_twice(void **state)
{
    (void)state;
    const double r[] = {4000, 4100}, l[] = {2, 0.3, 0.3, 2.1};
    ll_coil_state two[] = {sound, sound};
    const ll_series_coils coils = {.count = 2, .r_ohm = r, .l_h = l, .state = two};
    ll_series_figures out;
    double share[2];
    assert_ok(ll_series_impedance(&coils, 100, none, 20, &out));
    assert_relative(out.l_h, 4.7, 1e-12);
    assert_relative(out.r_ohm, 8100, 1e-12);
    two[1].reversed = true;
    assert_ok(ll_series_impedance(&coils, 100, none, 20, &out));
    assert_relative(out.l_h, 3.5, 1e-12);
    assert_ok(ll_series_turns(&coils, share));
    assert_true(share[0] == 1 && share[1] == -1);
}

/* Copper gains 0.393 % a degree from 20 C (IEC 60028). */
static void resistance_follows_turns_wire_and_warmth(void **state)
{
    (void)state;
    const double r = 6000, l = 2;
    ll_coil_state one = {.turns = 0.9, .wire = 1.26, .core = 1, .shorted = 0.1};
    const ll_series_coils coils = {.count = 1, .r_ohm = &r, .l_h = &l, .state = &one};
    double ohm;
    assert_ok(ll_series_resistances(&coils, 20, &ohm));
    assert_relative(ohm, 6000 * 0.9 * 1.26 * 0.9, 1e-12);
    one = sound;
    assert_ok(ll_series_resistances(&coils, 30, &ohm));
    assert_relative(ohm, 6000 * 1.0393, 5e-5);
    assert_relative(ll_copper_over_20_c(20), 1, 1e-15);
}

static void eddy_currents_scale_with_the_static_inductance(void **state)
{
    (void)state;
    const double r = 5000, l = 2;
    ll_coil_state one = {.turns = 1.1, .wire = 1, .core = 1.2};
    const ll_series_coils coils = {.count = 1, .r_ohm = &r, .l_h = &l, .state = &one};
    ll_series_figures out;
    assert_ok(ll_series_impedance(&coils, 1000, (ll_eddy_share){300, 0.95}, 20, &out));
    assert_relative(out.l_h, 0.95 * 2 * 1.21 * 1.2, 1e-12);
    assert_relative(out.r_ohm, 5500 + 300 * 2 * 1.21 * 1.2, 1e-12);
}

static void a_broken_wire_reads_open_and_whispers(void **state)
{
    (void)state;
    const double r[] = {4000, 4100}, l[] = {2, 0.3, 0.3, 2.1};
    ll_coil_state two[] = {sound, sound};
    two[0].open = true;
    const ll_series_coils coils = {.count = 2, .r_ohm = r, .l_h = l, .state = two};
    ll_series_figures out;
    assert_ok(ll_series_impedance(&coils, 100, none, 20, &out));
    assert_relative(out.r_ohm, LL_OPEN_OHM, 1e-12);
    assert_relative(ll_series_passes(&coils), LL_THROUGH_BREAK, 1e-12);
    two[0].open = false;
    assert_relative(ll_series_passes(&coils), 1, 1e-12);
}

/* 2.5 H with 500 pF and 60 pF: 1 over 2 pi times the square root of 1.4e-9 s2. */
static void a_coil_rings_with_its_cable(void **state)
{
    (void)state;
    assert_relative(ll_resonance_hz(2.5, 560e-12), 4253.5948, 1e-7);
}

static void states_that_no_coil_can_be_in_are_refused(void **state)
{
    (void)state;
    const double r = 4000, l = 2;
    const ll_coil_state bad[] = {{.turns = 0, .wire = 1, .core = 1},
                                 {.turns = 1, .wire = 0, .core = 1},
                                 {.turns = 1, .wire = 1, .core = 1, .shorted = 1.01},
                                 {.turns = 1, .wire = 1, .core = 1, .shorted = -0.1},
                                 {.turns = NAN, .wire = 1, .core = 1},
                                 {.turns = 1, .wire = INFINITY, .core = 1},
                                 {.turns = 1, .wire = 1}};
    ll_series_figures out = {.r_ohm = 7};
    double value = 7;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        const ll_series_coils coils = {.count = 1, .r_ohm = &r, .l_h = &l, .state = &bad[i]};
        assert_int_equal(ll_series_resistances(&coils, 20, &value), LL_BAD_VALUE);
        assert_int_equal(ll_series_impedance(&coils, 100, none, 20, &out), LL_BAD_VALUE);
        assert_int_equal(ll_series_turns(&coils, &value), LL_BAD_VALUE);
    }
    const ll_series_coils coils = {.count = 1, .r_ohm = &r, .l_h = &l, .state = &sound};
    assert_int_equal(ll_series_impedance(&coils, 0, none, 20, &out), LL_BAD_VALUE);
    assert_int_equal(ll_series_impedance(&coils, NAN, none, 20, &out), LL_BAD_VALUE);
    assert_int_equal(ll_series_resistances(&coils, -300, &value), LL_BAD_VALUE);
    assert_int_equal(ll_series_resistances(&coils, NAN, &value), LL_BAD_VALUE);
    assert_true(value == 7 && out.r_ohm == 7);
}

/* Phase depends on magnet polarity and winding direction together, hum on the winding alone (common practice, no source): a coil
 * with both turned is in phase and cancels hum. */
static void magnet_and_winding_together_make_the_phase(void **state)
{
    (void)state;
    const double signal[] = {3, 2, 2.5}, hum[] = {0, 0.4, 2};
    for (int magnet = -1; magnet <= 1; magnet += 2)
        for (int winding = -1; winding <= 1; winding += 2) {
            double s[3], h[3];
            for (int i = 0; i < 3; i++) {
                s[i] = magnet * winding * signal[i];
                h[i] = winding * hum[i];
            }
            assert_int_equal(ll_together_phase(3, signal, s),
                             magnet * winding > 0 ? LL_IN_PHASE : LL_OUT_OF_PHASE);
            assert_close(ll_together_left(3, hum, h), winding > 0 ? 1 : 0, 1e-15);
        }
    const double mixed[] = {3, -2, 2.5}, nothing[] = {0, 0, 0};
    assert_int_equal(ll_together_phase(3, signal, mixed), LL_MIXED_PHASE);
    assert_close(ll_together_left(3, nothing, nothing), 1, 0);
}

/* Two alike in parallel are as loud as one, in series twice as loud, and out of phase silent (Ohm's law). */
static void two_alike_are_as_loud_in_parallel_as_one(void **state)
{
    (void)state;
    const double series[] = {1, 1};
    double share[2];
    ll_parallel_shares(6000, 6000, share);
    assert_close(ll_together_level(2, 2, share), 1, 1e-15);
    assert_close(ll_together_level(2, 2, series), 2, 1e-15);
    assert_close(ll_together_level(2, -2, series), 0, 1e-15);
    assert_close(ll_together_level(0, 0, series), 0, 0);
    ll_parallel_shares(5000, 10000, share);
    assert_close(share[0], 2.0 / 3,
                 1e-15); /* the one of less resistance counts more: Millman's theorem */
    ll_parallel_shares(0, 0, share);
    assert_close(share[0] + share[1], 1, 1e-15);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shorted_turns_load_a_coil_as_nodal_analysis_has_it),
        cmocka_unit_test(a_loop_without_resistance_leaves_one_minus_k_squared),
        cmocka_unit_test(loops_in_two_coils_load_them_and_each_other),
        cmocka_unit_test(a_coil_with_its_leads_together_shorts_the_other_ones_flux),
        cmocka_unit_test(a_loop_through_both_coils_is_one_loop),
        cmocka_unit_test(a_reversed_coil_takes_twice_the_mutual_inductance_away_twice),
        cmocka_unit_test(resistance_follows_turns_wire_and_warmth),
        cmocka_unit_test(eddy_currents_scale_with_the_static_inductance),
        cmocka_unit_test(a_broken_wire_reads_open_and_whispers),
        cmocka_unit_test(a_coil_rings_with_its_cable),
        cmocka_unit_test(states_that_no_coil_can_be_in_are_refused),
        cmocka_unit_test(magnet_and_winding_together_make_the_phase),
        cmocka_unit_test(two_alike_are_as_loud_in_parallel_as_one),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
