/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/pair_points.h"
#include "base/constants.h"
#include "base/gsl.h"
#include "base/vectorised.h"
#include "elements/lowrank.h"

#include <gsl/gsl_cblas.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What crosses may leave of the matrix of potentials, and how far apart points are needed, of their distance from the other
 * body; no distance counts as more than the body's own reach. Forms with finer rules ask for more. */
static const double cross_tolerance = 3e-6, spacing_share = 0.15;
/* A body's points make its charges known from this many of their spacings on. */
static const double known_from = 1.5;
enum { WATCHED_MOST = 24 };

/* ---- surfaces as they see each other ---- */

/* Points of a surface in the source's frame, their distances from the other body, and how far apart they stand. */
typedef struct ll_sight {
    size_t count;
    ll_vec3 *at;
    double *gap, *spacing;
} ll_sight;

static void clear_sight(ll_sight *s)
{
    free(s->at);
    free(s->gap);
}

/* A half surface comes with its image where `images` are wanted. */
static ll_status make_sight(const ll_body_form *form, bool images, ll_sight *s)
{
    const bool twice = form->half && images;
    s->count = form->surface * (twice ? 2 : 1);
    s->at = malloc((s->count + 1) * sizeof *s->at);
    s->gap = calloc(2 * (s->count + 1), sizeof *s->gap);
    if (!s->at || !s->gap)
        return LL_NO_MEMORY;
    s->spacing = s->gap + s->count;
    for (size_t i = 0; i < s->count; i++) {
        const size_t own = i < form->surface ? i : i - form->surface;
        s->at[i] = form->surface_m[own];
        if (i >= form->surface)
            s->at[i].y = -s->at[i].y;
        s->spacing[i] = sqrt(form->area_m2[own] * (form->half ? 0.5 : 1));
    }
    return LL_OK;
}

static ll_status see_target(const ll_body_form *target, const ll_body_form *source,
                            const ll_pose *source_in_target, ll_sight *s)
{
    const ll_status status = make_sight(target, false, s);
    for (size_t i = 0; !status && i < s->count; i++) {
        s->at[i] = ll_to_own(source_in_target, s->at[i]);
        s->gap[i] = source->kind->distance_m(source, s->at[i]);
    }
    return status;
}

static ll_status see_source(const ll_body_form *target, const ll_body_form *source,
                            const ll_pose *source_in_target, ll_sight *s)
{
    const ll_status status = make_sight(source, true, s);
    for (size_t j = 0; !status && j < s->count; j++)
        s->gap[j] = target->kind->distance_m(target, ll_to_world(source_in_target, s->at[j]));
    return status;
}

/* Target points nearer than this count for themselves. */
static double close_gap(const ll_sight *source)
{
    double widest = 0;
    for (size_t j = 0; j < source->count; j++)
        if (source->gap[j] < known_from * source->spacing[j])
            widest = fmax(widest, source->spacing[j]);
    return known_from * widest;
}

/* Every so many points that the shares of what they stand for add up to one; those within `from` are left out. */
static size_t thin_out(const ll_sight *s, double from, double reach, double apart, size_t *chosen)
{
    double sum = 0.5;
    size_t count = 0;
    for (size_t i = 0; i < s->count; i++) {
        if (s->gap[i] < from)
            continue;
        const double share = s->spacing[i] / (apart * fmin(reach, fmax(s->gap[i], s->spacing[i])));
        sum += fmin(1, share * share);
        if (sum >= 1) {
            sum -= 1;
            chosen[count++] = i;
        }
    }
    return count;
}

/* ---- the choice ---- */

/* All that the search holds. */
typedef struct ll_search {
    const ll_body_form *target, *source;
    int finer;
    ll_sight of_target, of_source;
    double close_m;
    size_t rows, columns; /* thinned out */
    size_t *row;          /* [rows] target points */
    ll_vec3 *row_at, *column_at;
    ll_lowrank crosses;
    double *charge;     /* [columns] that make potentials of one size at their own distances */
    ll_vec3 *charge_at; /* [rank] the columns that crosses chose, and their charges */
    double *chosen;
} ll_search;

