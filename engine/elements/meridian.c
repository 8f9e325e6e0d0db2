/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/meridian.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The tensor grid while it is being cut: number[iz][ir] of its functions, -1 for those of no cell. */
typedef struct ll_grid {
    int nr, nz, degree; /* intervals */
    const double *r, *z;
    int *cell_of, *number;
} ll_grid;

static int functions(int intervals, int degree)
{
    return intervals * degree + 1;
}

/* Function k of ll_shapes in an interval among all of its row: breaks first. */
static int in_row(int intervals, int degree, int interval, int k)
{
    return k < 2 ? interval + k : intervals + 1 + interval * (degree - 1) + k - 2;
}

static int function_of(const ll_grid *g, int ir, int iz, int kr, int kz)
{
    return in_row(g->nz, g->degree, iz, kz) * functions(g->nr, g->degree) +
           in_row(g->nr, g->degree, ir, kr);
}

static const ll_rectangle *holder(size_t n, const ll_rectangle *rectangle, double r, double z)
{
    for (size_t k = 0; k < n; k++)
        if (r > rectangle[k].r[0] && r < rectangle[k].r[1] && z > rectangle[k].z[0] &&
            z < rectangle[k].z[1])
            return &rectangle[k];
    return NULL;
}

static void add_cells(size_t n, const ll_rectangle *rectangle, ll_grid *g, ll_meridian *out)
{
    for (int iz = 0; iz < g->nz; iz++)
        for (int ir = 0; ir < g->nr; ir++) {
            const double *r = g->r + ir, *z = g->z + iz;
            const ll_rectangle *in = holder(n, rectangle, 0.5 * (r[0] + r[1]), 0.5 * (z[0] + z[1]));
            g->cell_of[iz * g->nr + ir] = in ? (int)out->cells : -1;
            if (in)
                out->cell[out->cells++] =
                    (ll_cell){.r = {r[0], r[1]}, .z = {z[0], z[1]}, .region = in->region};
        }
}

/* Numbers the functions of cell (ir, iz) that no cell before it has. */
static void number_cell(ll_grid *g, int ir, int iz, ll_meridian *out)
{
    ll_cell *cell = &out->cell[g->cell_of[iz * g->nr + ir]];
    for (int kz = 0; kz <= g->degree; kz++)
        for (int kr = 0; kr <= g->degree; kr++) {
            int *number = &g->number[function_of(g, ir, iz, kr, kz)];
            if (*number < 0)
                *number = out->unknowns++;
            cell->unknown[kz * (g->degree + 1) + kr] = *number;
            if (cell->r[0] == 0 && kr == 0)
                out->on_axis[*number] = true;
        }
}

static bool is_filled(const ll_grid *g, int ir, int iz)
{
    return ir >= 0 && iz >= 0 && ir < g->nr && iz < g->nz && g->cell_of[iz * g->nr + ir] >= 0;
}

/* The side of cell (ir, iz) towards dr or dz. */
static void add_side(const ll_grid *g, int ir, int iz, int dr, int dz, ll_meridian *out)
{
    const int index = g->cell_of[iz * g->nr + ir];
    const ll_cell *c = &out->cell[index];
    if (is_filled(g, ir + dr, iz + dz) || (dr < 0 && c->r[0] == 0))
        return;
    ll_side *side = &out->side[out->sides++];
    *side = (ll_side){.n_r = dr, .n_z = dz, .on_cell = index, .along_r = dz != 0};
    for (int end = 0; end < 2; end++) {
        side->r[end] = dr ? c->r[dr > 0] : c->r[end];
        side->z[end] = dz ? c->z[dz > 0] : c->z[end];
    }
    side->length = dr ? c->z[1] - c->z[0] : c->r[1] - c->r[0];
    for (int k = 0; k <= g->degree; k++) {
        const int kr = dr ? dr > 0 : k, kz = dz ? dz > 0 : k;
        side->unknown[k] = c->unknown[kz * (g->degree + 1) + kr];
        out->on_outline[side->unknown[k]] = true;
    }
}

static void fill(size_t n, const ll_rectangle *rectangle, ll_grid *g, ll_meridian *out)
{
    add_cells(n, rectangle, g, out);
    for (int iz = 0; iz < g->nz; iz++)
        for (int ir = 0; ir < g->nr; ir++)
            if (is_filled(g, ir, iz))
                number_cell(g, ir, iz, out);
    for (int iz = 0; iz < g->nz; iz++)
        for (int ir = 0; ir < g->nr; ir++)
            if (is_filled(g, ir, iz)) {
                add_side(g, ir, iz, 0, -1, out);
                add_side(g, ir, iz, 1, 0, out);
                add_side(g, ir, iz, 0, 1, out);
                add_side(g, ir, iz, -1, 0, out);
            }
}

/* The box around all cells. */
static void measure(ll_meridian *m)
{
    m->least_r = m->z_m[0] = HUGE_VAL;
    m->z_m[1] = -HUGE_VAL;
    for (size_t k = 0; k < m->cells; k++) {
        const ll_cell *c = &m->cell[k];
        m->least_r = fmin(m->least_r, c->r[0]);
        m->radius_m = fmax(m->radius_m, c->r[1]);
        m->z_m[0] = fmin(m->z_m[0], c->z[0]);
        m->z_m[1] = fmax(m->z_m[1], c->z[1]);
    }
}

ll_status ll_meridian_make(size_t n, const ll_rectangle *rectangle, size_t nr, const double *r,
                           size_t nz, const double *z, int degree, ll_meridian *out)
{
    ll_grid g = {.nr = (int)nr - 1, .nz = (int)nz - 1, .degree = degree, .r = r, .z = z};
    const size_t cells = (size_t)g.nr * (size_t)g.nz;
    const size_t all = (size_t)functions(g.nr, degree) * (size_t)functions(g.nz, degree);
    ll_meridian m = {.degree = degree};
    g.cell_of = malloc(cells * sizeof *g.cell_of);
    g.number = malloc(all * sizeof *g.number);
    m.cell = malloc(cells * sizeof *m.cell);
    m.side = malloc(4 * cells * sizeof *m.side);
    m.on_axis = calloc(all, sizeof *m.on_axis);
    m.on_outline = calloc(all, sizeof *m.on_outline);
    const bool good = g.cell_of && g.number && m.cell && m.side && m.on_axis && m.on_outline;
    if (good) {
        memset(g.number, 0xff, all * sizeof *g.number);
        fill(n, rectangle, &g, &m);
        measure(&m);
        *out = m;
    } else
        ll_meridian_clear(&m);
    free(g.cell_of);
    free(g.number);
    return good ? LL_OK : LL_NO_MEMORY;
}

void ll_meridian_clear(ll_meridian *m)
{
    free(m->cell);
    free(m->side);
    free(m->on_axis);
    free(m->on_outline);
    memset(m, 0, sizeof *m);
}

/* How far (r, z) lies outside a cell. */
static double beyond_cell(const ll_cell *c, double r, double z)
{
    const double dr = fmax(0, fmax(c->r[0] - r, r - c->r[1]));
    const double dz = fmax(0, fmax(c->z[0] - z, z - c->z[1]));
    return hypot(dr, dz);
}

const ll_cell *ll_meridian_cell(const ll_meridian *m, double r, double z)
{
    const ll_cell *best = m->cell;
    double least = HUGE_VAL;
    for (size_t k = 0; k < m->cells && least > 0; k++) {
        const double beyond = beyond_cell(&m->cell[k], r, z);
        if (beyond < least) {
            least = beyond;
            best = &m->cell[k];
        }
    }
    return best;
}
