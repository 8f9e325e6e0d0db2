/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/lowrank.h"
#include "base/constants.h"
#include "base/dense.h"
#include "base/vectorised.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* Potential of source j at a point. */
static inline double of_charge(const ll_cloud *c, size_t j, ll_vec3 at)
{
    const ll_vec3 d = ll_sub(at, c->at_m[j]);
    return c->charge[j] / (4 * LL_PI * sqrt(ll_dot(d, d)));
}

static inline double of_dipole(const ll_cloud *c, size_t j, ll_vec3 at)
{
    const ll_vec3 d = ll_sub(at, c->at_m[c->charges + j]);
    const double r2 = ll_dot(d, d);
    return ll_dot(c->moment[j], d) / (4 * LL_PI * r2 * sqrt(r2));
}

/* A matrix that is asked for single rows and columns. */
typedef struct ll_asked {
    size_t rows, columns;
    void (*row)(const struct ll_asked *m, size_t i, double *out);
    void (*column)(const struct ll_asked *m, size_t j, double *out);
    const ll_cloud *cloud; /* with its targets, or */
    const ll_vec3 *target;
    const double *matrix; /* one that is there */
} ll_asked;

static LL_VECTORISED(fill_row, (const ll_cloud *c, ll_vec3 at, double *row), (c, at, row))
{
#pragma omp simd
    for (size_t j = 0; j < c->charges; j++)
        row[j] = of_charge(c, j, at);
#pragma omp simd
    for (size_t j = 0; j < c->dipoles; j++)
        row[c->charges + j] = of_dipole(c, j, at);
}

static LL_VECTORISED(fill_column,
                     (const ll_cloud *c, size_t j, size_t n, const ll_vec3 *target, double *column),
                     (c, j, n, target, column))
{
    if (j < c->charges) {
#pragma omp simd
        for (size_t i = 0; i < n; i++)
            column[i] = of_charge(c, j, target[i]);
        return;
    }
#pragma omp simd
    for (size_t i = 0; i < n; i++)
        column[i] = of_dipole(c, j - c->charges, target[i]);
}

static void cloud_row(const ll_asked *m, size_t i, double *out)
{
    fill_row(m->cloud, m->target[i], out);
}

static void cloud_column(const ll_asked *m, size_t j, double *out)
{
    fill_column(m->cloud, j, m->rows, m->target, out);
}

static void matrix_row(const ll_asked *m, size_t i, double *out)
{
    memcpy(out, m->matrix + i * m->columns, m->columns * sizeof *out);
}

static void matrix_column(const ll_asked *m, size_t j, double *out)
{
    for (size_t i = 0; i < m->rows; i++)
        out[i] = m->matrix[i * m->columns + j];
}

/* Index of the entry of largest size that is not barred (barred may be NULL); n when there is none. */
static size_t largest(size_t n, const double *a, const bool *barred)
{
    size_t best = n;
    for (size_t i = 0; i < n; i++)
        if (!(barred && barred[i]) && (best == n || fabs(a[i]) > fabs(a[best])))
            best = i;
    return best;
}

/* Takes what the first `rank` crosses already hold out of a row (or, with the parts swapped, a column). */
static void take_out(size_t n, size_t rank, const double *factor, size_t stride, const double *part,
                     double *line)
{
    for (size_t k = 0; k < rank; k++)
        ll_dense_add(n, -factor[k * stride], part + k * n, line);
}

typedef struct ll_crosses {
    size_t room, rank;
    double *u, *v; /* u[rank][rows], v[rank][columns] */
    size_t *row, *column;
    double norm2;
} ll_crosses;

static bool grow(ll_crosses *c, size_t rows, size_t columns)
{
    if (c->rank < c->room)
        return true;
    const size_t room = c->room ? 2 * c->room : 24;
    double *u = realloc(c->u, room * rows * sizeof *u);
    if (u)
        c->u = u;
    double *v = realloc(c->v, room * columns * sizeof *v);
    if (v)
        c->v = v;
    size_t *row = realloc(c->row, room * sizeof *row);
    if (row)
        c->row = row;
    size_t *column = realloc(c->column, room * sizeof *column);
    if (column)
        c->column = column;
    if (!u || !v || !row || !column)
        return false;
    c->room = room;
    return true;
}

