/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/pair.h"
#include "base/cache_kind.h"
#include "base/dense.h"
#include "base/gsl.h"
#include "base/pose_key.h"
#include "elements/pair_points.h"

#include <gsl/gsl_cblas.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* The source's axis that lies along axis k of the target, or -1. */
static int axis_along(const ll_pose *source_in_target, int k)
{
    for (int j = 0; j < 3; j++)
        if (fabs(source_in_target->rotation.m[k][j]) > 1 - 1e-12)
            return j;
    return -1;
}

/* Mirrors the source to the positive side of each of the target's own planes, where both are their own images. */
static void to_positive_side(ll_pair *p, ll_pair_use *use)
{
    double *origin[3] = {&p->source_in_target.origin_m.x, &p->source_in_target.origin_m.y,
                         &p->source_in_target.origin_m.z};
    for (int k = 0; k < 3; k++) {
        const int j = axis_along(&p->source_in_target, k);
        if (*origin[k] > -1e-9 || j < 0 || (k == 1 && p->target->half) || !p->target->mirror[k] ||
            !p->source->mirror[j])
            continue;
        *origin[k] = -*origin[k];
        use->target_mirrors |= 1U << k;
        use->source_mirrors |= 1U << j;
    }
}

/* ---- all points ---- */

/* One group of the target's surface points: rows of the matrix that no other group has. */
static void fill_group(const ll_pair *p, size_t group, ll_vec3 *at, double *rows, double *matrix)
{
    const ll_body_form *t = p->target, *s = p->source;
    for (size_t i = 0; i < t->surface_group; i++)
        at[i] = ll_to_own(&p->source_in_target, t->surface_m[group * t->surface_group + i]);
    s->kind->potential_rows(s, t->surface_group, at, rows);
    t->kind->test_group(t, group, s->layers, rows, matrix);
}

static ll_status fill_whole(const ll_pair *p, double *matrix)
{
    const ll_body_form *t = p->target, *s = p->source;
    const size_t groups = t->surface / t->surface_group;
    ll_status status = LL_OK;
#pragma omp parallel
    {
        ll_vec3 *at = malloc(t->surface_group * sizeof *at);
        double *rows = malloc(t->surface_group * s->layers * sizeof *rows);
        const bool good = at && rows;
#pragma omp for schedule(dynamic, 1)
        for (size_t g = 0; g < groups; g++)
            if (good)
                fill_group(p, g, at, rows, matrix);
        if (!good) {
#pragma omp critical(ll_pair_status)
            status = LL_NO_MEMORY;
        }
        free(at);
        free(rows);
    }
    return status;
}

/* ---- few points ---- */

/* What watched points may find left of a potential, of coefficients at random: rougher than any answer is. */
static const double watch_tolerance = 3e-3;
enum { ROWS_TOGETHER = 32 };

/* rows[n][layers]: the potential of each layer at n points. */
static void fill_rows(const ll_body_form *source, size_t n, const ll_vec3 *at, double *rows)
{
#pragma omp parallel for schedule(dynamic, 1)
    for (size_t from = 0; from < n; from += ROWS_TOGETHER)
        source->kind->potential_rows(source, n - from < ROWS_TOGETHER ? n - from : ROWS_TOGETHER,
                                     at + from, rows + from * source->layers);
}

static double squares(const ll_body_form *source, size_t n, const double *rows)
{
    double sum = 0;
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < source->layers; j++) {
            const double v = rows[i * source->layers + j] * source->layer_size[j];
            sum += v * v;
        }
    return sum;
}

/* Whether potentials at the chosen points, rows[count][layers], give those at watched ones, watched[][layers]: what is left of these, in
 * sizes of layers that count alike. */
static bool holds(const ll_pair_points *p, const ll_body_form *source, const double *rows,
                  double *watched)
{
    const double all = squares(source, p->watched, watched);
    const int layers = (int)source->layers, count = (int)p->count;
    if (p->watched > 0 && count > 0)
        cblas_dgemm(CblasRowMajor, CblasNoTrans, CblasNoTrans, (int)p->watched, layers, count, -1,
                    p->told, count, rows, layers, 1, watched, layers);
    return squares(source, p->watched, watched) <= watch_tolerance * watch_tolerance * all;
}

/* *kept = value[n] in single precision. */
static ll_status keep(size_t n, const double *value, float **kept)
{
    *kept = malloc((n + 1) * sizeof **kept);
    for (size_t i = 0; *kept && i < n; i++)
        (*kept)[i] = (float)value[i];
    return *kept ? LL_OK : LL_NO_MEMORY;
}

static ll_status keep_few(ll_pair *p, const ll_pair_points *points, const double *rows)
{
    p->points = points->count;
    const ll_status status = keep(p->points * p->source->layers, rows, &p->rows);
    return status ? status : keep(p->target->charges * p->points, points->tested, &p->matrix);
}

/* Products that a pair serves, each as long as so many of the multiplications that make its matrix: those are done in blocks, while
 * a product waits for the memory. */
static const double products_served = 300;

/* Whether going through so many points costs less than making the matrix, and using that. */
static bool is_few(const ll_pair *p, size_t points)
{
    const double charges = (double)p->target->charges, layers = (double)p->source->layers;
    const double n = (double)points, whole = charges * layers;
    return n * (charges + layers) < whole * (1 + n / products_served);
}

