/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/azimuthal.h"
#include "base/constants.h"
#include "base/dense.h"
#include "base/gsl.h"
#include "base/parallel.h"
#include "elements/azimuthal_data.h"
#include "elements/ring_kernel.h"

#include <gsl/gsl_eigen.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- making and freeing ---- */

/* Functions that vanish on the axis, and among them those of the outline. */
static ll_status number_functions(ll_azimuthal *a)
{
    const int n = a->meridian.unknowns;
    a->number = malloc(((size_t)n + 1) * sizeof *a->number);
    a->at_outline = malloc(((size_t)n + 1) * sizeof *a->at_outline);
    a->of_outline = malloc(((size_t)n + 1) * sizeof *a->of_outline);
    if (!a->number || !a->at_outline || !a->of_outline)
        return LL_NO_MEMORY;
    for (int k = 0; k < n; k++) {
        a->number[k] = a->meridian.on_axis[k] ? -1 : a->unknowns++;
        a->at_outline[k] = -1;
        if (a->number[k] >= 0 && a->meridian.on_outline[k]) {
            a->at_outline[k] = a->outline;
            a->of_outline[a->outline++] = a->number[k];
        }
    }
    a->charges = (int)a->meridian.sides * a->meridian.degree;
    return LL_OK;
}

ll_status ll_azimuthal_new(ll_meridian *meridian, ll_filling_at filling, void *context,
                           ll_azimuthal **out)
{
    ll_azimuthal *a = calloc(1, sizeof *a);
    if (!a) {
        ll_meridian_clear(meridian);
        return LL_NO_MEMORY;
    }
    a->meridian = *meridian;
    memset(meridian, 0, sizeof *meridian);
    cholmod_start(&a->common);
    a->common.print = 0;
    /* No threaded library is entered from the solver's own threads. */
    a->common.supernodal = CHOLMOD_SIMPLICIAL;
    ll_status status = number_functions(a);
    if (!status)
        status = ll_rule_fill(a->meridian.degree + 2, &a->along);
    if (!status)
        status = ll_side_rules_fill(a->meridian.degree + 2, &a->rules);
    if (!status)
        status = ll_azimuthal_make_outside(a);
    if (!status)
        status = ll_azimuthal_make_inside(a, filling, context);
    if (status)
        ll_azimuthal_free(a);
    else
        *out = a;
    return status;
}

void ll_azimuthal_free(ll_azimuthal *a)
{
    if (!a)
        return;
    for (size_t i = 0; i < a->sources; i++)
        free(a->source[i].potential);
    free(a->source);
    cholmod_free_sparse(&a->stiffness, &a->common);
    cholmod_free_sparse(&a->mass, &a->common);
    cholmod_free_factor(&a->factor, &a->common);
    cholmod_finish(&a->common);
    ll_meridian_clear(&a->meridian);
    free(a->number);
    free(a->at_outline);
    free(a->of_outline);
    free(a->single);
    free(a->half);
    free(a->inverse_half);
    free(a->outside);
    free(a->time_s);
    free(a->pattern);
    free(a->weight);
    free(a);
}

/* ---- sources ---- */

size_t ll_azimuthal_points(const ll_azimuthal *a)
{
    return a->meridian.sides * (size_t)a->along.points;
}

void ll_azimuthal_point(const ll_azimuthal *a, size_t i, double *r, double *z)
{
    const size_t points = (size_t)a->along.points;
    const ll_side *side = &a->meridian.side[i / points];
    *r = ll_side_r(side, a->along.at[i % points]);
    *z = ll_side_z(side, a->along.at[i % points]);
}

/* One point of the outline: what the source is there, by what tests it. tau runs along t = (-n_z, n_r). */
static void test_source(const ll_azimuthal *a, size_t i, double a_wb_m, double b_r, double b_z,
                        ll_ring_source *s)
{
    const size_t points = (size_t)a->along.points, k = i / points;
    const ll_side *side = &a->meridian.side[k];
    const int degree = a->meridian.degree;
    const double at = a->along.at[i % points];
    const double weight = 0.5 * side->length * a->along.weight[i % points] * ll_side_r(side, at);
    const double tau = -side->n_z * b_r + side->n_r * b_z;
    double charge[LL_DEGREE_MOST + 1], value[LL_DEGREE_MOST + 1], slope[LL_DEGREE_MOST + 1];
    ll_legendre(degree, at, charge);
    ll_shapes(degree, at, value, slope);
    for (int c = 0; c < degree; c++)
        s->potential[k * (size_t)degree + (size_t)c] += weight * charge[c] * a_wb_m;
    for (int j = 0; j <= degree; j++) {
        const int to = a->number[side->unknown[j]];
        if (to >= 0)
            s->load[to] += weight * value[j] * tau;
    }
}

