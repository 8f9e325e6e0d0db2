/* The surface of a body of revolution: its layers, what they do to it, and what is tested or read on it.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "base/dense.h"
#include "elements/revolved_data.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- the kernels of all layers at one point ---- */

/* Rings waiting to be asked about together: the side and coordinate each comes from, and what it weighs. */
typedef struct ll_ring_batch {
    int count;
    double s[LL_RINGS_TOGETHER], t[LL_RINGS_TOGETHER];
    double at[LL_RINGS_TOGETHER], weight[LL_RINGS_TOGETHER];
    size_t side[LL_RINGS_TOGETHER];
} ll_ring_batch;

/* What all rings of a batch weigh in the rows of one harmonic, and the shapes there: [k][ring]. */
typedef struct ll_ring_shapes {
    double charge[LL_DEGREE_MOST + 1][LL_RINGS_TOGETHER];
    double shape[LL_DEGREE_MOST + 1][LL_RINGS_TOGETHER];
    double n_r[LL_RINGS_TOGETHER], n_z[LL_RINGS_TOGETHER], weight[LL_RINGS_TOGETHER];
} ll_ring_shapes;

/* Legendre's polynomials and the shapes made of them, as ll_legendre and ll_shapes for a vector of places. */
static void find_shapes(const ll_revolved *f, const ll_ring_batch *b, ll_ring_shapes *out)
{
    const int degree = f->meridian.degree;
    for (int i = 0; i < b->count; i++) {
        const ll_side *side = &f->meridian.side[b->side[i]];
        out->n_r[i] = side->n_r;
        out->n_z[i] = side->n_z;
        out->weight[i] = b->weight[i] * b->s[i];
        out->charge[0][i] = 1;
        out->charge[1][i] = b->at[i];
        out->shape[0][i] = 0.5 * (1 - b->at[i]);
        out->shape[1][i] = 0.5 * (1 + b->at[i]);
    }
    for (int k = 2; k <= degree; k++) {
        const double norm = 1 / sqrt(2.0 * (2 * k - 1));
        for (int i = 0; i < b->count; i++) {
            const double before = out->charge[k - 2][i];
            out->charge[k][i] =
                ((2 * k - 1) * b->at[i] * out->charge[k - 1][i] - (k - 1) * before) / k;
            out->shape[k][i] = norm * (out->charge[k][i] - before);
        }
    }
}

/* Rings first .. end - 1, all of one side, in the row of one harmonic. */
static void add_rings(const ll_revolved *f, const ll_taking_part *part, size_t side, int first,
                      int end, const ll_ring_shapes *shapes, const double *dipole,
                      const double *charge, double *row)
{
    const int degree = f->meridian.degree;
    const int *unknown = f->meridian.side[side].unknown;
    double *charges = row + part->outline + (int)side * degree;
    for (int k = 0; k <= degree; k++) {
        const int layer = part->at_outline[unknown[k]];
        double sum = 0;
        for (int i = first; i < end; i++)
            sum += dipole[i] * shapes->shape[k][i];
        if (layer >= 0)
            row[layer] += sum;
    }
    for (int k = 0; k < degree; k++) {
        double sum = 0;
        for (int i = first; i < end; i++)
            sum += charge[i] * shapes->charge[k][i];
        charges[k] += sum;
    }
}

static void ask(const ll_revolved *f, double r, double z, ll_ring_batch *b, size_t stride,
                double *row)
{
    ll_ring_kernels kernels;
    ll_ring_shapes shapes;
    const int n = b->count;
    if (n == 0)
        return;
    ll_ring_kernels_find(f->harmonics, r, z, n, b->s, b->t, &kernels);
    find_shapes(f, b, &shapes);
    for (int m = 0; m <= f->harmonics; m++) {
        double dipole[LL_RINGS_TOGETHER], charge[LL_RINGS_TOGETHER];
        for (int i = 0; i < n; i++) {
            dipole[i] = shapes.weight[i] *
                        (kernels.to_s[m][i] * shapes.n_r[i] + kernels.to_t[m][i] * shapes.n_z[i]);
            charge[i] = shapes.weight[i] * kernels.g[m][i];
        }
        for (int first = 0, end = 0; first < n; first = end) {
            while (end < n && b->side[end] == b->side[first])
                end++;
            add_rings(f, ll_part_of(f, m), b->side[first], first, end, &shapes, dipole, charge,
                      row + (size_t)m * stride);
        }
    }
    b->count = 0;
}