/* The matrix itself: from potentials at the chosen points, or without them from those at all. */
static ll_status keep_whole(ll_pair *p, const ll_pair_points *points, const double *rows)
{
    const size_t charges = p->target->charges, layers = p->source->layers;
    double *matrix = calloc(charges * layers + 1, sizeof *matrix);
    ll_status status = matrix ? LL_OK : LL_NO_MEMORY;
    if (!status && rows)
        cblas_dgemm(CblasRowMajor, CblasNoTrans, CblasNoTrans, (int)charges, (int)layers,
                    (int)points->count, 1, points->tested, (int)points->count, rows, (int)layers, 0,
                    matrix, (int)layers);
    else if (!status)
        status = fill_whole(p, matrix);
    if (!status)
        status = keep(charges * layers, matrix, &p->matrix);
    free(matrix);
    return status;
}

/* Points that are most of a surface are no choice. */
static const double few_share = 0.5;

/* Potentials at the chosen points in *rows, NULL where they do not serve. */
static ll_status find_rows(const ll_pair *p, const ll_pair_points *points, double **rows)
{
    const ll_body_form *s = p->source;
    *rows = NULL;
    if ((double)points->count > few_share * (double)p->target->surface)
        return LL_OK;
    double *all = malloc(((points->count + points->watched) * s->layers + 1) * sizeof *all);
    if (!all)
        return LL_NO_MEMORY;
    double *watched = all + points->count * s->layers;
    fill_rows(s, points->count, points->at_m, all);
    fill_rows(s, points->watched, points->watched_at_m, watched);
    if (holds(points, s, all, watched))
        *rows = all;
    else
        free(all);
    return LL_OK;
}

static ll_status fill(ll_pair *p)
{
    ll_pair_points points;
    double *rows = NULL;
    ll_status status = ll_pair_points_find(p->target, p->source, &p->source_in_target, &points);
    if (status)
        return status;
    status = find_rows(p, &points, &rows);
    if (!status)
        status = rows && is_few(p, points.count) ? keep_few(p, &points, rows)
                                                 : keep_whole(p, &points, rows);
    free(rows);
    ll_pair_points_clear(&points);
    return status;
}

static ll_status add_stored(const ll_pair *p, const double *layer, double *y)
{
    if (!p->rows) {
        ll_dense_multiply_add_single(p->target->charges, p->source->layers, 1, p->matrix, layer, y);
        return LL_OK;
    }
    double *potential = calloc(p->points + 1, sizeof *potential);
    if (!potential)
        return LL_NO_MEMORY;
    ll_dense_multiply_add_single(p->points, p->source->layers, 1, p->rows, layer, potential);
    ll_dense_multiply_add_single(p->target->charges, p->points, 1, p->matrix, potential, y);
    free(potential);
    return LL_OK;
}

/* v[n] with the signs that the planes give. */
static void mirror(const ll_body_form *form, unsigned planes, size_t from, size_t n, double *v)
{
    for (int k = 0; k < 3; k++)
        for (size_t i = 0; (planes >> k & 1) && i < n; i++)
            v[i] *= form->mirror[k][from + i];
}

ll_status ll_pair_add(const ll_pair_use *use, const double *layer, double *y)
{
    const ll_body_form *t = use->pair->target, *s = use->pair->source;
    if (!use->target_mirrors && !use->source_mirrors)
        return add_stored(use->pair, layer, y);
    double *seen = calloc(s->layers + t->charges, sizeof *seen);
    if (!seen)
        return LL_NO_MEMORY;
    double *tested = seen + s->layers;
    memcpy(seen, layer, s->layers * sizeof *seen);
    mirror(s, use->source_mirrors, s->charges, s->layers, seen);
    const ll_status status = add_stored(use->pair, seen, tested);
    mirror(t, use->target_mirrors, 0, t->charges, tested);
    ll_dense_add(t->charges, 1, tested, y);
    free(seen);
    return status;
}

size_t ll_pair_bytes(const ll_pair *p)
{
    const size_t few = p->points * (p->target->charges + p->source->layers);
    return (p->rows ? few : p->target->charges * p->source->layers) * sizeof(float);
}

/* ---- cached ---- */

static size_t bytes_of(const void *thing)
{
    return ll_pair_bytes(thing);
}

/* The forms live as long as the pair, so their addresses tell them apart. */
static ll_key key_of(const ll_pair *p)
{
    ll_key key = {0};
    ll_key_add(&key, (double)(uintptr_t)p->target);
    ll_key_add(&key, (double)(uintptr_t)p->source);
    ll_key_add_members(&key, &ll_pose_members, &p->source_in_target);
    return key;
}

static void pair_free(void *thing)
{
    ll_pair *p = thing;
    ll_release(p->target);
    ll_release(p->source);
    free(p->matrix);
    free(p->rows);
    free(p);
}

static ll_status make(const ll_pair *wanted, ll_pair **out)
{
    ll_pair *p = malloc(sizeof *p);
    if (!p)
        return LL_NO_MEMORY;
    *p = *wanted;
    ll_shared_begin(&p->shared, pair_free);
    ll_share(p->target);
    ll_share(p->source);
    const ll_status status = fill(p);
    if (status)
        ll_release(p);
    else
        *out = p;
    return status;
}

ll_status ll_pair_get(ll_body_form *target, const ll_pose *target_pose, ll_body_form *source,
                      const ll_pose *source_pose, ll_pair_use *out)
{
    static const ll_cache_kind pairs = {bytes_of};
    ll_pair wanted = {.target = target,
                      .source = source,
                      .source_in_target = ll_pose_seen_from(target_pose, source_pose)};
    *out = (ll_pair_use){NULL, 0, 0};
    to_positive_side(&wanted, out);
    ll_key key = key_of(&wanted);
    ll_pair *p = ll_cache_find(&pairs, &key);
    ll_status status = LL_OK;
    if (!p) {
        status = make(&wanted, &p);
        p = status ? NULL : ll_cache_keep(&pairs, &key, p);
    }
    out->pair = p;
    ll_key_clear(&key);
    return status;
}
