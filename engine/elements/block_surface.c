/* The surface of a block: boundary operators of each parity by Galerkin's method.
 *
 * A density of class c is the same on all eight images of a rectangle but for its sign, so its potential at a point of the octant is
 * the signed sum of one rectangle's potentials at the eight images of the point. Tests are integrals over the whole surface, eight times
 * those over the octant's. Surface points are [face][octant][point].
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/dense.h"
#include "base/vectorised.h"
#include "elements/block_data.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- faces ---- */

/* The function of the octant with these indices along the face's normal, u and w. */
static int function_of(const ll_block *f, const ll_face *face, int u, int w)
{
    int at[3];
    at[face->normal] = f->line[face->normal].elements;
    at[face->u] = u;
    at[face->w] = w;
    return (at[2] * f->line[1].unknowns + at[1]) * f->line[0].unknowns + at[0];
}

static void number_face(const ll_block *f, ll_face *face, int *trace_of, int *traces)
{
    const int shapes = f->form.degree + 1;
    for (int g = 0; g < shapes; g++)
        for (int h = 0; h < shapes; h++) {
            const int function =
                function_of(f, face, ll_line_unknown(&f->line[face->u], face->element_u, g),
                            ll_line_unknown(&f->line[face->w], face->element_w, h));
            if (trace_of[function] < 0)
                trace_of[function] = (*traces)++;
            face->trace[g * shapes + h] = trace_of[function];
        }
}

static void lay_faces(ll_block *f, int *trace_of)
{
    f->faces = 0;
    for (int normal = 0; normal < 3; normal++) {
        const int u = (normal + 1) % 3, w = (normal + 2) % 3;
        for (int i = 0; i < f->line[u].elements; i++)
            for (int j = 0; j < f->line[w].elements; j++) {
                ll_face *face = &f->face[f->faces++];
                const double *at_u = f->line[u].at + i, *at_w = f->line[w].at + j;
                *face =
                    (ll_face){normal, u, w, i, j, {{at_u[0], at_u[1]}, {at_w[0], at_w[1]}}, 0, {0}};
                face->area = (at_u[1] - at_u[0]) * (at_w[1] - at_w[0]);
                number_face(f, face, trace_of, &f->trace);
            }
    }
}

/* Which functions of the octant a class has, and which of those lie on the surface. */
static ll_status lay_parity(ll_block *f, int c, const int *trace_of)
{
    ll_parity *p = &f->parity[c];
    for (int k = 0; k < 3; k++) {
        p->odd[k] = c >> k & 1;
        p->n[k] = f->line[k].unknowns - p->odd[k];
    }
    p->count = p->n[0] * p->n[1] * p->n[2];
    p->of_outline = malloc((size_t)f->trace * sizeof *p->of_outline);
    p->at_outline = malloc((size_t)f->trace * sizeof *p->at_outline);
    if (!p->of_outline || !p->at_outline)
        return LL_NO_MEMORY;
    for (int i = 0; i < f->trace; i++)
        p->at_outline[i] = -1;
    for (int i = 0; i < p->count; i++) {
        const int x = i % p->n[0] + p->odd[0], y = i / p->n[0] % p->n[1] + p->odd[1],
                  z = i / p->n[0] / p->n[1] + p->odd[2];
        const int trace = trace_of[(z * f->line[1].unknowns + y) * f->line[0].unknowns + x];
        if (trace < 0)
            continue;
        p->at_outline[trace] = p->outline;
        p->of_outline[p->outline++] = i;
    }
    return LL_OK;
}

/* ---- points ---- */

