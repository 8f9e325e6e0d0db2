/* The inside of a block: fields at the places of the law and fluxes tested by the shapes.
 *
 * Shapes are products along the axes, so values and slopes at all Gauss points come by three small products, one axis after the
 * other. A derivative along an axis turns an even class odd and an odd one even. Places are [octant][point], points x fastest.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/gsl.h"
#include "base/vectorised.h"
#include "elements/block_data.h"

#include <gsl/gsl_cblas.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* All three axes in one go through memory. */
LL_VECTORISED(ll_parity_sums, (double *v, size_t stride, size_t n), (v, stride, n))
{
#pragma omp simd
    for (size_t i = 0; i < n; i++) {
        double a[LL_PARITIES], b[LL_PARITIES];
        for (int k = 0; k < LL_PARITIES; k++)
            a[k] = v[(size_t)k * stride + i];
        for (int k = 0; k < LL_PARITIES; k += 2) {
            b[k] = a[k] + a[k + 1];
            b[k + 1] = a[k] - a[k + 1];
        }
        for (int k = 0; k < LL_PARITIES; k++)
            a[k] = k & 2 ? b[k - 2] - b[k] : b[k] + b[k + 2];
        for (int k = 0; k < LL_PARITIES; k++)
            v[(size_t)k * stride + i] = k & 4 ? a[k - 4] - a[k] : a[k] + a[k + 4];
    }
}

/* The functions of a class along one axis at the Gauss points: table[point * pitch + function]. */
typedef struct axis_tables {
    int n, points, pitch;
    const double *value, *slope;
} axis_tables;

static axis_tables tables_of(const ll_block *f, int c, int axis)
{
    const ll_line *line = &f->line[axis];
    const int odd = f->parity[c].odd[axis];
    return (axis_tables){line->unknowns - odd, line->points, line->unknowns, line->value + odd,
                         line->slope + odd};
}

/* out[slow][points] = in[slow][n] table^T: the fastest axis. */
static void fast_to_points(const axis_tables *t, const double *table, int slow, const double *in,
                           double *out)
{
    cblas_dgemm(CblasRowMajor, CblasNoTrans, CblasTrans, slow, t->points, t->n, 1, in, t->n, table,
                t->pitch, 0, out, t->points);
}

/* out[slow][points][fast] = table in[slow][n][fast]: an axis in between, or the slowest with slow = 1. */
static void axis_to_points(const axis_tables *t, const double *table, int slow, int fast,
                           const double *in, double *out)
{
    for (int k = 0; k < slow; k++)
        cblas_dgemm(CblasRowMajor, CblasNoTrans, CblasNoTrans, t->points, fast, t->n, 1, table,
                    t->pitch, in + (size_t)k * (size_t)(t->n * fast), fast, 0,
                    out + (size_t)k * (size_t)(t->points * fast), fast);
}

/* The transposes, added to what is there. */
static void fast_from_points(const axis_tables *t, const double *table, int slow, const double *in,
                             double *out)
{
    cblas_dgemm(CblasRowMajor, CblasNoTrans, CblasNoTrans, slow, t->n, t->points, 1, in, t->points,
                table, t->pitch, 1, out, t->n);
}

static void axis_from_points(const axis_tables *t, const double *table, int slow, int fast,
                             const double *in, double *out)
{
    for (int k = 0; k < slow; k++)
        cblas_dgemm(CblasRowMajor, CblasTrans, CblasNoTrans, t->n, fast, t->points, 1, table,
                    t->pitch, in + (size_t)k * (size_t)(t->points * fast), fast, 1,
                    out + (size_t)k * (size_t)(t->n * fast), fast);
}

/* Room for one class: after the first axis values and slopes, after the second three mixtures. */
typedef struct stages {
    double *x_value, *x_slope, *xy[3];
} stages;

/* Values of a slope or a mixture after the first axis, and after the second. */
static size_t after_one(const ll_block *f)
{
    return (size_t)f->line[2].unknowns * (size_t)f->line[1].unknowns * (size_t)f->line[0].points;
}

static size_t after_two(const ll_block *f)
{
    return (size_t)f->line[2].unknowns * (size_t)f->line[1].points * (size_t)f->line[0].points;
}

static size_t size_of_stages(const ll_block *f)
{
    return 2 * after_one(f) + 3 * after_two(f);
}