void ll_revolved_row(const ll_revolved *f, double r, double z, size_t stride, double *row)
{
    ll_ring_batch b = {.count = 0};
    double at[LL_SIDE_POINTS], weight[LL_SIDE_POINTS];
    /* A point on the axis sees m = 0 alone; the kernels want a radius. */
    const double radius = fmax(r, 1e-7 * f->meridian.radius_m);
    memset(row, 0, (size_t)(f->harmonics + 1) * stride * sizeof *row);
    for (size_t k = 0; k < f->meridian.sides; k++) {
        const ll_side *side = &f->meridian.side[k];
        const int n = ll_side_points(&f->rules, side, r, z, at, weight);
        for (int i = 0; i < n; i++) {
            const double u = 0.5 * (1 + at[i]);
            const double s = side->r[0] + u * (side->r[1] - side->r[0]);
            if (s < 1e-12 * f->meridian.radius_m)
                continue;
            b.s[b.count] = s;
            b.t[b.count] = side->z[0] + u * (side->z[1] - side->z[0]);
            b.at[b.count] = at[i];
            b.weight[b.count] = weight[i];
            b.side[b.count++] = k;
            if (b.count == LL_RINGS_TOGETHER)
                ask(f, radius, z, &b, stride, row);
        }
    }
    ask(f, radius, z, &b, stride, row);
}

/* ---- the rule of the tests ---- */

/* Point i of the test rule on a side. */
typedef struct ll_test_point {
    double r, z, weight; /* metres along the side times the radius */
    double shape[LL_DEGREE_MOST + 1], charge[LL_DEGREE_MOST + 1];
} ll_test_point;

static ll_test_point test_point(const ll_revolved *f, const ll_side *side, int i)
{
    ll_test_point p;
    double slope[LL_DEGREE_MOST + 1];
    const double u = 0.5 * (1 + f->along.at[i]);
    p.r = side->r[0] + u * (side->r[1] - side->r[0]);
    p.z = side->z[0] + u * (side->z[1] - side->z[0]);
    p.weight = 0.5 * side->length * f->along.weight[i] * p.r;
    ll_shapes(f->meridian.degree, f->along.at[i], p.shape, slope);
    ll_legendre(f->meridian.degree, f->along.at[i], p.charge);
    return p;
}

static void fill_surface_points(ll_revolved *f)
{
    size_t at = 0;
    for (size_t k = 0; k < f->meridian.sides; k++)
        for (int i = 0; i < f->along.points; i++) {
            const ll_side *side = &f->meridian.side[k];
            const ll_test_point p = test_point(f, side, i);
            for (int a = 0; a < f->surface_around.count; a++, at++) {
                const double c = f->surface_around.cosine[a], s = f->surface_around.sine[a];
                f->form.surface_m[at] = ll_vec(p.r * c, p.r * s, p.z);
                f->form.normal[at] = ll_vec(side->n_r * c, side->n_r * s, side->n_z);
                f->form.area_m2[at] = p.weight * f->surface_around.weight;
            }
        }
}