static ll_status fill_rule(ll_block *f, int finer)
{
    const int n = f->form.degree + 1 + finer;
    double node[LL_GAUSS_MOST_POINTS], weight[LL_GAUSS_MOST_POINTS];
    const int p = f->form.degree;
    const ll_status status = ll_gauss_points(n, node, weight);
    f->face_points = n * n;
    for (int t = 0; !status && t < n * n; t++) {
        double lu[LL_DEGREE_MOST + 1], lw[LL_DEGREE_MOST + 1], nu[LL_DEGREE_MOST + 1],
            nw[LL_DEGREE_MOST + 1], slope[LL_DEGREE_MOST + 1];
        f->test_u[t] = node[t / n];
        f->test_w[t] = node[t % n];
        f->test_weight[t] = 0.25 * weight[t / n] * weight[t % n];
        ll_legendre(p, f->test_u[t], lu);
        ll_legendre(p, f->test_w[t], lw);
        ll_shapes(p, f->test_u[t], nu, slope);
        ll_shapes(p, f->test_w[t], nw, slope);
        for (int r = 0; r < p * p; r++) {
            f->test[t][r] = f->test_weight[t] * lu[r / p] * lw[r % p];
            for (int s = 0; s < (p + 1) * (p + 1); s++)
                f->mass[r][s] += f->test[t][r] * nu[s / (p + 1)] * nw[s % (p + 1)];
        }
    }
    return status;
}

/* Test point t of a face, in the octant. */
static void test_point(const ll_block *f, const ll_face *face, int t, double at[3])
{
    const ll_rectangle_sides *s = &face->sides;
    at[face->normal] = f->half_m[face->normal];
    at[face->u] = s->u[0] + 0.5 * (1 + f->test_u[t]) * (s->u[1] - s->u[0]);
    at[face->w] = s->w[0] + 0.5 * (1 + f->test_w[t]) * (s->w[1] - s->w[0]);
}

static ll_vec3 image(const double at[3], int octant)
{
    return ll_vec(octant & 1 ? -at[0] : at[0], octant & 2 ? -at[1] : at[1],
                  octant & 4 ? -at[2] : at[2]);
}

static void fill_points(ll_block *f)
{
    ll_body_form *form = &f->form;
    size_t i = 0;
    for (size_t k = 0; k < f->faces; k++)
        for (int o = 0; o < LL_PARITIES; o++)
            for (int t = 0; t < f->face_points; t++, i++) {
                double at[3], normal[3] = {0, 0, 0};
                test_point(f, &f->face[k], t, at);
                normal[f->face[k].normal] = 1;
                form->surface_m[i] = image(at, o);
                form->normal[i] = image(normal, o);
                form->area_m2[i] = f->test_weight[t] * f->face[k].area;
            }
}

/* ---- potentials of one face ---- */

/* The eight images of n points in a face's own frame, [8][n] each. */
typedef struct images {
    size_t n;
    double *u, *w, *z;
} images;

static images divide_room(size_t n, double *room)
{
    return (images){n, room, room + LL_PARITIES * n, room + 2 * LL_PARITIES * n};
}

