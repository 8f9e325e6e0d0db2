/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/wire.h"
#include "base/constants.h"
#include "base/dense.h"
#include "base/gsl.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Of the first residual; and what rounding leaves of the flux that H itself would carry. */
static const double newton_tolerance = 1e-9, rounding = 1e-12;
enum { MOST_STEPS = 60, MOST_HALVINGS = 12 };

void ll_wire_weights(size_t nodes, const double *y_m, double *weight_m)
{
    for (size_t i = 0; i < nodes; i++) {
        const double before = i ? y_m[i] - y_m[i - 1] : 0;
        const double after = i + 1 < nodes ? y_m[i + 1] - y_m[i] : 0;
        weight_m[i] = 0.5 * (before + after);
    }
}

/* Potential at distance `off` along and a across from a charge that rises from 0 at s = 0 to 1 at s = l (l may be
 * negative: the hat's other side). */
static double ramp_potential(double off, double l, double a)
{
    const double length = fabs(l), y = l > 0 ? off : -off;
    const double near = hypot(y, a), far = hypot(length - y, a);
    const double log_part = asinh((length - y) / a) + asinh(y / a);
    return (far - near + y * log_part) / (length * 4 * LL_PI);
}

/* g[i][j]: potential at node i on the wire's surface of the hat of node j. */
static void fill_layer(size_t n, const double *y, double a, double *g)
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++) {
            double sum = 0;
            if (j > 0)
                sum += ramp_potential(y[i] - y[j - 1], y[j] - y[j - 1], a);
            if (j + 1 < n)
                sum += ramp_potential(y[i] - y[j + 1], y[j] - y[j + 1], a);
            g[i * n + j] = sum;
        }
}

/* q v integrated: the hats' mass matrix, applied to a row-major matrix g^-1 or to a vector (columns = 1). */
static void mass_times(size_t n, const double *y, size_t columns, const double *x, double *out)
{
    memset(out, 0, n * columns * sizeof *out);
    for (size_t e = 0; e + 1 < n; e++) {
        const double l = y[e + 1] - y[e];
        for (size_t r = 0; r < 2; r++)
            for (size_t c = 0; c < 2; c++)
                ll_dense_add(columns, l * (r == c ? 2 : 1) / 6, x + (e + c) * columns,
                             out + (e + r) * columns);
    }
}

/* The wire's numbers: outside[n][n] = mass g^-1 gives the flux that leaves, from w - psi. */
typedef struct ll_wire_system {
    size_t n;
    const double *y, *psi;
    double area;
    const ll_wire_make *make;
    double *inverse, *outside, *jacobian, *residual, *step, *w, *trial, *scratch;
} ll_wire_system;

static ll_status invert(size_t n, double *m, double *inverse)
{
    gsl_permutation *p = gsl_permutation_alloc(n);
    if (!p)
        return LL_NO_MEMORY;
    int sign;
    gsl_matrix_view a = gsl_matrix_view_array(m, n, n), b = gsl_matrix_view_array(inverse, n, n);
    const int failed =
        gsl_linalg_LU_decomp(&a.matrix, p, &sign) || gsl_linalg_LU_invert(&a.matrix, p, &b.matrix);
    gsl_permutation_free(p);
    return failed ? LL_LIBRARY : LL_OK;
}

static ll_status solve(size_t n, double *m, const double *rhs, double *x)
{
    gsl_permutation *p = gsl_permutation_alloc(n);
    if (!p)
        return LL_NO_MEMORY;
    int sign;
    gsl_matrix_view a = gsl_matrix_view_array(m, n, n);
    gsl_vector_const_view b = gsl_vector_const_view_array(rhs, n);
    gsl_vector_view v = gsl_vector_view_array(x, n);
    const int failed = gsl_linalg_LU_decomp(&a.matrix, p, &sign) ||
                       gsl_linalg_LU_solve(&a.matrix, p, &b.vector, &v.vector);
    gsl_permutation_free(p);
    return failed ? LL_LIBRARY : LL_OK;
}

static double field_in(const ll_wire_system *k, const double *w, size_t e)
{
    return -(w[e + 1] - w[e]) / (k->y[e + 1] - k->y[e]);
}

/* Moment for each length, A M and the wrap's, at an axial field, and its slope. */
static double moment(const ll_wire_system *k, double h_a_m, double *slope)
{
    double b, core, wrap;
    ll_material_b(k->make->material, h_a_m, &b, &core);
    const double beside = ll_wrap_moment(&k->make->wrap, h_a_m, &wrap);
    *slope = k->area * (core / LL_MU0 - 1) + wrap;
    return k->area * (b / LL_MU0 - h_a_m) + beside;
}

/* residual = outside (w - psi) - integral (A M + the wrap's moment) v'; returns its norm. */
static double find_residual(const ll_wire_system *k, const double *w)
{
    for (size_t i = 0; i < k->n; i++)
        k->scratch[i] = w[i] - k->psi[i];
    memset(k->residual, 0, k->n * sizeof *k->residual);
    ll_dense_multiply_add(k->n, k->n, 1, k->outside, k->scratch, k->residual);
    for (size_t e = 0; e + 1 < k->n; e++) {
        double slope;
        const double m = moment(k, field_in(k, w, e), &slope);
        k->residual[e] += m;
        k->residual[e + 1] -= m;
    }
    return sqrt(ll_dense_dot(k->n, k->residual, k->residual));
}

