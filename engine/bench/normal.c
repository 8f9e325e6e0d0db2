/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/normal.h"
#include "base/constants.h"
#include "base/gsl.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdbool.h>

/* How often somebody writes the wrong sign, or a wrong figure: common practice, no source. */
static const double slip = 0.02, wrong_figure = 0.005;

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

/* ---- the cell of sizes that a point stands for ---- */

/* Change of a reading over the width of one cell of the size, from the points before and after. */
static double over_cell(const ll_bench *bench, size_t h, size_t point, size_t size, size_t i)
{
    const ll_bench_hypothesis *all = hypothesis_of(bench, h);
    size_t stride = 1;
    for (size_t s = size + 1; s < LL_BENCH_SIZES && all->count[s]; s++)
        stride *= all->count[s];
    const size_t place = point / stride % all->count[size], last = all->count[size] - 1;
    const size_t from = place > 0 ? place - 1 : 0, to = place < last ? place + 1 : last;
    if (from == to)
        return 0;
    const size_t before = point - (place - from) * stride, after = point + (to - place) * stride;
    return (all->predicted[after * bench->readings + i] -
            all->predicted[before * bench->readings + i]) /
           (all->at[size][to] - all->at[size][from]);
}

/* What the sizes within the cell let two readings share. */
static double cell_variance(const ll_bench *bench, size_t h, size_t point, size_t i, size_t j)
{
    double sum = 0;
    for (size_t size = 0; size < LL_BENCH_SIZES; size++)
        if (hypothesis_of(bench, h)->count[size] > 0)
            sum += over_cell(bench, h, point, size, i) * over_cell(bench, h, point, size, j) / 12;
    return sum;
}

/* What two readings share. */
static double shared_variance(const ll_bench *bench, size_t h, size_t point, size_t i, size_t j)
{
    const double *f = hypothesis_of(bench, h)->predicted + point * bench->readings;
    const ll_bench_reading *a = &bench->reading[i], *b = &bench->reading[j];
    double sum = cell_variance(bench, h, point, i, j);
    if (a->test == b->test)
        sum += a->common * b->common + a->common_relative * f[i] * b->common_relative * f[j];
    for (size_t t = 0; t < bench->tolerances; t++)
        sum +=
            bench->tolerance[t * bench->readings + i] * bench->tolerance[t * bench->readings + j];
    return sum;
}

size_t ll_bench_points(const ll_bench *bench)
{
    size_t sum = 0;
    for (size_t h = 0; h < bench->hypotheses; h++)
        sum += bench->hypothesis[h].points;
    return sum;
}

void ll_bench_error(const ll_bench *bench, size_t h, size_t point, double *error)
{
    for (size_t i = 0; i < bench->readings; i++)
        error[i] = sqrt(own_variance(bench, h, point, i) + shared_variance(bench, h, point, i, i));
}

static bool is_sign(const ll_bench *bench, size_t i)
{
    return bench->reading[i].kind == LL_BENCH_SIGN;
}

/* Signs stand outside the normal law: a one on the diagonal keeps the factor simple. */
static double entry(const ll_bench *bench, size_t h, size_t point, size_t i, size_t j)
{
    if (is_sign(bench, i) || is_sign(bench, j))
        return i == j ? 1 : 0;
    return shared_variance(bench, h, point, i, j) + (i == j ? own_variance(bench, h, point, i) : 0);
}

/* ---- signs ---- */

/* Fills a row of the probabilities that a sign reading shows -1, 0 or 1. */
static void fill_signs(const ll_bench *bench, const ll_normal *normal, size_t k)
{
    const size_t i = normal->which[k];
    const double f = normal->f[i], weak = bench->reading[i].weak;
    const double sd = sqrt(own_variance(bench, normal->hypothesis, normal->point, i) +
                           cell_variance(bench, normal->hypothesis, normal->point, i, i));
    const double north = gsl_cdf_ugaussian_P((f - weak) / sd);
    const double south = gsl_cdf_ugaussian_P((-f - weak) / sd);
    const double p[] = {south, fmax(0, 1 - north - south), north};
    for (size_t s = 0; s < 3; s++)
        gsl_matrix_set(normal->sign, k, s, slip / 3 + (1 - slip) * p[s]);
}

static double sign_probability(const ll_normal *normal, size_t k, double shown)
{
    return gsl_matrix_get(normal->sign, k, shown > 0 ? 2 : shown < 0 ? 0 : 1);
}

