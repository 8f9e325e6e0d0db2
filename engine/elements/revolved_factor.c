/* A body of revolution's own equations solved: for each harmonic
 *     A w + F lambda = a,   H w - S lambda = b
 * with A the stiffness inside for the tangent's mean around the axis, F and H = 1/2 - K those of the surface. lambda is eliminated
 * by the factor of S, made once for each form; (A + F S^-1 H) w = a + F S^-1 b is factorised anew with each tangent.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/dense.h"
#include "base/gsl.h"
#include "elements/revolved_data.h"

#include <gsl/gsl_cblas.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_permute_vector.h>
#include <stdlib.h>
#include <string.h>

struct ll_body_factor {
    int harmonics;
    double *matrix[LL_HARMONIC_MOST + 1];
    gsl_permutation *order[LL_HARMONIC_MOST + 1];
};

/* Factorises m[n][n] in place. */
static ll_status factorise(size_t n, double *m, gsl_permutation **order)
{
    int sign;
    *order = gsl_permutation_alloc(n);
    if (!*order)
        return LL_NO_MEMORY;
    gsl_matrix_view view = gsl_matrix_view_array(m, n, n);
    return gsl_linalg_LU_decomp(&view.matrix, *order, &sign) ? LL_LIBRARY : LL_OK;
}

static ll_status solve(size_t n, const double *m, const gsl_permutation *order, double *x)
{
    const gsl_matrix_const_view view = gsl_matrix_const_view_array(m, n, n);
    gsl_vector_view vector = gsl_vector_view_array(x, n);
    return gsl_linalg_LU_svx(&view.matrix, order, &vector.vector) ? LL_LIBRARY : LL_OK;
}

/* ---- once for each form ---- */

static ll_status prepare_harmonic(ll_revolved *f, int m)
{
    const size_t n = (size_t)f->side_charges, outline = (size_t)ll_part_of(f, m)->outline;
    f->single[m] = malloc(n * n * sizeof(double));
    f->answer[m] = malloc(n * outline * sizeof(double));
    double *column = malloc(n * sizeof *column);
    ll_status status = f->single[m] && f->answer[m] && column ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        for (size_t i = 0; i < n; i++)
            for (size_t j = 0; j < n; j++)
                f->single[m][i * n + j] = -f->own[m][i * (outline + n) + outline + j];
        status = factorise(n, f->single[m], &f->single_order[m]);
    }
    for (size_t k = 0; k < outline && !status; k++) {
        for (size_t i = 0; i < n; i++)
            column[i] = f->own[m][i * (outline + n) + k];
        status = solve(n, f->single[m], f->single_order[m], column);
        for (size_t i = 0; i < n; i++)
            f->answer[m][i * outline + k] = column[i];
    }
    free(column);
    return status;
}

ll_status ll_revolved_prepare_factor(ll_revolved *f)
{
    ll_status status = LL_OK;
    for (int m = 0; m <= f->harmonics && !status; m++)
        status = prepare_harmonic(f, m);
    return status;
}

/* ---- the stiffness inside ---- */

/* The tangent's mean around the axis at a point of a cell, in the directions r, phi, z. */
typedef struct ll_mean_tangent {
    double rr, pp, zz, rz;
} ll_mean_tangent;

static ll_mean_tangent mean_tangent(const ll_revolved *f, const double *tangent, size_t cell, int q)
{
    const size_t points = (size_t)f->inside.points * (size_t)f->inside.points, n = f->form.places;
    const size_t first = cell * points * (size_t)f->around.count + (size_t)q;
    ll_mean_tangent mean = {0, 0, 0, 0};
    for (int a = 0; a < f->around.count; a++) {
        const double *t = tangent + first + (size_t)a * points, share = 1.0 / f->around.count;
        const double c = f->around.cosine[a], s = f->around.sine[a];
        mean.rr += share * (c * c * t[0] + s * s * t[n] + 2 * c * s * t[5 * n]);
        mean.pp += share * (s * s * t[0] + c * c * t[n] - 2 * c * s * t[5 * n]);
        mean.zz += share * t[2 * n];
        mean.rz += share * (c * t[4 * n] + s * t[3 * n]);
    }
    return mean;
}

