/* A block's own equations solved: for each class
 *     A w + F lambda = a,   H w - S lambda = b
 * with A the stiffness inside, F and H = 1/2 - K those of the surface.
 *
 * With one tangent along the axes for the whole block, its mean, A is a sum of three products of small matrices and diagonal in
 * the products of their eigenvectors (fast diagonalisation: R. Lynch, J. Rice, D. Thomas, Numer. Math. 6 (1964) 185). What the
 * outside adds, T = F S^-1 H, touches the outline alone: with G the part of A^-1 there, (1 + T G) is all that is factorised.
 * A has no say on a constant, its mode of rest: there A is given the stiffness that T has, and what that changes is taken back by
 * the formula of Sherman and Morrison. So the factor solves exactly for its own tangent.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/dense.h"
#include "base/gsl.h"
#include "elements/block_data.h"

#include <gsl/gsl_cblas.h>
#include <gsl/gsl_eigen.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

struct ll_body_factor {
    double *inverse[LL_PARITIES]; /* [functions] 1 / eigenvalue of A */
    int rest;                     /* the constant among the modes of class 0 */
    double held;                  /* the stiffness that it was given */
    double *rest_w, rest_share;   /* what a load on it moves: w, and it itself */
    double *outline[LL_PARITIES]; /* 1 + T G factorised */
    gsl_permutation *order[LL_PARITIES];
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

/* x[n][columns] = factorised m^-1 times itself, row i of the right-hand side coming from row order[i] of `from`. */
static void solve_columns(int n, const double *m, const gsl_permutation *order, int columns,
                          const double *from, int pitch, double *x)
{
    for (int i = 0; i < n; i++)
        memcpy(x + i * columns, from + (int)gsl_permutation_get(order, (size_t)i) * pitch,
               (size_t)columns * sizeof *x);
    cblas_dtrsm(CblasRowMajor, CblasLeft, CblasLower, CblasNoTrans, CblasUnit, n, columns, 1, m, n,
                x, columns);
    cblas_dtrsm(CblasRowMajor, CblasLeft, CblasUpper, CblasNoTrans, CblasNonUnit, n, columns, 1, m,
                n, x, columns);
}

/* ---- once for each form ---- */

/* Stiffness and mass of a line's even or odd functions. */
static void line_matrices(const ll_line *line, int odd, gsl_matrix *stiffness, gsl_matrix *mass)
{
    const size_t n = stiffness->size1;
    for (int q = 0; q < line->points; q++) {
        const double *value = line->value + q * line->unknowns + odd;
        const double *slope = line->slope + q * line->unknowns + odd;
        for (size_t i = 0; i < n; i++)
            for (size_t j = 0; j < n; j++) {
                *gsl_matrix_ptr(stiffness, i, j) += line->weight[q] * slope[i] * slope[j];
                *gsl_matrix_ptr(mass, i, j) += line->weight[q] * value[i] * value[j];
            }
    }
}

/* vector[n][n] in columns, orthonormal in the mass. */
static ll_status diagonalise(const ll_line *line, int odd, double *value, double *vector)
{
    const size_t n = (size_t)(line->unknowns - odd);
    gsl_matrix *stiffness = gsl_matrix_calloc(n, n), *mass = gsl_matrix_calloc(n, n);
    gsl_eigen_gensymmv_workspace *room = gsl_eigen_gensymmv_alloc(n);
    ll_status status = stiffness && mass && room ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        line_matrices(line, odd, stiffness, mass);
        gsl_vector_view values = gsl_vector_view_array(value, n);
        gsl_matrix_view vectors = gsl_matrix_view_array(vector, n, n);
        status = gsl_eigen_gensymmv(stiffness, mass, &values.vector, &vectors.matrix, room)
                     ? LL_LIBRARY
                     : LL_OK;
    }
    /* The library leaves the vectors of length 1: back to 1 in the mass. */
    for (size_t k = 0; k < n && !status; k++) {
        double sum = 0;
        for (int q = 0; q < line->points; q++) {
            double v = 0;
            for (size_t i = 0; i < n; i++)
                v += vector[i * n + k] * line->value[q * line->unknowns + odd + (int)i];
            sum += line->weight[q] * v * v;
        }
        for (size_t i = 0; i < n; i++)
            vector[i * n + k] /= sqrt(sum);
        value[k] = fmax(value[k], 0);
    }
    gsl_eigen_gensymmv_free(room);
    gsl_matrix_free(stiffness);
    gsl_matrix_free(mass);
    return status;
}

