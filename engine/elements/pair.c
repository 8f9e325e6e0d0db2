/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/pair.h"
#include "base/cache_kind.h"
#include "base/constants.h"
#include "base/dense.h"
#include "base/pose_key.h"
#include "base/vectorised.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

bool ll_pair_is_near(const ll_body_form *a, const ll_pose *pa, const ll_body_form *b,
                     const ll_pose *pb)
{
    const double gap = fmax(a->least_gap_m, b->least_gap_m);
    const double apart = ll_norm(ll_sub(pa->origin_m, pb->origin_m));
    if (apart > a->reach_m + b->reach_m + gap)
        return false;
    /* Either may lie in a hollow of the other, or end beside its flat. */
    for (size_t i = 0; i < a->surface; i++) {
        const ll_vec3 at = ll_to_own(pb, ll_to_world(pa, a->surface_m[i]));
        if (b->kind->distance_m(b, at) < gap)
            return true;
    }
    for (size_t i = 0; i < b->surface; i++) {
        const ll_vec3 at = ll_to_own(pa, ll_to_world(pb, b->surface_m[i]));
        if (a->kind->distance_m(a, at) < gap)
            return true;
    }
    return false;
}

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

/* ---- thin matrices ---- */

/* What is left out of a matrix that is kept as a product of thin ones: near, and from afar, where it holds less and errors of the
 * grid are smaller. */
static const double thin_tolerance = 1e-5, far_tolerance = 1e-6;
/* Smaller matrices, and those that hold nearly all they seem to, stay whole. */
static const size_t least_whole = 20000;
static const double worth_share = 0.6;

/* Whether the thin matrices are the whole one in every fifth row: unknowns that know nothing of each other, as harmonics around
 * one axis, may all be missing. */
static bool holds(const ll_lowrank *thin, const double *matrix, double tolerance, double *row)
{
    double left = 0, all = 0;
    for (size_t i = 2; i < thin->rows; i += 5) {
        memcpy(row, matrix + i * thin->columns, thin->columns * sizeof *row);
        all += ll_dense_dot(thin->columns, row, row);
        for (size_t k = 0; k < thin->rank; k++)
            ll_dense_add(thin->columns, -thin->u[k * thin->rows + i], thin->v + k * thin->columns,
                         row);
        left += ll_dense_dot(thin->columns, row, row);
    }
    return left <= 100 * tolerance * tolerance * all;
}

/* p->matrix[rows][columns] becomes p->thin and NULL where that pays. */
static ll_status make_thin(ll_pair *p, size_t rows, size_t columns, double tolerance)
{
    if (rows * columns < least_whole)
        return LL_OK;
    const ll_status status =
        ll_lowrank_of_matrix(rows, columns, p->matrix, tolerance, true, &p->thin);
    double *row = status ? NULL : malloc(columns * sizeof *row);
    const bool thin =
        row && (double)(p->thin.rank * (rows + columns)) <= worth_share * (double)(rows * columns);
    if (thin && holds(&p->thin, p->matrix, tolerance, row)) {
        free(p->matrix);
        p->matrix = NULL;
    } else
        ll_lowrank_clear(&p->thin);
    free(row);
    return status;
}

/* ---- from afar ---- */

/* row[n] = 1 / (4 pi r) from one point to n others, [3][n]. */
static LL_VECTORISED(inverse_distances, (ll_vec3 at, size_t n, const double *points, double *row),
                     (at, n, points, row))
{
    for (size_t j = 0; j < n; j++) {
        const double x = at.x - points[j], y = at.y - points[n + j], z = at.z - points[2 * n + j];
        row[j] = 1 / (4 * LL_PI * sqrt(x * x + y * y + z * z));
    }
}

/* What every target node sees of each of the source's moments, [source moments][target nodes]. */
static void see_moments(const ll_pair *p, double *points, double *row, double *seen)
{
    const ll_body_form *t = p->target, *s = p->source;
    for (size_t j = 0; j < s->nodes; j++) {
        const ll_vec3 at = ll_to_world(&p->source_in_target, s->node_m[j]);
        points[j] = at.x;
        points[s->nodes + j] = at.y;
        points[2 * s->nodes + j] = at.z;
    }
    double *combined = row + s->nodes;
    for (size_t i = 0; i < t->nodes; i++) {
        inverse_distances(t->node_m[i], s->nodes, points, row);
        s->kind->combine(s, 1, row, combined);
        for (size_t k = 0; k < s->moments; k++)
            seen[k * t->nodes + i] = combined[k];
    }
}

