/* factor.h - a symmetric positive definite matrix, factorised once and solved often.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_FACTOR_H
#define LL_BASE_FACTOR_H

#include "base/status.h"
#include <stddef.h>

/* Cholesky's factor of m[n][n] in place, L below and on the diagonal, its transpose above. LL_LIBRARY when m is not
 * positive definite. Uses GSL and its BLAS: not for inside a parallel loop. */
ll_status ll_factorise(size_t n, double *m);
/* x[n] = m^-1 x. Any thread. */
void ll_factor_solve(size_t n, const double *factor, double *x);
/* x[k][n] = m^-1 x[k] for at most LL_SEVERAL vectors, see dense.h. */
void ll_factor_solve_several(size_t n, const double *factor, size_t count, double *const *x);

/* x[n] = m x, from the factor. Any thread. */
void ll_factor_multiply(size_t n, const double *factor, double *x);

#endif