/* outside[outline][outline] = F S^-1 H. */
static ll_status fill_outside(ll_block *f, int c)
{
    const size_t n = (size_t)f->parity[c].outline, charges = (size_t)f->charges;
    double *column = malloc((charges + n) * sizeof *column);
    f->outside[c] = calloc(n * n, sizeof(double));
    if (!column || !f->outside[c]) {
        free(column);
        return LL_NO_MEMORY;
    }
    double *tested = column + charges;
    for (size_t j = 0; j < n; j++) {
        for (size_t i = 0; i < charges; i++)
            column[i] = f->answer[c][i * n + j];
        memset(tested, 0, n * sizeof *tested);
        ll_block_add_class_charges(f, c, column, NULL, tested);
        for (size_t i = 0; i < n; i++)
            f->outside[c][i * n + j] = tested[i];
    }
    free(column);
    return LL_OK;
}

static ll_status prepare_parity(ll_block *f, int c)
{
    const int n = f->charges, outline = f->parity[c].outline, columns = ll_parity_layers(f, c);
    const size_t charges = (size_t)n;
    f->single[c] = malloc(charges * charges * sizeof(double));
    f->answer[c] = malloc(charges * (size_t)outline * sizeof(double));
    if (!f->single[c] || !f->answer[c])
        return LL_NO_MEMORY;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            f->single[c][i * n + j] = -f->own[c][i * columns + outline + j];
    const ll_status status = factorise(charges, f->single[c], &f->single_order[c]);
    if (status)
        return status;
    /* NOLINTNEXTLINE(readability-suspicious-call-argument): rows of `own` are as long as there are columns in it */
    solve_columns(n, f->single[c], f->single_order[c], outline, f->own[c], columns, f->answer[c]);
    return fill_outside(f, c);
}

ll_status ll_block_prepare_factor(ll_block *f)
{
    ll_status status = LL_OK;
    for (int k = 0; k < 3; k++)
        for (int odd = 0; odd < 2 && !status; odd++) {
            const size_t n = (size_t)(f->line[k].unknowns - odd);
            f->value[k][odd] = malloc((n + 1) * sizeof(double));
            f->vector[k][odd] = malloc((n * n + 1) * sizeof(double));
            status = f->value[k][odd] && f->vector[k][odd] ? LL_OK : LL_NO_MEMORY;
            if (!status)
                status = diagonalise(&f->line[k], odd, f->value[k][odd], f->vector[k][odd]);
        }
    for (int c = 0; c < LL_PARITIES && !status; c++)
        status = prepare_parity(f, c);
    return status;
}

/* ---- with a tangent ---- */

/* Means over the block of the tangent along its axes. */
static void mean_tangent(const ll_body_form *form, const double *tangent, double mean[3])
{
    double volume = 0;
    mean[0] = mean[1] = mean[2] = 0;
    for (size_t i = 0; i < form->places; i++) {
        volume += form->volume_m3[i];
        for (size_t k = 0; k < 3; k++)
            mean[k] += form->volume_m3[i] * tangent[k * form->places + i];
    }
    for (int k = 0; k < 3; k++)
        mean[k] /= volume;
}

static int lowest(int n, const double *value)
{
    int best = 0;
    for (int i = 1; i < n; i++)
        best = value[i] < value[best] ? i : best;
    return best;
}

/* The mode of rest, and the stiffness that the outside gives it. */
static ll_status find_rest(const ll_block *f, ll_body_factor *factor)
{
    const ll_parity *p = &f->parity[0];
    int k[3];
    double *at = calloc(2 * (size_t)p->outline + 1, sizeof *at);
    if (!at)
        return LL_NO_MEMORY;
    double *pull = at + p->outline;
    for (int axis = 0; axis < 3; axis++)
        k[axis] = lowest(p->n[axis], f->value[axis][0]);
    factor->rest = (k[2] * p->n[1] + k[1]) * p->n[0] + k[0];
    for (int o = 0; o < p->outline; o++) {
        const int i = p->of_outline[o], ix = i % p->n[0], iy = i / p->n[0] % p->n[1],
                  iz = i / p->n[0] / p->n[1];
        at[o] = f->vector[0][0][ix * p->n[0] + k[0]] * f->vector[1][0][iy * p->n[1] + k[1]] *
                f->vector[2][0][iz * p->n[2] + k[2]];
    }
    const size_t n = (size_t)p->outline;
    ll_dense_multiply_add(n, n, 1, f->outside[0], at, pull);
    factor->held = fabs(ll_dense_dot(n, at, pull));
    free(at);
    return LL_OK;
}

