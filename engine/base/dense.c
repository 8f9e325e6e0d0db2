/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/dense.h"
#include "base/vectorised.h"

LL_VECTORISED
double ll_dense_dot(size_t n, const double *a, const double *b)
{
    double sum = 0;
#pragma omp simd reduction(+ : sum)
    for (size_t i = 0; i < n; i++)
        sum += a[i] * b[i];
    return sum;
}

LL_VECTORISED
void ll_dense_add(size_t n, double f, const double *a, double *b)
{
#pragma omp simd
    for (size_t i = 0; i < n; i++)
        b[i] += f * a[i];
}

LL_VECTORISED
void ll_dense_scale(size_t n, double f, double *a)
{
#pragma omp simd
    for (size_t i = 0; i < n; i++)
        a[i] *= f;
}

LL_VECTORISED
void ll_dense_multiply_add(size_t rows, size_t columns, double f, const double *m, const double *x,
                           double *y)
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
