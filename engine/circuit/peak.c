/* peak.c - the resonance of a network: found on a coarse scan, then closed in on.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/gsl.h"
#include "circuit/network.h"
#include <gsl/gsl_min.h>
#include <gsl/gsl_roots.h>
#include <math.h>

/* The scan: both sides of a maximum rise towards it however sharp it is, so its grid need not resolve the peak. */
enum { STEPS = 600, ITERATIONS = 200 };

/* Closing in, as a share of the frequency. */
#define CLOSE 1e-9
/* Less than this, in nepers (1e-5 dB), is no peak. */
#define STANDS_OUT 1e-6

/* What is looked for: the level in nepers at exp(log_f), above `base`, with a sign. */
typedef struct level {
    const ll_network *network;
    const double *emf_v;
    double base, sign;
    ll_status status;
} level;

static double gain_at(level *of, double f_hz)
{
    double complex h = 0;
    const ll_status status = ll_network_response_to(of->network, of->emf_v, f_hz, &h);
    if (status)
        of->status = status;
    return cabs(h);
}

/* Silence must stay finite for the search. */
static double level_at(double log_f, void *context)
{
    level *of = context;
    return of->sign * (log(fmax(gain_at(of, exp(log_f)), LL_SILENT)) - of->base);
}

static double scan_log_f(size_t i)
{
    const double first = log(LL_PEAK_FROM_HZ), last = log(LL_PEAK_TO_HZ);
    return first + (last - first) * (double)i / STEPS;
}

/* The highest maximum inside the scan; 0 when there is none. On a flat stretch rounding makes maxima of its own, so one
 * must stand out over what lies before it. */
static size_t highest(const double *levels)
{
    size_t best = 0;
    double least = levels[0];
    for (size_t i = 1; i < STEPS; i++) {
        const bool maximum = levels[i] > levels[i - 1] && levels[i] >= levels[i + 1];
        if (maximum && levels[i] > least + STANDS_OUT && (best == 0 || levels[i] > levels[best]))
            best = i;
        least = fmin(least, levels[i]);
    }
    return best;
}

/* The maximum between two neighbours of a scan point, by Brent's method. */
static ll_status close_in(level *of, size_t i, double *log_f)
{
    gsl_min_fminimizer *search = gsl_min_fminimizer_alloc(gsl_min_fminimizer_brent);
    if (!search)
        return LL_NO_MEMORY;
    gsl_function function = {level_at, of};
    of->sign = -1;
    int code = gsl_min_fminimizer_set(search, &function, scan_log_f(i), scan_log_f(i - 1),
                                      scan_log_f(i + 1));
    for (int step = 0; step < ITERATIONS && code == GSL_SUCCESS; step++) {
        code = gsl_min_fminimizer_iterate(search);
        if (gsl_min_fminimizer_x_upper(search) - gsl_min_fminimizer_x_lower(search) < CLOSE)
            break;
    }
    *log_f = gsl_min_fminimizer_x_minimum(search);
    gsl_min_fminimizer_free(search);
    return code == GSL_SUCCESS ? of->status : LL_NO_CONVERGENCE;
}

/* Where the level crosses of->base between a scan point and the next, by Brent's method. */
static ll_status crossing(level *of, size_t i, double *log_f)
{
    gsl_root_fsolver *search = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    if (!search)
        return LL_NO_MEMORY;
    gsl_function function = {level_at, of};
    of->sign = 1;
    int code = gsl_root_fsolver_set(search, &function, scan_log_f(i), scan_log_f(i + 1));
    for (int step = 0; step < ITERATIONS && code == GSL_SUCCESS; step++) {
        code = gsl_root_fsolver_iterate(search);
        if (gsl_root_fsolver_x_upper(search) - gsl_root_fsolver_x_lower(search) < CLOSE)
            break;
    }
    *log_f = gsl_root_fsolver_root(search);
    gsl_root_fsolver_free(search);
    return code == GSL_SUCCESS ? of->status : LL_NO_CONVERGENCE;
}

/* A second-order low-pass 1 / (1 + s / (Q w0) + (s / w0)^2) rises by r = Q^2 / sqrt(Q^2 - 1/4) over its low
 * frequencies; solved for Q. */
static double q_of_rise(double r)
{
    return r > 1 ? sqrt(0.5 * r * (r + sqrt(r * r - 1))) : NAN;
}

static ll_status find_peak(level *of, const double *levels, ll_peak *found)
{
    double log_f = 0;
    const size_t top = highest(levels);
    if (top == 0)
        return LL_OK;
    const ll_status status = close_in(of, top, &log_f);
    if (status)
        return status;
    found->f_hz = exp(log_f);
    found->gain = gain_at(of, found->f_hz);
    if (found->low_gain > 0)
        found->q = q_of_rise(found->gain / found->low_gain);
    return of->status;
}

/* The last time that the level falls through half power. */
static ll_status find_minus3(level *of, const double *levels, ll_peak *found)
{
    if (found->low_gain == 0)
        return LL_OK;
    of->base = log(found->low_gain) - 0.5 * log(2);
    size_t i = STEPS;
    while (i > 0 && levels[i] < of->base)
        i--;
    if (i == STEPS || levels[i] < of->base)
        return LL_OK;
    double log_f = 0;
    const ll_status status = crossing(of, i, &log_f);
    if (status == LL_OK)
        found->f_minus3_hz = exp(log_f);
    return status;
}

ll_status ll_network_peak_to(const ll_network *network, const double *emf_v, ll_peak *out)
{
    level of = {network, emf_v, 0, 1, LL_OK};
    double levels[STEPS + 1];
    ll_peak found = {NAN, NAN, gain_at(&of, LL_LOW_HZ), NAN, NAN};
    if (found.low_gain < LL_SILENT)
        found.low_gain = 0;
    for (size_t i = 0; i <= STEPS; i++)
        levels[i] = level_at(scan_log_f(i), &of);
    if (of.status)
        return of.status;
    ll_status status = find_peak(&of, levels, &found);
    if (status == LL_OK)
        status = find_minus3(&of, levels, &found);
    if (status == LL_OK)
        *out = found;
    return status;
}

ll_status ll_network_peak(const ll_network *network, ll_peak *out)
{
    return ll_network_peak_to(network, NULL, out);
}