/* f = tau_s + H' S^-1 a, and the answer at rest. */
static ll_status finish_source(ll_azimuthal *a, ll_ring_source *s)
{
    const size_t outline = (size_t)a->outline, charges = (size_t)a->charges;
    memcpy(s->answered, s->potential, charges * sizeof(double));
    ll_status status = ll_azimuthal_solve_single(a, s->answered);
    for (size_t c = 0; c < charges && !status; c++)
        for (size_t j = 0; j < outline; j++)
            s->load[a->of_outline[j]] += a->half[c * outline + j] * s->answered[c];
    memcpy(s->at_rest, s->load, (size_t)a->unknowns * sizeof(double));
    if (!status)
        status = ll_azimuthal_factorise(a, 0);
    return status ? status : ll_azimuthal_solve(a, s->at_rest);
}

ll_status ll_azimuthal_add_source(ll_azimuthal *a, const double *a_wb_m, const double *b_r,
                                  const double *b_z)
{
    const size_t n = (size_t)a->unknowns, charges = (size_t)a->charges;
    ll_ring_source *list = realloc(a->source, (a->sources + 1) * sizeof *list);
    if (!list)
        return LL_NO_MEMORY;
    a->source = list;
    double *room = calloc(2 * charges + 2 * n + 1, sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    ll_ring_source *s = &list[a->sources++];
    *s = (ll_ring_source){room, room + charges, room + 2 * charges, room + 2 * charges + n};
    for (size_t i = 0; i < ll_azimuthal_points(a); i++)
        test_source(a, i, a_wb_m[i], b_r[i], b_z[i], s);
    return finish_source(a, s);
}

/* What a product of load and answer is in henry: the whole turn, and A over mu0. */
static const double to_henry = 2 * LL_PI / LL_MU0;

double ll_azimuthal_static_h(const ll_azimuthal *a, size_t i, size_t j)
{
    const ll_ring_source *s = &a->source[i], *t = &a->source[j];
    return to_henry * (ll_dense_dot((size_t)a->unknowns, s->load, t->at_rest) -
                       ll_dense_dot((size_t)a->charges, s->potential, t->answered));
}

/* ---- patterns ---- */

/* Real rates s = 2 pi f, each so many times the one before. */
static const double rate_step = 3;

/* Vectors that span the answers, orthonormal by the stiffness K: [count][unknowns] each. */
typedef struct ll_span {
    size_t count, most, n;
    double *vector, *times_k;
} ll_span;

/* Adds what is new of x, which is overwritten. */
static void add_to_span(const ll_azimuthal *a, ll_span *span, double *x, double *work)
{
    ll_azimuthal_multiply(a->stiffness, x, work);
    const double whole = ll_dense_dot(span->n, x, work);
    for (int again = 0; again < 2; again++)
        for (size_t k = 0; k < span->count; k++)
            ll_dense_add(span->n, -ll_dense_dot(span->n, span->times_k + k * span->n, x),
                         span->vector + k * span->n, x);
    ll_azimuthal_multiply(a->stiffness, x, work);
    const double left = ll_dense_dot(span->n, x, work);
    if (!(left > 1e-20 * whole) || span->count == span->most)
        return;
    memcpy(span->vector + span->count * span->n, x, span->n * sizeof *x);
    memcpy(span->times_k + span->count * span->n, work, span->n * sizeof *x);
    ll_dense_scale(span->n, 1 / sqrt(left), span->vector + span->count * span->n);
    ll_dense_scale(span->n, 1 / sqrt(left), span->times_k + span->count * span->n);
    span->count++;
}

/* The answers to all sources at one rate. */
static ll_status span_rate(ll_azimuthal *a, double rate, ll_span *span, double *x, double *work)
{
    ll_status status = ll_azimuthal_factorise(a, rate);
    for (size_t i = 0; i < a->sources && !status; i++) {
        memcpy(x, a->source[i].load, span->n * sizeof *x);
        status = ll_azimuthal_solve(a, x);
        if (!status)
            add_to_span(a, span, x, work);
    }
    return status;
}

/* The mass between the vectors of a span. */
static void find_mass(const ll_azimuthal *a, const ll_span *span, double *work, gsl_matrix *mass)
{
    for (size_t i = 0; i < span->count; i++) {
        ll_azimuthal_multiply(a->mass, span->vector + i * span->n, work);
        for (size_t j = 0; j < span->count; j++)
            gsl_matrix_set(mass, i, j, ll_dense_dot(span->n, span->vector + j * span->n, work));
    }
}

/* A on the outline, and tau = -S^-1 H A: no source is left of a pattern. */
static void find_layers(const ll_azimuthal *a, const double *x, double *layer)
{
    const size_t outline = (size_t)a->outline;
    for (size_t j = 0; j < outline; j++)
        layer[j] = x[a->of_outline[j]];
    for (int c = 0; c < a->charges; c++)
        layer[outline + (size_t)c] =
            -ll_dense_dot(outline, a->inverse_half + (size_t)c * outline, layer);
}

/* The span turned so that the mass is diagonal: its values are the time constants. */
static ll_status turn_span(ll_azimuthal *a, const ll_span *span, const gsl_vector *time,
                           const gsl_matrix *turn, double *work)
{
    const size_t m = span->count, layers = (size_t)a->outline + (size_t)a->charges;
    a->time_s = calloc(m + 1, sizeof *a->time_s);
    a->pattern = calloc(m * layers + 1, sizeof *a->pattern);
    a->weight = calloc(m * a->sources + 1, sizeof *a->weight);
    if (!a->time_s || !a->pattern || !a->weight)
        return LL_NO_MEMORY;
    a->patterns = m;
    for (size_t k = 0; k < m; k++) {
        a->time_s[k] = fmax(0, gsl_vector_get(time, k));
        memset(work, 0, span->n * sizeof *work);
        for (size_t j = 0; j < m; j++)
            ll_dense_add(span->n, gsl_matrix_get(turn, j, k), span->vector + j * span->n, work);
        for (size_t i = 0; i < a->sources; i++)
            a->weight[i * m + k] = sqrt(to_henry) * ll_dense_dot(span->n, a->source[i].load, work);
        find_layers(a, work, a->pattern + k * layers);
    }
    return LL_OK;
}

static ll_status diagonalise(ll_azimuthal *a, const ll_span *span, double *work)
{
    const size_t m = span->count;
    if (m == 0)
        return LL_OK;
    gsl_matrix *mass = gsl_matrix_alloc(m, m), *turn = gsl_matrix_alloc(m, m);
    gsl_vector *time = gsl_vector_alloc(m);
    gsl_eigen_symmv_workspace *room = gsl_eigen_symmv_alloc(m);
    ll_status status = mass && turn && time && room ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        find_mass(a, span, work, mass);
        status = gsl_eigen_symmv(mass, time, turn, room) ? LL_LIBRARY : LL_OK;
    }
    if (!status)
        status = turn_span(a, span, time, turn, work);
    gsl_matrix_free(mass);
    gsl_matrix_free(turn);
    gsl_vector_free(time);
    gsl_eigen_symmv_free(room);
    return status;
}

