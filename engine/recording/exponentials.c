/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "recording/exponentials.h"
#include "base/gsl.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_complex_math.h>
#include <gsl/gsl_eigen.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

enum { MOST_PENCIL = 100, MOST_MODES = 2, EACH = 4, STEPS = 100 };

/* ---- a first answer: the pencil ---- */

/* Sums of conj(y[i + j]) y[i + k] over i: the series' windows of `length` against each other. */
static void correlate(size_t n, const double complex *y, size_t length, gsl_matrix_complex *r)
{
    for (size_t j = 0; j < length; j++)
        for (size_t k = 0; k <= j; k++) {
            double complex sum = 0;
            for (size_t i = 0; i + length <= n; i++)
                sum += conj(y[i + j]) * y[i + k];
            gsl_matrix_complex_set(r, j, k, gsl_complex_rect(creal(sum), cimag(sum)));
            gsl_matrix_complex_set(r, k, j, gsl_complex_rect(creal(sum), -cimag(sum)));
        }
}

static double complex element(const gsl_matrix_complex *m, size_t i, size_t k)
{
    const gsl_complex z = gsl_matrix_complex_get(m, i, k);
    return GSL_REAL(z) - I * GSL_IMAG(z);
}

/* The columns of the strongest directions, shifted by one place, are themselves times a small matrix, whose eigenvalues are the
 * ratios of neighbouring values. */
static void ratios(const gsl_matrix_complex *v, int count, double complex *z)
{
    double complex normal[2][2] = {{0}}, side[2][2] = {{0}};
    for (size_t i = 0; i + 1 < v->size1; i++)
        for (size_t a = 0; a < (size_t)count; a++)
            for (size_t b = 0; b < (size_t)count; b++) {
                normal[a][b] += conj(element(v, i, a)) * element(v, i, b);
                side[a][b] += conj(element(v, i, a)) * element(v, i + 1, b);
            }
    if (count == 1) {
        z[0] = side[0][0] / normal[0][0];
        return;
    }
    const double complex d = normal[0][0] * normal[1][1] - normal[0][1] * normal[1][0];
    double complex m[2][2];
    for (int b = 0; b < 2; b++) {
        m[0][b] = (normal[1][1] * side[0][b] - normal[0][1] * side[1][b]) / d;
        m[1][b] = (normal[0][0] * side[1][b] - normal[1][0] * side[0][b]) / d;
    }
    const double complex half = (m[0][0] + m[1][1]) / 2;
    const double complex root = csqrt(half * half - (m[0][0] * m[1][1] - m[0][1] * m[1][0]));
    z[0] = half + root;
    z[1] = half - root;
}

static ll_status pencil(size_t n, const double complex *y, int count, double complex *exponent)
{
    const size_t length = n / 3 < MOST_PENCIL ? n / 3 : MOST_PENCIL;
    gsl_matrix_complex *r = gsl_matrix_complex_alloc(length, length);
    gsl_matrix_complex *v = gsl_matrix_complex_alloc(length, length);
    gsl_vector *values = gsl_vector_alloc(length);
    gsl_eigen_hermv_workspace *work = gsl_eigen_hermv_alloc(length);
    double complex z[MOST_MODES];
    ll_status status = r && v && values && work ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        correlate(n, y, length, r);
        status = gsl_eigen_hermv(r, values, v, work) ||
                         gsl_eigen_hermv_sort(values, v, GSL_EIGEN_SORT_VAL_DESC)
                     ? LL_LIBRARY
                     : LL_OK;
    }
    if (!status)
        ratios(v, count, z);
    for (int k = 0; k < count && !status; k++) {
        exponent[k] = clog(z[k]);
        if (!isfinite(creal(exponent[k])) || !isfinite(cimag(exponent[k])))
            status = LL_NO_CONVERGENCE;
    }
    gsl_matrix_complex_free(r);
    gsl_matrix_complex_free(v);
    gsl_vector_free(values);
    if (work)
        gsl_eigen_hermv_free(work);
    return status;
}

/* ---- amplitudes for given exponents: normal equations of one or two columns ---- */

static bool amplitudes(size_t n, const double complex *y, int count, const double complex *s,
                       double complex *amplitude)
{
    double complex normal[2][2] = {{1, 0}, {0, 1}}, side[2] = {0};
    for (int a = 0; a < count; a++)
        for (int b = 0; b < count; b++)
            normal[a][b] = 0;
    for (size_t i = 0; i < n; i++)
        for (int a = 0; a < count; a++) {
            const double complex column = conj(cexp(s[a] * (double)i));
            side[a] += column * y[i];
            for (int b = 0; b < count; b++)
                normal[a][b] += column * cexp(s[b] * (double)i);
        }
    const double complex d = normal[0][0] * normal[1][1] - normal[0][1] * normal[1][0];
    amplitude[0] = (normal[1][1] * side[0] - normal[0][1] * side[1]) / d;
    amplitude[1] = (normal[0][0] * side[1] - normal[1][0] * side[0]) / d;
    return isfinite(cabs(amplitude[0])) && isfinite(cabs(amplitude[1]));
}

/* ---- least squares from there ---- */