static stages divide(const ll_block *f, double *room)
{
    const size_t one = after_one(f), two = after_two(f);
    double *xy = room + 2 * one;
    return (stages){room, room + one, {xy, xy + two, xy + 2 * two}};
}

/* gradient[3][points] of class c in the octant. */
static void find_gradient(const ll_block *f, int c, const double *w, double *gradient, double *room)
{
    const axis_tables x = tables_of(f, c, 0), y = tables_of(f, c, 1), z = tables_of(f, c, 2);
    const stages s = divide(f, room);
    const int plane = x.points * y.points;
    fast_to_points(&x, x.value, z.n * y.n, w, s.x_value);
    fast_to_points(&x, x.slope, z.n * y.n, w, s.x_slope);
    axis_to_points(&y, y.value, z.n, x.points, s.x_slope, s.xy[0]);
    axis_to_points(&y, y.slope, z.n, x.points, s.x_value, s.xy[1]);
    axis_to_points(&y, y.value, z.n, x.points, s.x_value, s.xy[2]);
    for (int k = 0; k < 3; k++)
        axis_to_points(&z, k == 2 ? z.slope : z.value, 1, plane, s.xy[k],
                       gradient + (size_t)k * f->points);
}

void ll_block_find_h(const ll_body_form *form, const double *w, double *h, double *room)
{
    const ll_block *f = ll_block_of(form);
    const size_t n = f->points;
    double *gradient = room, *rest = room + 3 * n;
    for (int c = 0; c < LL_PARITIES; c++) {
        find_gradient(f, c, w + f->parity[c].w, gradient, rest);
        for (int k = 0; k < 3; k++) {
            double *to = h + (size_t)k * form->places + (size_t)(c ^ 1 << k) * n;
            for (size_t i = 0; i < n; i++)
                to[i] = -gradient[(size_t)k * n + i];
        }
    }
    for (int k = 0; k < 3; k++)
        ll_parity_sums(h + (size_t)k * form->places, n, n);
}

/* y[functions of c] += integral of flux . grad v, for flux[3][points] with its weights. */
static void test_gradient(const ll_block *f, int c, const double *flux, double *y_out, double *room)
{
    const axis_tables x = tables_of(f, c, 0), y = tables_of(f, c, 1), z = tables_of(f, c, 2);
    const stages s = divide(f, room);
    const int plane = x.points * y.points;
    memset(room, 0, size_of_stages(f) * sizeof *room);
    for (int k = 0; k < 3; k++)
        axis_from_points(&z, k == 2 ? z.slope : z.value, 1, plane, flux + (size_t)k * f->points,
                         s.xy[k]);
    axis_from_points(&y, y.value, z.n, x.points, s.xy[0], s.x_slope);
    axis_from_points(&y, y.slope, z.n, x.points, s.xy[1], s.x_value);
    axis_from_points(&y, y.value, z.n, x.points, s.xy[2], s.x_value);
    fast_from_points(&x, x.slope, z.n * y.n, s.x_slope, y_out);
    fast_from_points(&x, x.value, z.n * y.n, s.x_value, y_out);
}

void ll_block_test_flux(const ll_body_form *form, const double *b, double *y, double *room)
{
    const ll_block *f = ll_block_of(form);
    const size_t n = f->points;
    double *sums = room, *flux = room + 3 * form->places, *rest = flux + 3 * n;
    memcpy(sums, b, 3 * form->places * sizeof *b);
    for (int k = 0; k < 3; k++)
        ll_parity_sums(sums + (size_t)k * form->places, n, n);
    for (int c = 0; c < LL_PARITIES; c++) {
        for (int k = 0; k < 3; k++) {
            const double *from = sums + (size_t)k * form->places + (size_t)(c ^ 1 << k) * n;
            for (size_t i = 0; i < n; i++)
                flux[(size_t)k * n + i] = -from[i] * f->weight[i];
        }
        test_gradient(f, c, flux, y + f->parity[c].w, rest);
    }
}

/* ---- at one point ---- */