/* Of one cell: the part that is the same for all harmonics, and that which goes with m squared. */
typedef struct ll_cell_stiffness {
    double plane[LL_CELL_SHAPES][LL_CELL_SHAPES], around[LL_CELL_SHAPES][LL_CELL_SHAPES];
} ll_cell_stiffness;

static void add_cell_point(const ll_revolved *f, const ll_cell *c, int q,
                           const ll_mean_tangent *mean, ll_cell_stiffness *k)
{
    const int n = f->inside.points, all = n * n;
    const int shapes = (f->meridian.degree + 1) * (f->meridian.degree + 1);
    const double half_r = 0.5 * (c->r[1] - c->r[0]), half_z = 0.5 * (c->z[1] - c->z[0]);
    const double r = c->r[0] + half_r * (1 + f->inside.at[q % n]);
    const double weight = half_r * half_z * f->inside.weight[q % n] * f->inside.weight[q / n] * r;
    double dr[LL_CELL_SHAPES], dz[LL_CELL_SHAPES], v[LL_CELL_SHAPES];
    for (int s = 0; s < shapes; s++) {
        dr[s] = f->slope_r[s * all + q] / half_r;
        dz[s] = f->slope_z[s * all + q] / half_z;
        v[s] = f->value[s * all + q] / r;
    }
    for (int i = 0; i < shapes; i++) {
        const double br = weight * (mean->rr * dr[i] + mean->rz * dz[i]);
        const double bz = weight * (mean->rz * dr[i] + mean->zz * dz[i]);
        const double bp = weight * mean->pp * v[i];
        for (int j = 0; j < shapes; j++) {
            k->plane[i][j] += br * dr[j] + bz * dz[j];
            k->around[i][j] += bp * v[j];
        }
    }
}

static void add_cell(const ll_revolved *f, const ll_cell *c, const ll_cell_stiffness *k,
                     ll_body_factor *out)
{
    const int shapes = (f->meridian.degree + 1) * (f->meridian.degree + 1);
    for (int m = 0; m <= f->harmonics; m++) {
        const ll_taking_part *part = ll_part_of(f, m);
        for (int i = 0; i < shapes; i++)
            for (int j = 0; j < shapes; j++) {
                const int row = part->number[c->unknown[i]], column = part->number[c->unknown[j]];
                if (row >= 0 && column >= 0)
                    out->matrix[m][row * part->count + column] +=
                        ll_wave_square(m) * (k->plane[i][j] + m * m * k->around[i][j]);
            }
    }
}

static void add_stiffness(const ll_revolved *f, const double *tangent, ll_body_factor *out)
{
    const int points = f->inside.points * f->inside.points;
    for (size_t cell = 0; cell < f->meridian.cells; cell++) {
        ll_cell_stiffness k;
        memset(&k, 0, sizeof k);
        for (int q = 0; q < points; q++) {
            const ll_mean_tangent mean = mean_tangent(f, tangent, cell, q);
            add_cell_point(f, &f->meridian.cell[cell], q, &mean, &k);
        }
        add_cell(f, &f->meridian.cell[cell], &k, out);
    }
}

/* matrix += F S^-1 H. */
static void add_outside(const ll_revolved *f, int m, double *matrix)
{
    const ll_taking_part *part = ll_part_of(f, m);
    const int degree = f->meridian.degree;
    const double *mass = f->mass;
    for (size_t k = 0; k < f->meridian.sides; k++)
        for (int c = 0; c < degree; c++, mass += degree + 1) {
            const double *answer = f->answer[m] + ((int)k * degree + c) * part->outline;
            for (int j = 0; j <= degree; j++) {
                const int row = part->number[f->meridian.side[k].unknown[j]];
                if (row < 0)
                    continue;
                const double weight = ll_wave_square(m) * mass[j];
                for (int i = 0; i < part->outline; i++)
                    matrix[row * part->count + part->of_outline[i]] += weight * answer[i];
            }
        }
}

