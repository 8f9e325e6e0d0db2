/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "winding/plan.h"

static const ll_coil_shape single = {0.058, 0.0056, 0.002, 0.004, 0.011},
                           round_one = {0.02, 0.02, 0.01, 0.01, 0.03};

static ll_wire gauge(double number)
{
    ll_wire wire;
    assert_ok(ll_wire_awg(number, LL_SINGLE_BUILD, &wire));
    return wire;
}

/* Ohm and pounds of 1000 ft of bare copper at 20 C: NBS Handbook 100 (1966), from memory. Tables round bare diameters to a tenth of a mil, by which
 * that of AWG 44 is 1.1 % off the formula, its section 2.2 %. */
static void wire_weighs_and_resists_as_the_handbook_has_it(void **state)
{
    (void)state;
    static const struct {
        double gauge, ohm, pounds;
    } table[] = {{36, 414.8, 0.0757},
                 {38, 659.6, 0.0476},
                 {40, 1049, 0.0299},
                 {42, 1659, 0.0189},
                 {44, 2593, 0.0121}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        const ll_wire wire = gauge(table[i].gauge);
        assert_relative(ll_wire_ohm_per_m(wire.bare_m, 20) * 304.8, table[i].ohm, 0.025);
        assert_relative(ll_wire_kg_per_m(wire.bare_m) * 304.8 / 0.45359237, table[i].pounds, 0.025);
    }
}

/* A round coil: length = pi N (inner + outer diameter) / 2 (H. C. Roters, Electromagnetic Devices (1941), from memory). */
static void a_round_coil_is_the_textbooks(void **state)
{
    (void)state;
    const ll_wire wire = gauge(40);
    ll_winding_plan plan;
    assert_ok(ll_plan_turns(&round_one, 5000, &wire, 1, 20, &plan));
    const double build = 5000 * wire.outside_m * wire.outside_m / 0.03;
    assert_relative(plan.build_m, build, 1e-12);
    assert_relative(plan.wire_m, LL_PI * 5000 * (0.02 + 0.02 + 2 * build) / 2, 1e-12);
    assert_relative(plan.dcr_ohm,
                    plan.wire_m * 1.7241e-8 / (0.25 * LL_PI * wire.bare_m * wire.bare_m), 1e-12);
    assert_relative(plan.layers, 5000 / plan.per_layer, 1e-12);
    assert_close(plan.per_layer, floor(0.03 / wire.outside_m), 0);
    assert_relative(plan.outer_x_m, 0.02 + 2 * build, 1e-12);
}

/* Inner turns are shorter: of an area that grows evenly, a quarter of the turns has q / 4 of the length of turns at q / 8 of the depth. */
static void half_of_the_turns_has_less_than_half_of_the_resistance(void **state)
{
    (void)state;
    const ll_wire wire = gauge(42);
    ll_winding_plan plan;
    assert_ok(ll_plan_turns(&round_one, 9000, &wire, 0.8, 20, &plan));
    const double step = ll_wire_ohm_per_m(wire.bare_m, 20) * 9000 * LL_PI;
    assert_relative(plan.quarter_ohm, step / 4 * (0.02 + plan.build_m / 4), 1e-9);
    assert_relative(plan.half_ohm, step / 2 * (0.02 + plan.build_m / 2), 1e-9);
    assert_relative(plan.three_quarters_ohm, step * 3 / 4 * (0.02 + plan.build_m * 3 / 4), 1e-9);
    assert_relative(plan.dcr_ohm, step * (0.02 + plan.build_m), 1e-9);
}

/* About 20 to 35 g of pull for AWG 42 and 13 to 20 for 44 are wound with (common practice, no source): below yield, not far from it. */
static void the_wire_bears_what_winders_pull(void **state)
{
    (void)state;
    const ll_wire thin = gauge(44), usual = gauge(42);
    ll_winding_plan plan;
    assert_ok(ll_plan_turns(&single, 7000, &usual, 0.8, 20, &plan));
    assert_true(plan.most_n > 0.15 && plan.most_n < 0.4);
    const double of_usual = plan.most_n;
    assert_ok(ll_plan_turns(&single, 7000, &thin, 0.8, 20, &plan));
    assert_relative(plan.most_n / of_usual, pow(thin.bare_m / usual.bare_m, 2), 1e-12);
}

static void turns_from_ohms_and_from_grams_undo_the_plan(void **state)
{
    (void)state;
    const ll_wire wire = gauge(43);
    ll_winding_plan plan, back;
    assert_ok(ll_plan_turns(&single, 8123, &wire, 0.75, 25, &plan));
    assert_ok(ll_plan_resistance(&single, plan.dcr_ohm, &wire, 0.75, 25, &back));
    assert_relative(back.turns, 8123, 1e-9);
    assert_ok(ll_plan_weight(&single, plan.weight_kg, &wire, 0.75, 25, &back));
    assert_relative(back.turns, 8123, 1e-9);
    assert_relative(plan.filled, plan.build_m / single.build_m, 1e-12);
}

static void plans_that_cannot_be_are_refused(void **state)
{
    (void)state;
    const ll_wire wire = gauge(42);
    ll_winding_plan plan = {.turns = 7};
    ll_coil_shape flat = single;
    flat.height_m = 0;
    assert_int_equal(ll_plan_turns(&flat, 5000, &wire, 0.8, 20, &plan), LL_BAD_SIZE);
    assert_int_equal(ll_plan_turns(&single, 0, &wire, 0.8, 20, &plan), LL_BAD_VALUE);
    assert_int_equal(ll_plan_turns(&single, 2e6, &wire, 0.8, 20, &plan), LL_BAD_VALUE);
    assert_int_equal(ll_plan_turns(&single, 5000, &wire, 1.2, 20, &plan), LL_BAD_VALUE);
    assert_int_equal(ll_plan_turns(&single, 5000, &wire, NAN, 20, &plan), LL_BAD_VALUE);
    assert_int_equal(ll_plan_turns(&single, 5000, &wire, 0.8, -300, &plan), LL_BAD_VALUE);
    assert_int_equal(ll_plan_resistance(&single, 0, &wire, 0.8, 20, &plan), LL_BAD_VALUE);
    assert_int_equal(ll_plan_resistance(&single, 1e12, &wire, 0.8, 20, &plan), LL_BAD_VALUE);
    assert_int_equal(ll_plan_weight(&single, NAN, &wire, 0.8, 20, &plan), LL_BAD_VALUE);
    assert_true(plan.turns == 7);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wire_weighs_and_resists_as_the_handbook_has_it),
        cmocka_unit_test(a_round_coil_is_the_textbooks),
        cmocka_unit_test(half_of_the_turns_has_less_than_half_of_the_resistance),
        cmocka_unit_test(the_wire_bears_what_winders_pull),
        cmocka_unit_test(turns_from_ohms_and_from_grams_undo_the_plan),
        cmocka_unit_test(plans_that_cannot_be_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
