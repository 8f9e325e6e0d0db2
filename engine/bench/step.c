/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/step.h"
#include "base/dense.h"
#include "base/gsl.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

typedef struct problem {
    size_t rows, columns;
    const double *jacobian, *residual, *x, *low, *high;
    double damping;
} problem;

static bool holds(const problem *p)
{
    bool fine = p->rows > 0 && p->columns > 0 && p->damping > 0 && isfinite(p->damping) &&
                ll_all_finite(p->rows * p->columns, p->jacobian) &&
                ll_all_finite(p->rows, p->residual);
    for (size_t k = 0; fine && k < p->columns; k++)
        fine = p->low[k] < p->high[k] && p->x[k] >= p->low[k] && p->x[k] <= p->high[k];
    return fine;
}

/* The rows of the least squares in all unknowns: those held at an end bring a known change, damping keeps the others. */
static void fill(const problem *p, const double *next, const bool *held, gsl_matrix *a,
                 gsl_vector *b)
{
    gsl_matrix_set_zero(a);
    gsl_vector_set_zero(b);
    for (size_t i = 0; i < p->rows; i++) {
        double known = p->residual[i];
        for (size_t k = 0; k < p->columns; k++) {
            const double slope = p->jacobian[i * p->columns + k];
            if (held[k])
                known += slope * (next[k] - p->x[k]);
            else
                gsl_matrix_set(a, i, k, slope);
        }
        gsl_vector_set(b, i, -known);
    }
    for (size_t k = 0; k < p->columns; k++)
        gsl_matrix_set(a, p->rows + k, k, held[k] ? 1 : p->damping / (p->high[k] - p->low[k]));
}

/* Puts the solved changes into next; true when another unknown had to be held. */
static bool take(const problem *p, const gsl_vector *change, bool *held, double *next)
{
    bool again = false;
    for (size_t k = 0; k < p->columns; k++) {
        if (held[k])
            continue;
        next[k] = p->x[k] + gsl_vector_get(change, k);
        if (next[k] >= p->low[k] && next[k] <= p->high[k])
            continue;
        next[k] = next[k] < p->low[k] ? p->low[k] : p->high[k];
        held[k] = again = true;
    }
    return again;
}

static ll_status solve(const problem *p, gsl_matrix *a, gsl_vector *b, gsl_vector *rest,
                       gsl_vector *tau, gsl_vector *change, bool *held, double *next)
{
    bool again = true;
    while (again) {
        fill(p, next, held, a, b);
        if (gsl_linalg_QR_decomp(a, tau) || gsl_linalg_QR_lssolve(a, tau, b, change, rest))
            return LL_LIBRARY;
        again = take(p, change, held, next);
    }
    return LL_OK;
}

ll_status ll_bench_step(size_t rows, size_t columns, const double *jacobian, const double *residual,
                        const double *x, const double *low, const double *high, double damping,
                        double *next)
{
    const problem p = {rows, columns, jacobian, residual, x, low, high, damping};
    if (!holds(&p))
        return LL_BAD_VALUE;
    gsl_matrix *a = gsl_matrix_alloc(rows + columns, columns);
    gsl_vector *b = gsl_vector_alloc(rows + columns), *rest = gsl_vector_alloc(rows + columns);
    gsl_vector *tau = gsl_vector_alloc(columns), *change = gsl_vector_alloc(columns);
    bool *held = calloc(columns, sizeof *held);
    double *found = malloc(columns * sizeof *found);
    ll_status status = LL_NO_MEMORY;
    if (a && b && rest && tau && change && held && found)
        status = solve(&p, a, b, rest, tau, change, held, found);
    if (!status)
        memcpy(next, found, columns * sizeof *next);
    gsl_matrix_free(a);
    gsl_vector_free(b);
    gsl_vector_free(rest);
    gsl_vector_free(tau);
    gsl_vector_free(change);
    free(held);
    free(found);
    return status;
}

/* (J' J)^-1; false when the readings do not settle the unknowns. */
static bool invert_normal(size_t rows, size_t columns, const double *jacobian, gsl_matrix *normal)
{
    for (size_t i = 0; i < rows; i++)
        for (size_t a = 0; a < columns; a++)
            for (size_t b = 0; b < columns; b++)
                *gsl_matrix_ptr(normal, a, b) +=
                    jacobian[i * columns + a] * jacobian[i * columns + b];
    return !gsl_linalg_cholesky_decomp1(normal) && !gsl_linalg_cholesky_invert(normal);
}

/* How far unknown k moves when the readings move by t. */
static double moves(size_t rows, size_t columns, const double *jacobian, const gsl_matrix *inverse,
                    size_t k, const double *t)
{
    double sum = 0;
    for (size_t i = 0; i < rows; i++)
        for (size_t a = 0; a < columns; a++)
            sum += gsl_matrix_get(inverse, k, a) * jacobian[i * columns + a] * t[i];
    return sum;
}

ll_status ll_bench_uncertainty(size_t rows, size_t columns, const double *jacobian,
                               size_t tolerances, const double *tolerance, double *sd)
{
    gsl_matrix *normal = columns ? gsl_matrix_calloc(columns, columns) : NULL;
    if (!normal)
        return columns ? LL_NO_MEMORY : LL_BAD_VALUE;
    const bool settled = invert_normal(rows, columns, jacobian, normal);
    for (size_t k = 0; k < columns && settled; k++) {
        double variance = gsl_matrix_get(normal, k, k);
        for (size_t n = 0; n < tolerances; n++) {
            const double by = moves(rows, columns, jacobian, normal, k, tolerance + n * rows);
            variance += by * by;
        }
        sd[k] = sqrt(variance);
    }
    gsl_matrix_free(normal);
    return settled ? LL_OK : LL_LIBRARY;
}
