/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "reading/estimator.h"
#include "magnetics/solution_data.h"

#include <stdlib.h>
#include <string.h>

/* Lengths of one mesh over those of the next, and how many meshes there may be. */
static const double ratio = 1.4;
enum { MOST_MESHES = 4 };
static const double usual_accuracy = 0.005, least_fineness = 0.5;
/* Full extrapolation for an order of 2 would be 1 / (ratio^2 - 1) = 1.04 times the difference. */
static const double extrapolation = 0.7;
/* The error given: a share of the value's own difference, and of the root mean square of all, lest a value that happens to
 * agree on two meshes looks exact; and, as all may, a share of the largest value: this at a fineness of 1, and quickly
 * more on coarse meshes, whose errors do not fall by any law. Chosen by
 * tests/bench/bench_error.c, see docs/mesh-error.md. */
static const double own_share = 1.4, common_share = 0.6, least_share = 3e-4;
/* On fine meshes no less than this: what a rim that is meshed as a polygon leaves close over a pole's end falls more slowly. */
static const double rim_share = 6e-4;
/* Of both shares once a third mesh has shown that the values go on as they should; but where even the last mesh falls short they
 * do not. Where they creep, as close to edges of steel, more than the last step is still to come: see sureness. */
static const double surer = 0.7, most_unsure = 2.5;

struct ll_estimator {
    ll_scene *scene;
    ll_solve_options options;
    double accuracy;
    size_t meshes; /* solved so far; the last three are kept */
    ll_solution *coarser, *coarse, *fine;
    ll_eddies *eddies; /* of the coarse one, or of the fine one where there is no mesh */
};

/* Errors fall about as the square of the lengths, so who asks for less may start coarser; who asks for more is given finer
 * meshes only where they turn out to be needed. A fifth finer than that: two meshes that suffice cost less than three. */
static double first_fineness(double accuracy)
{
    return fmax(least_fineness, fmin(1, 1.2 * sqrt(usual_accuracy / accuracy)));
}

ll_status ll_estimator_new(const ll_scene *scene, const ll_solve_options *options, double accuracy,
                           ll_estimator **out)
{
    if (!(accuracy >= 0 && accuracy < 1))
        return LL_BAD_VALUE;
    ll_estimator *estimator = calloc(1, sizeof *estimator);
    if (!estimator)
        return LL_NO_MEMORY;
    if (options)
        estimator->options = *options;
    estimator->accuracy = accuracy > 0 ? accuracy : usual_accuracy;
    if (!(estimator->options.fineness > 0))
        estimator->options.fineness = first_fineness(estimator->accuracy);
    estimator->scene = (ll_scene *)ll_scene_share(scene);
    *out = estimator;
    return LL_OK;
}

void ll_estimator_free(ll_estimator *estimator)
{
    if (!estimator)
        return;
    ll_eddies_free(estimator->eddies);
    ll_solution_free(estimator->coarser);
    ll_solution_free(estimator->coarse);
    ll_solution_free(estimator->fine);
    ll_scene_free(estimator->scene);
    free(estimator);
}

double ll_estimator_accuracy(const ll_estimator *estimator)
{
    return estimator->accuracy;
}

/* Of mesh 0, 1, ...: the first is coarser than what was asked for. */
static double fineness_of(const ll_estimator *estimator, size_t mesh)
{
    return estimator->options.fineness * pow(ratio, (double)mesh - 1);
}

/* Solves on the next finer mesh; the coarsest of four is given up. */
static ll_status refine(ll_estimator *estimator, const ll_progress *progress)
{
    ll_solve_options options = estimator->options;
    options.progress = progress;
    options.fineness = fineness_of(estimator, estimator->meshes);
    options.level = (int)estimator->meshes + 1;
    options.lower = estimator->fine;
    ll_solution *next;
    const ll_status status = ll_solve(estimator->scene, &options, &next);
    if (status)
        return status;
    ll_eddies_free(estimator->eddies);
    estimator->eddies = NULL;
    ll_solution_free(estimator->coarser);
    estimator->coarser = estimator->coarse;
    estimator->coarse = estimator->fine;
    estimator->fine = next;
    estimator->meshes++;
    return LL_OK;
}