ll_status ll_azimuthal_find_patterns(ll_azimuthal *a, double f_low_hz, double f_high_hz)
{
    const int rates = 2 + (int)ceil(log(f_high_hz / f_low_hz) / log(rate_step));
    const size_t n = (size_t)a->unknowns, most = (size_t)(rates + 1) * a->sources;
    double *room = malloc((2 * (most + 1) * n + 1) * sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    double *x = room + 2 * most * n, *work = x + n;
    ll_span span = {.most = most, .n = n, .vector = room, .times_k = room + most * n};
    ll_status status = LL_OK;
    for (size_t i = 0; i < a->sources; i++) {
        memcpy(x, a->source[i].at_rest, n * sizeof *x);
        add_to_span(a, &span, x, work);
    }
    for (int k = 0; k < rates && !status; k++)
        status = span_rate(a, 2 * LL_PI * f_low_hz * pow(f_high_hz / f_low_hz, k / (rates - 1.0)),
                           &span, x, work);
    if (!status)
        status = diagonalise(a, &span, work);
    free(room);
    return status;
}

size_t ll_azimuthal_patterns(const ll_azimuthal *a)
{
    return a->patterns;
}

double ll_azimuthal_time_s(const ll_azimuthal *a, size_t k)
{
    return a->time_s[k];
}

double ll_azimuthal_weight(const ll_azimuthal *a, size_t source, size_t k)
{
    return a->weight[source * a->patterns + k];
}

/* ---- the field outside ---- */

/* H of each layer at a point: rings of charge -d(rA)/ds for the functions of A, of current -tau for those of tau, over mu0. */
typedef struct ll_field_rows {
    double *r, *z; /* [layers] */
} ll_field_rows;

/* One ring, which stands for `weight` of a side. A kernel is homogeneous of degree -1, whence its derivative to r. */
static void add_ring_rows(const ll_azimuthal *a, size_t k, double at, double weight,
                          const ll_ring_kernels *g, int i, double r, double dz, double s,
                          ll_field_rows *rows)
{
    const ll_side *side = &a->meridian.side[k];
    const int degree = a->meridian.degree;
    double to_r[2], charge[LL_DEGREE_MOST + 1], value[LL_DEGREE_MOST + 1],
        slope[LL_DEGREE_MOST + 1];
    ll_legendre(degree, at, charge);
    ll_shapes(degree, at, value, slope);
    for (int m = 0; m < 2; m++)
        to_r[m] = -(g->g[m][i] + s * g->to_s[m][i] - dz * g->to_t[m][i]) / r;
    const double one = weight / LL_MU0, turned = one * ll_side_sense(side);
    for (int j = 0; j <= degree; j++) {
        const int to = a->at_outline[side->unknown[j]];
        const double along =
            turned * (s * slope[j] * 2 / side->length + (side->along_r ? value[j] : 0));
        if (to < 0)
            continue;
        rows->r[to] += along * to_r[0];
        rows->z[to] -= along * g->to_t[0][i];
    }
    for (int c = 0; c < degree; c++) {
        const size_t to = (size_t)a->outline + k * (size_t)degree + (size_t)c;
        rows->r[to] -= one * charge[c] * s * g->to_t[1][i];
        rows->z[to] -= one * charge[c] * s * (g->g[1][i] / r + to_r[1]);
    }
}

static void add_side_rows(const ll_azimuthal *a, size_t k, double r, double z, ll_field_rows *rows)
{
    const ll_side *side = &a->meridian.side[k];
    double at[LL_SIDE_POINTS], weight[LL_SIDE_POINTS];
    const int points = ll_side_points(&a->rules, side, r, z, at, weight);
    for (int first = 0; first < points; first += LL_RINGS_TOGETHER) {
        const int n = points - first < LL_RINGS_TOGETHER ? points - first : LL_RINGS_TOGETHER;
        double s[LL_RINGS_TOGETHER], t[LL_RINGS_TOGETHER];
        ll_ring_kernels g;
        for (int i = 0; i < n; i++) {
            s[i] = fmax(ll_side_r(side, at[first + i]), 1e-9 * a->meridian.radius_m);
            t[i] = ll_side_z(side, at[first + i]);
        }
        ll_ring_kernels_find(1, r, z, n, s, t, &g);
        for (int i = 0; i < n; i++)
            add_ring_rows(a, k, at[first + i], weight[first + i], &g, i, r, z - t[i], s[i], rows);
    }
}

/* Layers of a sum of patterns. */
static void sum_patterns(const ll_azimuthal *a, const double *amplitude, double *layer)
{
    const size_t layers = (size_t)a->outline + (size_t)a->charges;
    memset(layer, 0, layers * sizeof *layer);
    for (size_t k = 0; k < a->patterns; k++)
        ll_dense_add(layers, amplitude[k] / sqrt(to_henry), a->pattern + k * layers, layer);
}

/* The field of `count` sums of layers at one point. */
static ll_status find_field(const ll_azimuthal *a, double r, double z, size_t count,
                            const double *layer, size_t stride, double *h_r, double *h_z)
{
    const size_t layers = (size_t)a->outline + (size_t)a->charges;
    /* Nearer to the axis than this, H along it is even and H across it in proportion to r. */
    const double at_r = fmax(r, 1e-3 * a->meridian.radius_m);
    double *room = calloc(2 * layers + 1, sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    ll_field_rows rows = {room, room + layers};
    for (size_t k = 0; k < a->meridian.sides; k++)
        add_side_rows(a, k, at_r, z, &rows);
    for (size_t i = 0; i < count; i++) {
        h_r[i * stride] = ll_dense_dot(layers, rows.r, layer + i * layers) * r / at_r;
        h_z[i * stride] = ll_dense_dot(layers, rows.z, layer + i * layers);
    }
    free(room);
    return LL_OK;
}

ll_status ll_azimuthal_h(const ll_azimuthal *a, size_t count, const double *amplitude, size_t n,
                         const double *r, const double *z, double *h_r, double *h_z)
{
    const size_t layers = (size_t)a->outline + (size_t)a->charges;
    double *layer = malloc((count * layers + 1) * sizeof *layer);
    if (!layer)
        return LL_NO_MEMORY;
    ll_status status = LL_OK;
    for (size_t i = 0; i < count; i++)
        sum_patterns(a, amplitude + i * a->patterns, layer + i * layers);
#pragma omp parallel for schedule(static) if (n > 16)
    for (size_t i = 0; i < n; i++)
        ll_keep_worse(&status, find_field(a, r[i], z[i], count, layer, n, h_r + i, h_z + i));
    free(layer);
    return status;
}