typedef struct series {
    size_t n;
    const double complex *y;
    int count;
} series;

static double complex part(const gsl_vector *x, int k, int what)
{
    const size_t at = EACH * (size_t)k + (size_t)what;
    return gsl_vector_get(x, at) + I * gsl_vector_get(x, at + 1);
}

static int residuals(const gsl_vector *x, void *context, gsl_vector *f)
{
    const series *s = context;
    for (size_t i = 0; i < s->n; i++) {
        double complex left = -s->y[i];
        for (int k = 0; k < s->count; k++)
            left += part(x, k, 2) * cexp(part(x, k, 0) * (double)i);
        if (!isfinite(creal(left)) || !isfinite(cimag(left)))
            return GSL_EDOM;
        gsl_vector_set(f, 2 * i, creal(left));
        gsl_vector_set(f, 2 * i + 1, cimag(left));
    }
    return GSL_SUCCESS;
}

/* A complex slope and the same times j fill two columns. */
static void set_slope(gsl_matrix *jacobian, size_t i, size_t column, double complex slope)
{
    gsl_matrix_set(jacobian, 2 * i, column, creal(slope));
    gsl_matrix_set(jacobian, 2 * i + 1, column, cimag(slope));
    gsl_matrix_set(jacobian, 2 * i, column + 1, -cimag(slope));
    gsl_matrix_set(jacobian, 2 * i + 1, column + 1, creal(slope));
}

static int slopes(const gsl_vector *x, void *context, gsl_matrix *jacobian)
{
    const series *s = context;
    for (size_t i = 0; i < s->n; i++)
        for (int k = 0; k < s->count; k++) {
            const double complex e = cexp(part(x, k, 0) * (double)i);
            set_slope(jacobian, i, EACH * (size_t)k, part(x, k, 2) * (double)i * e);
            set_slope(jacobian, i, EACH * (size_t)k + 2, e);
        }
    return GSL_SUCCESS;
}

static double power(size_t n, const double complex *y)
{
    double sum = 0;
    for (size_t i = 0; i < n; i++)
        sum += creal(y[i] * conj(y[i]));
    return sum;
}

static void tell(const gsl_multifit_nlinear_workspace *w, const gsl_matrix *covariance,
                 const series *s, ll_exponential *out, double *rest)
{
    const gsl_vector *x = gsl_multifit_nlinear_position(w);
    const double size = gsl_blas_dnrm2(gsl_multifit_nlinear_residual(w));
    const double variance = size * size / (2 * (double)s->n - EACH * s->count);
    for (int k = 0; k < s->count; k++) {
        const size_t at = EACH * (size_t)k + 1;
        out[k] = (ll_exponential){part(x, k, 0), part(x, k, 2),
                                  sqrt(variance * gsl_matrix_get(covariance, at, at))};
    }
    *rest = size / sqrt(power(s->n, s->y));
}

static ll_status refine(series *s, double *start, ll_exponential *out, double *rest)
{
    const size_t unknowns = EACH * (size_t)s->count;
    const gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
    gsl_multifit_nlinear_fdf system = {
        .f = residuals, .df = slopes, .n = 2 * s->n, .p = unknowns, .params = s};
    gsl_multifit_nlinear_workspace *w =
        gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how, system.n, system.p);
    gsl_matrix *covariance = gsl_matrix_alloc(unknowns, unknowns);
    const gsl_vector_view at = gsl_vector_view_array(start, unknowns);
    ll_status status = w && covariance ? LL_NO_CONVERGENCE : LL_NO_MEMORY;
    int why;
    if (status == LL_NO_CONVERGENCE && !gsl_multifit_nlinear_init(&at.vector, &system, w)) {
        const int ended = gsl_multifit_nlinear_driver(STEPS, 1e-12, 1e-12, 0, NULL, NULL, &why, w);
        if ((ended == GSL_SUCCESS || ended == GSL_ENOPROG) &&
            !gsl_multifit_nlinear_covar(gsl_multifit_nlinear_jac(w), 0, covariance)) {
            tell(w, covariance, s, out, rest);
            status = LL_OK;
        }
    }
    if (w)
        gsl_multifit_nlinear_free(w);
    gsl_matrix_free(covariance);
    return status;
}

ll_status ll_exponentials_find(size_t n, const double complex *value, int count,
                               ll_exponential *out, double *rest)
{
    double complex exponent[MOST_MODES], amplitude[MOST_MODES];
    double start[EACH * MOST_MODES];
    series s = {n, value, count};
    if (!(power(n, value) > 0))
        return LL_NO_SIGNAL;
    const ll_status status = pencil(n, value, count, exponent);
    if (status)
        return status;
    if (!amplitudes(n, value, count, exponent, amplitude))
        return LL_NO_CONVERGENCE;
    for (int k = 0; k < count; k++) {
        start[EACH * k] = creal(exponent[k]);
        start[EACH * k + 1] = cimag(exponent[k]);
        start[EACH * k + 2] = creal(amplitude[k]);
        start[EACH * k + 3] = cimag(amplitude[k]);
    }
    return refine(&s, start, out, rest);
}
