/* dense.h - small loops over arrays of doubles that the compiler turns into vector instructions. They stand in for BLAS
 * inside parallel loops, where a threaded BLAS must not be called.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_DENSE_H
#define LL_BASE_DENSE_H

#include <stdbool.h>
#include <stddef.h>

/* False when one of the values is infinite or no number. */
bool ll_all_finite(size_t n, const double *value);

/* Sum of a[i] b[i]. */
double ll_dense_dot(size_t n, const double *a, const double *b);
/* b[i] += f a[i]. */
void ll_dense_add(size_t n, double f, const double *a, double *b);
/* a[i] *= f. */
void ll_dense_scale(size_t n, double f, double *a);
/* y[rows] += f m x, m row-major [rows][columns]. */
void ll_dense_multiply_add(size_t rows, size_t columns, double f, const double *m, const double *x,
                           double *y);

/* The same for a matrix in single precision: one that is known to 1e-5 comes from memory in half the time. */
void ll_dense_multiply_add_single(size_t rows, size_t columns, double f, const float *m,
                                  const double *x, double *y);

/* Large matrices come from memory more slowly than they are multiplied: several vectors, at most LL_SEVERAL, take little longer
 * than one. */
enum { LL_SEVERAL = 3 };
/* sum[k] = sum of a[i] x[k][i]; sum[LL_SEVERAL] is overwritten beyond count as well. */
void ll_dense_dots(size_t n, const double *a, size_t count, const double *const *x, double *sum);
/* y[k][rows] += f m x[k]. */
void ll_dense_multiply_add_several(size_t rows, size_t columns, double f, const double *m,
                                   size_t count, const double *const *x, double *const *y);

#endif