/* Squared norm of the sum of crosses, updated for the last one. */
static void update_norm(ll_crosses *c, size_t rows, size_t columns, double last)
{
    const double *u = c->u + (c->rank - 1) * rows, *v = c->v + (c->rank - 1) * columns;
    double cross = 0;
    for (size_t k = 0; k + 1 < c->rank; k++)
        cross +=
            ll_dense_dot(rows, c->u + k * rows, u) * ll_dense_dot(columns, c->v + k * columns, v);
    c->norm2 += last * last + 2 * cross;
}

/* The next cross from a row; false when nothing is left in it. */
static bool add_cross(const ll_asked *m, size_t row, ll_crosses *c, double *last)
{
    const size_t rows = m->rows, columns = m->columns;
    double *u = c->u + c->rank * rows, *v = c->v + c->rank * columns;
    m->row(m, row, v);
    take_out(columns, c->rank, c->u + row, rows, c->v, v);
    const size_t column = largest(columns, v, NULL);
    const double pivot = v[column];
    if (pivot == 0)
        return false;
    m->column(m, column, u);
    take_out(rows, c->rank, c->v + column, columns, c->u, u);
    for (size_t j = 0; j < columns; j++)
        v[j] /= pivot;
    *last = sqrt(ll_dense_dot(rows, u, u) * ll_dense_dot(columns, v, v));
    c->row[c->rank] = row;
    c->column[c->rank++] = column;
    return true;
}

static size_t first_unused(size_t rows, const bool *used)
{
    size_t row = 0;
    while (row < rows && used[row])
        row++;
    return row;
}

static ll_status run(const ll_asked *m, double tolerance, bool *used, ll_crosses *c)
{
    size_t row = 0;
    for (int quiet = 0; quiet < 2 && c->rank < m->rows && row < m->rows;) {
        if (!grow(c, m->rows, m->columns))
            return LL_NO_MEMORY;
        double last;
        used[row] = true;
        if (!add_cross(m, row, c, &last)) { /* the others may still hold something */
            row = first_unused(m->rows, used);
            continue;
        }
        update_norm(c, m->rows, m->columns, last);
        row = largest(m->rows, c->u + (c->rank - 1) * m->rows, used);
        quiet = last <= tolerance * sqrt(c->norm2) ? quiet + 1 : 0;
    }
    return LL_OK;
}

/* Room that is not needed is given back. */
static double *shrunk(double *room, size_t count)
{
    double *less = realloc(room, (count + 1) * sizeof *less);
    if (!less)
        return room;
    return less;
}

static ll_status approximate(const ll_asked *m, double tolerance, ll_lowrank *out)
{
    ll_crosses c = {0};
    bool *used = calloc(m->rows, sizeof *used);
    const ll_status status = used ? run(m, tolerance, used, &c) : LL_NO_MEMORY;
    free(used);
    *out = (ll_lowrank){m->rows, m->columns, c.rank, c.u, c.v, c.row, c.column};
    if (status) {
        ll_lowrank_clear(out);
        return status;
    }
    out->u = shrunk(c.u, c.rank * m->rows);
    out->v = shrunk(c.v, c.rank * m->columns);
    return LL_OK;
}

ll_status ll_lowrank_new(size_t targets, const ll_vec3 *target_m, const ll_cloud *source,
                         double tolerance, ll_lowrank *out)
{
    const ll_asked m = {.rows = targets,
                        .columns = source->charges + source->dipoles,
                        .row = cloud_row,
                        .column = cloud_column,
                        .cloud = source,
                        .target = target_m};
    return approximate(&m, tolerance, out);
}

ll_status ll_lowrank_of_matrix(size_t rows, size_t columns, const double *matrix, double tolerance,
                               ll_lowrank *out)
{
    const ll_asked m = {.rows = rows,
                        .columns = columns,
                        .row = matrix_row,
                        .column = matrix_column,
                        .matrix = matrix};
    return approximate(&m, tolerance, out);
}

void ll_lowrank_clear(ll_lowrank *m)
{
    free(m->u);
    free(m->v);
    free(m->row);
    free(m->column);
    *m = (ll_lowrank){0};
}

void ll_lowrank_add(const ll_lowrank *m, double scale, const double *x, double *y)
{
    for (size_t k = 0; k < m->rank; k++)
        ll_dense_add(m->rows, scale * ll_dense_dot(m->columns, m->v + k * m->columns, x),
                     m->u + k * m->rows, y);
}