/* Adds what one test point contributes to (1/2 - K) w - S lambda tested by the charges of its side. */
static void add_test(ll_revolved *f, size_t k, const ll_test_point *p, size_t stride,
                     const double *row)
{
    const ll_side *side = &f->meridian.side[k];
    const int degree = f->meridian.degree;
    for (int m = 0; m <= f->harmonics; m++) {
        const ll_taking_part *part = ll_part_of(f, m);
        const int layers = ll_wave_layers(f, m);
        for (int c = 0; c < degree; c++) {
            const double weight = ll_wave_square(m) * p->weight * p->charge[c];
            double *to = f->own[m] + (size_t)((int)k * degree + c) * (size_t)layers;
            ll_dense_add((size_t)layers, -weight, row + (size_t)m * stride, to);
            for (int j = 0; j <= degree; j++) {
                const int layer = part->at_outline[side->unknown[j]];
                if (layer >= 0)
                    to[layer] += 0.5 * weight * p->shape[j];
            }
        }
    }
}

/* The mass of charges against shapes, and all that the tests want of the surface. */
static void fill_own(ll_revolved *f, double *row)
{
    const int degree = f->meridian.degree;
    const size_t stride = (size_t)ll_wave_layers(f, 0);
    for (size_t k = 0; k < f->meridian.sides; k++)
        for (int i = 0; i < f->along.points; i++) {
            const ll_test_point p = test_point(f, &f->meridian.side[k], i);
            double *mass = f->mass + k * (size_t)(degree * (degree + 1));
            for (int c = 0; c < degree; c++)
                for (int j = 0; j <= degree; j++)
                    mass[c * (degree + 1) + j] += p.weight * p.charge[c] * p.shape[j];
            ll_revolved_row(f, p.r, p.z, stride, row);
            add_test(f, k, &p, stride, row);
        }
}

static ll_status make_rules(ll_revolved *f, int finer)
{
    const ll_status status = ll_side_rules_fill(f->meridian.degree + 2 + finer, &f->rules);
    f->along = f->rules.far;
    return status;
}

/* In the own plane y = 0 sines turn their sign; in x = 0, where phi becomes pi - phi, the odd cosines and the even sines. */
static ll_status fill_mirrors(ll_revolved *f)
{
    f->form.half = !f->sines;
    f->form.cloud_gap_m = 0.5 * f->meridian.radius_m;
    for (size_t k = 0; k < f->meridian.sides; k++)
        f->form.cloud_gap_m = fmax(f->form.cloud_gap_m, f->meridian.side[k].length);
    for (int k = 0; k < 2; k++) {
        signed char *sign = malloc(f->form.charges + f->form.layers);
        f->form.mirror[k] = sign;
        if (!sign)
            return LL_NO_MEMORY;
        for (int v = 0; v < f->waves; v++) {
            const ll_wave *wave = &f->wave[v];
            const bool turns = wave->sine != (k == 0 && wave->m % 2 == 1);
            memset(sign + v * f->side_charges, turns ? -1 : 1, (size_t)f->side_charges);
            memset(sign + f->form.charges + wave->layer, turns ? -1 : 1,
                   (size_t)ll_wave_layers(f, wave->m));
        }
    }
    return LL_OK;
}

static void size_layers(const ll_revolved *f, double *size)
{
    for (int v = 0; v < f->waves; v++) {
        const int m = f->wave[v].m, outline = ll_part_of(f, m)->outline;
        for (int i = 0; i < ll_wave_layers(f, m); i++)
            *size++ = i < outline ? f->form.reach_m : 1;
    }
}

