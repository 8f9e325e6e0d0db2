/* test_dense.c - vector loops against sums by hand, the Cholesky factor against its own definition.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* dladdr */
#include "base/dense.h"
#include "base/factor.h"
#include "check.h"
#include <dlfcn.h>
#include <gsl/gsl_cblas.h>
#include <gsl/gsl_errno.h>
#include <stdlib.h>
#include <string.h>

/* Lengths around those of vector registers, so that every remainder of a loop is met. */
enum { MOST = 67 };
static const size_t lengths[] = {0, 1, 2, 3, 4, 7, 8, 9, 15, 16, 17, 33, 64, MOST};
#define LENGTHS (sizeof lengths / sizeof lengths[0])

static double value(size_t i)
{
    return sin(1.7 * (double)i) + 0.3;
}

static void dot_add_and_scale_match_plain_sums(void **state)
{
    (void)state;
    for (size_t l = 0; l < LENGTHS; l++) {
        const size_t n = lengths[l];
        double a[MOST + 1], b[MOST + 1], sum = 0;
        for (size_t i = 0; i <= n; i++) {
            a[i] = value(i);
            b[i] = value(i + 100);
        }
        for (size_t i = 0; i < n; i++)
            sum += a[i] * b[i];
        assert_close(ll_dense_dot(n, a, b), sum, 1e-13);
        ll_dense_add(n, -2.5, a, b);
        ll_dense_scale(n, 3, a);
        for (size_t i = 0; i < n; i++) {
            assert_close(b[i], value(i + 100) - 2.5 * value(i), 1e-14);
            assert_close(a[i], 3 * value(i), 1e-14);
        }
        assert_close(a[n], value(n), 0); /* nothing beyond the end */
        assert_close(b[n], value(n + 100), 0);
    }
}

static void product_adds_matrix_times_vector(void **state)
{
    (void)state;
    static const size_t sizes[][2] = {{1, 1}, {3, 5}, {5, 3}, {1, 17}, {17, 1}, {4, 0}, {9, 33}};
    for (size_t c = 0; c < sizeof sizes / sizeof sizes[0]; c++) {
        const size_t rows = sizes[c][0], columns = sizes[c][1];
        double m[400], x[40], y[20];
        for (size_t i = 0; i < rows * columns; i++)
            m[i] = value(i);
        for (size_t j = 0; j < columns; j++)
            x[j] = value(j + 31);
        for (size_t i = 0; i < rows; i++)
            y[i] = (double)i;
        ll_dense_multiply_add(rows, columns, 0.5, m, x, y);
        for (size_t i = 0; i < rows; i++) {
            double expected = (double)i;
            for (size_t j = 0; j < columns; j++)
                expected += 0.5 * value(i * columns + j) * value(j + 31);
            assert_close(y[i], expected, 1e-13);
        }
    }
}

/* exp(-|i - j| / 5) on a line: symmetric, positive definite, full. */
static void fill_definite(size_t n, double *m)
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            m[i * n + j] = exp(-0.2 * fabs((double)i - (double)j));
}

static void factor_times_its_transpose_is_the_matrix_and_solves_it(void **state)
{
    (void)state;
    static const size_t sizes[] = {1, 2, 3, 8, 19, 50};
    for (size_t c = 0; c < sizeof sizes / sizeof sizes[0]; c++) {
        const size_t n = sizes[c];
        double m[2500], f[2500], b[50] = {0};
        fill_definite(n, m);
        fill_definite(n, f);
        assert_ok(ll_factorise(n, f));
        for (size_t i = 0; i < n; i++) {
            for (size_t j = 0; j <= i; j++) {
                assert_close(ll_dense_dot(j + 1, f + i * n, f + j * n), m[i * n + j], 1e-13);
                assert_close(f[j * n + i], f[i * n + j], 0); /* the transpose stands above */
            }
            for (size_t j = 0; j < n; j++)
                b[i] += m[i * n + j] * value(j);
        }
        double x[50];
        for (size_t i = 0; i < n; i++)
            x[i] = value(i);
        ll_factor_multiply(n, f, x);
        for (size_t i = 0; i < n; i++)
            assert_close(x[i], b[i], 1e-13);
        ll_factor_solve(n, f, b);
        for (size_t i = 0; i < n; i++)
            assert_close(b[i], value(i), 1e-11);
    }
}

