/* check.h - what every test file shares: cmocka and a comparison of doubles with a stated tolerance.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_TESTS_CHECK_H
#define LL_TESTS_CHECK_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

/* |actual - expected| <= tolerance; a NaN fails. */
#define assert_close(actual, expected, tolerance)                                                  \
    check_close((actual), (expected), (tolerance), #actual, __FILE__, __LINE__)

/* The same with the tolerance as a fraction of the expected value. */
#define assert_relative(actual, expected, fraction)                                                \
    check_close((actual), (expected), (fraction)*fabs((double)(expected)), #actual, __FILE__,      \
                __LINE__)

#define assert_ok(call) assert_int_equal((call), LL_OK)

static inline void check_close(double actual, double expected, double tolerance, const char *what,
                               const char *file, int line)
{
    if (fabs(actual - expected) <= tolerance)
        return;
    print_error("%s = %.10g, expected %.10g within %.3g\n", what, actual, expected, tolerance);
    _fail(file, line);
}

#endif