ll_status ll_revolved_prepare_layers(ll_revolved *f, int finer)
{
    ll_body_form *form = &f->form;
    ll_status status = make_rules(f, finer);
    if (!status)
        status = fill_mirrors(f);
    if (status)
        return status;
    form->surface = f->meridian.sides * (size_t)f->along.points * (size_t)f->surface_around.count;
    form->surface_m = malloc((form->surface + 1) * sizeof *form->surface_m);
    form->normal = malloc((form->surface + 1) * sizeof *form->normal);
    form->area_m2 = malloc((form->surface + 1) * sizeof *form->area_m2);
    form->surface_group = form->surface / f->meridian.sides;
    form->layer_size = malloc((form->layers + 1) * sizeof *form->layer_size);
    const size_t stride = (size_t)ll_wave_layers(f, 0);
    double *row = malloc((stride * (size_t)(f->harmonics + 1) + 1) * sizeof *row);
    const size_t degree = (size_t)f->meridian.degree;
    f->mass = calloc(f->meridian.sides * degree * (degree + 1), sizeof *f->mass);
    bool good =
        form->surface_m && form->normal && form->area_m2 && form->layer_size && row && f->mass;
    for (int m = 0; m <= f->harmonics; m++) {
        f->own[m] = calloc((size_t)f->side_charges * stride, sizeof *f->own[m]);
        good = good && f->own[m];
    }
    if (good) {
        fill_surface_points(f);
        size_layers(f, form->layer_size);
        fill_own(f, row);
    }
    free(row);
    return good ? LL_OK : LL_NO_MEMORY;
}

/* ---- the functions of a form ---- */

void ll_revolved_add_wave_charges(const ll_revolved *f, const ll_wave *wave, const double *lambda,
                                  double *y)
{
    const int degree = f->meridian.degree;
    const int *number = ll_part_of(f, wave->m)->number;
    const double *mass = f->mass;
    for (size_t k = 0; k < f->meridian.sides; k++)
        for (int c = 0; c < degree; c++, mass += degree + 1)
            for (int j = 0; j <= degree; j++) {
                const int at = number[f->meridian.side[k].unknown[j]];
                if (at >= 0)
                    y[wave->w + (size_t)at] +=
                        ll_wave_square(wave->m) * mass[j] * lambda[(int)k * degree + c];
            }
}

void ll_revolved_add_charges(const ll_body_form *form, const double *lambda, double *y)
{
    const ll_revolved *f = ll_revolved_of(form);
    for (int v = 0; v < f->waves; v++)
        ll_revolved_add_wave_charges(f, &f->wave[v], lambda + f->wave[v].lambda - form->potentials,
                                     y);
}

void ll_revolved_find_layers(const ll_body_form *form, const double *x, double *layer)
{
    const ll_revolved *f = ll_revolved_of(form);
    for (int v = 0; v < f->waves; v++) {
        const ll_wave *wave = &f->wave[v];
        const ll_taking_part *part = ll_part_of(f, wave->m);
        double *to = layer + wave->layer;
        for (int k = 0; k < part->outline; k++)
            to[k] = x[wave->w + (size_t)part->of_outline[k]];
        memcpy(to + part->outline, x + wave->lambda, (size_t)f->side_charges * sizeof *to);
    }
}

void ll_revolved_add_own_surface(const ll_body_form *form, const double *x, double *y)
{
    const ll_revolved *f = ll_revolved_of(form);
    double layer[LL_WAVE_LAYERS_MOST];
    for (int v = 0; v < f->waves; v++) {
        const ll_wave *wave = &f->wave[v];
        const ll_taking_part *part = ll_part_of(f, wave->m);
        const int layers = ll_wave_layers(f, wave->m);
        for (int k = 0; k < part->outline; k++)
            layer[k] = x[wave->w + (size_t)part->of_outline[k]];
        memcpy(layer + part->outline, x + wave->lambda, (size_t)f->side_charges * sizeof *layer);
        ll_dense_multiply_add((size_t)f->side_charges, (size_t)layers, 1, f->own[wave->m], layer,
                              y + wave->lambda - form->potentials);
    }
}

