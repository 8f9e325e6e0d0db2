/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/factor.h"
#include "base/dense.h"
#include "base/gsl.h"

#include <gsl/gsl_linalg.h>
#include <gsl/gsl_matrix.h>

ll_status ll_factorise(size_t n, double *m)
{
    gsl_matrix_view view = gsl_matrix_view_array(m, n, n);
    if (gsl_linalg_cholesky_decomp1(&view.matrix) != GSL_SUCCESS)
        return LL_LIBRARY;
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++)
            m[j * n + i] = m[i * n + j];
    return LL_OK;
}

/* Row i of the factor between columns first and end, times the vectors there, is taken off; then the diagonal divides. */
static void eliminate(const double *row, size_t i, size_t first, size_t end, size_t count,
                      double *const *x)
{
    const double *part[LL_SEVERAL] = {NULL};
    double sum[LL_SEVERAL];
    for (size_t k = 0; k < count; k++)
        part[k] = x[k] + first;
    ll_dense_dots(end - first, row + first, count, part, sum);
    for (size_t k = 0; k < count; k++)
        x[k][i] = (x[k][i] - sum[k]) / row[i];
}

/* Rows of L forwards, rows of its transpose backwards: both run along memory. */
void ll_factor_solve_several(size_t n, const double *factor, size_t count, double *const *x)
{
    for (size_t i = 0; i < n; i++)
        eliminate(factor + i * n, i, 0, i, count, x);
    for (size_t i = n; i-- > 0;)
        eliminate(factor + i * n, i, i + 1, n, count, x);
}

void ll_factor_solve(size_t n, const double *factor, double *x)
{
    ll_factor_solve_several(n, factor, 1, &x);
}

/* The transpose's rows first, each needing only what stands behind it; then those of L from the end. */
void ll_factor_multiply(size_t n, const double *factor, double *x)
{
    for (size_t i = 0; i < n; i++)
        x[i] = ll_dense_dot(n - i, factor + i * n + i, x + i);
    for (size_t i = n; i-- > 0;)
        x[i] = ll_dense_dot(i + 1, factor + i * n, x);
}