/* The matrix is stored as [source moments][target moments]. */
static ll_status fill_far(ll_pair *p)
{
    const ll_body_form *t = p->target, *s = p->source;
    double *points = malloc(3 * s->nodes * sizeof *points);
    double *row = malloc((s->nodes + s->moments) * sizeof *row);
    double *seen = malloc(s->moments * t->nodes * sizeof *seen);
    p->matrix = malloc(s->moments * t->moments * sizeof *p->matrix);
    const bool good = points && row && seen && p->matrix;
    if (good) {
        see_moments(p, points, row, seen);
        t->kind->combine(t, s->moments, seen, p->matrix);
    }
    free(points);
    free(row);
    free(seen);
    return good ? make_thin(p, s->moments, t->moments, far_tolerance) : LL_NO_MEMORY;
}

void ll_pair_add_far(const ll_pair *p, bool to_target, const double *moment, double *psi)
{
    const size_t rows = p->source->moments, columns = p->target->moments;
    if (!p->matrix && to_target)
        ll_lowrank_add_transposed(&p->thin, 1, moment, psi);
    else if (!p->matrix)
        ll_lowrank_add(&p->thin, 1, moment, psi);
    else if (!to_target)
        ll_dense_multiply_add(rows, columns, 1, p->matrix, moment, psi);
    else
        for (size_t i = 0; i < rows; i++)
            ll_dense_add(columns, moment[i], p->matrix + i * columns, psi);
}

/* ---- near ---- */

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

/* Layers in sizes that count alike. */
static void scale_columns(const ll_body_form *source, bool up, size_t rows, double *m)
{
    for (size_t i = 0; i < rows; i++)
        for (size_t j = 0; j < source->layers; j++)
            m[i * source->layers + j] *= up ? source->layer_size[j] : 1 / source->layer_size[j];
}

static ll_status make_thin_direct(ll_pair *p)
{
    const size_t rows = p->target->charges;
    scale_columns(p->source, true, rows, p->matrix);
    const ll_status status = make_thin(p, rows, p->source->layers, thin_tolerance);
    if (p->matrix)
        scale_columns(p->source, false, rows, p->matrix);
    else
        scale_columns(p->source, false, p->thin.rank, p->thin.v);
    return status;
}

static ll_status fill_direct(ll_pair *p)
{
    const ll_status status = fill_whole(p);
    return status ? status : make_thin_direct(p);
}

static void add_stored(const ll_pair *p, const double *layer, double *y)
{
    if (p->matrix)
        ll_dense_multiply_add(p->target->charges, p->source->layers, 1, p->matrix, layer, y);
    else
        ll_lowrank_add(&p->thin, 1, layer, y);
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
    if (!use->target_mirrors && !use->source_mirrors) {
        add_stored(use->pair, layer, y);
        return LL_OK;
    }
    double *seen = calloc(s->layers + t->charges, sizeof *seen);
    if (!seen)
        return LL_NO_MEMORY;
    double *tested = seen + s->layers;
    memcpy(seen, layer, s->layers * sizeof *seen);
    mirror(s, use->source_mirrors, s->charges, s->layers, seen);
    add_stored(use->pair, seen, tested);
    mirror(t, use->target_mirrors, 0, t->charges, tested);
    ll_dense_add(t->charges, 1, tested, y);
    free(seen);
    return LL_OK;
}

size_t ll_pair_bytes(const ll_pair *p)
{
    const size_t thin = p->thin.rank * (p->thin.rows + p->thin.columns);
    const size_t rows = p->direct ? p->target->charges : p->target->moments;
    const size_t whole = rows * (p->direct ? p->source->layers : p->source->moments);
    return (p->matrix ? whole : thin) * sizeof(double);
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
    ll_key_add(&key, p->direct);
    ll_key_add_members(&key, &ll_pose_members, &p->source_in_target);
    return key;
}

static void pair_free(void *thing)
{
    ll_pair *p = thing;
    ll_release(p->target);
    ll_release(p->source);
    free(p->matrix);
    ll_lowrank_clear(&p->thin);
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
    const ll_status status = p->direct ? fill_direct(p) : fill_far(p);
    if (status)
        ll_release(p);
    else
        *out = p;
    return status;
}

ll_status ll_pair_get(ll_body_form *target, const ll_pose *target_pose, ll_body_form *source,
                      const ll_pose *source_pose, bool direct, ll_pair_use *out)
{
    static const ll_cache_kind pairs = {bytes_of};
    ll_pair wanted = {.target = target,
                      .source = source,
                      .source_in_target = ll_pose_seen_from(target_pose, source_pose),
                      .direct = direct};
    *out = (ll_pair_use){NULL, 0, 0};
    if (direct)
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
