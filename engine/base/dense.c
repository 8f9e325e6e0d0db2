/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/dense.h"
#include "base/vectorised.h"

#include <math.h>

bool ll_all_finite(size_t n, const double *value)
{
    for (size_t i = 0; i < n; i++)
        if (!isfinite(value[i]))
            return false;
    return true;
}

LL_VECTORISED(ll_dense_add, (size_t n, double f, const double *a, double *b), (n, f, a, b))
{
#pragma omp simd
    for (size_t i = 0; i < n; i++)
        b[i] += f * a[i];
}

LL_VECTORISED(ll_dense_scale, (size_t n, double f, double *a), (n, f, a))
{
#pragma omp simd
    for (size_t i = 0; i < n; i++)
        a[i] *= f;
}

static LL_VECTORISED(dot, (size_t n, const double *a, const double *b, double *product),
                     (n, a, b, product))
{
    double sum = 0;
#pragma omp simd reduction(+ : sum)
    for (size_t i = 0; i < n; i++)
        sum += a[i] * b[i];
    *product = sum;
}

double ll_dense_dot(size_t n, const double *a, const double *b)
{
    double product;
    dot(n, a, b, &product);
    return product;
}

/* Places that are not used repeat the first. */
static LL_VECTORISED(three_dots,
                     (size_t n, const double *a, size_t count, const double *const *x, double *sum),
                     (n, a, count, x, sum))
{
    const double *x0 = x[0], *x1 = x[1], *x2 = x[count > 2 ? 2 : 0];
    double s0 = 0, s1 = 0, s2 = 0;
#pragma omp simd reduction(+ : s0, s1, s2)
    for (size_t i = 0; i < n; i++) {
        s0 += a[i] * x0[i];
        s1 += a[i] * x1[i];
        s2 += a[i] * x2[i];
    }
    sum[0] = s0;
    sum[1] = s1;
    sum[2] = s2;
}

void ll_dense_dots(size_t n, const double *a, size_t count, const double *const *x, double *sum)
{
    if (count == 1)
        sum[0] = ll_dense_dot(n, a, x[0]);
    else
        three_dots(n, a, count, x, sum);
}

LL_VECTORISED(ll_dense_multiply_add,
              (size_t rows, size_t columns, double f, const double *m, const double *x, double *y),
              (rows, columns, f, m, x, y))
{
    for (size_t i = 0; i < rows; i++) {
        const double *row = m + i * columns;
        double sum = 0;
#pragma omp simd reduction(+ : sum)
        for (size_t j = 0; j < columns; j++)
            sum += row[j] * x[j];
        y[i] += f * sum;
    }
}

LL_VECTORISED(ll_dense_multiply_add_single,
              (size_t rows, size_t columns, double f, const float *m, const double *x, double *y),
              (rows, columns, f, m, x, y))
{
    for (size_t i = 0; i < rows; i++) {
        const float *row = m + i * columns;
        double sum = 0;
#pragma omp simd reduction(+ : sum)
        for (size_t j = 0; j < columns; j++)
            sum += (double)row[j] * x[j];
        y[i] += f * sum;
    }
}

void ll_dense_multiply_add_several(size_t rows, size_t columns, double f, const double *m,
                                   size_t count, const double *const *x, double *const *y)
{
    double sum[LL_SEVERAL];
    for (size_t i = 0; i < rows; i++) {
        ll_dense_dots(columns, m + i * columns, count, x, sum);
        for (size_t k = 0; k < count; k++)
            y[k][i] += f * sum[k];
    }
}
