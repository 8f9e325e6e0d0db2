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
    if (!u || !v)
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

/* A sample of rows with what the crosses leave of them: crosses that feed on each other would miss what lies in rows and columns
 * of its own, as parities do. */
typedef struct ll_sample {
    size_t count, *row;
    double *left; /* [count][columns] */
} ll_sample;

enum { SAMPLED_ROWS = 64 };

static ll_status take_sample(const ll_asked *m, ll_sample *s)
{
    const size_t every = m->rows / SAMPLED_ROWS + 1;
    s->row = malloc(SAMPLED_ROWS * sizeof *s->row);
    s->left = malloc(SAMPLED_ROWS * m->columns * sizeof *s->left);
    if (!s->row || !s->left)
        return LL_NO_MEMORY;
    for (size_t i = every / 2; i < m->rows; i += every) {
        m->row(m, i, s->left + s->count * m->columns);
        s->row[s->count++] = i;
    }
    return LL_OK;
}

static void clear_sample(ll_sample *s)
{
    free(s->row);
    free(s->left);
}

/* The last cross is taken out of the sample; the square of what is left in all, as far as it tells, and its worst row. */
static double update_sample(const ll_asked *m, const ll_crosses *c, ll_sample *s, size_t *worst)
{
    const double *u = c->u + (c->rank - 1) * m->rows, *v = c->v + (c->rank - 1) * m->columns;
    double sum = 0, most = -1;
    for (size_t k = 0; k < s->count; k++) {
        double *left = s->left + k * m->columns;
        ll_dense_add(m->columns, -u[s->row[k]], v, left);
        const double square = ll_dense_dot(m->columns, left, left);
        sum += square;
        if (square > most) {
            most = square;
            *worst = s->row[k];
        }
    }
    return sum * (double)m->rows / (double)s->count;
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
    c->rank++;
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

/* The same until the sample says that it is done: where the crosses grow quiet, on with the sample's worst row. */
static ll_status run_sampled(const ll_asked *m, double tolerance, bool *used, ll_crosses *c,
                             ll_sample *s)
{
    size_t row = s->row[0];
    c->norm2 = ll_dense_dot(m->rows * m->columns, m->matrix, m->matrix);
    while (c->rank < m->rows && row < m->rows) {
        if (!grow(c, m->rows, m->columns))
            return LL_NO_MEMORY;
        double last;
        size_t worst = 0;
        used[row] = true;
        if (!add_cross(m, row, c, &last)) {
            row = first_unused(m->rows, used);
            continue;
        }
        const double left = update_sample(m, c, s, &worst);
        if (left <= tolerance * tolerance * c->norm2)
            break;
        row = largest(m->rows, c->u + (c->rank - 1) * m->rows, used);
        if (last * last < left || row == m->rows)
            row = used[worst] ? first_unused(m->rows, used) : worst;
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

static ll_status approximate(const ll_asked *m, double tolerance, bool sampled, ll_lowrank *out)
{
    ll_crosses c = {0};
    ll_sample sample = {0};
    bool *used = calloc(m->rows, sizeof *used);
    ll_status status = used ? LL_OK : LL_NO_MEMORY;
    if (!status && sampled)
        status = take_sample(m, &sample);
    if (!status)
        status =
            sampled ? run_sampled(m, tolerance, used, &c, &sample) : run(m, tolerance, used, &c);
    clear_sample(&sample);
    free(used);
    if (status) {
        free(c.u);
        free(c.v);
        return status;
    }
    *out = (ll_lowrank){m->rows, m->columns, c.rank, shrunk(c.u, c.rank * m->rows),
                        shrunk(c.v, c.rank * m->columns)};
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
    return approximate(&m, tolerance, false, out);
}

ll_status ll_lowrank_of_matrix(size_t rows, size_t columns, const double *matrix, double tolerance,
                               bool sampled, ll_lowrank *out)
{
    const ll_asked m = {.rows = rows,
                        .columns = columns,
                        .row = matrix_row,
                        .column = matrix_column,
                        .matrix = matrix};
    return approximate(&m, tolerance, sampled, out);
}

void ll_lowrank_clear(ll_lowrank *m)
{
    free(m->u);
    free(m->v);
    *m = (ll_lowrank){0};
}

void ll_lowrank_add(const ll_lowrank *m, double scale, const double *x, double *y)
{
    for (size_t k = 0; k < m->rank; k++)
        ll_dense_add(m->rows, scale * ll_dense_dot(m->columns, m->v + k * m->columns, x),
                     m->u + k * m->rows, y);
}

void ll_lowrank_add_transposed(const ll_lowrank *m, double scale, const double *x, double *y)
{
    const ll_lowrank turned = {m->columns, m->rows, m->rank, m->v, m->u};
    ll_lowrank_add(&turned, scale, x, y);
}