/* ---- the functions of a form ---- */

void ll_revolved_free_factor(ll_body_factor *factor)
{
    if (!factor)
        return;
    for (int m = 0; m <= factor->harmonics; m++) {
        free(factor->matrix[m]);
        if (factor->order[m])
            gsl_permutation_free(factor->order[m]);
    }
    free(factor);
}

ll_status ll_revolved_factorise(const ll_body_form *form, const double *tangent,
                                ll_body_factor **out)
{
    const ll_revolved *f = ll_revolved_of(form);
    ll_body_factor *factor = calloc(1, sizeof *factor);
    if (!factor)
        return LL_NO_MEMORY;
    factor->harmonics = f->harmonics;
    ll_status status = LL_OK;
    for (int m = 0; m <= f->harmonics && !status; m++) {
        const size_t n = (size_t)ll_part_of(f, m)->count;
        factor->matrix[m] = calloc(n * n, sizeof(double));
        status = factor->matrix[m] ? LL_OK : LL_NO_MEMORY;
    }
    if (!status)
        add_stiffness(f, tangent, factor);
    for (int m = 0; m <= f->harmonics && !status; m++) {
        add_outside(f, m, factor->matrix[m]);
        status = factorise((size_t)ll_part_of(f, m)->count, factor->matrix[m], &factor->order[m]);
    }
    if (status)
        ll_revolved_free_factor(factor);
    else
        *out = factor;
    return status;
}

/* The waves of one harmonic in several bodies: columns that one matrix serves, rows[n][columns]. */
typedef struct ll_columns {
    size_t count;
    double *w, *lambda, *outline;
} ll_columns;

static void clear_columns(ll_columns *c)
{
    free(c->w);
    *c = (ll_columns){0, NULL, NULL, NULL};
}

static ll_status make_columns(const ll_revolved *f, size_t bodies, ll_columns *out)
{
    const size_t most = 2 * bodies, n = (size_t)ll_part_of(f, 0)->count;
    const size_t charges = (size_t)f->side_charges, outline = (size_t)ll_part_of(f, 0)->outline;
    out->w = malloc((n + charges + outline) * most * sizeof *out->w);
    if (!out->w)
        return LL_NO_MEMORY;
    out->lambda = out->w + n * most;
    out->outline = out->lambda + charges * most;
    return LL_OK;
}

/* Puts values of n rows into a column, or takes them from there. */
static void put(size_t n, size_t columns, size_t column, const double *from, double *rows)
{
    for (size_t i = 0; i < n; i++)
        rows[i * columns + column] = from[i];
}

static void take(size_t n, size_t columns, size_t column, const double *rows, double *to)
{
    for (size_t i = 0; i < n; i++)
        to[i] = rows[i * columns + column];
}

/* rows[n][columns] = m^-1 rows, of a factorised m. */
static void solve_columns(size_t n, const double *m, const gsl_permutation *order, size_t columns,
                          double *rows)
{
    /* BLAS packs what it multiplies: that pays for several columns alone. */
    enum { FEW = 7 };
    for (size_t k = 0; k < columns; k++) {
        gsl_vector_view column = gsl_vector_view_array_with_stride(rows + k, columns, n);
        gsl_permute_vector(order, &column.vector);
        if (columns <= FEW) {
            cblas_dtrsv(CblasRowMajor, CblasLower, CblasNoTrans, CblasUnit, (int)n, m, (int)n,
                        rows + k, (int)columns);
            cblas_dtrsv(CblasRowMajor, CblasUpper, CblasNoTrans, CblasNonUnit, (int)n, m, (int)n,
                        rows + k, (int)columns);
        }
    }
    if (columns <= FEW)
        return;
    cblas_dtrsm(CblasRowMajor, CblasLeft, CblasLower, CblasNoTrans, CblasUnit, (int)n, (int)columns,
                1, m, (int)n, rows, (int)columns);
    cblas_dtrsm(CblasRowMajor, CblasLeft, CblasUpper, CblasNoTrans, CblasNonUnit, (int)n,
                (int)columns, 1, m, (int)n, rows, (int)columns);
}

