/* test_profile.c - the transform of a profile along the string, against the same integral step by step.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "string/profile.h"

enum { POINTS = 6, STEPS = 200000 };
static const double at[POINTS] = {-0.02, 0, 0.01, 0.03, 0.035, 0.06};
static const double value[POINTS] = {1, 3, -2, 0.5, 0.5, 4};

static double linear_at(double y)
{
    for (int i = 1; i < POINTS; i++)
        if (y >= at[i - 1] && y <= at[i])
            return value[i - 1] + (value[i] - value[i - 1]) * (y - at[i - 1]) / (at[i] - at[i - 1]);
    return 0;
}

/* Integral of value(y) exp(i k y) from 0 to the length, by midpoints. */
static double complex by_steps(double length_m, double wave_per_m)
{
    double complex sum = 0;
    const double step = length_m / STEPS;
    for (int i = 0; i < STEPS; i++) {
        const double y = (i + 0.5) * step;
        sum += linear_at(y) * cexp(I * wave_per_m * y) * step;
    }
    return sum;
}

/* Waves from none at all to several within a piece; lengths that cut a piece, and one beyond the last point. */
static void a_transform_is_the_integral_with_the_wave(void **state)
{
    (void)state;
    static const double wave[] = {0, 1, 40, 300, 1500}, length[] = {0.025, 0.03, 0.05, 0.1};
    for (int k = 0; k < 5; k++)
        for (int l = 0; l < 4; l++) {
            const double complex found =
                ll_profile_transform(POINTS, at, value, length[l], wave[k]);
            assert_true(cabs(found - by_steps(length[l], wave[k])) <
                        3e-6); /* a value at the profile's end times half a step */
        }
}

/* The profile is straight between its points, so that one more on a straight piece is none. */
static void points_on_a_straight_piece_change_nothing(void **state)
{
    (void)state;
    static const double more_at[] = {0, 0.004, 0.01}, fewer_at[] = {0, 0.01};
    static const double more[] = {1, 1.8, 3}, fewer[] = {1, 3};
    const double complex a = ll_profile_transform(3, more_at, more, 1, 777),
                         b = ll_profile_transform(2, fewer_at, fewer, 1, 777);
    assert_true(cabs(a - b) < 1e-15);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_transform_is_the_integral_with_the_wave),
        cmocka_unit_test(points_on_a_straight_piece_change_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