static ll_status make_images(size_t n, images *out)
{
    double *room = malloc(3 * LL_PARITIES * n * sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    *out = divide_room(n, room);
    return LL_OK;
}

static void see_images(const ll_block *f, const ll_face *face, const ll_vec3 *point, images *out)
{
    for (int o = 0; o < LL_PARITIES; o++)
        for (size_t i = 0; i < out->n; i++) {
            const double at[3] = {point[i].x, point[i].y, point[i].z};
            const ll_vec3 seen = image(at, o);
            const size_t to = (size_t)o * out->n + i;
            out->u[to] = ll_axis_of(seen, face->u);
            out->w[to] = ll_axis_of(seen, face->w);
            out->z[to] = ll_axis_of(seen, face->normal) - f->half_m[face->normal];
        }
}

/* value[8 classes][n][values] of a face and all its images. */
static void potentials_of_face(const ll_block *f, const ll_face *face, const ll_vec3 *point,
                               images *seen, double *value)
{
    const size_t all = seen->n * (size_t)ll_rectangle_values(f->form.degree);
    see_images(f, face, point, seen);
    ll_rectangle_potentials(f->layers, &face->sides, LL_PARITIES * seen->n, seen->u, seen->w,
                            seen->z, value);
    ll_parity_sums(value, all, all);
}

/* own[c] -= what one face does at another: sum over the test points of charge times value. */
static void add_face_pair(ll_block *f, int c, size_t target, size_t source, const double *value)
{
    const int p = f->form.degree, charges = p * p, shapes = (p + 1) * (p + 1);
    const int values = charges + shapes, columns = ll_parity_layers(f, c);
    const ll_parity *parity = &f->parity[c];
    const ll_face *face = &f->face[source];
    const double area = LL_PARITIES * f->face[target].area;
    for (int r = 0; r < charges; r++) {
        double sum[LL_FACE_CHARGES + LL_FACE_SHAPES] = {0};
        for (int t = 0; t < f->face_points; t++)
            ll_dense_add((size_t)values, area * f->test[t][r], value + t * values, sum);
        double *row = f->own[c] + ((size_t)target * (size_t)charges + (size_t)r) * (size_t)columns;
        for (int s = 0; s < shapes; s++) {
            const int at = parity->at_outline[face->trace[s]];
            if (at >= 0)
                row[at] -= sum[charges + s];
        }
        for (int s = 0; s < charges; s++)
            row[parity->outline + (int)source * charges + s] -= sum[s];
    }
}

static void add_half(ll_block *f, int c)
{
    const int p = f->form.degree, columns = ll_parity_layers(f, c);
    for (size_t k = 0; k < f->faces; k++)
        for (int r = 0; r < p * p; r++)
            for (int s = 0; s < (p + 1) * (p + 1); s++) {
                const int at = f->parity[c].at_outline[f->face[k].trace[s]];
                if (at >= 0)
                    f->own[c][((int)k * p * p + r) * columns + at] +=
                        0.5 * LL_PARITIES * f->face[k].area * f->mass[r][s];
            }
}

/* The test points of the octant alone, [face][point]. */
static ll_vec3 *octant_points(const ll_block *f)
{
    const size_t per = (size_t)f->face_points;
    ll_vec3 *points = malloc(f->faces * per * sizeof *points);
    for (size_t k = 0; points && k < f->faces; k++)
        memcpy(points + k * per, f->form.surface_m + k * LL_PARITIES * per, per * sizeof *points);
    return points;
}

static void add_source_face(ll_block *f, size_t source, const ll_vec3 *points, images *seen,
                            double *value)
{
    const size_t values = (size_t)ll_rectangle_values(f->form.degree);
    potentials_of_face(f, &f->face[source], points, seen, value);
    for (int c = 0; c < LL_PARITIES; c++)
        for (size_t target = 0; target < f->faces; target++)
            add_face_pair(f, c, target, source,
                          value + ((size_t)c * seen->n + target * (size_t)f->face_points) * values);
}

static ll_status fill_own(ll_block *f)
{
    const size_t n = f->faces * (size_t)f->face_points;
    images seen = {0, NULL, NULL, NULL};
    ll_vec3 *points = octant_points(f);
    double *value =
        malloc(LL_PARITIES * n * (size_t)ll_rectangle_values(f->form.degree) * sizeof *value);
    ll_status status = points && value ? make_images(n, &seen) : LL_NO_MEMORY;
    for (size_t k = 0; !status && k < f->faces; k++)
        add_source_face(f, k, points, &seen, value);
    for (int c = 0; !status && c < LL_PARITIES; c++)
        add_half(f, c);
    free(points);
    free(value);
    free(seen.u);
    return status;
}

static ll_status make_room(ll_block *f)
{
    ll_body_form *form = &f->form;
    form->surface = f->faces * LL_PARITIES * (size_t)f->face_points;
    form->surface_m = malloc(form->surface * sizeof *form->surface_m);
    form->normal = malloc(form->surface * sizeof *form->normal);
    form->area_m2 = malloc(form->surface * sizeof *form->area_m2);
    form->surface_group = LL_PARITIES * (size_t)f->face_points;
    form->layer_size = malloc(form->layers * sizeof *form->layer_size);
    bool good = form->surface_m && form->normal && form->area_m2 && form->layer_size;
    for (int c = 0; c < LL_PARITIES; c++) {
        f->own[c] = calloc((size_t)f->charges * (size_t)ll_parity_layers(f, c), sizeof(double));
        good = good && f->own[c];
    }
    return good ? LL_OK : LL_NO_MEMORY;
}

/* Numbers unknowns and layers, class by class. */
static void number_parities(ll_block *f)
{
    ll_body_form *form = &f->form;
    for (int c = 0; c < LL_PARITIES; c++) {
        f->parity[c].w = form->potentials;
        f->parity[c].layer = form->layers;
        form->potentials += (size_t)f->parity[c].count;
        form->layers += (size_t)ll_parity_layers(f, c);
    }
    for (int c = 0; c < LL_PARITIES; c++)
        f->parity[c].lambda = form->potentials + (size_t)(c * f->charges);
    form->charges = LL_PARITIES * (size_t)f->charges;
}

/* Odd classes turn their sign. */
static ll_status fill_mirrors(ll_block *f)
{
    for (int k = 0; k < 3; k++) {
        signed char *sign = malloc(f->form.charges + f->form.layers);
        f->form.mirror[k] = sign;
        if (!sign)
            return LL_NO_MEMORY;
        for (int c = 0; c < LL_PARITIES; c++)
            memset(sign + c * f->charges, c >> k & 1 ? -1 : 1, (size_t)f->charges);
        sign += f->form.charges;
        for (int c = 0; c < LL_PARITIES; c++)
            memset(sign + f->parity[c].layer, c >> k & 1 ? -1 : 1, (size_t)ll_parity_layers(f, c));
    }
    return LL_OK;
}

static void size_layers(const ll_block *f, double *size)
{
    for (int c = 0; c < LL_PARITIES; c++) {
        const int outline = f->parity[c].outline;
        for (int i = 0; i < ll_parity_layers(f, c); i++)
            *size++ = i < outline ? f->form.reach_m : 1;
    }
}

ll_status ll_block_prepare_surface(ll_block *f, int finer)
{
    const int e[3] = {f->line[0].elements, f->line[1].elements, f->line[2].elements};
    const int functions = f->line[0].unknowns * f->line[1].unknowns * f->line[2].unknowns;
    f->face = malloc((size_t)(e[0] * e[1] + e[1] * e[2] + e[2] * e[0]) * sizeof *f->face);
    int *trace_of = malloc((size_t)functions * sizeof *trace_of);
    ll_status status = f->face && trace_of ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        for (int i = 0; i < functions; i++)
            trace_of[i] = -1;
        lay_faces(f, trace_of);
    }
    for (int c = 0; c < LL_PARITIES && !status; c++)
        status = lay_parity(f, c, trace_of);
    free(trace_of);
    if (status)
        return status;
    f->charges = (int)f->faces * f->form.degree * f->form.degree;
    number_parities(f);
    if (ll_parity_layers(f, 0) > LL_BLOCK_LAYERS_MOST)
        return LL_TOO_BIG;
    status = fill_rule(f, finer);
    if (!status)
        status = make_room(f);
    if (!status) {
        fill_points(f);
        size_layers(f, f->form.layer_size);
        status = fill_mirrors(f);
    }
    if (!status) {
        status = fill_own(f);
    }
    return status;
}

