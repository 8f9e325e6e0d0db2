/* test_winding.c - wire and coil arithmetic, and what is refused.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "winding/winding.h"

static const ll_coil_shape racetrack = {0.062, 0.006, 0.002, 0.004, 0.010};
static const ll_coil_shape round_coil = {0.006, 0.006, 0.003, 0.005, 0.010};

static ll_wire awg(double gauge, ll_wire_build build)
{
    ll_wire wire;
    assert_ok(ll_wire_awg(gauge, build, &wire));
    return wire;
}

/* Diameters in micrometres: bare by ASTM B258, d = 127 * 92^((36 - n) / 39) (formula from memory); limits and
 * enamel NEMA MW 1000 C, as listed in the open data set OpenMagnetics MAS, wires.ndjson. */
static void listed_gauges_have_the_figures_of_the_standards(void **state)
{
    (void)state;
    static const struct {
        double gauge;
        ll_wire_build build;
        double bare, bare_min, bare_max, outside, outside_min, outside_max;
    } cases[] = {{36, LL_SINGLE_BUILD, 127.000, 124, 130, 141, 135, 147},
                 {38, LL_HEAVY_BUILD, 100.716, 99, 104, 123, 117, 130},
                 {40, LL_SINGLE_BUILD, 79.871, 76, 81, 88, 81, 94},
                 {41, LL_HEAVY_BUILD, 71.127, 69, 74, 86, 81, 91},
                 {42, LL_SINGLE_BUILD, 63.341, 61, 66, 71, 66, 76},
                 {42, LL_HEAVY_BUILD, 63.341, 61, 66, 76, 71, 81},
                 {43, LL_SINGLE_BUILD, 56.406, 53, 58, 62, 58, 66},
                 {44, LL_HEAVY_BUILD, 50.231, 48, 53, 64, 58, 69},
                 {45, LL_SINGLE_BUILD, 44.732, 42.9, 46.4, 48.8, 45.5, 52.1},
                 {46, LL_HEAVY_BUILD, 39.835, 38.4, 41.7, 49.7, 46.0, 53.3}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const ll_wire w = awg(cases[i].gauge, cases[i].build);
        assert_close(1e6 * w.bare_m, cases[i].bare, 6e-4);
        assert_close(1e6 * w.bare_min_m, cases[i].bare_min, 1e-6);
        assert_close(1e6 * w.bare_max_m, cases[i].bare_max, 1e-6);
        assert_close(1e6 * w.outside_m, cases[i].outside, 1e-6);
        assert_close(1e6 * w.outside_min_m, cases[i].outside_min, 1e-6);
        assert_close(1e6 * w.outside_max_m, cases[i].outside_max, 1e-6);
        assert_non_null(w.source);
    }
}

/* Ohm per 1000 ft at 20 C: 36 nominal as a wire maker prints it by NEMA (414.8); the others from 1.7241e-8 ohm m (IEC
 * 60028, from memory) over the gauge's area. NEMA's own nominal for 42, 1659, is that of 0.0025 in. */
static void resistance_is_that_of_annealed_copper(void **state)
{
    (void)state;
    static const double cases[][2] = {{36, 414.8},  {38, 659.6},  {40, 1048.8},
                                      {41, 1322.6}, {42, 1667.7}, {43, 2103.0},
                                      {44, 2651.8}, {45, 3343.8}, {46, 4216.5}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const double per_kft =
            304.8 * ll_wire_ohm_per_m(awg(cases[i][0], LL_SINGLE_BUILD).bare_m, 20);
        assert_relative(per_kft, cases[i][1], 1.5e-4);
    }
    assert_relative(304.8 * ll_wire_ohm_per_m(0.0025 * 0.0254, 20), 1659.4, 1e-4);
}

/* IEC 60028: R(T) = R20 (234.5 + T) / 254.5, so 0.393 % for each kelvin at 20 C. */
static void resistance_grows_with_temperature(void **state)
{
    (void)state;
    const double r20 = ll_wire_ohm_per_m(63e-6, 20);
    assert_relative(ll_wire_ohm_per_m(63e-6, 30) / r20, 1.0393, 1e-4);
    assert_relative(ll_wire_ohm_per_m(63e-6, 0) / r20, 234.5 / 254.5, 1e-12);
}

static void gauges_between_lie_between_their_neighbours(void **state)
{
    (void)state;
    static const double gauges[] = {30, 33.3, 36.5, 37, 39, 41.5, 42.5, 45.5, 47, 50};
    for (size_t i = 0; i < sizeof gauges / sizeof gauges[0]; i++) {
        for (int build = LL_SINGLE_BUILD; build <= LL_HEAVY_BUILD; build++) {
            const ll_wire w = awg(gauges[i], build);
            assert_true(w.bare_min_m < w.bare_m && w.bare_m < w.bare_max_m);
            assert_true(w.bare_m < w.outside_min_m && w.outside_min_m < w.outside_m);
            assert_true(w.outside_m < w.outside_max_m && w.outside_m < 1.3 * w.bare_m);
        }
        if (gauges[i] + 1 <= 50)
            assert_true(awg(gauges[i] + 1, LL_SINGLE_BUILD).outside_m <
                        awg(gauges[i], LL_SINGLE_BUILD).outside_m);
    }
}