static bool has_mesh(const ll_estimator *estimator)
{
    return ll_solution_has_mesh(estimator->fine);
}

/* At least one solution, and two where there is a mesh. */
static ll_status solve_pair(ll_estimator *estimator, const ll_progress *progress)
{
    ll_status status = estimator->fine ? LL_OK : refine(estimator, progress);
    if (!status && has_mesh(estimator) && !estimator->coarse)
        status = refine(estimator, progress);
    return status;
}

ll_status ll_estimator_solution(ll_estimator *estimator, const ll_progress *progress,
                                const ll_solution **out)
{
    const ll_status status = solve_pair(estimator, progress);
    if (!status)
        *out = estimator->fine;
    return status;
}

ll_status ll_estimator_draft(ll_estimator *estimator, const ll_progress *progress,
                             const ll_solution **out)
{
    const ll_status status = estimator->fine ? LL_OK : refine(estimator, progress);
    if (!status)
        *out = estimator->fine;
    return status;
}

ll_status ll_estimator_eddies(ll_estimator *estimator, const ll_progress *progress, size_t count,
                              const double *f_hz, const ll_eddies **out)
{
    ll_status status = solve_pair(estimator, progress);
    if (!status && !(estimator->eddies && ll_eddies_covers(estimator->eddies, count, f_hz))) {
        ll_eddies *next;
        status = ll_eddies_new(estimator->coarse ? estimator->coarse : estimator->fine, progress,
                               count, f_hz, &next);
        if (!status) {
            ll_eddies_free(estimator->eddies);
            estimator->eddies = next;
        }
    }
    if (!status)
        *out = estimator->eddies;
    return status;
}

/* Values of one kind on the last meshes; `coarser` is NULL as long as there are two. */
typedef struct ll_values {
    const double *coarser, *coarse;
    double *fine;
} ll_values;

/* Of degree p and p + 1 on one mesh: the value is that of the higher, its error at most the difference and what quadrature and
 * couplings leave, which both degrees share (docs/solver.md). Returns the largest error over the largest value or `least`. */
static double judge_degrees(double least, size_t count, const ll_values *v, double *error)
{
    const double floor = 3e-4;
    double largest = least, worst = 0;
    for (size_t i = 0; i < count; i++)
        largest = fmax(largest, fabs(v->fine[i]));
    for (size_t i = 0; i < count; i++) {
        error[i] = fabs(v->fine[i] - v->coarse[i]) + floor * largest;
        worst = fmax(worst, error[i]);
    }
    return largest > 0 ? worst / largest : 0;
}

/* By how much value i still changes: the last difference, or what the one before it has most likely fallen to. */
static double change(const ll_values *v, size_t i)
{
    const double last = fabs(v->fine[i] - v->coarse[i]);
    return v->coarser ? fmax(last, fabs(v->coarse[i] - v->coarser[i]) / (ratio * ratio)) : last;
}

static double length_of_step(size_t count, const double *from, const double *to)
{
    double squares = 0;
    for (size_t i = 0; i < count; i++)
        squares += (to[i] - from[i]) * (to[i] - from[i]);
    return sqrt(squares);
}

/* What the shares are worth: less when three meshes have shown steps that shrink as the square of the lengths; where each step is q
 * times the one before, q / (1 - q) of the last is still to come, of which the value is moved on by a part. */
static double sureness(const ll_values *v, size_t count)
{
    if (!v->coarser)
        return 1;
    const double before = length_of_step(count, v->coarser, v->coarse);
    const double last = length_of_step(count, v->coarse, v->fine);
    const double to_come = last < before ? last / (before - last) - extrapolation : most_unsure;
    return fmin(most_unsure, fmax(surer, to_come));
}

/* Moves the fine values on and tells their errors; returns the largest error over the largest value, or over `least` if that is
 * larger. All have at least the error `share` of it. */