static void fill_inverse(const ll_block *f, int c, const double mean[3], ll_body_factor *factor)
{
    const ll_parity *p = &f->parity[c];
    const double *x = f->value[0][p->odd[0]], *y = f->value[1][p->odd[1]],
                 *z = f->value[2][p->odd[2]];
    for (int i = 0; i < p->count; i++) {
        const int j = i / p->n[0] % p->n[1], k = i / p->n[0] / p->n[1];
        const double held = c == 0 && i == factor->rest ? factor->held : 0;
        factor->inverse[c][i] =
            1 / (held + LL_PARITIES * (mean[0] * x[i % p->n[0]] + mean[1] * y[j] + mean[2] * z[k]));
    }
}

/* The rows of the eigenvectors' products that belong to the outline, times the root of A^-1: z[outline][functions], G = z z^T. */
static void fill_outline_rows(const ll_block *f, int c, const double *inverse, double *z)
{
    const ll_parity *p = &f->parity[c];
    for (int o = 0; o < p->outline; o++) {
        const int at = p->of_outline[o];
        const double *x = f->vector[0][p->odd[0]] + at % p->n[0] * p->n[0];
        const double *y = f->vector[1][p->odd[1]] + at / p->n[0] % p->n[1] * p->n[1];
        const double *w = f->vector[2][p->odd[2]] + at / p->n[0] / p->n[1] * p->n[2];
        double *row = z + (size_t)o * (size_t)p->count;
        for (int k = 0; k < p->n[2]; k++)
            for (int j = 0; j < p->n[1]; j++)
                for (int i = 0; i < p->n[0]; i++)
                    *row++ = w[k] * y[j] * x[i];
        row -= p->count;
        for (int i = 0; i < p->count; i++)
            row[i] *= sqrt(inverse[i]);
    }
}

static ll_status factorise_parity(const ll_block *f, int c, const double mean[3],
                                  ll_body_factor *factor)
{
    const ll_parity *p = &f->parity[c];
    const int n = p->outline;
    const size_t square = (size_t)n * (size_t)n;
    factor->inverse[c] = malloc((size_t)p->count * sizeof(double));
    factor->outline[c] = calloc(square, sizeof(double));
    double *rows = malloc((size_t)n * (size_t)p->count * sizeof *rows);
    double *g = malloc(square * sizeof *g);
    ll_status status = factor->inverse[c] && factor->outline[c] && rows && g ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        fill_inverse(f, c, mean, factor);
        fill_outline_rows(f, c, factor->inverse[c], rows);
        cblas_dsyrk(CblasRowMajor, CblasUpper, CblasNoTrans, n, p->count, 1, rows, p->count, 0, g,
                    n);
        for (int i = 0; i < n; i++) {
            factor->outline[c][i * n + i] = 1;
            for (int j = 0; j < i; j++)
                g[i * n + j] = g[j * n + i];
        }
        cblas_dgemm(CblasRowMajor, CblasNoTrans, CblasNoTrans, n, n, n, 1, f->outside[c], n, g, n,
                    1, factor->outline[c], n);
        status = factorise((size_t)n, factor->outline[c], &factor->order[c]);
    }
    free(rows);
    free(g);
    return status;
}

void ll_block_free_factor(ll_body_factor *factor)
{
    if (!factor)
        return;
    for (int c = 0; c < LL_PARITIES; c++) {
        free(factor->inverse[c]);
        free(factor->outline[c]);
        if (factor->order[c])
            gsl_permutation_free(factor->order[c]);
    }
    free(factor->rest_w);
    free(factor);
}

/* ---- solving ---- */

/* to = V from along all three axes, or V^T with transposed. room as long as both. */
static void turn(const ll_block *f, int c, bool transposed, const double *from, double *to,
                 double *room)
{
    const ll_parity *p = &f->parity[c];
    const int nx = p->n[0], ny = p->n[1], nz = p->n[2];
    const double *x = f->vector[0][p->odd[0]], *y = f->vector[1][p->odd[1]],
                 *z = f->vector[2][p->odd[2]];
    const enum CBLAS_TRANSPOSE left = transposed ? CblasTrans : CblasNoTrans;
    cblas_dgemm(CblasRowMajor, CblasNoTrans, transposed ? CblasNoTrans : CblasTrans, nz * ny, nx,
                nx, 1, from, nx, x, nx, 0, to, nx);
    for (int k = 0; k < nz; k++)
        cblas_dgemm(CblasRowMajor, left, CblasNoTrans, ny, nx, ny, 1, y, ny, to + k * ny * nx, nx,
                    0, room + k * ny * nx, nx);
    cblas_dgemm(CblasRowMajor, left, CblasNoTrans, nz, ny * nx, nz, 1, z, nz, room, ny * nx, 0, to,
                ny * nx);
}

