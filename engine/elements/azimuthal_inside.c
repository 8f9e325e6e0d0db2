/* Stiffness and mass of A_phi inside, and their factors. SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "elements/azimuthal_data.h"

#include <stdlib.h>
#include <string.h>

/* The matrices of one cell: [shapes][shapes]. */
typedef struct ll_cell_matrices {
    double stiffness[LL_CELL_SHAPES][LL_CELL_SHAPES], mass[LL_CELL_SHAPES][LL_CELL_SHAPES];
} ll_cell_matrices;

/* B of each shape at a point: B_r = -dA/dz, B_z = (1/r) d(rA)/dr. */
static void find_fields(const ll_cell *cell, int degree, double u, double v, double *a, double *b_r,
                        double *b_z)
{
    double nr[LL_DEGREE_MOST + 1], nz[LL_DEGREE_MOST + 1], dr[LL_DEGREE_MOST + 1],
        dz[LL_DEGREE_MOST + 1];
    const double width = cell->r[1] - cell->r[0], height = cell->z[1] - cell->z[0];
    const double r = cell->r[0] + 0.5 * (1 + u) * width;
    ll_shapes(degree, u, nr, dr);
    ll_shapes(degree, v, nz, dz);
    for (int i = 0, k = 0; i <= degree; i++)
        for (int j = 0; j <= degree; j++, k++) {
            a[k] = nz[i] * nr[j];
            b_r[k] = -dz[i] * 2 / height * nr[j];
            b_z[k] = nz[i] * (dr[j] * 2 / width + nr[j] / r);
        }
}

static void add_point(int shapes, double weight, const ll_filling *f, const double *a,
                      const double *b_r, const double *b_z, ll_cell_matrices *m)
{
    for (int i = 0; i < shapes; i++) {
        const double h_r = weight * (f->nu_rr * b_r[i] + f->nu_rz * b_z[i]);
        const double h_z = weight * (f->nu_rz * b_r[i] + f->nu_zz * b_z[i]);
        const double e = weight * LL_MU0 * f->sigma_s_m * a[i];
        for (int j = 0; j <= i; j++) {
            m->stiffness[i][j] += h_r * b_r[j] + h_z * b_z[j];
            m->mass[i][j] += e * a[j];
        }
    }
}

static void integrate_cell(const ll_rule *rule, const ll_cell *cell, int degree,
                           ll_filling_at filling, void *context, ll_cell_matrices *m)
{
    const double width = cell->r[1] - cell->r[0], height = cell->z[1] - cell->z[0];
    double a[LL_CELL_SHAPES] = {0}, b_r[LL_CELL_SHAPES] = {0}, b_z[LL_CELL_SHAPES] = {0};
    memset(m, 0, sizeof *m);
    for (int i = 0; i < rule->points; i++)
        for (int j = 0; j < rule->points; j++) {
            const double r = cell->r[0] + 0.5 * (1 + rule->at[i]) * width;
            const double z = cell->z[0] + 0.5 * (1 + rule->at[j]) * height;
            const ll_filling f = filling(context, cell, r, z);
            const double weight = 0.25 * width * height * rule->weight[i] * rule->weight[j] * r;
            find_fields(cell, degree, rule->at[i], rule->at[j], a, b_r, b_z);
            add_point((degree + 1) * (degree + 1), weight, &f, a, b_r, b_z, m);
        }
}

static void add_entry(cholmod_triplet *t, int a, int b, double x)
{
    ((int *)t->i)[t->nnz] = a > b ? a : b;
    ((int *)t->j)[t->nnz] = a > b ? b : a;
    ((double *)t->x)[t->nnz++] = x;
}

static void add_cells(ll_azimuthal *a, const ll_rule *rule, ll_filling_at filling, void *context,
                      ll_cell_matrices *m, cholmod_triplet *stiffness, cholmod_triplet *mass)
{
    const int degree = a->meridian.degree, shapes = (degree + 1) * (degree + 1);
    for (size_t c = 0; c < a->meridian.cells; c++) {
        const ll_cell *cell = &a->meridian.cell[c];
        integrate_cell(rule, cell, degree, filling, context, m);
        for (int i = 0; i < shapes; i++)
            for (int j = 0; j <= i; j++) {
                const int p = a->number[cell->unknown[i]], q = a->number[cell->unknown[j]];
                if (p < 0 || q < 0)
                    continue;
                add_entry(stiffness, p, q, m->stiffness[i][j]);
                add_entry(mass, p, q, m->mass[i][j]);
            }
    }
}

