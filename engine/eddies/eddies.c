/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "eddies/eddies.h"
#include "base/progress.h"
#include "eddies/alternating.h"
#include "eddies/coaxial.h"
#include "eddies/model_error.h"
#include "magnetics/solution_data.h"
#include "magnetics/solve.h"

#include <stdlib.h>
#include <string.h>

/* Up to so many frequencies are solved one by one; more are read between samples. */
enum { FEW = 8 };
static const double per_decade = 3;
/* Local degree of the interpolating rationals. */
enum { DEGREE = 4 };

struct ll_eddies {
    ll_coaxial *coaxial;         /* where all stands on one axis, else NULL */
    ll_alternating *alternating; /* elsewhere */
    const ll_solution *solution;
    ll_solution *own; /* by tetrahedra, where the one given is not */
    size_t samples, coils;
    double *f_hz;                 /* [samples] rising */
    double *weight;               /* [samples] of the interpolation in log f */
    ll_alternating_state **state; /* [samples * coils] */
};

/* ---- samples ---- */

static int rising(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Sorted, equal ones once. */
static size_t distinct(size_t count, double *f_hz)
{
    size_t kept = 0;
    qsort(f_hz, count, sizeof *f_hz, rising);
    for (size_t i = 0; i < count; i++)
        if (kept == 0 || f_hz[i] > f_hz[kept - 1] * (1 + 1e-9))
            f_hz[kept++] = f_hz[i];
    return kept;
}

static ll_status choose_samples(ll_eddies *s, size_t count, const double *f_hz)
{
    for (size_t i = 0; i < count; i++)
        if (!(f_hz[i] > 0) || !isfinite(f_hz[i]))
            return LL_BAD_VALUE;
    s->f_hz = malloc((count + 64) * sizeof *s->f_hz);
    if (!s->f_hz || count == 0)
        return count ? LL_NO_MEMORY : LL_BAD_VALUE;
    memcpy(s->f_hz, f_hz, count * sizeof *f_hz);
    s->samples = distinct(count, s->f_hz);
    const double low = s->f_hz[0], high = s->f_hz[s->samples - 1];
    const size_t wanted = 2 + (size_t)fmin(60, ceil(per_decade * log10(high / low)));
    if (s->samples <= FEW || s->samples <= wanted)
        return LL_OK;
    s->samples = wanted < FEW ? FEW : wanted;
    for (size_t k = 0; k < s->samples; k++)
        s->f_hz[k] = low * pow(high / low, (double)k / (double)(s->samples - 1));
    s->f_hz[s->samples - 1] = high;
    return LL_OK;
}

/* Weights by equation 18 of Floater and Hormann in log f. */
static ll_status find_weights(ll_eddies *s)
{
    const int n = (int)s->samples - 1, d = n < DEGREE ? n : DEGREE;
    s->weight = calloc(s->samples, sizeof *s->weight);
    if (!s->weight)
        return LL_NO_MEMORY;
    for (int k = 0; k <= n; k++)
        for (int i = k > d ? k - d : 0; i <= (k < n - d ? k : n - d); i++) {
            double product = i % 2 ? -1 : 1;
            for (int j = i; j <= i + d; j++)
                if (j != k)
                    product /= log(s->f_hz[k] / s->f_hz[j]);
            s->weight[k] += product;
        }
    return LL_OK;
}

/* All changes begin in proportion to the frequency: over it they are smoothest. */
static double complex between(const ll_eddies *s, const double complex *at_samples, double f_hz)
{
    double complex above = 0;
    double below = 0;
    for (size_t k = 0; k < s->samples; k++) {
        const double distance = log(f_hz / s->f_hz[k]);
        if (fabs(distance) < 1e-9)
            return at_samples[k];
        above += s->weight[k] / distance * at_samples[k] / s->f_hz[k];
        below += s->weight[k] / distance;
    }
    return f_hz * above / below;
}

void ll_eddies_between(const ll_eddies *s, const double complex *at_samples, size_t count,
                       const double *f_hz, double complex *values)
{
    for (size_t i = 0; i < count; i++)
        values[i] = between(s, at_samples, f_hz[i]);
}

/* ---- solving ---- */

static ll_status solve_samples(ll_eddies *s, const ll_progress *progress)
{
    ll_status status = LL_OK;
    for (size_t k = 0; k < s->samples && !status; k++) {
        if (!ll_progress_go_on(progress, (double)k / (double)s->samples))
            return LL_CANCELLED;
        status = ll_alternating_set(s->alternating, s->f_hz[k]);
        for (size_t i = 0; i < s->coils && !status; i++)
            status = ll_alternating_keep(s->alternating, i, &s->state[k * s->coils + i]);
    }
    return status;
}

/* Currents are found on tetrahedra. */
static ll_status take_solution(ll_eddies *s, const ll_solution *solution,
                               const ll_progress *progress)
{
    if (!solution->forms)
        return LL_OK;
    const ll_solve_options options = {.fineness = solution->facts.fineness,
                                      .contact_gap_m = solution->facts.contact_gap_m,
                                      .progress = progress,
                                      .tetrahedra = true};
    const ll_status status = ll_solve(solution->scene, &options, &s->own);
    if (!status)
        s->solution = s->own;
    return status;
}

/* By tetrahedra, with a state for each sample. */
static ll_status make_alternating(ll_eddies *s, const ll_solution *solution,
                                  const ll_progress *progress)
{
    ll_status status = take_solution(s, solution, progress);
    if (!status)
        status = ll_alternating_new(s->solution, &s->alternating);
    s->state = calloc(s->samples * s->coils + 1, sizeof *s->state);
    if (!s->state && !status)
        status = LL_NO_MEMORY;
    return status ? status : solve_samples(s, progress);
}

ll_status ll_eddies_new(const ll_solution *solution, const ll_progress *progress, size_t count,
                        const double *f_hz, ll_eddies **out)
{
    ll_eddies *s = calloc(1, sizeof *s);
    if (!s)
        return LL_NO_MEMORY;
    s->solution = solution;
    s->coils = ll_scene_coil_count(solution->scene);
    ll_status status = choose_samples(s, count, f_hz);
    if (!status)
        status = find_weights(s);
    if (!status)
        status = ll_coaxial_new(solution, &s->coaxial);
    if (!status && !s->coaxial)
        status = make_alternating(s, solution, progress);
    if (status)
        ll_eddies_free(s);
    else
        *out = s;
    return status;
}

void ll_eddies_free(ll_eddies *s)
{
    if (!s)
        return;
    for (size_t i = 0; s->state && i < s->samples * s->coils; i++)
        free(s->state[i]);
    free(s->state);
    free(s->f_hz);
    free(s->weight);
    ll_alternating_free(s->alternating);
    ll_coaxial_free(s->coaxial);
    ll_solution_free(s->own);
    free(s);
}

/* ---- readings ---- */

bool ll_eddies_covers(const ll_eddies *s, size_t count, const double *f_hz)
{
    const double low = s->f_hz[0], high = s->f_hz[s->samples - 1];
    const bool interpolates = s->samples >= FEW;
    for (size_t i = 0; i < count; i++) {
        bool met = interpolates && f_hz[i] >= low * (1 - 1e-9) && f_hz[i] <= high * (1 + 1e-9);
        for (size_t k = 0; k < s->samples && !met; k++)
            met = fabs(f_hz[i] / s->f_hz[k] - 1) < 1e-9;
        if (!met)
            return false;
    }
    return true;
}

ll_status ll_eddies_inductance(const ll_eddies *s, size_t i, size_t j, size_t count,
                               const double *f_hz, double complex *change_h)
{
    if (i >= s->coils || j >= s->coils)
        return LL_NO_COIL;
    for (size_t k = 0; k < count && s->coaxial; k++)
        change_h[k] = ll_coaxial_inductance(s->coaxial, i, j, f_hz[k], NULL);
    if (s->coaxial)
        return LL_OK;
    double complex *at_samples = malloc(s->samples * sizeof *at_samples);
    if (!at_samples)
        return LL_NO_MEMORY;
    for (size_t k = 0; k < s->samples; k++)
        at_samples[k] = ll_alternating_inductance(s->alternating, i, s->state[k * s->coils + j]);
    ll_eddies_between(s, at_samples, count, f_hz, change_h);
    free(at_samples);
    return LL_OK;
}

ll_status ll_eddies_inductance_error(const ll_eddies *s, size_t i, size_t j, size_t count,
                                     const double *f_hz, double complex *error_h)
{
    const ll_status status = ll_eddies_inductance(s, i, j, count, f_hz, error_h);
    const double share = s->coaxial ? 0 : ll_eddies_model_share(ll_solution_scene(s->solution));
    for (size_t k = 0; k < count && !status; k++) {
        const double complex whole = error_h[k];
        error_h[k] = share * (fabs(creal(whole)) + I * fabs(cimag(whole)));
        if (s->coaxial)
            ll_coaxial_inductance(s->coaxial, i, j, f_hz[k], &error_h[k]);
    }
    return status;
}

size_t ll_eddies_samples(const ll_eddies *s)
{
    return s->samples;
}

ll_status ll_eddies_coil_h(const ll_eddies *s, size_t k, size_t coil, size_t n,
                           const ll_vec3 *points_m, ll_vec3 *real_per_m, ll_vec3 *imag_per_m)
{
    if (coil >= s->coils)
        return LL_NO_COIL;
    if (s->coaxial)
        return ll_coaxial_h(s->coaxial, coil, s->f_hz[k], n, points_m, real_per_m, imag_per_m);
    return ll_alternating_coil_h(s->alternating, s->state[k * s->coils + coil], n, points_m,
                                 real_per_m, imag_per_m);
}

const ll_solution *ll_eddies_solution(const ll_eddies *s)
{
    return s->solution;
}
