/* test_hysteresis.c - the law by which a magnet takes and loses charge.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "material/hysteresis.h"

#include <math.h>

static const char *const grades[] = {"AlNiCo 2", "AlNiCo 3",     "AlNiCo 4",     "AlNiCo 5",
                                     "AlNiCo 8", "AlNiCo LNG37", "AlNiCo LNG40", "AlNiCo LNG44"};
enum { GRADES = sizeof grades / sizeof *grades };

static const ll_turns full = {1, {HUGE_VAL}};

static ll_material *named(const char *name)
{
    ll_material *m;
    assert_ok(ll_material_named(name, &m));
    return m;
}

static ll_hysteresis *loop_of(const char *name, double coercivity)
{
    ll_material *m = named(name);
    ll_hysteresis *l;
    assert_ok(ll_hysteresis_new(m, coercivity, &l));
    ll_material_free(m);
    return l;
}

/* The curves are those of FEMM 4.2's material library, see magnet_curves.c; the last point in use is B = 0. */
static void a_charged_magnet_follows_its_curve_exactly(void **state)
{
    (void)state;
    for (int g = 0; g < GRADES; g++) {
        ll_material *m = named(grades[g]);
        ll_hysteresis *l = loop_of(grades[g], 0);
        for (int i = 0; i <= 200; i++) {
            double b, slope, own;
            const double h = -0.005 * i * ll_hysteresis_coercivity_a_m(l);
            ll_material_b(m, h, &b, &slope);
            assert_close(ll_hysteresis_b(l, &full, h, &own), b, 1e-12);
            if (i > 0)
                assert_relative(own, slope, 1e-6);
        }
        ll_hysteresis_free(l);
        ll_material_free(m);
    }
}

/* Newton's method leans on it: with any past B rises with H, at least as in vacuum, and the slope is its derivative. */
static void b_rises_with_h_whatever_the_past(void **state)
{
    (void)state;
    static const ll_turns past[] = {
        {0, {0}}, {1, {HUGE_VAL}}, {1, {40e3}}, {2, {60e3, -45e3}}, {3, {-90e3, 50e3, -30e3}}};
    for (int g = 0; g < GRADES; g++) {
        ll_hysteresis *l = loop_of(grades[g], 0);
        for (int p = 0; p < 5; p++)
            for (double h = -300.05e3; h < 300e3; h += 0.1e3) {
                double slope, after;
                const double b = ll_hysteresis_b(l, &past[p], h, &slope);
                const double next = ll_hysteresis_b(l, &past[p], h + 1, &after);
                assert_true(next - b > 0.99 * LL_MU0);
                assert_true(isfinite(b) && slope > 0.99 * LL_MU0);
                assert_true(fabs(next - b - 0.5 * (slope + after)) <
                            1e-3 * (next - b) + 0.5 * fabs(after - slope) + 1e-12);
            }
        ll_hysteresis_free(l);
    }
}

/* E. P. Wohlfarth, J. Appl. Phys. 29 (1958) 595: remanence of the virgin magnet after h, R(h), and of the charged one knocked back by
 * h, D(h): D = R(inf) - 2 R. */
static void virgin_and_charged_remanence_obey_wohlfarth(void **state)
{
    (void)state;
    static const ll_turns virgin = {0, {0}};
    ll_hysteresis *l = loop_of("AlNiCo 5", 0);
    for (double h = 5e3; h < 200e3; h += 5e3) {
        ll_turns up = virgin, down = full;
        ll_hysteresis_turn(l, &up, h);
        ll_hysteresis_turn(l, &down, -h);
        const double jr = ll_hysteresis_b(l, &full, 0, NULL);
        assert_close(ll_hysteresis_b(l, &down, 0, NULL), jr - 2 * ll_hysteresis_b(l, &up, 0, NULL),
                     1e-12);
        assert_close(ll_hysteresis_b(l, &up, 0, NULL), jr * ll_hysteresis_charge(l, &virgin, h),
                     1e-12);
    }
    ll_hysteresis_free(l);
}

/* Of an alternating field that falls by a twentieth each time remains, as of any alternating series, no more than its largest step:
 * the grains that switch between two turns. */
static void a_falling_alternating_field_takes_the_charge(void **state)
{
    (void)state;
    for (int g = 0; g < GRADES; g++) {
        ll_hysteresis *l = loop_of(grades[g], 0);
        ll_turns t = full;
        double step = 0, before = 1;
        for (double h = 4 * ll_hysteresis_coercivity_a_m(l), sign = -1; t.n < 60;
             h *= 0.95, sign = -sign) {
            const double p = ll_hysteresis_switched(l, h, NULL);
            step = fmax(step, before - p);
            before = p;
            ll_hysteresis_turn(l, &t, sign * h);
        }
        assert_true(fabs(ll_hysteresis_charge(l, &t, 0)) <= step + before);
        assert_true(fabs(ll_hysteresis_charge(l, &full, 0)) > 0.999);
        ll_hysteresis_free(l);
    }
}

