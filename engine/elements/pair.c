/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/pair.h"
#include "base/constants.h"
#include "base/shelf.h"
#include "base/vectorised.h"

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

static ll_pose relative(const ll_pose *target, const ll_pose *source)
{
    ll_pose p;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            p.rotation.m[i][j] = 0;
            for (int k = 0; k < 3; k++)
                p.rotation.m[i][j] += target->rotation.m[k][i] * source->rotation.m[k][j];
        }
    p.origin_m = ll_to_own(target, source->origin_m);
    return p;
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
    return good ? LL_OK : LL_NO_MEMORY;
}

/* ---- near ---- */

static ll_status fill_direct(ll_pair *p)
{
    const ll_body_form *t = p->target, *s = p->source;
    ll_vec3 *at = malloc(t->surface * sizeof *at);
    double *rows = malloc(t->surface * s->layers * sizeof *rows);
    p->matrix = malloc(t->charges * s->layers * sizeof *p->matrix);
    const bool good = at && rows && p->matrix;
    if (good) {
        for (size_t i = 0; i < t->surface; i++)
            at[i] = ll_to_own(&p->source_in_target, t->surface_m[i]);
#pragma omp parallel for schedule(dynamic, 16)
        for (size_t i = 0; i < t->surface; i++)
            s->kind->potential_rows(s, 1, at + i, rows + i * s->layers);
        t->kind->test_rows(t, s->layers, rows, p->matrix);
    }
    free(at);
    free(rows);
    return good ? LL_OK : LL_NO_MEMORY;
}

/* ---- the store ---- */

static size_t bytes_of(const void *thing)
{
    const ll_pair *p = thing;
    const size_t rows = p->direct ? p->target->charges : p->target->moments;
    return rows * (p->direct ? p->source->layers : p->source->moments) * sizeof(double);
}

static void give_up(void *thing)
{
    ll_pair_release(thing);
}

static ll_shelf shelf = {
    .places = 256, .bytes = (size_t)128 << 20, .bytes_of = bytes_of, .give_up = give_up};

static bool is_same(const void *thing, const void *wanted)
{
    const ll_pair *a = thing, *b = wanted;
    return a->target == b->target && a->source == b->source && a->direct == b->direct &&
           ll_poses_agree(&a->source_in_target, &b->source_in_target);
}

void ll_pair_release(ll_pair *pair)
{
    if (!pair)
        return;
    int left;
#pragma omp atomic capture
    left = --pair->users;
    if (left > 0)
        return;
    ll_body_form_release(pair->target);
    ll_body_form_release(pair->source);
    free(pair->matrix);
    free(pair);
}

static ll_pair *from_store(const ll_pair *wanted)
{
    ll_pair *found;
#pragma omp critical(ll_pair_store)
    {
        found = ll_shelf_find(&shelf, is_same, wanted);
        if (found) {
#pragma omp atomic
            found->users++;
        }
    }
    return found;
}

ll_status ll_pair_get(ll_body_form *target, const ll_pose *target_pose, ll_body_form *source,
                      const ll_pose *source_pose, bool direct, ll_pair **out)
{
    const ll_pair wanted = {.target = target,
                            .source = source,
                            .source_in_target = relative(target_pose, source_pose),
                            .direct = direct,
                            .users = 2};
    *out = from_store(&wanted);
    if (*out)
        return LL_OK;
    ll_pair *p = malloc(sizeof *p);
    if (!p)
        return LL_NO_MEMORY;
    *p = wanted;
    ll_body_form_share(target);
    ll_body_form_share(source);
    const ll_status status = direct ? fill_direct(p) : fill_far(p);
    if (status) {
        p->users = 1;
        ll_pair_release(p);
        return status;
    }
#pragma omp critical(ll_pair_store)
    ll_shelf_put(&shelf, p);
    *out = p;
    return LL_OK;
}