static double judge_kind(double least, double share, size_t count, const ll_values *v,
                         double *error)
{
    const double sure = sureness(v, count);
    double squares = 0, largest = least, worst = 0;
    for (size_t i = 0; i < count; i++) {
        const double own = change(v, i);
        squares += own * own / (double)count;
        error[i] = sure * own_share * own;
        v->fine[i] += extrapolation * (v->fine[i] - v->coarse[i]);
        largest = fmax(largest, fabs(v->fine[i]));
    }
    /* The fewer there are, the less their mean says. */
    const double common = sure * common_share * (1 + 1 / (double)count) * sqrt(squares);
    for (size_t i = 0; i < count; i++) {
        error[i] += common + share * largest;
        worst = fmax(worst, error[i]);
    }
    return largest > 0 ? worst / largest : 0;
}

/* What is asked of each mesh. */
typedef struct question {
    ll_reading reading;
    void *context;
    size_t kinds, count;
    const double *least; /* [kinds] */
} question;

/* What was read: [kinds][count] each. */
typedef struct answer {
    double *coarser, *coarse, *fine, *error;
    double relative; /* the worst error over the largest value */
} answer;

static void judge(const ll_estimator *estimator, const question *q, answer *a)
{
    const double fineness = fineness_of(estimator, estimator->meshes - 1);
    a->relative = 0;
    const double share = fmax(rim_share, least_share / (fineness * fineness * fineness));
    for (size_t k = 0; k < q->kinds; k++) {
        const size_t at = k * q->count;
        const ll_values v = {estimator->coarser ? a->coarser + at : NULL, a->coarse + at,
                             a->fine + at};
        const double worst = estimator->fine->forms
                                 ? judge_degrees(q->least[k], q->count, &v, a->error + at)
                                 : judge_kind(q->least[k], share, q->count, &v, a->error + at);
        a->relative = fmax(a->relative, worst);
    }
}

static ll_status read_meshes(const ll_estimator *estimator, const question *q, answer *a)
{
    ll_status status = q->reading(estimator->fine, q->context, a->fine);
    a->relative = 0;
    memset(a->error, 0, q->kinds * q->count * sizeof *a->error);
    if (status || !has_mesh(estimator))
        return status;
    status = q->reading(estimator->coarse, q->context, a->coarse);
    if (!status && estimator->coarser)
        status = q->reading(estimator->coarser, q->context, a->coarser);
    if (!status)
        judge(estimator, q, a);
    return status;
}

ll_status ll_estimator_read(ll_estimator *estimator, const ll_progress *progress,
                            ll_reading reading, void *context, double least, size_t count,
                            double *values, double *error)
{
    return ll_estimator_read_kinds(estimator, progress, reading, context, 1, &least, 1, count,
                                   values, error);
}

ll_status ll_estimator_read_kinds(ll_estimator *estimator, const ll_progress *progress,
                                  ll_reading reading, void *context, size_t kinds,
                                  const double *least, double wider, size_t count, double *values,
                                  double *error)
{
    const question q = {reading, context, kinds, count, least};
    const size_t all = kinds * count;
    double *room = malloc((4 * all + 1) * sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    answer a = {room, room + all, room + 2 * all, room + 3 * all, 0};
    ll_status status = solve_pair(estimator, progress);
    if (!status)
        status = read_meshes(estimator, &q, &a);
    while (!status && a.relative > wider * estimator->accuracy && estimator->meshes < MOST_MESHES) {
        status = refine(estimator, progress);
        /* Too fine for the memory allowed: what there is stands, with its error. */
        if (status == LL_TOO_BIG || status == LL_NO_MEMORY) {
            status = LL_OK;
            break;
        }
        if (!status)
            status = read_meshes(estimator, &q, &a);
    }
    if (!status && estimator->coarser && !estimator->fine->forms &&
        a.relative > wider * estimator->accuracy)
        for (size_t i = 0; i < all; i++)
            a.error[i] /= surer;
    if (!status) {
        memcpy(values, a.fine, all * sizeof *values);
        memcpy(error, a.error, all * sizeof *error);
    }
    free(room);
    return status;
}