/* Minor loops close, and a larger field wipes smaller turns out (I. D. Mayergoyz, Phys. Rev. Lett. 56 (1986) 1518). */
static void minor_loops_close_and_larger_fields_wipe_them_out(void **state)
{
    (void)state;
    ll_hysteresis *l = loop_of("AlNiCo 2", 0);
    ll_turns t = full;
    ll_hysteresis_turn(l, &t, -42e3);
    const ll_turns before = t;
    const double b = ll_hysteresis_b(l, &t, -42e3, NULL);
    ll_hysteresis_turn(l, &t, 30e3);
    ll_hysteresis_turn(l, &t, -42e3);
    assert_close(ll_hysteresis_b(l, &t, -42e3, NULL), b, 1e-12);
    ll_turns small = before;
    ll_hysteresis_turn(l, &small, 20e3);
    ll_hysteresis_turn(l, &small, -10e3);
    ll_hysteresis_turn(l, &small, -60e3);
    ll_turns large = full;
    ll_hysteresis_turn(l, &large, -60e3);
    assert_int_equal(small.n, large.n);
    assert_close(small.at_a_m[1], -60e3, 0);
    ll_hysteresis_free(l);
}

/* MMPA 0100-00 (from memory): fields that magnetise to the full are 240 kA/m for AlNiCo 2 and 5, 640 kA/m for AlNiCo 8; and common practice,
 * no source: three to five times the coercive field. At these the law must be within 6 % of full, and at the coercive field, where
 * half the grains have switched, near half. */
static void the_trades_charging_fields_charge_to_the_full(void **state)
{
    (void)state;
    static const struct {
        const char *grade;
        double full_h;
    } row[] = {{"AlNiCo 2", 240e3}, {"AlNiCo 5", 240e3}, {"AlNiCo 8", 640e3}};
    static const ll_turns virgin = {0, {0}};
    for (int i = 0; i < 3; i++) {
        ll_hysteresis *l = loop_of(row[i].grade, 0);
        const double hc = ll_hysteresis_coercivity_a_m(l);
        assert_true(ll_hysteresis_charge(l, &virgin, row[i].full_h) > 0.96);
        assert_true(ll_hysteresis_charge(l, &virgin, 3 * hc) > 0.94);
        assert_true(ll_hysteresis_charge(l, &virgin, 5 * hc) > 0.96);
        assert_close(ll_hysteresis_charge(l, &virgin, hc), 0.5, 1e-6);
        assert_true(ll_hysteresis_charge(l, &virgin, 0.5 * hc) < 0.2);
        ll_hysteresis_free(l);
    }
}

static void a_straight_law_switches_at_the_coercive_field_that_it_is_given(void **state)
{
    (void)state;
    static const ll_turns virgin = {0, {0}};
    ll_hysteresis *l = loop_of("ferrite C8", 231e3);
    ll_material *m = named("ferrite C8");
    double b;
    ll_material_b(m, -100e3, &b, NULL);
    assert_close(ll_hysteresis_b(l, &full, -100e3, NULL), b, 3e-4);
    assert_true(ll_hysteresis_charge(l, &virgin, 800e3) > 0.999);
    assert_true(ll_hysteresis_charge(l, &virgin, 100e3) < 0.001);
    assert_close(ll_hysteresis_charge(l, &virgin, 231e3), 0.5, 1e-12);
    ll_hysteresis *none = NULL;
    assert_int_equal(ll_hysteresis_new(m, 0, &none), LL_BAD_VALUE);
    assert_int_equal(ll_hysteresis_new(m, NAN, &none), LL_BAD_VALUE);
    ll_material *iron = named("steel 1010");
    assert_int_equal(ll_hysteresis_new(iron, 1e3, &none), LL_BAD_VALUE);
    assert_null(none);
    ll_material_free(iron);
    ll_material_free(m);
    ll_hysteresis_free(l);
}

/* More turns than there is room for: they still fall in size and alternate, and a larger field still wipes all. */
static void too_many_turns_forget_those_that_are_nearest(void **state)
{
    (void)state;
    ll_hysteresis *l = loop_of("AlNiCo 3", 0);
    ll_turns t = full;
    for (int i = 0; i < 100; i++)
        ll_hysteresis_turn(l, &t, (i % 2 ? 1 : -1) * (100e3 - 500 * i));
    assert_true(t.n >= LL_TURNS_MOST - 2 && t.n <= LL_TURNS_MOST);
    for (int k = 1; k < t.n; k++)
        assert_true(fabs(t.at_a_m[k]) < fabs(t.at_a_m[k - 1]) && t.at_a_m[k] * t.at_a_m[k - 1] < 0);
    assert_close(fabs(t.at_a_m[t.n - 1]), 50.5e3, 0);
    ll_hysteresis_turn(l, &t, -200e3);
    assert_int_equal(t.n, 2);
    ll_hysteresis_free(l);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_charged_magnet_follows_its_curve_exactly),
        cmocka_unit_test(b_rises_with_h_whatever_the_past),
        cmocka_unit_test(virgin_and_charged_remanence_obey_wohlfarth),
        cmocka_unit_test(a_falling_alternating_field_takes_the_charge),
        cmocka_unit_test(minor_loops_close_and_larger_fields_wipe_them_out),
        cmocka_unit_test(the_trades_charging_fields_charge_to_the_full),
        cmocka_unit_test(a_straight_law_switches_at_the_coercive_field_that_it_is_given),
        cmocka_unit_test(too_many_turns_forget_those_that_are_nearest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