static void a_metric_wire_of_a_gauges_diameter_is_that_gauge(void **state)
{
    (void)state;
    ll_wire metric;
    const ll_wire gauge = awg(42, LL_HEAVY_BUILD);
    assert_ok(ll_wire_metric(gauge.bare_m, LL_HEAVY_BUILD, &metric));
    assert_relative(metric.outside_m, gauge.outside_m, 1e-9);
    assert_relative(metric.bare_max_m, gauge.bare_max_m, 1e-9);
    assert_ok(ll_wire_metric(0.06e-3, LL_SINGLE_BUILD, &metric));
    assert_close(metric.bare_m, 0.06e-3, 0);
}

static void wire_out_of_range_is_refused(void **state)
{
    (void)state;
    ll_wire w = {.bare_m = 7};
    static const double gauges[] = {29.9, 50.1, -1, NAN, INFINITY};
    for (size_t i = 0; i < sizeof gauges / sizeof gauges[0]; i++)
        assert_int_equal(ll_wire_awg(gauges[i], LL_SINGLE_BUILD, &w), LL_BAD_VALUE);
    assert_int_equal(ll_wire_awg(42, (ll_wire_build)7, &w), LL_BAD_VALUE);
    assert_int_equal(ll_wire_metric(0, LL_SINGLE_BUILD, &w), LL_BAD_SIZE);
    assert_int_equal(ll_wire_metric(-1e-5, LL_SINGLE_BUILD, &w), LL_BAD_SIZE);
    assert_int_equal(ll_wire_metric(NAN, LL_SINGLE_BUILD, &w), LL_BAD_VALUE);
    assert_int_equal(ll_wire_metric(1e-3, LL_SINGLE_BUILD, &w), LL_BAD_VALUE);
    assert_close(w.bare_m, 7, 0);
}

/* Geometry: a racetrack is a rectangle with rounded corners; a round coil's turn a circle. */
static void turn_length_is_that_of_a_rounded_rectangle(void **state)
{
    (void)state;
    assert_close(ll_coil_turn_m(&round_coil, 0.002), 2 * LL_PI * 0.005, 1e-15);
    assert_close(ll_coil_turn_m(&racetrack, 0.001), 2 * (0.058 + 0.002) + 2 * LL_PI * 0.003, 1e-15);
}

static void sheet_agrees_with_arithmetic_by_hand(void **state)
{
    (void)state;
    const ll_wire wire = awg(42, LL_SINGLE_BUILD);
    ll_winding w;
    assert_ok(ll_winding_sheet(&racetrack, 8000, &wire, 20, &w));
    /* 2 (58 + 2) + 2 pi 4 mm = 145.1327 mm; 8000 turns 1161.06 m; 5.4715 ohm/m. */
    assert_relative(w.mean_turn_m, 0.1451327, 1e-6);
    assert_relative(w.wire_m, 1161.062, 1e-6);
    assert_relative(w.dcr_ohm, 1161.062 * 5.4715, 2e-5);
    assert_relative(w.copper_fill, 8000 * 3.15105e-9 / 40e-6, 2e-5);
    assert_relative(w.wire_fill, 8000 * 0.071 * 0.071 / 40, 1e-9);
    /* IEC 60028: 8.89 g/cm3. */
    assert_relative(w.weight_kg, 8890 * 1161.062 * 3.15105e-9, 2e-5);
    assert_close(w.turns, 8000, 0);
}

static void turns_for_a_resistance_undo_the_sheet(void **state)
{
    (void)state;
    const ll_wire wire = awg(43, LL_SINGLE_BUILD);
    ll_winding w;
    double turns;
    assert_ok(ll_winding_sheet(&racetrack, 7600, &wire, 31, &w));
    assert_ok(ll_winding_turns_for(&racetrack, w.dcr_ohm, &wire, 31, &turns));
    assert_relative(turns, 7600, 1e-12);
}

/* Range on the bench for a single coil with leads, 70 to 130 pF: common practice, no source. The winding alone is less. */
static void capacitance_is_of_the_size_seen_on_the_bench(void **state)
{
    (void)state;
    const ll_wire wire = awg(42, LL_SINGLE_BUILD);
    ll_capacitance c;
    assert_ok(ll_winding_capacitance(&racetrack, 8000, &wire, 3.5, &c));
    assert_true(c.low_f < c.c_f && c.c_f < c.high_f);
    assert_true(c.c_f > 40e-12 && c.c_f < 130e-12);
    assert_true(c.high_f > 70e-12 && c.low_f < 100e-12);
}

