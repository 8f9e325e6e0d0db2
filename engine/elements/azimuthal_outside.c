/* The boundary operators of A_phi. SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "base/dense.h"
#include "base/gsl.h"
#include "elements/azimuthal_data.h"
#include "elements/ring_kernel.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The operators' rows at one point: what tau's and A's functions do there. */
typedef struct ll_rows {
    double *single; /* [charges] S */
    double *twice;  /* [outline] C */
    double *charge; /* [outline] N, before it is tested */
} ll_rows;

/* One ring that stands for its share of a side. */
static void add_ring(const ll_azimuthal *a, size_t k, double at, double weight,
                     const ll_ring_kernels *g, int i, double s, ll_rows *rows)
{
    const ll_side *side = &a->meridian.side[k];
    const int degree = a->meridian.degree;
    double charge[LL_DEGREE_MOST + 1], value[LL_DEGREE_MOST + 1], slope[LL_DEGREE_MOST + 1];
    ll_legendre(degree, at, charge);
    ll_shapes(degree, at, value, slope);
    const double one = weight * s * g->g[1][i];
    const double normal = weight * s * (g->to_s[1][i] * side->n_r + g->to_t[1][i] * side->n_z) +
                          weight * g->g[1][i] * side->n_r;
    const double zero = weight * g->g[0][i] * ll_side_sense(side);
    for (int j = 0; j < degree; j++)
        rows->single[(int)k * degree + j] += one * charge[j];
    for (int j = 0; j <= degree; j++) {
        const int to = a->at_outline[side->unknown[j]];
        if (to < 0)
            continue;
        rows->twice[to] += normal * value[j];
        rows->charge[to] +=
            zero * (s * slope[j] * 2 / side->length + (side->along_r ? value[j] : 0));
    }
}

/* Side k at the point (r, z). */
static void add_side(const ll_azimuthal *a, size_t k, double r, double z, ll_rows *rows)
{
    const ll_side *side = &a->meridian.side[k];
    double at[LL_SIDE_POINTS], weight[LL_SIDE_POINTS];
    double s[LL_RINGS_TOGETHER], t[LL_RINGS_TOGETHER];
    const int points = ll_side_points(&a->rules, side, r, z, at, weight);
    for (int first = 0; first < points; first += LL_RINGS_TOGETHER) {
        const int n = points - first < LL_RINGS_TOGETHER ? points - first : LL_RINGS_TOGETHER;
        ll_ring_kernels g;
        for (int i = 0; i < n; i++) {
            /* A ring on the axis has no weight, but no kernel either. */
            s[i] = fmax(ll_side_r(side, at[first + i]), 1e-9 * a->meridian.radius_m);
            t[i] = ll_side_z(side, at[first + i]);
        }
        ll_ring_kernels_find(1, r, z, n, s, t, &g);
        for (int i = 0; i < n; i++)
            add_ring(a, k, at[first + i], weight[first + i], &g, i, s[i], rows);
    }
}

/* Adds rows at Gauss point i of side k, tested by its functions; n_own is N before H' S^-1 H comes to it. */
static void test_point(ll_azimuthal *a, size_t k, int i, const ll_rows *rows)
{
    const ll_side *side = &a->meridian.side[k];
    const int degree = a->meridian.degree;
    const size_t outline = (size_t)a->outline, charges = (size_t)a->charges;
    const double at = a->along.at[i], r = ll_side_r(side, at);
    const double length = 0.5 * side->length * a->along.weight[i];
    double charge[LL_DEGREE_MOST + 1], value[LL_DEGREE_MOST + 1], slope[LL_DEGREE_MOST + 1];
    ll_legendre(degree, at, charge);
    ll_shapes(degree, at, value, slope);
    for (int c = 0; c < degree; c++) {
        const size_t row = k * (size_t)degree + (size_t)c;
        const double weight = length * r * charge[c];
        ll_dense_add(charges, weight, rows->single, a->single + row * charges);
        ll_dense_add(outline, -weight, rows->twice, a->half + row * outline);
    }
    for (int j = 0; j <= degree; j++) {
        const int to = a->at_outline[side->unknown[j]];
        if (to < 0)
            continue;
        for (int c = 0; c < degree; c++)
            a->half[(k * (size_t)degree + (size_t)c) * outline + (size_t)to] +=
                0.5 * length * r * charge[c] * value[j];
        const double turned = length * ll_side_sense(side) *
                              (r * slope[j] * 2 / side->length + (side->along_r ? value[j] : 0));
        ll_dense_add(outline, turned, rows->charge, a->outside + (size_t)to * outline);
    }
}

