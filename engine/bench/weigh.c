/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/weigh.h"
#include "base/gsl.h"
#include "bench/normal.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* ---- what was given ---- */

static bool reading_holds(const ll_bench_reading *r)
{
    const double own = r->absolute + r->relative;
    return isfinite(own) && isfinite(r->common) && isfinite(r->common_relative) &&
           isfinite(r->broad) && r->broad >= 0 && r->absolute >= 0 && r->relative >= 0 && own > 0;
}

static bool hypothesis_holds(const ll_bench *bench, const ll_bench_hypothesis *h)
{
    bool fine = h->prior > 0 && isfinite(h->prior) && h->points > 0;
    size_t combinations = 1;
    for (size_t s = 0; s < LL_BENCH_SIZES; s++) {
        combinations *= h->count[s] ? h->count[s] : 1;
        for (size_t i = 1; fine && i < h->count[s]; i++)
            fine = h->at[s][i] > h->at[s][i - 1];
    }
    fine = fine && (combinations == h->points || combinations == 1);
    for (size_t i = 0; fine && i < h->points * bench->readings; i++)
        fine = isfinite(h->predicted[i]) && (!h->extra || isfinite(h->extra[i]));
    return fine;
}

static bool bench_holds(const ll_bench *bench)
{
    bool fine = bench->hypotheses > 0;
    for (size_t i = 0; fine && i < bench->readings; i++)
        fine = reading_holds(&bench->reading[i]) &&
               (i == 0 || bench->reading[i].test >= bench->reading[i - 1].test);
    for (size_t h = 0; fine && h < bench->hypotheses; h++)
        fine = hypothesis_holds(bench, &bench->hypothesis[h]);
    return fine;
}

static bool values_hold(const ll_bench *bench, size_t taken, const size_t *which,
                        const double *value)
{
    bool fine = true;
    for (size_t k = 0; fine && k < taken; k++)
        fine =
            which[k] < bench->readings && isfinite(value[k]) && (k == 0 || which[k] > which[k - 1]);
    return fine;
}

/* ---- weighing ---- */

/* Log densities become shares that sum to one; returns the log of their mean. */
static double to_shares(size_t n, double *log_density)
{
    double most = -HUGE_VAL, sum = 0;
    for (size_t i = 0; i < n; i++)
        most = fmax(most, log_density[i]);
    for (size_t i = 0; i < n; i++)
        sum += log_density[i] = exp(log_density[i] - most);
    for (size_t i = 0; i < n; i++)
        log_density[i] /= sum;
    return most + log(sum / (double)n);
}

/* Room for the readings taken: a vector each for work and slips, and an inverse. */
typedef struct weigh_room {
    double *work, *log_slip;
    gsl_matrix *inverse;
} weigh_room;

static void clear_room(weigh_room *room)
{
    free(room->work);
    gsl_matrix_free(room->inverse);
}

static ll_status make_room(size_t taken, weigh_room *room)
{
    const size_t n = taken ? taken : 1;
    room->work = malloc(2 * n * sizeof *room->work);
    room->log_slip = room->work + n;
    room->inverse = room->work ? gsl_matrix_alloc(n, n) : NULL;
    if (room->inverse)
        return LL_OK;
    free(room->work);
    return LL_NO_MEMORY;
}

/* The evidence of one hypothesis; share[points] and the misfit of its best point come along. */
static ll_status weigh_one(const ll_bench *bench, size_t h, size_t taken, const size_t *which,
                           const double *value, const weigh_room *room, double *share,
                           double *evidence, double *misfit)
{
    const size_t points = bench->hypothesis[h].points;
    double best = -HUGE_VAL;
    for (size_t p = 0; p < points; p++) {
        ll_normal normal;
        double chi2;
        const ll_status status = ll_normal_make(bench, h, p, taken, which, &normal);
        if (status)
            return status;
        share[p] = ll_normal_log(bench, &normal, value, room->work, &chi2) +
                   ll_normal_slips(bench, &normal, value, room->inverse, room->log_slip);
        ll_normal_clear(&normal);
        if (share[p] > best) {
            best = share[p];
            *misfit = chi2;
        }
    }
    *evidence = log(bench->hypothesis[h].prior) + to_shares(points, share);
    return LL_OK;
}

/* room: evidence, misfit [hypotheses], share [points]. */
static ll_status weigh_all(const ll_bench *bench, size_t taken, const size_t *which,
                           const double *value, double *evidence, double *misfit, double *share)
{
    weigh_room room;
    ll_status status = make_room(taken, &room);
    if (status)
        return status;
    for (size_t h = 0, at = 0; h < bench->hypotheses && !status; h++) {
        status =
            weigh_one(bench, h, taken, which, value, &room, share + at, &evidence[h], &misfit[h]);
        at += bench->hypothesis[h].points;
    }
    clear_room(&room);
    if (!status)
        to_shares(bench->hypotheses, evidence);
    return status;
}

ll_status ll_bench_weigh(const ll_bench *bench, size_t taken, const size_t *which,
                         const double *value, double *probability, double *share, double *misfit)
{
    if (!bench_holds(bench) || !values_hold(bench, taken, which, value))
        return LL_BAD_VALUE;
    const size_t count = bench->hypotheses, points = ll_bench_points(bench);
    double *room = malloc((2 * count + points + 1) * sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    const ll_status status =
        weigh_all(bench, taken, which, value, room, room + count, room + 2 * count);
    if (!status) {
        memcpy(probability, room, count * sizeof *room);
        memcpy(misfit, room + count, count * sizeof *room);
        memcpy(share, room + 2 * count, points * sizeof *room);
    }
    free(room);
    return status;
}

/* Adds one point's part to slip[taken]. */
static ll_status add_slips(const ll_bench *bench, size_t h, size_t p, size_t taken,
                           const size_t *which, const double *value, double weight,
                           const weigh_room *room, double *slip)
{
    const double counts = 1e-9;
    ll_normal normal;
    if (weight < counts)
        return LL_OK;
    const ll_status status = ll_normal_make(bench, h, p, taken, which, &normal);
    if (status)
        return status;
    const double all = ll_normal_slips(bench, &normal, value, room->inverse, room->log_slip);
    for (size_t k = 0; k < taken; k++) {
        const bool sign = bench->reading[which[k]].kind == LL_BENCH_SIGN;
        slip[k] += weight * exp(room->log_slip[k] - (sign ? 0 : all));
    }
    ll_normal_clear(&normal);
    return LL_OK;
}

ll_status ll_bench_slips(const ll_bench *bench, size_t taken, const size_t *which,
                         const double *value, const double *probability, const double *share,
                         double *slip)
{
    if (!bench_holds(bench) || !values_hold(bench, taken, which, value))
        return LL_BAD_VALUE;
    weigh_room room;
    double *found = calloc(taken + 1, sizeof *found);
    ll_status status = found ? make_room(taken, &room) : LL_NO_MEMORY;
    if (status) {
        free(found);
        return status;
    }
    for (size_t h = 0, at = 0; h < bench->hypotheses; at += bench->hypothesis[h++].points)
        for (size_t p = 0; p < bench->hypothesis[h].points && !status; p++)
            status = add_slips(bench, h, p, taken, which, value, probability[h] * share[at + p],
                               &room, found);
    if (!status)
        memcpy(slip, found, taken * sizeof *slip);
    clear_room(&room);
    free(found);
    return status;
}