/* All functions of a line at x >= 0, values and slopes. */
static void functions_at(const ll_line *line, double x, double *value, double *slope)
{
    int e = 0;
    while (e + 1 < line->elements && x > line->at[e + 1])
        e++;
    const double half = 0.5 * (line->at[e + 1] - line->at[e]);
    double v[LL_DEGREE_MOST + 1], d[LL_DEGREE_MOST + 1];
    ll_shapes(line->degree, fmin(1, (x - line->at[e]) / half - 1), v, d);
    memset(value, 0, (size_t)line->unknowns * sizeof *value);
    memset(slope, 0, (size_t)line->unknowns * sizeof *slope);
    for (int k = 0; k <= line->degree; k++) {
        value[ll_line_unknown(line, e, k)] = v[k];
        slope[ll_line_unknown(line, e, k)] = d[k] / half;
    }
}

/* The gradient of class c in the octant. */
static ll_vec3 gradient_at(const ll_parity *p, const double *w, double *const value[3],
                           double *const slope[3])
{
    ll_vec3 sum = {0, 0, 0};
    for (int k = 0; k < p->n[2]; k++)
        for (int j = 0; j < p->n[1]; j++) {
            const int jo = j + p->odd[1], ko = k + p->odd[2];
            double v = 0, d = 0;
            for (int i = 0; i < p->n[0]; i++) {
                const double one = w[(k * p->n[1] + j) * p->n[0] + i];
                v += one * value[0][i + p->odd[0]];
                d += one * slope[0][i + p->odd[0]];
            }
            sum.x += d * value[1][jo] * value[2][ko];
            sum.y += v * slope[1][jo] * value[2][ko];
            sum.z += v * value[1][jo] * slope[2][ko];
        }
    return sum;
}

ll_vec3 ll_block_h_at(const ll_body_form *form, const double *w, ll_vec3 own_m)
{
    const ll_block *f = ll_block_of(form);
    double room[6][LL_BLOCK_FUNCTIONS_MOST];
    double *const value[3] = {room[0], room[1], room[2]}, *const slope[3] = {room[3], room[4],
                                                                             room[5]};
    int octant = 0;
    for (int k = 0; k < 3; k++) {
        const double x = ll_axis_of(own_m, k);
        octant |= (x < 0) << k;
        functions_at(&f->line[k], fabs(x), value[k], slope[k]);
    }
    ll_vec3 h = {0, 0, 0};
    for (int c = 0; c < LL_PARITIES; c++) {
        const ll_vec3 g = gradient_at(&f->parity[c], w + f->parity[c].w, value, slope);
        h.x -= ll_parity_sign(c ^ 1, octant) * g.x;
        h.y -= ll_parity_sign(c ^ 2, octant) * g.y;
        h.z -= ll_parity_sign(c ^ 4, octant) * g.z;
    }
    return h;
}

/* ---- once for each form ---- */

static void fill_places(ll_block *f)
{
    const ll_line *x = &f->line[0], *y = &f->line[1], *z = &f->line[2];
    for (size_t q = 0; q < f->points; q++) {
        const size_t i = q % (size_t)x->points, j = q / (size_t)x->points % (size_t)y->points,
                     k = q / (size_t)x->points / (size_t)y->points;
        f->weight[q] = x->weight[i] * y->weight[j] * z->weight[k];
        for (int o = 0; o < LL_PARITIES; o++) {
            const size_t at = (size_t)o * f->points + q;
            f->form.place_m[at] =
                ll_vec(o & 1 ? -x->point[i] : x->point[i], o & 2 ? -y->point[j] : y->point[j],
                       o & 4 ? -z->point[k] : z->point[k]);
            f->form.volume_m3[at] = f->weight[q];
        }
    }
}

ll_status ll_block_prepare_inside(ll_block *f)
{
    ll_body_form *form = &f->form;
    f->points = (size_t)f->line[0].points * (size_t)f->line[1].points * (size_t)f->line[2].points;
    form->places = LL_PARITIES * f->points;
    f->weight = malloc(f->points * sizeof *f->weight);
    form->place_m = malloc(form->places * sizeof *form->place_m);
    form->volume_m3 = malloc(form->places * sizeof *form->volume_m3);
    form->region = calloc(form->places, sizeof *form->region);
    if (!f->weight || !form->place_m || !form->volume_m3 || !form->region)
        return LL_NO_MEMORY;
    fill_places(f);
    form->room_size = 3 * form->places + 3 * f->points + size_of_stages(f);
    return LL_OK;
}
