/* test_material_tables.c - names, and what holds for every row of the tables.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "material/material.h"

#include <string.h>

static void names_are_found_without_regard_to_case_spaces_and_hyphens(void **state)
{
    (void)state;
    static const char *const same[][2] = {
        {"AlNiCo 5", "AlNiCo 5"},     {"alnico5", "AlNiCo 5"},
        {"ALNICO-5", "AlNiCo 5"},     {" AlNiCo  5 ", "AlNiCo 5"},
        {"Ferrite c8", "ferrite C8"}, {"ndfeb n42", "NdFeB N42"},
        {"Steel 1010", "steel 1010"}, {"nickel-silver", "nickel silver"},
        {"NICKEL", "nickel"},         {"music_wire", "music wire"},
    };
    for (size_t i = 0; i < sizeof same / sizeof same[0]; i++) {
        ll_material *m;
        assert_ok(ll_material_named(same[i][0], &m));
        assert_string_equal(ll_material_name(m), same[i][1]);
        ll_material_free(m);
    }
}

static void unknown_names_are_refused(void **state)
{
    (void)state;
    static const char *const unknown[] = {"",           " ",        "AlNiCo",     "AlNiCo 55",
                                          "unobtanium", "nickel s", "steel1010x", "AlNiCo\t5"};
    ll_material *m = NULL;
    for (size_t i = 0; i < sizeof unknown / sizeof unknown[0]; i++)
        assert_int_equal(ll_material_named(unknown[i], &m), LL_UNKNOWN_NAME);
    assert_int_equal(ll_material_named(NULL, &m), LL_UNKNOWN_NAME);
    assert_null(m);
}

static void every_material_of_the_trade_is_in_the_tables(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        ll_material_class kind;
    } needed[] = {
        {"AlNiCo 2", LL_MAGNET},     {"AlNiCo 3", LL_MAGNET},         {"AlNiCo 4", LL_MAGNET},
        {"AlNiCo 5", LL_MAGNET},     {"AlNiCo 8", LL_MAGNET},         {"ferrite C1", LL_MAGNET},
        {"ferrite C5", LL_MAGNET},   {"ferrite C7", LL_MAGNET},       {"ferrite C8", LL_MAGNET},
        {"ferrite Y30", LL_MAGNET},  {"NdFeB N35", LL_MAGNET},        {"NdFeB N38", LL_MAGNET},
        {"NdFeB N40", LL_MAGNET},    {"NdFeB N42", LL_MAGNET},        {"NdFeB N45", LL_MAGNET},
        {"NdFeB N48", LL_MAGNET},    {"NdFeB N50", LL_MAGNET},        {"NdFeB N52", LL_MAGNET},
        {"SmCo5", LL_MAGNET},        {"Sm2Co17", LL_MAGNET},          {"steel 1006", LL_STEEL},
        {"steel 1010", LL_STEEL},    {"steel 1018", LL_STEEL},        {"steel 1020", LL_STEEL},
        {"pure iron", LL_STEEL},     {"stainless 416", LL_STEEL},     {"stainless 430", LL_STEEL},
        {"brass", LL_CONDUCTOR},     {"nickel silver", LL_CONDUCTOR}, {"copper", LL_CONDUCTOR},
        {"aluminium", LL_CONDUCTOR}, {"zinc alloy", LL_CONDUCTOR},    {"music wire", LL_STEEL},
        {"nickel", LL_STEEL},        {"stainless string", LL_STEEL},
    };
    for (size_t i = 0; i < sizeof needed / sizeof needed[0]; i++) {
        ll_material *m;
        assert_ok(ll_material_named(needed[i].name, &m));
        assert_int_equal(ll_material_kind(m), needed[i].kind);
        ll_material_free(m);
    }
}

/* Rows list what the material made from them answers. */
static void every_row_says_what_its_material_does(void **state)
{
    (void)state;
    assert_null(ll_material_row_at(ll_material_row_count()));
    for (size_t i = 0; i < ll_material_row_count(); i++) {
        const ll_material_row *row = ll_material_row_at(i);
        ll_material *m;
        assert_ok(ll_material_named(row->name, &m));
        assert_ptr_equal(ll_material_name(m), row->name);
        assert_close(ll_material_remanence_t(m), row->remanence_t, 0);
        assert_close(ll_material_conductivity_s_m(m), row->conductivity_s_m, 0);
        /* Four figures of the initial slope are listed. */
        assert_relative(ll_material_mu_r(m), row->mu_r, 3e-4);
        assert_int_equal(ll_material_kind(m) == LL_MAGNET, strcmp(row->group, "magnet") == 0);
        assert_int_equal(ll_material_kind(m) == LL_CONDUCTOR, strcmp(row->group, "conductor") == 0);
        assert_true(strstr(row->source, "READ") || strstr(row->source, "from memory"));
        assert_non_null(row->note);
        ll_material_free(m);
    }
}

/* The coercive field of a curved magnet is where its B vanishes. */
static void curved_magnets_reach_zero_at_their_listed_coercive_field(void **state)
{
    (void)state;
    for (size_t i = 0; i < ll_material_row_count(); i++) {
        const ll_material_row *row = ll_material_row_at(i);
        ll_material *m;
        assert_ok(ll_material_named(row->name, &m));
        if (ll_material_kind(m) == LL_MAGNET && !ll_material_is_linear(m)) {
            double b;
            ll_material_b(m, -row->coercivity_a_m, &b, NULL);
            assert_close(b, 0, 1e-9);
        }
        ll_material_free(m);
    }
}

/* B rises strictly, and its stated slope is the difference quotient, at 4000 fields of each material. */
static void every_law_rises_and_its_slope_is_its_derivative(void **state)
{
    (void)state;
    for (size_t i = 0; i < ll_material_row_count(); i++) {
        ll_material *m;
        assert_ok(ll_material_named(ll_material_row_at(i)->name, &m));
        double last = -HUGE_VAL;
        for (int k = -2000; k <= 2000; k++) {
            /* From 0.3 A/m to 400 kA/m both ways, off the points of the curves. */
            const double u = (k + 0.137) / 2000.0, h = copysign(expm1(14.1 * fabs(u)) * 0.3, u);
            const double step = 1e-6 * fabs(h) + 1e-6;
            double b, slope, below, above;
            ll_material_b(m, h, &b, &slope);
            ll_material_b(m, h - step, &below, NULL);
            ll_material_b(m, h + step, &above, NULL);
            assert_true(b > last && slope >= 0.985 * LL_MU0);
            /* A kink within the step shifts the quotient by no more than the curve bends there. */
            assert_close((above - below) / (2 * step), slope, 2e-3 * slope + 1e-15 / step);
            last = b;
        }
        ll_material_free(m);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_are_found_without_regard_to_case_spaces_and_hyphens),
        cmocka_unit_test(unknown_names_are_refused),
        cmocka_unit_test(every_material_of_the_trade_is_in_the_tables),
        cmocka_unit_test(every_row_says_what_its_material_does),
        cmocka_unit_test(curved_magnets_reach_zero_at_their_listed_coercive_field),
        cmocka_unit_test(every_law_rises_and_its_slope_is_its_derivative),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
