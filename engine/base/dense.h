/* dense.h - small loops over arrays of doubles that the compiler turns into vector instructions.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_DENSE_H
#define LL_BASE_DENSE_H

#include <stddef.h>

/* Sum of a[i] b[i]. */
static inline double ll_dense_dot(size_t n, const double *a, const double *b)
{
    double sum = 0;
#pragma omp simd reduction(+ : sum)
    for (size_t i = 0; i < n; i++)
        sum += a[i] * b[i];
    return sum;
}

/* b[i] += f a[i]. */
static inline void ll_dense_add(size_t n, double f, const double *a, double *b)
{
#pragma omp simd
    for (size_t i = 0; i < n; i++)
        b[i] += f * a[i];
}

/* a[i] *= f. */
static inline void ll_dense_scale(size_t n, double f, double *a)
{
    for (size_t i = 0; i < n; i++)
        a[i] *= f;
}

/* y[rows] += f m x, m row-major [rows][columns]. */
static inline void ll_dense_multiply_add(size_t rows, size_t columns, double f, const double *m,
                                         const double *x, double *y)
{
    for (size_t i = 0; i < rows; i++)
        y[i] += f * ll_dense_dot(columns, m + i * columns, x);
}

#endif