/* What the space outside adds; the mass gets zeros there, so that both have one structure. */
static void add_outside(ll_azimuthal *a, cholmod_triplet *stiffness, cholmod_triplet *mass)
{
    for (int i = 0; i < a->outline; i++)
        for (int j = 0; j <= i; j++) {
            add_entry(stiffness, a->of_outline[i], a->of_outline[j],
                      a->outside[i * a->outline + j]);
            add_entry(mass, a->of_outline[i], a->of_outline[j], 0);
        }
}

static cholmod_sparse *finished(ll_azimuthal *a, cholmod_triplet **triplet)
{
    cholmod_sparse *s = cholmod_triplet_to_sparse(*triplet, (*triplet)->nnz, &a->common);
    if (s && !cholmod_sort(s, &a->common))
        cholmod_free_sparse(&s, &a->common);
    return s;
}

ll_status ll_azimuthal_make_inside(ll_azimuthal *a, ll_filling_at filling, void *context)
{
    const size_t n = (size_t)a->unknowns, outline = (size_t)a->outline;
    const size_t nodes = (size_t)a->meridian.degree + 1, shapes = nodes * nodes;
    const size_t entries = a->meridian.cells * shapes * (shapes + 1) / 2 + outline * (outline + 1);
    ll_rule rule;
    ll_status status = ll_rule_fill(a->meridian.degree + 3, &rule);
    ll_cell_matrices *m = malloc(sizeof *m);
    cholmod_triplet *k = cholmod_allocate_triplet(n, n, entries, -1, CHOLMOD_REAL, &a->common);
    cholmod_triplet *s = cholmod_allocate_triplet(n, n, entries, -1, CHOLMOD_REAL, &a->common);
    if (!m || !k || !s)
        status = LL_NO_MEMORY;
    if (!status) {
        add_cells(a, &rule, filling, context, m, k, s);
        add_outside(a, k, s);
        a->stiffness = finished(a, &k);
        a->mass = finished(a, &s);
        status = a->stiffness && a->mass ? LL_OK : LL_NO_MEMORY;
    }
    cholmod_free_triplet(&k, &a->common);
    cholmod_free_triplet(&s, &a->common);
    free(m);
    return status;
}

/* Minimum degree: nested dissection draws from rand(), which is one for all threads. */
ll_status ll_azimuthal_factorise(ll_azimuthal *a, double rate)
{
    double one[2] = {1, 0}, of_mass[2] = {rate, 0};
    a->common.nmethods = 1;
    a->common.method[0].ordering = CHOLMOD_AMD;
    cholmod_sparse *sum = cholmod_add(a->stiffness, a->mass, one, of_mass, 1, 1, &a->common);
    if (!sum)
        return LL_NO_MEMORY;
    if (!a->factor)
        a->factor = cholmod_analyze(sum, &a->common);
    if (a->factor)
        cholmod_factorize(sum, a->factor, &a->common);
    cholmod_free_sparse(&sum, &a->common);
    if (a->common.status == CHOLMOD_OUT_OF_MEMORY)
        return LL_NO_MEMORY;
    return a->factor && a->common.status == CHOLMOD_OK ? LL_OK : LL_LIBRARY;
}

ll_status ll_azimuthal_solve(ll_azimuthal *a, double *x)
{
    const size_t n = (size_t)a->unknowns;
    cholmod_dense b = {.nrow = n,
                       .ncol = 1,
                       .nzmax = n,
                       .d = n,
                       .x = x,
                       .xtype = CHOLMOD_REAL,
                       .dtype = CHOLMOD_DOUBLE};
    cholmod_dense *answer = cholmod_solve(CHOLMOD_A, a->factor, &b, &a->common);
    if (!answer)
        return LL_NO_MEMORY;
    memcpy(x, answer->x, n * sizeof *x);
    cholmod_free_dense(&answer, &a->common);
    return LL_OK;
}

void ll_azimuthal_multiply(const cholmod_sparse *lower, const double *x, double *y)
{
    const int *start = lower->p, *row = lower->i;
    const double *value = lower->x;
    memset(y, 0, lower->ncol * sizeof *y);
    for (size_t j = 0; j < lower->ncol; j++)
        for (int k = start[j]; k < start[j + 1]; k++) {
            y[row[k]] += value[k] * x[j];
            if (row[k] != (int)j)
                y[j] += value[k] * x[row[k]];
        }
}