/* y[charges][n] += rows of one test point, [angles][n]: the angles first, a few columns at a time. */
static void test_point_rows(const ll_revolved *f, size_t k, const ll_test_point *p, size_t n,
                            const double *rows, double *y)
{
    enum { COLUMNS = 128 };
    const int degree = f->meridian.degree, angles = f->surface_around.count;
    double sum[COLUMNS];
    for (size_t j = 0; j < n; j += COLUMNS) {
        const size_t columns = n - j < COLUMNS ? n - j : COLUMNS;
        for (int v = 0; v < f->waves; v++) {
            memset(sum, 0, sizeof sum);
            for (int a = 0; a < angles; a++)
                ll_dense_add(columns, f->surface_around.wave[v * angles + a],
                             rows + (size_t)a * n + j, sum);
            for (int c = 0; c < degree; c++) {
                const size_t at = (size_t)(v * f->side_charges + c) + k * (size_t)degree;
                ll_dense_add(columns, p->weight * f->surface_around.weight * p->charge[c], sum,
                             y + at * n + j);
            }
        }
    }
}

/* A group is a side. */
void ll_revolved_test_group(const ll_body_form *form, size_t group, size_t n, const double *rows,
                            double *y)
{
    const ll_revolved *f = ll_revolved_of(form);
    const size_t ring = (size_t)f->surface_around.count * n;
    for (int i = 0; i < f->along.points; i++, rows += ring) {
        const ll_test_point p = test_point(f, &f->meridian.side[group], i);
        test_point_rows(f, group, &p, n, rows, y);
    }
}

void ll_revolved_test_surface(const ll_body_form *form, const double *psi, double *y)
{
    for (size_t k = 0; k < ll_revolved_of(form)->meridian.sides; k++)
        ll_revolved_test_group(form, k, 1, psi + k * form->surface_group, y);
}

void ll_revolved_trace(const ll_body_form *form, const double *x, double *w, double *lambda)
{
    const ll_revolved *f = ll_revolved_of(form);
    const int degree = f->meridian.degree, angles = f->surface_around.count;
    memset(w, 0, form->surface * sizeof *w);
    memset(lambda, 0, form->surface * sizeof *lambda);
    for (size_t k = 0; k < f->meridian.sides; k++)
        for (int i = 0; i < f->along.points; i++, w += angles, lambda += angles) {
            const ll_side *side = &f->meridian.side[k];
            const ll_test_point p = test_point(f, side, i);
            for (int v = 0; v < f->waves; v++) {
                const ll_wave *wave = &f->wave[v];
                double at_w = 0, at_lambda = 0;
                for (int j = 0; j <= degree; j++) {
                    const int at = ll_part_of(f, wave->m)->number[side->unknown[j]];
                    at_w += at < 0 ? 0 : p.shape[j] * x[wave->w + (size_t)at];
                }
                for (int c = 0; c < degree; c++)
                    at_lambda += p.charge[c] * x[wave->lambda + k * (size_t)degree + (size_t)c];
                ll_dense_add((size_t)angles, at_w, f->surface_around.wave + v * angles, w);
                ll_dense_add((size_t)angles, at_lambda, f->surface_around.wave + v * angles,
                             lambda);
            }
        }
}

void ll_revolved_potential_rows(const ll_body_form *form, size_t n, const ll_vec3 *own_m,
                                double *rows)
{
    const ll_revolved *f = ll_revolved_of(form);
    const size_t stride = (size_t)ll_wave_layers(f, 0);
    double row[(LL_HARMONIC_MOST + 1) * LL_WAVE_LAYERS_MOST], known_r = -1, known_z = 0;
    for (size_t i = 0; i < n; i++) {
        const double angle = atan2(own_m[i].y, own_m[i].x);
        const double r = hypot(own_m[i].x, own_m[i].y), z = own_m[i].z;
        /* Points around a common axis see the same. */
        if (fabs(r - known_r) > 1e-12 * r || z != known_z)
            ll_revolved_row(f, r, z, stride, row);
        known_r = r;
        known_z = z;
        for (int v = 0; v < f->waves; v++) {
            const int m = f->wave[v].m;
            const double wave = f->wave[v].sine ? sin(m * angle) : cos(m * angle);
            double *to = rows + i * form->layers + f->wave[v].layer;
            for (int k = 0; k < ll_wave_layers(f, m); k++)
                to[k] = wave * row[(size_t)m * stride + (size_t)k];
        }
    }
}
