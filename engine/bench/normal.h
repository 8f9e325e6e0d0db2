/* normal.h - the law by which some readings scatter around one prediction. Private to this folder.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BENCH_NORMAL_H
#define LL_BENCH_NORMAL_H

#include "base/gsl.h"
#include "base/status.h"
#include "bench/bench.h"
#include <gsl/gsl_matrix.h>

/* Readings which[n] at one point of a hypothesis: normal ones with the Cholesky factor of their covariance, and signs. */
typedef struct ll_normal {
    size_t hypothesis, point, n;
    const size_t *which; /* borrowed */
    const double *f;     /* predictions of all readings, borrowed */
    gsl_matrix *factor;  /* [n][n], lower triangle; rows of signs are those of a unit matrix */
    gsl_matrix *sign;    /* [n][3], rows of signs: probabilities of -1, 0, 1 */
    double log_constant; /* -log of the square root of det(2 pi covariance) */
} ll_normal;

/* LL_LIBRARY when a covariance is not positive, LL_NO_MEMORY. Cleared by ll_normal_clear. */
ll_status ll_normal_make(const ll_bench *bench, size_t hypothesis, size_t point, size_t n,
                         const size_t *which, ll_normal *out);
void ll_normal_clear(ll_normal *normal);

/* Log of the density of value[n]; *chi2 (or NULL) is twice what the log is under its most. work[n]. */
double ll_normal_log(const ll_bench *bench, const ll_normal *normal, const double *value,
                     double *work, double *chi2);

/* Logs of how much likelier each reading is a slip than not, the others as they are: log_slip[n]; returns the log of the factor that
 * slips of single values add to the density (signs have theirs in it). inverse[n][n] is room. */
double ll_normal_slips(const ll_bench *bench, const ll_normal *normal, const double *value,
                       gsl_matrix *inverse, double *log_slip);

/* A sample from n standard normal deviates; value[n]. A sign is drawn from its own deviate. */
void ll_normal_sample(const ll_bench *bench, const ll_normal *normal, const double *deviate,
                      double *value);

#endif
