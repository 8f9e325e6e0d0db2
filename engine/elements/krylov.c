/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/krylov.h"
#include "base/dense.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* Basis vectors [most + 1][n], the triangular factor h[most][most + 1] by columns, the rotations and the rotated
 * right-hand side. */
typedef struct ll_krylov {
    size_t n, most, count;
    double *basis, *h, *cosine, *sine, *g;
} ll_krylov;

/* What is left of a vector after others were taken out of it is rounding, its own or of the operator, below this share of its length. */
static const double rounding = 1e-12;

static double length_of(size_t n, const double *v)
{
    return sqrt(ll_dense_dot(n, v, v));
}

/* Orthogonalises the newest vector against the others, twice over for safety, and normalises what is new in it; there is
 * nothing new where only rounding is left. Returns the length it had. */
static double orthogonalise(ll_krylov *k, double *column)
{
    double *v = k->basis + (k->count + 1) * k->n;
    const double before = length_of(k->n, v);
    for (int pass = 0; pass < 2; pass++)
        for (size_t i = 0; i <= k->count; i++) {
            const double c = ll_dense_dot(k->n, k->basis + i * k->n, v);
            column[i] += c;
            ll_dense_add(k->n, -c, k->basis + i * k->n, v);
        }
    const double length = length_of(k->n, v);
    column[k->count + 1] = length > rounding * before ? length : 0;
    if (column[k->count + 1] > 0)
        ll_dense_scale(k->n, 1 / length, v);
    return before;
}

/* Keeps the factor triangular by Givens rotations. LL_NO_CONVERGENCE where the operator turns a direction that is not zero into
 * one that is: a column of this length whose pivot is rounding. */
static ll_status rotate(ll_krylov *k, double *column, double length)
{
    for (size_t i = 0; i < k->count; i++) {
        const double upper = k->cosine[i] * column[i] + k->sine[i] * column[i + 1];
        column[i + 1] = k->cosine[i] * column[i + 1] - k->sine[i] * column[i];
        column[i] = upper;
    }
    const size_t j = k->count;
    const double r = hypot(column[j], column[j + 1]);
    if (!(r > rounding * length) || !isfinite(r))
        return LL_NO_CONVERGENCE;
    k->cosine[j] = column[j] / r;
    k->sine[j] = column[j + 1] / r;
    column[j] = r;
    column[j + 1] = 0;
    k->g[j + 1] = -k->sine[j] * k->g[j];
    k->g[j] *= k->cosine[j];
    return LL_OK;
}

/* x += basis y, where y solves the triangular system. */
static void finish(ll_krylov *k, double *x)
{
    for (size_t j = k->count; j-- > 0;) {
        const double *column = k->h + j * (k->most + 1);
        k->g[j] /= column[j];
        for (size_t i = 0; i < j; i++)
            k->g[i] -= column[i] * k->g[j];
    }
    for (size_t j = 0; j < k->count; j++)
        ll_dense_add(k->n, k->g[j], k->basis + j * k->n, x);
}

static ll_status iterate(ll_krylov *k, ll_operator apply, void *context, double target)
{
    while (fabs(k->g[k->count]) > target) {
        if (k->count == k->most)
            return LL_NO_CONVERGENCE;
        double *column = k->h + k->count * (k->most + 1);
        ll_status status =
            apply(context, k->basis + k->count * k->n, k->basis + (k->count + 1) * k->n);
        if (status)
            return status;
        const double length = orthogonalise(k, column);
        status = rotate(k, column, length);
        if (status)
            return status;
        k->count++;
    }
    return LL_OK;
}

static bool is_zero(size_t n, const double *x)
{
    size_t i = 0;
    while (i < n && x[i] == 0)
        i++;
    return i == n;
}

/* First basis vector: the residual b - operator x, which is b when nothing is known yet. */
static ll_status begin(ll_krylov *k, ll_operator apply, void *context, const double *b,
                       const double *x)
{
    if (is_zero(k->n, x))
        memset(k->basis, 0, k->n * sizeof *k->basis);
    else {
        const ll_status status = apply(context, x, k->basis);
        if (status)
            return status;
    }
    for (size_t i = 0; i < k->n; i++)
        k->basis[i] = b[i] - k->basis[i];
    k->g[0] = length_of(k->n, k->basis);
    if (k->g[0] > 0)
        ll_dense_scale(k->n, 1 / k->g[0], k->basis);
    return LL_OK;
}

ll_status ll_gmres(ll_operator apply, void *context, size_t n, const double *b, double tolerance,
                   size_t most_steps, double *x, size_t *steps)
{
    ll_krylov k = {.n = n, .most = most_steps};
    k.basis = malloc((most_steps + 1) * n * sizeof(double));
    k.h = calloc(most_steps * (most_steps + 1) + 1, sizeof(double));
    k.cosine = malloc((most_steps + 1) * sizeof(double));
    k.sine = malloc((most_steps + 1) * sizeof(double));
    k.g = calloc(most_steps + 1, sizeof(double));
    ll_status status = k.basis && k.h && k.cosine && k.sine && k.g ? LL_OK : LL_NO_MEMORY;
    if (!status)
        status = begin(&k, apply, context, b, x);
    if (!status)
        status = iterate(&k, apply, context, tolerance * length_of(n, b));
    *steps = k.count;
    if (!status)
        finish(&k, x);
    free(k.basis);
    free(k.h);
    free(k.cosine);
    free(k.sine);
    free(k.g);
    return status;
}