/* ---- the functions of a form ---- */

void ll_block_add_class_charges(const ll_block *f, int c, const double *lambda, const int *place,
                                double *y)
{
    const int p = f->form.degree, charges = p * p, shapes = (p + 1) * (p + 1);
    for (size_t k = 0; k < f->faces; k++) {
        const double *own = lambda + k * (size_t)charges;
        const double area = LL_PARITIES * f->face[k].area;
        for (int s = 0; s < shapes; s++) {
            const int at = f->parity[c].at_outline[f->face[k].trace[s]];
            double sum = 0;
            for (int r = 0; r < charges; r++)
                sum += own[r] * f->mass[r][s];
            if (at >= 0)
                y[place ? place[at] : at] += area * sum;
        }
    }
}

void ll_block_add_charges(const ll_body_form *form, const double *lambda, double *y)
{
    const ll_block *f = ll_block_of(form);
    for (int c = 0; c < LL_PARITIES; c++)
        ll_block_add_class_charges(f, c, lambda + c * f->charges, f->parity[c].of_outline,
                                   y + f->parity[c].w);
}

static void class_layers(const ll_block *f, int c, const double *x, double *layer)
{
    const ll_parity *p = &f->parity[c];
    for (int i = 0; i < p->outline; i++)
        layer[i] = x[p->w + (size_t)p->of_outline[i]];
    memcpy(layer + p->outline, x + p->lambda, (size_t)f->charges * sizeof *layer);
}