static void clear_search(ll_search *s)
{
    clear_sight(&s->of_target);
    clear_sight(&s->of_source);
    free(s->row);
    free(s->row_at);
    free(s->charge);
    free(s->charge_at);
    free(s->chosen);
    ll_lowrank_clear(&s->crosses);
}

static ll_status choose_candidates(ll_search *s)
{
    const size_t n = s->of_target.count, m = s->of_source.count;
    s->row = malloc((n + m + 1) * sizeof *s->row);
    s->row_at = malloc((n + m + 1) * sizeof *s->row_at);
    if (!s->row || !s->row_at)
        return LL_NO_MEMORY;
    size_t *column = s->row + n;
    s->column_at = s->row_at + n;
    s->close_m = close_gap(&s->of_source);
    const double apart = spacing_share / (1 + s->finer);
    s->rows = thin_out(&s->of_target, s->close_m, s->target->reach_m, apart, s->row);
    s->columns = thin_out(&s->of_source, -HUGE_VAL, s->source->reach_m, apart, column);
    for (size_t i = 0; i < s->rows; i++)
        s->row_at[i] = s->of_target.at[s->row[i]];
    s->charge = malloc((s->columns + 1) * sizeof *s->charge);
    if (!s->charge)
        return LL_NO_MEMORY;
    for (size_t j = 0; j < s->columns; j++) {
        s->column_at[j] = s->of_source.at[column[j]];
        s->charge[j] = fmin(s->source->reach_m,
                            fmax(s->of_source.gap[column[j]], s->of_source.spacing[column[j]]));
    }
    return LL_OK;
}

static ll_status find_crosses(ll_search *s)
{
    const ll_cloud cloud = {s->columns, 0, s->column_at, s->charge, NULL};
    ll_status status = LL_OK;
    if (s->rows > 0 && s->columns > 0)
        status = ll_lowrank_new(s->rows, s->row_at, &cloud, cross_tolerance * pow(0.1, s->finer),
                                &s->crosses);
    s->charge_at = malloc((s->crosses.rank + 1) * sizeof *s->charge_at);
    s->chosen = malloc((s->crosses.rank + 1) * sizeof *s->chosen);
    if (!status && !(s->charge_at && s->chosen))
        status = LL_NO_MEMORY;
    for (size_t k = 0; !status && k < s->crosses.rank; k++) {
        s->charge_at[k] = s->column_at[s->crosses.column[k]];
        s->chosen[k] = s->charge[s->crosses.column[k]];
    }
    return status;
}

/* ---- what they tell ---- */

/* row[n] = the potentials of n charges at one point. */
static LL_VECTORISED(see_charges,
                     (ll_vec3 at, size_t n, const ll_vec3 *points, const double *charge,
                      double *row),
                     (at, n, points, charge, row))
{
    for (size_t j = 0; j < n; j++) {
        const double x = at.x - points[j].x, y = at.y - points[j].y, z = at.z - points[j].z;
        row[j] = charge[j] / (4 * LL_PI * sqrt(x * x + y * y + z * z));
    }
}

/* In place: the first columns of m[rows][stride], for charges at charge_at, become those for potentials at the chosen points. The
 * matrix is U V, so that potentials at the chosen rows give U(chosen)^-1 of themselves and a charge's column V(chosen). */
static ll_status from_charges_to_points(const ll_lowrank *crosses, size_t rows, size_t stride,
                                        double *m)
{
    const size_t r = crosses->rank;
    double *upper = malloc((2 * r * r + 1) * sizeof *upper);
    if (!upper)
        return LL_NO_MEMORY;
    double *lower = upper + r * r;
    for (size_t a = 0; a < r; a++)
        for (size_t b = 0; b < r; b++) {
            upper[a * r + b] = crosses->v[a * crosses->columns + crosses->column[b]];
            lower[a * r + b] = crosses->u[b * crosses->rows + crosses->row[a]];
        }
    if (r > 0 && rows > 0) {
        cblas_dtrsm(CblasRowMajor, CblasRight, CblasUpper, CblasNoTrans, CblasUnit, (int)rows,
                    (int)r, 1, upper, (int)r, m, (int)stride);
        cblas_dtrsm(CblasRowMajor, CblasRight, CblasLower, CblasNoTrans, CblasNonUnit, (int)rows,
                    (int)r, 1, lower, (int)r, m, (int)stride);
    }
    free(upper);
    return LL_OK;
}