/* With the slope that M has at the field of each element. */
static void fill_jacobian(const ll_wire_system *k, const double *h_a_m)
{
    const size_t n = k->n;
    memcpy(k->jacobian, k->outside, n * n * sizeof *k->jacobian);
    for (size_t e = 0; e + 1 < n; e++) {
        double slope;
        moment(k, h_a_m[e], &slope);
        const double g = slope / (k->y[e + 1] - k->y[e]);
        k->jacobian[e * n + e] += g;
        k->jacobian[(e + 1) * n + e + 1] += g;
        k->jacobian[e * n + e + 1] -= g;
        k->jacobian[(e + 1) * n + e] -= g;
    }
}

/* One Newton step, shortened until the residual falls. */
static ll_status advance(ll_wire_system *k, double *norm)
{
    find_residual(k, k->w);
    for (size_t e = 0; e + 1 < k->n; e++)
        k->scratch[e] = field_in(k, k->w, e);
    fill_jacobian(k, k->scratch);
    const ll_status status = solve(k->n, k->jacobian, k->residual, k->step);
    if (status)
        return status;
    double length = 1, after = *norm;
    for (int h = 0; h < MOST_HALVINGS; h++, length /= 2) {
        for (size_t i = 0; i < k->n; i++)
            k->trial[i] = k->w[i] - length * k->step[i];
        after = find_residual(k, k->trial);
        if (after < *norm * (1 - 1e-4 * length))
            break;
    }
    memcpy(k->w, k->trial, k->n * sizeof *k->w);
    *norm = after;
    return LL_OK;
}

static ll_status newton(ll_wire_system *k)
{
    /* The start is a wire that is not magnetised: w = psi. */
    memcpy(k->w, k->psi, k->n * sizeof *k->w);
    double norm = find_residual(k, k->w), most = 0;
    for (size_t e = 0; e + 1 < k->n; e++)
        most = fmax(most, fabs(field_in(k, k->w, e)));
    const double target = fmax(newton_tolerance * norm, rounding * k->area * most);
    for (int i = 0; norm > target; i++) {
        if (i == MOST_STEPS || !isfinite(norm))
            return LL_NO_CONVERGENCE;
        const ll_status status = advance(k, &norm);
        if (status)
            return status;
    }
    return LL_OK;
}

/* Room for a wire's numbers in one block, k->inverse being its start; and the matrices that geometry alone gives. */
static ll_status wire_new(size_t n, const double *y_m, const ll_wire_make *make,
                          const double *psi_a, ll_wire_system *k)
{
    double *room = calloc(3 * n * n + 5 * n, sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    *k = (ll_wire_system){.n = n,
                          .y = y_m,
                          .psi = psi_a,
                          .area = LL_PI * make->radius_m * make->radius_m,
                          .make = make,
                          .inverse = room,
                          .outside = room + n * n,
                          .jacobian = room + 2 * n * n,
                          .residual = room + 3 * n * n};
    k->step = k->residual + n;
    k->w = k->step + n;
    k->trial = k->w + n;
    k->scratch = k->trial + n;
    fill_layer(n, y_m, make->radius_m, k->jacobian);
    const ll_status status = invert(n, k->jacobian, k->inverse);
    if (status)
        free(room);
    else
        mass_times(n, y_m, n, k->inverse, k->outside);
    return status;
}

static void wire_clear(ll_wire_system *k)
{
    free(k->inverse);
}

/* The field in each element; and at each node what A M loses there over the length that the node stands for. That mean
 * of q is what the equations balance, so that forces and signals from charges agree with those from M. */
static void read_wire(const ll_wire_system *k, double *h_a_m, double *charge_a)
{
    for (size_t e = 0; e + 1 < k->n; e++)
        h_a_m[e] = field_in(k, k->w, e);
    for (size_t i = 0; i < k->n; i++)
        k->scratch[i] = k->w[i] - k->psi[i];
    memset(charge_a, 0, k->n * sizeof *charge_a);
    ll_dense_multiply_add(k->n, k->n, 1, k->outside, k->scratch, charge_a);
    ll_wire_weights(k->n, k->y, k->scratch);
    for (size_t i = 0; i < k->n; i++)
        charge_a[i] /= k->scratch[i];
}

ll_status ll_wire_magnetise(size_t nodes, const double *y_m, const ll_wire_make *make,
                            const double *psi_a, double *h_a_m, double *charge_a)
{
    ll_wire_system k;
    ll_status status = wire_new(nodes, y_m, make, psi_a, &k);
    if (status)
        return status;
    status = newton(&k);
    if (!status)
        read_wire(&k, h_a_m, charge_a);
    wire_clear(&k);
    return status;
}

ll_status ll_wire_answer(size_t nodes, const double *y_m, const ll_wire_make *make,
                         const double *bias_a_m, const double *psi_a, double *h_a_m,
                         double *charge_a)
{
    ll_wire_system k;
    ll_status status = wire_new(nodes, y_m, make, psi_a, &k);
    if (status)
        return status;
    fill_jacobian(&k, bias_a_m);
    ll_dense_multiply_add(nodes, nodes, 1, k.outside, psi_a, k.residual);
    status = solve(nodes, k.jacobian, k.residual, k.w);
    if (!status)
        read_wire(&k, h_a_m, charge_a);
    wire_clear(&k);
    return status;
}