void ll_block_find_layers(const ll_body_form *form, const double *x, double *layer)
{
    const ll_block *f = ll_block_of(form);
    for (int c = 0; c < LL_PARITIES; c++)
        class_layers(f, c, x, layer + f->parity[c].layer);
}

void ll_block_add_own_surface(const ll_body_form *form, const double *x, double *y)
{
    const ll_block *f = ll_block_of(form);
    for (int c = 0; c < LL_PARITIES; c++) {
        double layer[LL_BLOCK_LAYERS_MOST];
        class_layers(f, c, x, layer);
        ll_dense_multiply_add((size_t)f->charges, (size_t)ll_parity_layers(f, c), 1, f->own[c],
                              layer, y + c * f->charges);
    }
}

/* to[columns] += sum of weight[t] from[t][columns]. */
enum { COLUMNS = 16 };
static LL_VECTORISED(add_weighted,
                     (size_t points, const double *restrict weight, const double *restrict from,
                      double *restrict to),
                     (points, weight, from, to))
{
    double sum[COLUMNS];
    for (int j = 0; j < COLUMNS; j++)
        sum[j] = to[j];
    for (size_t t = 0; t < points; t++)
        for (int j = 0; j < COLUMNS; j++)
            sum[j] += weight[t] * from[t * COLUMNS + (size_t)j];
    for (int j = 0; j < COLUMNS; j++)
        to[j] = sum[j];
}

/* `columns` columns of rows[points of a face and its images][n] tested on face k, added to the rows of y[charges][n]. */
static void test_face(const ll_block *f, size_t k, size_t n, size_t columns, const double *rows,
                      double *y)
{
    const int charges = f->form.degree * f->form.degree;
    const size_t per = (size_t)f->face_points;
    double sums[LL_PARITIES * LL_FACE_POINTS * COLUMNS], weight[LL_FACE_POINTS], tested[COLUMNS];
    for (size_t i = 0; i < LL_PARITIES * per; i++) {
        memcpy(sums + i * COLUMNS, rows + i * n, columns * sizeof *sums);
        memset(sums + i * COLUMNS + columns, 0, (COLUMNS - columns) * sizeof *sums);
    }
    ll_parity_sums(sums, per * COLUMNS, per * COLUMNS);
    for (int r = 0; r < charges; r++) {
        for (size_t t = 0; t < per; t++)
            weight[t] = f->face[k].area * f->test[t][r];
        for (int c = 0; c < LL_PARITIES; c++) {
            double *to = y + (size_t)(c * f->charges + (int)k * charges + r) * n;
            memset(tested, 0, sizeof tested);
            add_weighted(per, weight, sums + (size_t)c * per * COLUMNS, tested);
            for (size_t j = 0; j < columns; j++)
                to[j] += tested[j];
        }
    }
}

void ll_block_test_surface(const ll_body_form *form, const double *psi, double *y)
{
    const ll_block *f = ll_block_of(form);
    for (size_t k = 0; k < f->faces; k++)
        test_face(f, k, 1, 1, psi + k * LL_PARITIES * (size_t)f->face_points, y);
}