/* Up to LL_SEVERAL, and nothing happens beyond the count. */
static void several_vectors_at_once_give_what_each_gives(void **state)
{
    (void)state;
    enum { ROWS = 9, COLUMNS = 19 };
    double m[ROWS * COLUMNS], f[COLUMNS * COLUMNS];
    for (size_t i = 0; i < ROWS * COLUMNS; i++)
        m[i] = value(i);
    fill_definite(COLUMNS, f);
    assert_ok(ll_factorise(COLUMNS, f));
    for (size_t count = 1; count <= LL_SEVERAL; count++) {
        double x[LL_SEVERAL][COLUMNS], y[LL_SEVERAL][ROWS], one[COLUMNS];
        const double *in[LL_SEVERAL];
        double *out[LL_SEVERAL], *solved[LL_SEVERAL];
        for (size_t k = 0; k < LL_SEVERAL; k++) {
            for (size_t j = 0; j < COLUMNS; j++)
                x[k][j] = value(j + 31 * k);
            for (size_t i = 0; i < ROWS; i++)
                y[k][i] = (double)k;
            in[k] = solved[k] = x[k];
            out[k] = y[k];
        }
        ll_dense_multiply_add_several(ROWS, COLUMNS, 0.5, m, count, in, out);
        ll_factor_solve_several(COLUMNS, f, count, solved);
        for (size_t k = 0; k < LL_SEVERAL; k++) {
            double expected[ROWS];
            for (size_t j = 0; j < COLUMNS; j++)
                one[j] = value(j + 31 * k);
            for (size_t i = 0; i < ROWS; i++)
                expected[i] = (double)k;
            if (k < count) {
                ll_dense_multiply_add(ROWS, COLUMNS, 0.5, m, one, expected);
                ll_factor_solve(COLUMNS, f, one);
            }
            for (size_t i = 0; i < ROWS; i++)
                assert_close(y[k][i], expected[i], 1e-13);
            for (size_t j = 0; j < COLUMNS; j++)
                assert_close(x[k][j], one[j], 1e-11);
        }
    }
}

static void a_matrix_that_is_not_positive_definite_is_refused(void **state)
{
    (void)state;
    double indefinite[4] = {1, 2, 2, 1}, zero[1] = {0};
    assert_int_equal(ll_factorise(2, indefinite), LL_LIBRARY);
    assert_int_equal(ll_factorise(1, zero), LL_LIBRARY);
}

static void a_value_that_is_none_is_found_wherever_it_stands(void **state)
{
    (void)state;
    static const double wrong[] = {NAN, HUGE_VAL, -HUGE_VAL};
    double value[MOST] = {0};
    assert_true(ll_all_finite(0, NULL));
    assert_true(ll_all_finite(MOST, value));
    for (size_t w = 0; w < 3; w++)
        for (size_t i = 0; i < MOST; i++) {
            value[i] = wrong[w];
            assert_false(ll_all_finite(MOST, value));
            value[i] = 0;
        }
}

/* GSL's own CBLAS has the same names, and takes 7 to 14 times as long: whichever is linked first is called. */
static void products_of_matrices_are_those_of_the_library_that_was_asked_for(void **state)
{
    (void)state;
    Dl_info found;
    assert_int_not_equal(dladdr((void *)(size_t)cblas_dgemm, &found), 0);
    assert_non_null(strstr(found.dli_fname, LL_CBLAS));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_value_that_is_none_is_found_wherever_it_stands),
        cmocka_unit_test(dot_add_and_scale_match_plain_sums),
        cmocka_unit_test(product_adds_matrix_times_vector),
        cmocka_unit_test(factor_times_its_transpose_is_the_matrix_and_solves_it),
        cmocka_unit_test(several_vectors_at_once_give_what_each_gives),
        cmocka_unit_test(a_matrix_that_is_not_positive_definite_is_refused),
        cmocka_unit_test(products_of_matrices_are_those_of_the_library_that_was_asked_for),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
