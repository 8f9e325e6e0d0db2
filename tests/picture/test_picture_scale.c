/* Places, ranges and ticks of axes. What is asserted are the rules themselves: ticks at 1, 2 and 5 times powers of ten
 * (common practice of graph paper), places linear in the value or in its logarithm.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "picture/scale.h"
#include <string.h>

static void linear_values_go_to_their_share_of_the_axis(void **state)
{
    (void)state;
    const picture_scale scale = {.from = -40, .to = 40, .from_mm = 20, .to_mm = 180};
    assert_close(picture_place(&scale, -40), 20, 1e-12);
    assert_close(picture_place(&scale, 0), 100, 1e-12);
    assert_close(picture_place(&scale, 60), 220, 1e-12);
}

static void decades_are_equally_long_on_a_logarithmic_axis(void **state)
{
    (void)state;
    const picture_scale scale = {.from = 20, .to = 20000, .from_mm = 0, .to_mm = 90, .log = true};
    assert_close(picture_place(&scale, 200), 30, 1e-9);
    assert_close(picture_place(&scale, 2000), 60, 1e-9);
    assert_true(isnan(picture_place(&scale, -1)));
}

static void a_y_axis_runs_upwards_on_a_sheet_that_runs_downwards(void **state)
{
    (void)state;
    const picture_scale scale = {.from = 0, .to = 10, .from_mm = 100, .to_mm = 20};
    assert_close(picture_place(&scale, 2.5), 80, 1e-12);
}

static void ranges_grow_to_round_values(void **state)
{
    (void)state;
    static const struct {
        bool log;
        double low, high, from, to;
    } rows[] = {
        {false, -0.3, 93, 0 - 20, 100},  {false, 0, 392, 0, 400},
        {false, 1e-12, 9e-12, 0, 1e-11}, {true, 82.4, 3550, 50, 5000},
        {true, 20, 20000, 20, 20000},    {true, 5, 5, 5, 10},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        picture_scale scale = {.log = rows[i].log};
        picture_scale_fit(&scale, rows[i].low, rows[i].high);
        assert_close(scale.from, rows[i].from, 1e-9 * rows[i].to);
        assert_close(scale.to, rows[i].to, 1e-9 * rows[i].to);
    }
}

static void a_range_of_one_value_becomes_one_around_it(void **state)
{
    (void)state;
    static const double values[] = {0, 7, -3e-9, 1e12};
    for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
        picture_scale scale = {0};
        picture_scale_fit(&scale, values[i], values[i]);
        assert_true(scale.from < values[i] && values[i] < scale.to);
    }
}

/* Ticks as one text: labelled ones in full, others as a dot. */
static void join_ticks(const picture_scale *scale, double wanted, char *text, size_t size)
{
    picture_tick ticks[PICTURE_MOST_TICKS];
    char one[32];
    size_t count = picture_ticks(scale, wanted, ticks);
    double step = scale->log ? 0 : picture_step(scale->to - scale->from, wanted, scale->degrees);
    *text = '\0';
    for (size_t i = 0; i < count; i++) {
        picture_tick_text(ticks[i].value, step, one, sizeof one);
        strncat(text, ticks[i].labelled ? one : ".", size - strlen(text) - 1);
        strncat(text, i + 1 < count ? " " : "", size - strlen(text) - 1);
    }
}

static void ticks_stand_at_round_values_and_carry_no_more_digits_than_they_need(void **state)
{
    (void)state;
    static const struct {
        picture_scale scale;
        double wanted;
        const char *ticks;
    } rows[] = {
        {{.from = 0, .to = 1}, 5, "0.0 0.2 0.4 0.6 0.8 1.0"},
        {{.from = -20, .to = 100},
         6,
         "\xe2\x88\x92"
         "20 0 20 40 60 80 100"},
        {{.from = -180, .to = 0, .degrees = true},
         4,
         "\xe2\x88\x92"
         "180 \xe2\x88\x92"
         "135 \xe2\x88\x92"
         "90 \xe2\x88\x92"
         "45 0"},
        {{.from = 500, .to = 2000, .log = true}, 6, "500 . . . . 1k 2k"},
        {{.from = 1, .to = 1e6, .log = true}, 3, "1 . 100 . 10k . 1M"},
    };
    char text[400];
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        join_ticks(&rows[i].scale, rows[i].wanted, text, sizeof text);
        assert_string_equal(text, rows[i].ticks);
    }
}

static void no_range_gives_too_many_ticks(void **state)
{
    (void)state;
    picture_tick ticks[PICTURE_MOST_TICKS];
    const picture_scale wide = {.from = 1e-300, .to = 1e300, .log = true};
    const picture_scale thin = {.from = 1e15, .to = 1e15 + 1};
    assert_true(picture_ticks(&wide, 5, ticks) <= PICTURE_MOST_TICKS);
    assert_true(picture_ticks(&thin, 1e6, ticks) <= PICTURE_MOST_TICKS);
}

/* Steps are 1, 2 and 5 times a power of ten, the next at or above the range over the number wanted. */
static void steps_are_the_usual_ones(void **state)
{
    (void)state;
    assert_close(picture_step(9, 10, false), 1, 1e-12);
    assert_close(picture_step(15, 10, false), 2, 1e-12);
    assert_close(picture_step(40, 10, false), 5, 1e-12);
    assert_close(picture_step(60, 10, false), 10, 1e-12);
    assert_close(picture_step(0.04, 10, false), 0.005, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(steps_are_the_usual_ones),
        cmocka_unit_test(linear_values_go_to_their_share_of_the_axis),
        cmocka_unit_test(decades_are_equally_long_on_a_logarithmic_axis),
        cmocka_unit_test(a_y_axis_runs_upwards_on_a_sheet_that_runs_downwards),
        cmocka_unit_test(ranges_grow_to_round_values),
        cmocka_unit_test(a_range_of_one_value_becomes_one_around_it),
        cmocka_unit_test(ticks_stand_at_round_values_and_carry_no_more_digits_than_they_need),
        cmocka_unit_test(no_range_gives_too_many_ticks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
