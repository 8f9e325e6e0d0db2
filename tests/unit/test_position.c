/* test_position.c - one position of a switch: sums that can be made by hand. SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "circuit/position.h"

static const ll_coil_row row = {0, 6000, 2};

/* Two equal coils with nothing but a resistor of their own size behind them: half of what they give comes out. */
static ll_network *two_coils(ll_wiring wiring, bool reversed, double input_ohm)
{
    const ll_network_coil coils[2] = {
        {.row_count = 1, .rows = &row, .tap = 1},
        {.row_count = 1, .rows = &row, .tap = 1, .reversed = reversed}};
    const ll_network_spec spec = {
        .coil_count = 2, .coils = coils, .wiring = wiring, .input_ohm = input_ohm};
    ll_network *network = NULL;
    assert_ok(ll_network_new(&spec, &network));
    return network;
}

/* Two strings with two partials and one; low enough that the coils are resistances. */
static const size_t partials[2] = {2, 1};
static const double low_hz[3] = {0.1, 0.2, 0.3};

typedef struct coil_heard {
    double partial_v[3], slope_v[2], hum_z_v;
} coil_heard;

static ll_position read(ll_network *network, const coil_heard *a, const coil_heard *b,
                        double *string_v)
{
    const ll_position_coil coils[2] = {{a->partial_v, a->slope_v, {0, 0, a->hum_z_v}, 0, 1, NULL},
                                       {b->partial_v, b->slope_v, {0, 0, b->hum_z_v}, 0, 1, NULL}};
    const ll_position_heard heard = {2, partials, low_hz, coils, 0.05};
    ll_position found = {0};
    assert_ok(ll_position_read(network, &heard, string_v, &found));
    ll_network_free(network);
    return found;
}

/* In series into 12 kohm, half of the sum; partials add as squares, the second one cancels. */
static void partials_add_with_their_signs(void **state)
{
    (void)state;
    const coil_heard a = {{3, 2, 1}, {1, 1}, 1}, b = {{1, -2, 1}, {1, 1}, 1};
    double string_v[2];
    const ll_position p = read(two_coils(LL_SERIES, false, 12e3), &a, &b, string_v);
    assert_close(string_v[0], 2, 1e-6);
    assert_close(string_v[1], 1, 1e-6);
    assert_close(p.level_v, sqrt((4 + 1) / 2.0), 1e-6);
    assert_close(p.resistance_ohm, 12e3, 12);
    assert_int_equal(p.phase, LL_IN_PHASE);
    assert_int_equal(p.together, 2);
    assert_close(p.hum_v, 1, 1e-6);
    assert_close(p.hum_left, 2, 1e-9);
}

/* The peak is that of the circuit, whatever cancels: the same for leads swapped, for a turned magnet and in phase. */
static void coils_that_cancel_have_their_resonance(void **state)
{
    (void)state;
    const coil_heard a = {{1, 1, 1}, {1, 1}, 1}, turned = {{-1, -1, -1}, {-1, -1}, 1};
    double string_v[2];
    const ll_position together = read(two_coils(LL_PARALLEL, false, 1e5), &a, &a, string_v);
    const ll_position swapped = read(two_coils(LL_PARALLEL, true, 1e5), &a, &a, string_v);
    assert_close(swapped.level_v, 0, 1e-9);
    assert_close(swapped.hum_left, 0, 1e-9);
    assert_int_equal(swapped.phase, LL_OUT_OF_PHASE);
    const ll_position magnet = read(two_coils(LL_PARALLEL, false, 1e5), &a, &turned, string_v);
    assert_close(magnet.level_v, 0, 1e-9);
    assert_close(magnet.hum_left, 2, 1e-9);
    assert_int_equal(magnet.phase, LL_OUT_OF_PHASE);
    assert_close(swapped.peak.f_minus3_hz, together.peak.f_minus3_hz, 1e-6);
    assert_close(magnet.peak.f_minus3_hz, together.peak.f_minus3_hz, 1e-6);
    assert_close(magnet.peak.low_gain, together.peak.low_gain, 1e-9);
}

/* Two coils under different strings, as of a split pickup, hear none of them together; 4 % of the other's do not count. */
static void a_coil_under_other_strings_does_not_hear_them(void **state)
{
    (void)state;
    const coil_heard a = {{1, 1, 0}, {1, -0.04}, 1}, b = {{0, 0, 1}, {-0.04, 1}, -1};
    double string_v[2];
    ll_position p = read(two_coils(LL_SERIES, false, 12e3), &a, &b, string_v);
    assert_int_equal(p.together, 0);
    assert_close(p.hum_left, 0, 1e-9);
    const coil_heard both = {{1, 1, 1}, {1, -1}, 1};
    p = read(two_coils(LL_SERIES, false, 12e3), &both, &(coil_heard){{1, 1, 1}, {1, 1}, 1},
             string_v);
    assert_int_equal(p.phase, LL_MIXED_PHASE);
}

/* A pickup of two windings as one coil: they leave 0.5 of the 2 V of the one that takes up more, and of two strings one is out of phase. */
static void windings_within_a_coil_are_told_apart(void **state)
{
    (void)state;
    static const double slope_v[2] = {2, 0.1}, winding_v[2][2] = {{1, 1}, {1, -0.9}};
    static const double partial_v[3] = {1, 1, 1};
    const ll_network_coil coil = {.row_count = 1, .rows = &row, .tap = 1};
    const ll_network_spec spec = {.coil_count = 1, .coils = &coil};
    const ll_position_coil one = {partial_v, slope_v, {0, 0, 0.5}, 2, 2, winding_v[0]};
    const ll_position_heard heard = {2, partials, low_hz, &one, 0.05};
    ll_network *network = NULL;
    ll_position p = {0};
    double string_v[2];
    assert_ok(ll_network_new(&spec, &network));
    assert_ok(ll_position_read(network, &heard, string_v, &p));
    ll_network_free(network);
    assert_int_equal(p.together, 2);
    assert_int_equal(p.phase, LL_MIXED_PHASE);
    assert_close(p.hum_v, 0.5, 1e-6);
    assert_close(p.hum_left, 0.25, 1e-6);
}

/* A coil that only carries current, and no coil that hears anything, leave no NaN. */
static void silence_is_told_as_nothing(void **state)
{
    (void)state;
    const coil_heard none = {0};
    double string_v[2];
    const ll_position p = read(two_coils(LL_SERIES, false, 12e3), &none, &none, string_v);
    assert_true(p.level_v == 0 && p.hum_v == 0 && p.hum_left == 0 && p.together == 0);
    assert_true(p.peak.low_gain > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(partials_add_with_their_signs),
        cmocka_unit_test(coils_that_cancel_have_their_resonance),
        cmocka_unit_test(a_coil_under_other_strings_does_not_hear_them),
        cmocka_unit_test(windings_within_a_coil_are_told_apart),
        cmocka_unit_test(silence_is_told_as_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
