/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/study.h"
#include "magnetics/solution.h"

#include <stdlib.h>
#include <string.h>

/* Lengths of one mesh over those of the next, and how many meshes there may be. */
static const double ratio = 1.4;
enum { MOST_MESHES = 4 };
static const double usual_accuracy = 0.005, least_fineness = 0.5;
/* Full extrapolation for an order of 2 would be 1 / (ratio^2 - 1) = 1.04 times the difference. */
static const double extrapolation = 0.7;
/* The error given: a share of the value's own difference, and of the root mean square of all, lest a value that happens to
 * agree on two meshes looks exact. */
static const double own_share = 1.0, common_share = 0.4;

struct ll_study {
    ll_scene *scene;
    ll_solve_options options;
    double accuracy;
    size_t meshes; /* solved so far; the last two are kept */
    ll_solution *coarse, *fine;
    ll_eddies *eddies; /* of the coarse one, or of the fine one where there is no mesh */
};

/* Errors fall about as the square of the lengths, so who asks for less may start coarser; who asks for more is given finer
 * meshes only where they turn out to be needed. */
static double first_fineness(double accuracy)
{
    return fmax(least_fineness, fmin(1, sqrt(usual_accuracy / accuracy)));
}

ll_status ll_study_new(const ll_scene *scene, const ll_solve_options *options, double accuracy,
                       ll_study **out)
{
    if (!(accuracy >= 0 && accuracy < 1))
        return LL_BAD_VALUE;
    ll_study *study = calloc(1, sizeof *study);
    if (!study)
        return LL_NO_MEMORY;
    if (options)
        study->options = *options;
    study->accuracy = accuracy > 0 ? accuracy : usual_accuracy;
    if (!(study->options.fineness > 0))
        study->options.fineness = first_fineness(study->accuracy);
    study->scene = (ll_scene *)ll_scene_share(scene);
    *out = study;
    return LL_OK;
}

void ll_study_free(ll_study *study)
{
    if (!study)
        return;
    ll_eddies_free(study->eddies);
    ll_solution_free(study->coarse);
    ll_solution_free(study->fine);
    ll_scene_free(study->scene);
    free(study);
}

double ll_study_accuracy(const ll_study *study)
{
    return study->accuracy;
}

/* Solves on the next finer mesh; the coarsest of three is given up. */
static ll_status refine(ll_study *study, const ll_progress *progress)
{
    ll_solve_options options = study->options;
    options.progress = progress;
    options.fineness *= pow(ratio, (double)study->meshes - 1);
    ll_solution *next;
    const ll_status status = ll_solve(study->scene, &options, &next);
    if (status)
        return status;
    ll_eddies_free(study->eddies);
    study->eddies = NULL;
    ll_solution_free(study->coarse);
    study->coarse = study->fine;
    study->fine = next;
    study->meshes++;
    return LL_OK;
}

static bool has_mesh(const ll_study *study)
{
    return ll_system_bodies(study->fine->system) > 0;
}

/* At least one solution, and two where there is a mesh. */
static ll_status solve_pair(ll_study *study, const ll_progress *progress)
{
    ll_status status = study->fine ? LL_OK : refine(study, progress);
    if (!status && has_mesh(study) && !study->coarse)
        status = refine(study, progress);
    return status;
}

ll_status ll_study_solution(ll_study *study, const ll_progress *progress, const ll_solution **out)
{
    const ll_status status = solve_pair(study, progress);
    if (!status)
        *out = study->fine;
    return status;
}

ll_status ll_study_eddies(ll_study *study, const ll_progress *progress, size_t count,
                          const double *f_hz, const ll_eddies **out)
{
    ll_status status = solve_pair(study, progress);
    if (!status && !(study->eddies && ll_eddies_covers(study->eddies, count, f_hz))) {
        ll_eddies *next;
        status = ll_eddies_new(study->coarse ? study->coarse : study->fine, progress, count, f_hz,
                               &next);
        if (!status) {
            ll_eddies_free(study->eddies);
            study->eddies = next;
        }
    }
    if (!status)
        *out = study->eddies;
    return status;
}

/* From the values of two meshes, all of one kind; returns the largest error over the largest value, or over `least` if that is
 * larger. */
static double judge_kind(double least, size_t count, const double *coarse, double *fine,
                         double *error)
{
    double squares = 0, largest = least, worst = 0;
    for (size_t i = 0; i < count; i++) {
        const double difference = fine[i] - coarse[i];
        squares += difference * difference / (double)count;
        error[i] = own_share * fabs(difference);
        fine[i] += extrapolation * difference;
        largest = fmax(largest, fabs(fine[i]));
    }
    for (size_t i = 0; i < count; i++) {
        error[i] += common_share * sqrt(squares);
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

static double judge(const question *q, const double *coarse, double *fine, double *error)
{
    double worst = 0;
    for (size_t k = 0; k < q->kinds; k++)
        worst = fmax(worst, judge_kind(q->least[k], q->count, coarse + k * q->count,
                                       fine + k * q->count, error + k * q->count));
    return worst;
}

static ll_status read_pair(ll_study *study, const question *q, double *coarse, double *fine,
                           double *error, double *relative)
{
    ll_status status = q->reading(study->fine, q->context, fine);
    *relative = 0;
    memset(error, 0, q->kinds * q->count * sizeof *error);
    if (status || !has_mesh(study))
        return status;
    status = q->reading(study->coarse, q->context, coarse);
    if (!status)
        *relative = judge(q, coarse, fine, error);
    return status;
}

ll_status ll_study_read(ll_study *study, const ll_progress *progress, ll_reading reading,
                        void *context, double least, size_t count, double *values, double *error)
{
    return ll_study_read_kinds(study, progress, reading, context, 1, &least, count, values, error);
}

ll_status ll_study_read_kinds(ll_study *study, const ll_progress *progress, ll_reading reading,
                              void *context, size_t kinds, const double *least, size_t count,
                              double *values, double *error)
{
    const question q = {reading, context, kinds, count, least};
    const size_t all = kinds * count;
    double *room = malloc((3 * all + 1) * sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    double *coarse = room, *fine = room + all, *own_error = room + 2 * all, relative = 0;
    ll_status status = solve_pair(study, progress);
    if (!status)
        status = read_pair(study, &q, coarse, fine, own_error, &relative);
    while (!status && relative > study->accuracy && study->meshes < MOST_MESHES) {
        status = refine(study, progress);
        /* Too fine for the memory allowed: what there is stands, with its error. */
        if (status == LL_TOO_BIG || status == LL_NO_MEMORY) {
            status = LL_OK;
            break;
        }
        if (!status)
            status = read_pair(study, &q, coarse, fine, own_error, &relative);
    }
    if (!status) {
        memcpy(values, fine, all * sizeof *values);
        memcpy(error, own_error, all * sizeof *error);
    }
    free(room);
    return status;
}