/* w += F lambda, in columns. */
static void add_charges(const ll_revolved *f, int m, const ll_columns *c)
{
    const ll_taking_part *part = ll_part_of(f, m);
    const int degree = f->meridian.degree;
    const double *mass = f->mass;
    for (size_t k = 0; k < f->meridian.sides; k++)
        for (int i = 0; i < degree; i++, mass += degree + 1)
            for (int j = 0; j <= degree; j++) {
                const int at = part->number[f->meridian.side[k].unknown[j]];
                if (at >= 0)
                    ll_dense_add(c->count, ll_wave_square(m) * mass[j],
                                 c->lambda + (k * (size_t)degree + (size_t)i) * c->count,
                                 c->w + (size_t)at * c->count);
            }
}

/* lambda = S^-1 H w - lambda. */
static void answer_charges(const ll_revolved *f, int m, const ll_columns *c)
{
    const ll_taking_part *part = ll_part_of(f, m);
    const size_t n = (size_t)f->side_charges, outline = (size_t)part->outline;
    for (size_t k = 0; k < outline; k++)
        memcpy(c->outline + k * c->count, c->w + (size_t)part->of_outline[k] * c->count,
               c->count * sizeof *c->outline);
    cblas_dgemm(CblasRowMajor, CblasNoTrans, CblasNoTrans, (int)n, (int)c->count, (int)outline, 1,
                f->answer[m], (int)outline, c->outline, (int)c->count, -1, c->lambda,
                (int)c->count);
}

/* One harmonic of all bodies. */
static void solve_harmonic(const ll_revolved *f, const ll_body_factor *factor, int m, size_t bodies,
                           double *const *x, ll_columns *c)
{
    const size_t n = (size_t)ll_part_of(f, m)->count, charges = (size_t)f->side_charges;
    const size_t waves = m > 0 && f->sines ? 2 : 1;
    c->count = waves * bodies;
    size_t column = 0;
    for (size_t k = 0; k < bodies; k++)
        for (int v = 0; v < f->waves; v++)
            if (f->wave[v].m == m) {
                put(n, c->count, column, x[k] + f->wave[v].w, c->w);
                put(charges, c->count, column++, x[k] + f->wave[v].lambda, c->lambda);
            }
    solve_columns(charges, f->single[m], f->single_order[m], c->count, c->lambda);
    add_charges(f, m, c);
    solve_columns(n, factor->matrix[m], factor->order[m], c->count, c->w);
    answer_charges(f, m, c);
    column = 0;
    for (size_t k = 0; k < bodies; k++)
        for (int v = 0; v < f->waves; v++)
            if (f->wave[v].m == m) {
                take(n, c->count, column, c->w, x[k] + f->wave[v].w);
                take(charges, c->count, column++, c->lambda, x[k] + f->wave[v].lambda);
            }
}

ll_status ll_revolved_solve(const ll_body_form *form, const ll_body_factor *factor, size_t count,
                            double *const *x)
{
    const ll_revolved *f = ll_revolved_of(form);
    ll_columns c = {0, NULL, NULL, NULL};
    ll_status status = make_columns(f, count, &c);
    for (int m = 0; m <= f->harmonics && !status; m++)
        solve_harmonic(f, factor, m, count, x, &c);
    clear_columns(&c);
    return status;
}
