/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/linkage_fit.h"
#include "base/gsl.h"

#include <gsl/gsl_multifit.h>
#include <math.h>
#include <stdbool.h>

/* Singular values below this share of the largest mean that the samples do not tell two polynomials apart. */
static const double same = 1e-10;

/* Powers that go into the fit: i + j <= degree, each at most what the places along its axis can tell apart. */
typedef struct ll_powers {
    unsigned degree, most_x, most_z;
} ll_powers;

/* Whether term u^i v^j is fitted. */
static bool is_fitted(const ll_powers *p, unsigned i, unsigned j)
{
    return i + j <= p->degree && i <= p->most_x && j <= p->most_z;
}

static size_t count_terms(const ll_powers *p)
{
    size_t terms = 0;
    for (unsigned i = 0; i <= p->degree; i++)
        for (unsigned j = 0; i + j <= p->degree; j++)
            terms += is_fitted(p, i, j);
    return terms;
}

/* Distinct values, less one, up to `most`. */
static unsigned most_power(size_t n, const double *value, unsigned most)
{
    unsigned distinct = 0;
    for (size_t i = 0; i < n && distinct <= most; i++) {
        bool seen = false;
        for (size_t k = 0; k < i && !seen; k++)
            seen = value[k] == value[i];
        distinct += !seen;
    }
    return distinct > most ? most : distinct - 1;
}

/* What the least-squares problem is made of. */
typedef struct ll_fit {
    gsl_matrix *basis, *covariance;
    gsl_vector *linkage, *c;
    gsl_multifit_linear_workspace *work;
} ll_fit;

/* The interval that the values fill. */
static void range(size_t n, const double *value, double *centre, double *half)
{
    double least = HUGE_VAL, most = -HUGE_VAL;
    for (size_t i = 0; i < n; i++) {
        least = fmin(least, value[i]);
        most = fmax(most, value[i]);
    }
    *centre = (least + most) / 2;
    *half = (most - least) / 2;
}

static ll_status check(const ll_linkage_samples *s, unsigned degree)
{
    if (degree < 1 || degree > LL_LINKAGE_MAP_DEGREE || s->n == 0)
        return LL_BAD_VALUE;
    for (size_t i = 0; i < s->n; i++)
        if (!isfinite(s->x_m[i]) || !isfinite(s->z_m[i]) || !isfinite(s->linkage_wb[i]))
            return LL_BAD_VALUE;
    return LL_OK;
}

/* One sample's row: u^i v^j in the order in which the coefficients are read back. */
static void set_row(ll_fit *f, size_t row, const ll_powers *powers, double u, double v)
{
    size_t column = 0;
    double power_u = 1;
    for (unsigned i = 0; i <= powers->degree; i++, power_u *= u) {
        double term = power_u;
        for (unsigned j = 0; i + j <= powers->degree; j++, term *= v)
            if (is_fitted(powers, i, j))
                gsl_matrix_set(f->basis, row, column++, term);
    }
}

/* unit makes the linkages numbers of order 1; GSL measures its singular values against the matrix alone. */
static ll_status solve(const ll_linkage_samples *s, const ll_powers *powers, ll_fit *f,
                       ll_polynomial *p, double unit)
{
    for (size_t i = 0; i < s->n; i++) {
        set_row(f, i, powers, (s->x_m[i] - p->centre_x_m) / p->half_x_m,
                (s->z_m[i] - p->centre_z_m) / p->half_z_m);
        gsl_vector_set(f->linkage, i, s->linkage_wb[i] / unit);
    }
    double squares;
    size_t rank;
    if (gsl_multifit_linear_tsvd(f->basis, f->linkage, same, f->c, f->covariance, &squares, &rank,
                                 f->work))
        return LL_LIBRARY;
    if (rank < f->c->size)
        return LL_BAD_VALUE;
    size_t column = 0;
    for (unsigned i = 0; i <= p->degree; i++)
        for (unsigned j = 0; i + j <= p->degree; j++)
            p->c[i][j] = is_fitted(powers, i, j) ? unit * gsl_vector_get(f->c, column++) : 0;
    return LL_OK;
}

/* Least squares makes the mean small; what the caller wants to know is the worst place. */
static double largest_residual(const ll_linkage_samples *s, const ll_polynomial *p)
{
    double most = 0;
    for (size_t i = 0; i < s->n; i++) {
        const double u = (s->x_m[i] - p->centre_x_m) / p->half_x_m;
        const double v = (s->z_m[i] - p->centre_z_m) / p->half_z_m;
        most = fmax(most, fabs(ll_polynomial_value(p, u, v) - s->linkage_wb[i]));
    }
    return most;
}

static double largest(size_t n, const double *value)
{
    double most = 0;
    for (size_t i = 0; i < n; i++)
        most = fmax(most, fabs(value[i]));
    return most > 0 ? most : 1;
}

ll_status ll_polynomial_fit(const ll_linkage_samples *s, unsigned degree, ll_polynomial *out)
{
    ll_status status = check(s, degree);
    if (status)
        return status;
    ll_polynomial p = {.degree = degree};
    range(s->n, s->x_m, &p.centre_x_m, &p.half_x_m);
    range(s->n, s->z_m, &p.centre_z_m, &p.half_z_m);
    if (!(p.half_x_m > 0) || !(p.half_z_m > 0))
        return LL_BAD_VALUE;
    const ll_powers powers = {degree, most_power(s->n, s->x_m, degree),
                              most_power(s->n, s->z_m, degree)};
    const size_t terms = count_terms(&powers);
    if (s->n < terms)
        return LL_BAD_VALUE;
    ll_fit f = {gsl_matrix_alloc(s->n, terms), gsl_matrix_alloc(terms, terms),
                gsl_vector_alloc(s->n), gsl_vector_alloc(terms),
                gsl_multifit_linear_alloc(s->n, terms)};
    status = f.basis && f.covariance && f.linkage && f.c && f.work ? LL_OK : LL_NO_MEMORY;
    if (!status)
        status = solve(s, &powers, &f, &p, largest(s->n, s->linkage_wb));
    gsl_matrix_free(f.basis);
    gsl_matrix_free(f.covariance);
    gsl_vector_free(f.linkage);
    gsl_vector_free(f.c);
    gsl_multifit_linear_free(f.work);
    if (status)
        return status;
    p.residual_wb = largest_residual(s, &p);
    *out = p;
    return LL_OK;
}

double ll_polynomial_value(const ll_polynomial *p, double u, double v)
{
    double sum = 0;
    for (unsigned i = p->degree + 1; i-- > 0;) {
        double row = 0;
        for (unsigned j = p->degree + 1 - i; j-- > 0;)
            row = row * v + p->c[i][j];
        sum = sum * u + row;
    }
    return sum;
}