static ll_status integrate(ll_azimuthal *a)
{
    const size_t outline = (size_t)a->outline, charges = (size_t)a->charges;
    double *room = malloc((charges + 2 * outline + 1) * sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    ll_rows rows = {room, room + charges, room + charges + outline};
    for (size_t k = 0; k < a->meridian.sides; k++)
        for (int i = 0; i < a->along.points; i++) {
            const ll_side *side = &a->meridian.side[k];
            const double r = ll_side_r(side, a->along.at[i]), z = ll_side_z(side, a->along.at[i]);
            memset(room, 0, (charges + 2 * outline) * sizeof *room);
            for (size_t from = 0; from < a->meridian.sides; from++)
                add_side(a, from, r, z, &rows);
            test_point(a, k, i, &rows);
        }
    free(room);
    return LL_OK;
}

/* Quadrature leaves the two triangles of a symmetric matrix a little apart. */
static void make_symmetric(size_t n, double *m)
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++)
            m[i * n + j] = m[j * n + i] = 0.5 * (m[i * n + j] + m[j * n + i]);
}

ll_status ll_azimuthal_solve_single(const ll_azimuthal *a, double *x)
{
    const size_t n = (size_t)a->charges;
    const gsl_matrix_const_view single = gsl_matrix_const_view_array(a->single, n, n);
    gsl_vector_view vector = gsl_vector_view_array(x, n);
    return gsl_linalg_cholesky_svx(&single.matrix, &vector.vector) ? LL_LIBRARY : LL_OK;
}

/* S^-1 H, and H' S^-1 H on top of N. */
static ll_status eliminate(ll_azimuthal *a)
{
    const size_t outline = (size_t)a->outline, charges = (size_t)a->charges;
    gsl_matrix_view single = gsl_matrix_view_array(a->single, charges, charges);
    double *column = malloc((charges + 1) * sizeof *column);
    ll_status status = column ? LL_OK : LL_NO_MEMORY;
    make_symmetric(charges, a->single);
    if (!status && gsl_linalg_cholesky_decomp1(&single.matrix))
        status = LL_LIBRARY;
    for (size_t j = 0; j < outline && !status; j++) {
        for (size_t c = 0; c < charges; c++)
            column[c] = a->half[c * outline + j];
        status = ll_azimuthal_solve_single(a, column);
        for (size_t c = 0; c < charges; c++) {
            a->inverse_half[c * outline + j] = column[c];
            for (size_t i = 0; i < outline; i++)
                a->outside[i * outline + j] += a->half[c * outline + i] * column[c];
        }
    }
    free(column);
    make_symmetric(outline, a->outside);
    return status;
}

ll_status ll_azimuthal_make_outside(ll_azimuthal *a)
{
    const size_t outline = (size_t)a->outline, charges = (size_t)a->charges;
    a->single = calloc(charges * charges + 1, sizeof(double));
    a->half = calloc(charges * outline + 1, sizeof(double));
    a->inverse_half = calloc(charges * outline + 1, sizeof(double));
    a->outside = calloc(outline * outline + 1, sizeof(double));
    if (!a->single || !a->half || !a->inverse_half || !a->outside)
        return LL_NO_MEMORY;
    const ll_status status = integrate(a);
    return status ? status : eliminate(a);
}