void ll_block_test_group(const ll_body_form *form, size_t group, size_t n, const double *rows,
                         double *y)
{
    for (size_t j = 0; j < n; j += COLUMNS)
        test_face(ll_block_of(form), group, n, n - j < COLUMNS ? n - j : COLUMNS, rows + j, y + j);
}

/* w and lambda of class c at point t of face k. */
static void density_at(const ll_block *f, int c, const double *x, size_t k, int t, double *w,
                       double *lambda)
{
    const ll_parity *parity = &f->parity[c];
    const int p = f->form.degree;
    double nu[LL_DEGREE_MOST + 1], nw[LL_DEGREE_MOST + 1], slope[LL_DEGREE_MOST + 1];
    ll_shapes(p, f->test_u[t], nu, slope);
    ll_shapes(p, f->test_w[t], nw, slope);
    *w = *lambda = 0;
    for (int s = 0; s < (p + 1) * (p + 1); s++) {
        const int at = parity->at_outline[f->face[k].trace[s]];
        if (at >= 0)
            *w += x[parity->w + (size_t)parity->of_outline[at]] * nu[s / (p + 1)] * nw[s % (p + 1)];
    }
    for (int r = 0; r < p * p; r++)
        *lambda += x[parity->lambda + k * (size_t)(p * p) + (size_t)r] * f->test[t][r];
    *lambda /= f->test_weight[t];
}

void ll_block_trace(const ll_body_form *form, const double *x, double *w, double *lambda)
{
    const ll_block *f = ll_block_of(form);
    const size_t per = (size_t)f->face_points;
    for (size_t k = 0; k < f->faces; k++) {
        double *face_w = w + k * LL_PARITIES * per, *face_lambda = lambda + k * LL_PARITIES * per;
        for (int c = 0; c < LL_PARITIES; c++)
            for (size_t t = 0; t < per; t++)
                density_at(f, c, x, k, (int)t, &face_w[(size_t)c * per + t],
                           &face_lambda[(size_t)c * per + t]);
        ll_parity_sums(face_w, per, per);
        ll_parity_sums(face_lambda, per, per);
    }
}

/* Potentials of one face at a few points into rows[points][layers]. */
static void face_into_rows(const ll_block *f, size_t k, size_t n, const double *value, double *rows)
{
    const int p = f->form.degree, charges = p * p, shapes = (p + 1) * (p + 1);
    for (int c = 0; c < LL_PARITIES; c++) {
        const ll_parity *parity = &f->parity[c];
        for (size_t i = 0; i < n; i++) {
            const double *from = value + ((size_t)c * n + i) * (size_t)(charges + shapes);
            double *row = rows + i * f->form.layers + parity->layer;
            for (int s = 0; s < shapes; s++) {
                const int at = parity->at_outline[f->face[k].trace[s]];
                if (at >= 0)
                    row[at] += from[charges + s];
            }
            memcpy(row + parity->outline + k * (size_t)charges, from,
                   (size_t)charges * sizeof *row);
        }
    }
}

void ll_block_potential_rows(const ll_body_form *form, size_t n, const ll_vec3 *own_m, double *rows)
{
    enum { CHUNK = 32 };
    const ll_block *f = ll_block_of(form);
    double room[3 * LL_PARITIES * CHUNK],
        value[LL_PARITIES * CHUNK * (LL_FACE_CHARGES + LL_FACE_SHAPES)];
    memset(rows, 0, n * form->layers * sizeof *rows);
    for (size_t from = 0; from < n; from += CHUNK) {
        const size_t m = n - from < CHUNK ? n - from : CHUNK;
        images seen = divide_room(m, room);
        for (size_t k = 0; k < f->faces; k++) {
            potentials_of_face(f, &f->face[k], own_m + from, &seen, value);
            face_into_rows(f, k, m, value, rows + from * form->layers);
        }
    }
}
