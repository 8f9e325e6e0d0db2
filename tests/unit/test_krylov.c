/* test_krylov.c - GMRES on small systems that are known in full.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "elements/krylov.h"

enum { N = 40 };

typedef struct matrix {
    size_t n;
    double m[N][N];
    size_t products, fail_at; /* fail_at 0: never */
} matrix;

static ll_status multiply(void *context, const double *x, double *y)
{
    matrix *a = context;
    if (++a->products == a->fail_at)
        return LL_LIBRARY;
    for (size_t i = 0; i < a->n; i++) {
        y[i] = 0;
        for (size_t j = 0; j < a->n; j++)
            y[i] += a->m[i][j] * x[j];
    }
    return LL_OK;
}

/* Full, far from symmetric, well conditioned. */
static matrix lopsided(void)
{
    matrix a = {.n = N};
    for (size_t i = 0; i < N; i++)
        for (size_t j = 0; j < N; j++)
            a.m[i][j] = (i == j ? 3 : 0) + sin((double)(i + 1) * (double)(2 * j + 1)) /
                                               (2 + fabs((double)i - (double)j));
    return a;
}

/* Shifts a vector by one place: every eigenvalue on the unit circle, and GMRES stands still until step n
 * (N. Nachtigal, S. Reddy, L. Trefethen, SIAM J. Matrix Anal. Appl. 13 (1992) 778). */
static matrix cyclic(size_t n)
{
    matrix a = {.n = n};
    for (size_t i = 0; i < n; i++)
        a.m[i][(i + 1) % n] = 1;
    return a;
}

static void right_hand_side(matrix *a, double *b)
{
    double x[N];
    for (size_t i = 0; i < a->n; i++)
        x[i] = 1 + 0.5 * cos((double)i);
    assert_ok(multiply(a, x, b));
    a->products = 0;
}

static void solves_a_nonsymmetric_system_to_its_tolerance(void **state)
{
    (void)state;
    static const double tolerance[] = {1e-2, 1e-6, 1e-12};
    matrix a = lopsided();
    double b[N], ax[N];
    right_hand_side(&a, b);
    size_t before = 0;
    for (int t = 0; t < 3; t++) {
        double x[N] = {0}, wrong = 0, whole = 0;
        size_t steps;
        assert_ok(ll_gmres(multiply, &a, N, b, tolerance[t], 2 * N, x, &steps));
        assert_ok(multiply(&a, x, ax));
        for (int i = 0; i < N; i++) {
            wrong += (ax[i] - b[i]) * (ax[i] - b[i]);
            whole += b[i] * b[i];
        }
        assert_true(sqrt(wrong / whole) <= 1.01 * tolerance[t]);
        assert_true(steps > before && steps <= N);
        before = steps;
    }
}

static void a_good_first_guess_costs_nothing(void **state)
{
    (void)state;
    matrix a = lopsided();
    double b[N], x[N];
    size_t steps = 99;
    right_hand_side(&a, b);
    for (int i = 0; i < N; i++)
        x[i] = 1 + 0.5 * cos(i);
    assert_ok(ll_gmres(multiply, &a, N, b, 1e-10, N, x, &steps));
    assert_int_equal(steps, 0);
    assert_close(x[3], 1 + 0.5 * cos(3), 1e-14);
}

static void a_cyclic_shift_needs_every_step_there_is(void **state)
{
    (void)state;
    matrix a = cyclic(12);
    double b[N] = {1}, x[N] = {0};
    size_t steps;
    assert_int_equal(ll_gmres(multiply, &a, 12, b, 1e-8, 11, x, &steps), LL_NO_CONVERGENCE);
    for (int i = 0; i < 12; i++)
        assert_close(x[i], 0, 0); /* left as it was */
    assert_ok(ll_gmres(multiply, &a, 12, b, 1e-8, 12, x, &steps));
    assert_int_equal(steps, 12);
    for (int i = 0; i < 12; i++)
        assert_close(x[i], i == 1, 1e-12);
}

/* x -> 0 has no answer; neither has a projection whose right-hand side sticks out. */
static void a_singular_system_is_reported(void **state)
{
    (void)state;
    matrix nothing = {.n = 5}, flat = {.n = 5};
    for (int i = 0; i < 4; i++)
        flat.m[i][i] = 1;
    double b[N] = {1, 1, 1, 1, 1}, x[N] = {0};
    size_t steps;
    assert_int_equal(ll_gmres(multiply, &nothing, 5, b, 1e-6, 10, x, &steps), LL_NO_CONVERGENCE);
    assert_int_equal(ll_gmres(multiply, &flat, 5, b, 1e-6, 10, x, &steps), LL_NO_CONVERGENCE);
    for (int i = 0; i < 5; i++)
        assert_close(x[i], 0, 0);
}

