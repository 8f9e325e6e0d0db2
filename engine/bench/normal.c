/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/normal.h"
#include "base/constants.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdbool.h>

/* How often somebody writes the wrong sign: common practice, no source. */
static const double slip = 0.02;

static double squared(double x)
{
    return x * x;
}

static const ll_bench_hypothesis *hypothesis_of(const ll_bench *bench, size_t h)
{
    return &bench->hypothesis[h];
}

static double own_variance(const ll_bench *bench, size_t h, size_t point, size_t i)
{
    const ll_bench_reading *r = &bench->reading[i];
    const size_t at = point * bench->readings + i;
    const double *extra = hypothesis_of(bench, h)->extra;
    return squared(r->absolute) + squared(r->relative * hypothesis_of(bench, h)->predicted[at]) +
           (extra ? squared(extra[at]) : 0);
}

/* What two readings share. */
static double shared_variance(const ll_bench *bench, const double *f, size_t i, size_t j)
{
    const ll_bench_reading *a = &bench->reading[i], *b = &bench->reading[j];
    double sum = 0;
    if (a->test == b->test)
        sum = a->common * b->common + a->common_relative * f[i] * b->common_relative * f[j];
    for (size_t t = 0; t < bench->tolerances; t++)
        sum +=
            bench->tolerance[t * bench->readings + i] * bench->tolerance[t * bench->readings + j];
    return sum;
}

void ll_bench_error(const ll_bench *bench, size_t h, size_t point, double *error)
{
    const double *f = hypothesis_of(bench, h)->predicted + point * bench->readings;
    for (size_t i = 0; i < bench->readings; i++)
        error[i] = sqrt(own_variance(bench, h, point, i) + shared_variance(bench, f, i, i));
}

static bool is_sign(const ll_bench *bench, size_t i)
{
    return bench->reading[i].kind == LL_BENCH_SIGN;
}

/* Signs stand outside the normal law: a one on the diagonal keeps the factor simple. */
static double entry(const ll_bench *bench, size_t h, size_t point, const double *f, size_t i,
                    size_t j)
{
    if (is_sign(bench, i) || is_sign(bench, j))
        return i == j ? 1 : 0;
    return shared_variance(bench, f, i, j) + (i == j ? own_variance(bench, h, point, i) : 0);
}

ll_status ll_normal_make(const ll_bench *bench, size_t h, size_t point, size_t n,
                         const size_t *which, ll_normal *out)
{
    const double *f = hypothesis_of(bench, h)->predicted + point * bench->readings;
    ll_normal normal = {n, which, f, gsl_matrix_alloc(n ? n : 1, n ? n : 1), 0};
    if (!normal.factor)
        return LL_NO_MEMORY;
    gsl_matrix_set_identity(normal.factor);
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            gsl_matrix_set(normal.factor, i, j, entry(bench, h, point, f, which[i], which[j]));
    if (gsl_linalg_cholesky_decomp1(normal.factor)) {
        gsl_matrix_free(normal.factor);
        return LL_LIBRARY;
    }
    for (size_t i = 0; i < n; i++)
        if (!is_sign(bench, which[i]))
            normal.log_constant -= log(gsl_matrix_get(normal.factor, i, i)) + 0.5 * log(2 * LL_PI);
    *out = normal;
    return LL_OK;
}

void ll_normal_clear(ll_normal *normal)
{
    gsl_matrix_free(normal->factor);
    normal->factor = NULL;
}

/* Probability that a sign reading shows what it shows. */
static double sign_probability(const ll_bench *bench, const ll_normal *normal, size_t k,
                               double shown)
{
    const ll_bench_reading *r = &bench->reading[normal->which[k]];
    const double f = normal->f[normal->which[k]];
    const double sd = sqrt(squared(r->absolute) + squared(r->relative * f));
    const double north = gsl_cdf_ugaussian_P((f - r->weak) / sd);
    const double south = gsl_cdf_ugaussian_P((-f - r->weak) / sd);
    const double p = shown > 0 ? north : shown < 0 ? south : 1 - north - south;
    return slip / 3 + (1 - slip) * fmax(0, p);
}

static double likeliest_sign(const ll_bench *bench, const ll_normal *normal, size_t k)
{
    double most = 0;
    for (int shown = -1; shown <= 1; shown++)
        most = fmax(most, sign_probability(bench, normal, k, shown));
    return most;
}

double ll_normal_log(const ll_bench *bench, const ll_normal *normal, const double *value,
                     double *work, double *chi2)
{
    double sum = normal->log_constant, squares = 0, distance = 0;
    for (size_t k = 0; k < normal->n; k++) {
        const size_t i = normal->which[k];
        work[k] = is_sign(bench, i) ? 0 : value[k] - normal->f[i];
        if (is_sign(bench, i)) {
            const double p = sign_probability(bench, normal, k, value[k]);
            sum += log(p);
            squares -= 2 * log(p / likeliest_sign(bench, normal, k));
        }
    }
    for (size_t k = 0; k < normal->n; k++) {
        for (size_t j = 0; j < k; j++)
            work[k] -= gsl_matrix_get(normal->factor, k, j) * work[j];
        work[k] /= gsl_matrix_get(normal->factor, k, k);
        distance += squared(work[k]);
    }
    if (chi2)
        *chi2 = squares + distance;
    return sum - distance / 2;
}

void ll_normal_sample(const ll_bench *bench, const ll_normal *normal, const double *deviate,
                      double *value)
{
    for (size_t k = 0; k < normal->n; k++) {
        const size_t i = normal->which[k];
        value[k] = normal->f[i];
        for (size_t j = 0; j <= k; j++)
            value[k] += gsl_matrix_get(normal->factor, k, j) * deviate[j];
        if (!is_sign(bench, i))
            continue;
        const double rank = gsl_cdf_ugaussian_P(deviate[k]);
        const double north = sign_probability(bench, normal, k, 1);
        const double south = sign_probability(bench, normal, k, -1);
        value[k] = rank < north ? 1 : rank > 1 - south ? -1 : 0;
    }
}
