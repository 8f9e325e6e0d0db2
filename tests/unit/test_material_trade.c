/* test_material_trade.c - names that the trade has for the rows of the tables.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "material/material.h"
#include "material/tables.h"

#include <string.h>

static void assert_means(const char *name, const char *row)
{
    ll_material *m;
    if (ll_material_named(name, &m) != LL_OK)
        fail_msg("'%s' is not understood", name);
    assert_string_equal(ll_material_name(m), row);
    ll_material_free(m);
}

/* MMPA Standard 0100-00 has "ceramic 1 .. 11" and "alnico 1 .. 9" (from memory); the rest is common practice, no source. */
static void trade_names_mean_a_row(void **state)
{
    (void)state;
    static const char *const meant[][2] = {
        {"Alnico V", "AlNiCo 5"},
        {"alnico-II", "AlNiCo 2"},
        {"A5", "AlNiCo 5"},
        {"a3", "AlNiCo 3"},
        {"Alnico VIII", "AlNiCo 8"},
        {"ceramic 8", "ferrite C8"},
        {"Ceramic C5", "ferrite C5"},
        {"ceramic 8B", "ferrite C8B"},
        {"C8", "ferrite C8"},
        {"ferrite 5", "ferrite C5"},
        {"Y30BH", "ferrite Y30BH"},
        {"neo N35", "NdFeB N35"},
        {"neodymium n52", "NdFeB N52"},
        {"N42", "NdFeB N42"},
        {"neo 42", "NdFeB N42"},
        {"German silver", "nickel silver"},
        {"aluminum", "aluminium"},
        {"stainless steel 430", "stainless 430"},
        {"AISI 1010", "steel 1010"},
        {"AISI 416", "stainless 416"},
        {"piano wire", "music wire"},
        {"samarium cobalt 2-17", "Sm2Co17"},
    };
    for (size_t i = 0; i < LL_COUNT_OF(meant); i++)
        assert_means(meant[i][0], meant[i][1]);
}

static void every_whole_name_of_the_list_means_a_row(void **state)
{
    (void)state;
    for (size_t i = 0; i < ll_trade.name_count; i++)
        assert_means(ll_trade.names[i].name, ll_trade.names[i].means);
}

static void every_beginning_of_the_list_is_of_use(void **state)
{
    (void)state;
    for (size_t i = 0; i < ll_trade.beginning_count; i++) {
        const ll_trade_name *b = &ll_trade.beginnings[i];
        const size_t length = strlen(b->means);
        bool used = false;
        for (size_t k = 0; k < ll_material_row_count(); k++)
            used |= strncmp(ll_material_row_at(k)->name, b->means, length) == 0;
        if (!used)
            fail_msg("no row begins with '%s'", b->means);
    }
}

static void a_name_that_may_be_several_rows_is_asked_back(void **state)
{
    (void)state;
    ll_material *m = NULL;
    for (size_t i = 0; i < ll_trade.unclear_count; i++) {
        assert_int_equal(ll_material_named(ll_trade.unclear[i].name, &m), LL_UNKNOWN_NAME);
        assert_string_equal(ll_material_which(ll_trade.unclear[i].name), ll_trade.unclear[i].means);
    }
    assert_non_null(ll_material_which("Iron"));
    assert_null(ll_material_which("brass"));
    assert_null(ll_material_which(NULL));
}

static void a_grade_that_is_not_there_is_not_another_grade(void **state)
{
    (void)state;
    static const char *const unknown[] = {"alnico 9", "ceramic 12", "N99", "neo",
                                          "A",        "C",          "N",   "stainless 999"};
    ll_material *m = NULL;
    for (size_t i = 0; i < LL_COUNT_OF(unknown); i++)
        assert_int_equal(ll_material_named(unknown[i], &m), LL_UNKNOWN_NAME);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(trade_names_mean_a_row),
        cmocka_unit_test(every_whole_name_of_the_list_means_a_row),
        cmocka_unit_test(every_beginning_of_the_list_is_of_use),
        cmocka_unit_test(a_name_that_may_be_several_rows_is_asked_back),
        cmocka_unit_test(a_grade_that_is_not_there_is_not_another_grade),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