/* Tests each charge's potential, and a potential of 1 at each close point. */
static ll_status test_charges(const ll_search *s, ll_pair_points *out)
{
    const ll_body_form *t = s->target;
    const size_t r = s->crosses.rank, n = out->count, group = t->surface_group;
    double *rows = malloc((group * n + 1) * sizeof *rows);
    size_t close = r;
    if (!rows)
        return LL_NO_MEMORY;
    for (size_t from = 0, g = 0; from < t->surface; from += group, g++) {
        memset(rows, 0, group * n * sizeof *rows);
        for (size_t i = 0; i < group; i++) {
            if (s->of_target.gap[from + i] < s->close_m)
                rows[i * n + close++] = 1;
            else
                see_charges(s->of_target.at[from + i], r, s->charge_at, s->chosen, rows + i * n);
        }
        t->kind->test_group(t, g, n, rows, out->tested);
    }
    free(rows);
    return LL_OK;
}

static ll_status watch(const ll_search *s, ll_pair_points *out)
{
    const size_t r = s->crosses.rank, every = s->rows / WATCHED_MOST + 1;
    out->watched_at_m = malloc(WATCHED_MOST * sizeof *out->watched_at_m);
    out->told = calloc(WATCHED_MOST * out->count + 1, sizeof *out->told);
    if (!out->watched_at_m || !out->told)
        return LL_NO_MEMORY;
    for (size_t i = every / 2; i < s->rows; i += every) {
        const ll_vec3 at = s->row_at[i];
        see_charges(at, r, s->charge_at, s->chosen, out->told + out->watched * out->count);
        out->watched_at_m[out->watched++] = at;
    }
    return LL_OK;
}

static void list_points(const ll_search *s, ll_pair_points *out)
{
    size_t at = 0;
    for (; at < s->crosses.rank; at++)
        out->at_m[at] = s->row_at[s->crosses.row[at]];
    for (size_t i = 0; i < s->of_target.count; i++)
        if (s->of_target.gap[i] < s->close_m)
            out->at_m[at++] = s->of_target.at[i];
}

static ll_status tell(const ll_search *s, ll_pair_points *out)
{
    out->count = s->crosses.rank;
    for (size_t i = 0; i < s->of_target.count; i++)
        out->count += s->of_target.gap[i] < s->close_m;
    out->at_m = malloc((out->count + 1) * sizeof *out->at_m);
    out->tested = calloc(s->target->charges * out->count + 1, sizeof *out->tested);
    if (!out->at_m || !out->tested)
        return LL_NO_MEMORY;
    list_points(s, out);
    ll_status status = test_charges(s, out);
    if (!status)
        status = watch(s, out);
    if (!status)
        status = from_charges_to_points(&s->crosses, s->target->charges, out->count, out->tested);
    return status ? status
                  : from_charges_to_points(&s->crosses, out->watched, out->count, out->told);
}

ll_status ll_pair_points_find(const ll_body_form *target, const ll_body_form *source,
                              const ll_pose *source_in_target, ll_pair_points *out)
{
    ll_search s = {.target = target,
                   .source = source,
                   .finer = target->finer > source->finer ? target->finer : source->finer};
    memset(out, 0, sizeof *out);
    ll_status status = see_target(target, source, source_in_target, &s.of_target);
    if (!status)
        status = see_source(target, source, source_in_target, &s.of_source);
    if (!status)
        status = choose_candidates(&s);
    if (!status)
        status = find_crosses(&s);
    if (!status)
        status = tell(&s, out);
    clear_search(&s);
    if (status)
        ll_pair_points_clear(out);
    return status;
}

void ll_pair_points_clear(ll_pair_points *p)
{
    free(p->at_m);
    free(p->tested);
    free(p->watched_at_m);
    free(p->told);
    memset(p, 0, sizeof *p);
}