/* ---- the law ---- */

ll_status ll_normal_make(const ll_bench *bench, size_t h, size_t point, size_t n,
                         const size_t *which, ll_normal *out)
{
    const double *f = hypothesis_of(bench, h)->predicted + point * bench->readings;
    const size_t room = n ? n : 1;
    ll_normal normal = {
        h, point, n, which, f, gsl_matrix_alloc(room, room), gsl_matrix_alloc(room, 3), 0};
    ll_status status = normal.factor && normal.sign ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        gsl_matrix_set_identity(normal.factor);
        for (size_t i = 0; i < n; i++)
            for (size_t j = 0; j <= i; j++) /* the factor needs the lower triangle */
                gsl_matrix_set(normal.factor, i, j, entry(bench, h, point, which[i], which[j]));
        status = gsl_linalg_cholesky_decomp1(normal.factor) ? LL_LIBRARY : LL_OK;
    }
    for (size_t i = 0; i < n && !status; i++) {
        if (is_sign(bench, which[i]))
            fill_signs(bench, &normal, i);
        else
            normal.log_constant -= log(gsl_matrix_get(normal.factor, i, i)) + 0.5 * log(2 * LL_PI);
    }
    if (status)
        ll_normal_clear(&normal);
    else
        *out = normal;
    return status;
}

void ll_normal_clear(ll_normal *normal)
{
    gsl_matrix_free(normal->factor);
    gsl_matrix_free(normal->sign);
    normal->factor = normal->sign = NULL;
}

double ll_normal_log(const ll_bench *bench, const ll_normal *normal, const double *value,
                     double *work, double *chi2)
{
    double sum = normal->log_constant, squares = 0, distance = 0;
    for (size_t k = 0; k < normal->n; k++) {
        const size_t i = normal->which[k];
        work[k] = is_sign(bench, i) ? 0 : value[k] - normal->f[i];
        if (is_sign(bench, i)) {
            const double p = sign_probability(normal, k, value[k]);
            const double likeliest =
                fmax(sign_probability(normal, k, -1),
                     fmax(sign_probability(normal, k, 0), sign_probability(normal, k, 1)));
            sum += log(p);
            squares -= 2 * log(p / likeliest);
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

/* The slip of reading k over the whole: what a wrong figure makes of it, over what it scatters by given all others. With
 * P the inverse of the covariance and u = P (value - f), that is a normal law of variance 1 / P_kk and deviation u_k / P_kk. */
static double slip_ratio(double broad, double deviation, double p_kk, double u_k)
{
    const double beyond = squared(deviation / broad), inside = squared(u_k) / p_kk;
    return log(wrong_figure) - log(broad) - beyond / 2 - log(p_kk) / 2 + inside / 2;
}

double ll_normal_slips(const ll_bench *bench, const ll_normal *normal, const double *value,
                       gsl_matrix *inverse, double *log_slip)
{
    double most = 0, sum = 0;
    gsl_matrix_memcpy(inverse, normal->factor);
    if (normal->n && gsl_linalg_cholesky_invert(inverse))
        return 0;
    for (size_t k = 0; k < normal->n; k++) {
        const size_t i = normal->which[k];
        const double broad = is_sign(bench, i) ? 0 : bench->reading[i].broad;
        double u = 0;
        for (size_t j = 0; j < normal->n; j++)
            if (!is_sign(bench, normal->which[j]))
                u += gsl_matrix_get(inverse, k, j) * (value[j] - normal->f[normal->which[j]]);
        log_slip[k] = is_sign(bench, i) ? log(slip / 3 / sign_probability(normal, k, value[k]))
                      : broad > 0       ? slip_ratio(broad, value[k] - normal->f[i],
                                                     gsl_matrix_get(inverse, k, k), u)
                                        : -HUGE_VAL;
        most = is_sign(bench, i) ? most : fmax(most, log_slip[k]);
    }
    for (size_t k = 0; k < normal->n; k++)
        if (!is_sign(bench, normal->which[k]))
            sum += exp(log_slip[k] - most);
    return most + log(exp(-most) + sum);
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
        const double north = sign_probability(normal, k, 1);
        const double south = sign_probability(normal, k, -1);
        value[k] = rank < north ? 1 : rank > 1 - south ? -1 : 0;
    }
}