/* w = (A + T)^-1 of a load on each mode, with A as it was held at rest; the load becomes what A alone carries. room: twice the
 * functions and twice the outline. */
static ll_status solve_loads(const ll_block *f, const ll_body_factor *factor, int c, double *load,
                             double *w, double *room)
{
    const ll_parity *p = &f->parity[c];
    const size_t n = (size_t)p->count, outline = (size_t)p->outline;
    double *mode = room + n, *at = room + 2 * n, *pull = at + outline;
    for (size_t i = 0; i < n; i++)
        mode[i] = load[i] * factor->inverse[c][i];
    turn(f, c, false, mode, w, room);
    for (size_t i = 0; i < outline; i++) {
        at[i] = w[p->of_outline[i]];
        pull[i] = 0;
    }
    ll_dense_multiply_add(outline, outline, 1, f->outside[c], at, pull);
    const ll_status status = solve(outline, factor->outline[c], factor->order[c], pull);
    memset(w, 0, n * sizeof *w);
    for (size_t i = 0; i < outline; i++)
        w[p->of_outline[i]] = pull[i];
    turn(f, c, true, w, mode, room);
    ll_dense_add(n, -1, mode, load);
    for (size_t i = 0; i < n; i++)
        mode[i] = load[i] * factor->inverse[c][i];
    turn(f, c, false, mode, w, room);
    return status;
}

/* How much of the mode of rest a load leaves, after solve_loads. */
static double rest_of(const ll_body_factor *factor, const double *load)
{
    return load[factor->rest] * factor->inverse[0][factor->rest];
}

static size_t room_of(const ll_block *f)
{
    const ll_parity *largest = &f->parity[0]; /* even in all: nothing is missing */
    return 3 * (size_t)largest->count + 2 * (size_t)largest->outline;
}

static ll_status answer_rest(const ll_block *f, ll_body_factor *factor)
{
    const size_t n = (size_t)f->parity[0].count;
    double *room = calloc(room_of(f), sizeof *room);
    factor->rest_w = malloc(n * sizeof *factor->rest_w);
    ll_status status = room && factor->rest_w ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        double *load = room;
        load[factor->rest] = 1;
        status = solve_loads(f, factor, 0, load, factor->rest_w, room + n);
        factor->rest_share = rest_of(factor, load);
    }
    free(room);
    return status;
}

/* room: room_of. */
static ll_status solve_parity(const ll_block *f, const ll_body_factor *factor, int c, double *x,
                              double *room)
{
    const ll_parity *p = &f->parity[c];
    const size_t n = (size_t)p->count, outline = (size_t)p->outline, charges = (size_t)f->charges;
    double *w = x + p->w, *lambda = x + p->lambda;
    double *load = room, *at = room + n;
    ll_status status = solve(charges, f->single[c], f->single_order[c], lambda);
    ll_block_add_class_charges(f, c, lambda, p->of_outline, w);
    turn(f, c, true, w, load, room + n);
    if (!status)
        status = solve_loads(f, factor, c, load, w, room + n);
    if (c == 0)
        ll_dense_add(n,
                     factor->held * rest_of(factor, load) / (1 - factor->held * factor->rest_share),
                     factor->rest_w, w);
    for (size_t i = 0; i < outline; i++)
        at[i] = w[p->of_outline[i]];
    ll_dense_scale(charges, -1, lambda);
    ll_dense_multiply_add(charges, outline, 1, f->answer[c], at, lambda);
    return status;
}

ll_status ll_block_factorise(const ll_body_form *form, const double *tangent, ll_body_factor **out)
{
    ll_body_factor *factor = calloc(1, sizeof *factor);
    if (!factor)
        return LL_NO_MEMORY;
    double mean[3];
    mean_tangent(form, tangent, mean);
    const ll_block *f = ll_block_of(form);
    ll_status status = find_rest(f, factor);
    for (int c = 0; c < LL_PARITIES && !status; c++)
        status = factorise_parity(f, c, mean, factor);
    if (!status)
        status = answer_rest(f, factor);
    if (status)
        ll_block_free_factor(factor);
    else
        *out = factor;
    return status;
}

ll_status ll_block_solve(const ll_body_form *form, const ll_body_factor *factor, size_t count,
                         double *const *x)
{
    const ll_block *f = ll_block_of(form);
    double *room = malloc(room_of(f) * sizeof *room);
    ll_status status = room ? LL_OK : LL_NO_MEMORY;
    for (size_t k = 0; k < count; k++)
        for (int c = 0; c < LL_PARITIES && !status; c++)
            status = solve_parity(f, factor, c, x[k], room);
    free(room);
    return status;
}