/* The handbooks' layer formula, 4 (p - 1) / (3 p^2) of the capacitance between two layers of N / p turns (from memory:
 * Biela and Kolar 2008), goes as 1 / p^2 for a given number of turns. */
static void capacitance_goes_with_the_square_of_the_layers(void **state)
{
    (void)state;
    const ll_wire wire = awg(42, LL_SINGLE_BUILD);
    ll_capacitance once, doubled;
    assert_ok(ll_winding_capacitance(&racetrack, 8000, &wire, 3.5, &once));
    ll_coil_shape flat = racetrack;
    flat.build_m = 0.5 * racetrack.build_m;
    flat.height_m = 2 * racetrack.height_m;
    assert_ok(ll_winding_capacitance(&flat, 8000, &wire, 3.5, &doubled));
    /* The same window with half the layers: four times the capacitance, but for the shorter mean turn. */
    const double turns_ratio = ll_coil_turn_m(&flat, 0.001) / ll_coil_turn_m(&racetrack, 0.002);
    assert_relative(doubled.low_f / once.low_f, 4 * turns_ratio, 1e-9);
    assert_relative(once.high_f / once.low_f, 3.0, 1e-9);
}

/* A plate capacitor (any textbook): 100 mm around, 10 mm high, 1 mm of a plastic of permittivity 3, half of it faced: 13.28 pF. */
static void earthed_poles_are_the_other_plate(void **state)
{
    (void)state;
    const double radius_m = 50e-3 / LL_PI;
    const ll_coil_shape coil = {2 * radius_m, 2 * radius_m, radius_m, 4e-3, 10e-3};
    double c_f = 7;
    assert_ok(ll_winding_to_core(&coil, 1e-3, 3, 0.5, &c_f));
    assert_relative(c_f, 13.2813e-12, 1e-4);
    assert_int_equal(ll_winding_to_core(&coil, 0, 3, 0.5, &c_f), LL_BAD_SIZE);
    assert_int_equal(ll_winding_to_core(&coil, 1e-3, 3, 1.5, &c_f), LL_BAD_VALUE);
}

static void windings_that_cannot_be_are_refused(void **state)
{
    (void)state;
    ll_wire wire = awg(42, LL_SINGLE_BUILD), no_wire = wire, no_enamel = wire;
    no_wire.bare_m = 0;
    no_enamel.outside_m = no_enamel.bare_m;
    ll_coil_shape thin = racetrack;
    thin.build_m = 0;
    ll_winding w = {.turns = 7};
    ll_capacitance c = {.c_f = 7};
    double turns = 7;
    assert_int_equal(ll_winding_sheet(&thin, 8000, &wire, 20, &w), LL_BAD_SIZE);
    assert_int_equal(ll_winding_sheet(&racetrack, 0, &wire, 20, &w), LL_BAD_VALUE);
    assert_int_equal(ll_winding_sheet(&racetrack, NAN, &wire, 20, &w), LL_BAD_VALUE);
    assert_int_equal(ll_winding_sheet(&racetrack, 8000, &no_wire, 20, &w), LL_BAD_SIZE);
    assert_int_equal(ll_winding_sheet(&racetrack, 8000, &wire, -300, &w), LL_BAD_VALUE);
    assert_int_equal(ll_winding_turns_for(&racetrack, -1, &wire, 20, &turns), LL_BAD_VALUE);
    assert_int_equal(ll_winding_capacitance(&racetrack, 8000, &wire, 0.5, &c), LL_BAD_VALUE);
    assert_int_equal(ll_winding_capacitance(&racetrack, 8000, &no_enamel, 3.5, &c), LL_BAD_VALUE);
    assert_close(w.turns + c.c_f + turns, 21, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(listed_gauges_have_the_figures_of_the_standards),
        cmocka_unit_test(resistance_is_that_of_annealed_copper),
        cmocka_unit_test(resistance_grows_with_temperature),
        cmocka_unit_test(gauges_between_lie_between_their_neighbours),
        cmocka_unit_test(a_metric_wire_of_a_gauges_diameter_is_that_gauge),
        cmocka_unit_test(wire_out_of_range_is_refused),
        cmocka_unit_test(turn_length_is_that_of_a_rounded_rectangle),
        cmocka_unit_test(sheet_agrees_with_arithmetic_by_hand),
        cmocka_unit_test(turns_for_a_resistance_undo_the_sheet),
        cmocka_unit_test(capacitance_is_of_the_size_seen_on_the_bench),
        cmocka_unit_test(capacitance_goes_with_the_square_of_the_layers),
        cmocka_unit_test(earthed_poles_are_the_other_plate),
        cmocka_unit_test(windings_that_cannot_be_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
