/* Texts beside a drawing: lengths as they are written, places that do not run into each other.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "picture/dimension.h"
#include <math.h>

static void lengths_are_written_to_a_hundredth_without_empty_digits(void **state)
{
    (void)state;
    static const struct {
        double mm;
        const char *text;
    } rows[] = {{10.2, "10.2"},
                {73, "73"},
                {-2.004, "\xe2\x88\x92"
                         "2"},
                {-0.001, "0"},
                {0.126, "0.13"}};
    char text[32];
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        picture_length_text(rows[i].mm, text, sizeof text);
        assert_string_equal(text, rows[i].text);
    }
}

static void levels_rise_and_near_ones_are_one(void **state)
{
    (void)state;
    static const double values[] = {1, -17, 0, 1.02, -6, 0};
    picture_levels levels = {0};
    for (size_t i = 0; i < sizeof values / sizeof *values; i++)
        picture_level_add(&levels, values[i]);
    assert_int_equal(levels.count, 4);
    for (size_t i = 1; i < levels.count; i++)
        assert_true(levels.value_mm[i] > levels.value_mm[i - 1]);
}

static void more_levels_than_there_is_room_for_are_left_out(void **state)
{
    (void)state;
    picture_levels levels = {0};
    for (int i = 0; i < 100; i++)
        picture_level_add(&levels, i);
    assert_int_equal(levels.count, PICTURE_MOST_LEVELS);
}

static void crowded_places_move_apart_about_their_middle(void **state)
{
    (void)state;
    double at[] = {10, 10, 10.5, 40};
    picture_spread(4, at, 3);
    for (int i = 1; i < 4; i++)
        assert_true(at[i] - at[i - 1] >= 3 - 0.02);
    assert_close((at[0] + at[1] + at[2]) / 3, 30.5 / 3, 0.05);
    assert_close(at[3], 40, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lengths_are_written_to_a_hundredth_without_empty_digits),
        cmocka_unit_test(levels_rise_and_near_ones_are_one),
        cmocka_unit_test(more_levels_than_there_is_room_for_are_left_out),
        cmocka_unit_test(crowded_places_move_apart_about_their_middle),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