/* Reflects rows and columns at a plane that has no zero in it: the eigenvalues stay, and nothing stays exact. */
static void reflect(matrix *a, double phase)
{
    double v[N], squares = 0;
    for (size_t i = 0; i < a->n; i++) {
        v[i] = 1.2 + cos(phase + 1.7 * (double)i);
        squares += v[i] * v[i];
    }
    for (int side = 0; side < 2; side++)
        for (size_t i = 0; i < a->n; i++) {
            double dot = 0;
            for (size_t j = 0; j < a->n; j++)
                dot += v[j] * (side ? a->m[i][j] : a->m[j][i]);
            for (size_t j = 0; j < a->n; j++)
                *(side ? &a->m[i][j] : &a->m[j][i]) -= 2 * dot * v[j] / squares;
        }
}

/* `missing` of the n eigenvalues are zero, the others between scale and 2 scale. */
static matrix deficient(size_t n, size_t missing, double scale, double phase)
{
    matrix a = {.n = n};
    for (size_t i = missing; i < n; i++)
        a.m[i][i] = scale * (1 + (double)(i % 4) / 3);
    reflect(&a, phase);
    reflect(&a, phase + 1);
    return a;
}

/* In exact figures the last vector is zero; in rounded ones it is noise, on each processor another, and must not be taken for an
 * answer. */
static void a_singular_system_is_reported_whatever_is_rounded(void **state)
{
    (void)state;
    static const double scale[] = {1e-12, 1, 1e9};
    for (int i = 0; i < 3 * 40; i++) {
        matrix a = deficient(5 + (size_t)i % 20, 1 + (size_t)i % 2, scale[i % 3], 0.37 * i);
        double b[N], x[N] = {0};
        size_t steps;
        for (size_t k = 0; k < a.n; k++)
            b[k] = 1 + (double)(k % 3);
        assert_int_equal(ll_gmres(multiply, &a, a.n, b, 1e-6, 2 * a.n, x, &steps),
                         LL_NO_CONVERGENCE);
        for (size_t k = 0; k < a.n; k++)
            assert_close(x[k], 0, 0);
    }
}

/* The same matrices answer what they can. */
static void a_singular_system_is_solved_where_it_has_an_answer(void **state)
{
    (void)state;
    static const double scale[] = {1e-12, 1, 1e9};
    for (int i = 0; i < 3 * 40; i++) {
        matrix a = deficient(5 + (size_t)i % 20, 1 + (size_t)i % 2, scale[i % 3], 0.37 * i);
        double b[N], x[N] = {0}, ax[N];
        size_t steps;
        right_hand_side(&a, b);
        assert_ok(ll_gmres(multiply, &a, a.n, b, 1e-10, 2 * a.n, x, &steps));
        assert_true(steps <= 4); /* as many different eigenvalues as there are */
        assert_ok(multiply(&a, x, ax));
        for (size_t k = 0; k < a.n; k++)
            assert_close(ax[k], b[k], 1e-8 * scale[i % 3]);
    }
}

static void nothing_to_answer_is_answered_with_nothing(void **state)
{
    (void)state;
    matrix a = lopsided();
    double b[N] = {0}, x[N] = {0};
    size_t steps;
    assert_ok(ll_gmres(multiply, &a, N, b, 1e-6, N, x, &steps));
    assert_int_equal(steps, 0);
    for (int i = 0; i < N; i++)
        assert_close(x[i], 0, 0);
}

static void a_failing_operator_ends_the_work_with_its_status(void **state)
{
    (void)state;
    for (size_t at = 1; at <= 3; at++) {
        matrix a = lopsided();
        double b[N], x[N] = {0};
        size_t steps;
        right_hand_side(&a, b);
        a.fail_at = at;
        assert_int_equal(ll_gmres(multiply, &a, N, b, 1e-10, N, x, &steps), LL_LIBRARY);
        assert_close(x[0], 0, 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(solves_a_nonsymmetric_system_to_its_tolerance),
        cmocka_unit_test(a_good_first_guess_costs_nothing),
        cmocka_unit_test(a_cyclic_shift_needs_every_step_there_is),
        cmocka_unit_test(a_singular_system_is_reported),
        cmocka_unit_test(a_singular_system_is_reported_whatever_is_rounded),
        cmocka_unit_test(a_singular_system_is_solved_where_it_has_an_answer),
        cmocka_unit_test(nothing_to_answer_is_answered_with_nothing),
        cmocka_unit_test(a_failing_operator_ends_the_work_with_its_status),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
