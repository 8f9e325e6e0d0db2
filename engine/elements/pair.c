/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/pair.h"
#include "base/cache_kind.h"
#include "base/dense.h"
#include "base/pose_key.h"
#include "elements/pair_points.h"

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
static void fill_group(const ll_pair *p, size_t group, ll_vec3 *at, double *rows)
{
    const ll_body_form *t = p->target, *s = p->source;
    for (size_t i = 0; i < t->surface_group; i++)
        at[i] = ll_to_own(&p->source_in_target, t->surface_m[group * t->surface_group + i]);
    s->kind->potential_rows(s, t->surface_group, at, rows);
    t->kind->test_group(t, group, s->layers, rows, p->matrix);
}

static ll_status fill_whole(ll_pair *p)
{
    const ll_body_form *t = p->target, *s = p->source;
    const size_t groups = t->surface / t->surface_group;
    ll_status status = LL_OK;
    p->matrix = calloc(t->charges * s->layers, sizeof *p->matrix);
    if (!p->matrix)
        return LL_NO_MEMORY;
#pragma omp parallel
    {
        ll_vec3 *at = malloc(t->surface_group * sizeof *at);
        double *rows = malloc(t->surface_group * s->layers * sizeof *rows);
        const bool good = at && rows;
#pragma omp for schedule(dynamic, 1)
        for (size_t g = 0; g < groups; g++)
            if (good)
                fill_group(p, g, at, rows);
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

/* Whether potentials at the chosen points, rows[count][layers], give those at watched ones, watched[][layers]: what is left of these, in
 * sizes of layers that count alike. */
static bool holds(const ll_pair_points *p, const ll_body_form *source, const double *rows,
                  double *watched)
{
    double left = 0, all = 0;
    for (size_t i = 0; i < p->watched; i++) {
        double *row = watched + i * source->layers;
        for (size_t j = 0; j < source->layers; j++)
            all += row[j] * row[j] * source->layer_size[j] * source->layer_size[j];
        for (size_t k = 0; k < p->count; k++)
            ll_dense_add(source->layers, -p->told[i * p->count + k], rows + k * source->layers,
                         row);
        for (size_t j = 0; j < source->layers; j++)
            left += row[j] * row[j] * source->layer_size[j] * source->layer_size[j];
    }
    return left <= watch_tolerance * watch_tolerance * all;
}

/* p->rows, and p->matrix for them; *good tells whether they serve. */
static ll_status fill_few(ll_pair *p, ll_pair_points *points, bool *good)
{
    const ll_body_form *s = p->source;
    double *watched = malloc((points->watched * s->layers + 1) * sizeof *watched);
    p->rows = malloc((points->count * s->layers + 1) * sizeof *p->rows);
    const bool room = watched && p->rows;
    if (room) {
        fill_rows(s, points->count, points->at_m, p->rows);
        fill_rows(s, points->watched, points->watched_at_m, watched);
        *good = holds(points, s, p->rows, watched);
    }
    free(watched);
    if (!room || !*good) {
        free(p->rows);
        p->rows = NULL;
        return room ? LL_OK : LL_NO_MEMORY;
    }
    p->matrix = points->tested;
    p->points = points->count;
    points->tested = NULL;
    return LL_OK;
}

/* Whether a product through so many points is smaller than the matrix. */
static bool is_few(const ll_pair *p, size_t points)
{
    return points * (p->target->charges + p->source->layers) <
           p->target->charges * p->source->layers;
}

static ll_status fill(ll_pair *p)
{
    ll_pair_points points;
    bool good = false;
    ll_status status = ll_pair_points_find(p->target, p->source, &p->source_in_target, &points);
    if (status)
        return status;
    if (is_few(p, points.count))
        status = fill_few(p, &points, &good);
    ll_pair_points_clear(&points);
    return status || good ? status : fill_whole(p);
}

static ll_status add_stored(const ll_pair *p, const double *layer, double *y)
{
    if (!p->rows) {
        ll_dense_multiply_add(p->target->charges, p->source->layers, 1, p->matrix, layer, y);
        return LL_OK;
    }
    double *potential = calloc(p->points + 1, sizeof *potential);
    if (!potential)
        return LL_NO_MEMORY;
    ll_dense_multiply_add(p->points, p->source->layers, 1, p->rows, layer, potential);
    ll_dense_multiply_add(p->target->charges, p->points, 1, p->matrix, potential, y);
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
    return (p->rows ? few : p->target->charges * p->source->layers) * sizeof(double);
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
