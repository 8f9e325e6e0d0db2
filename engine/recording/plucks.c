/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "recording/plucks.h"
#include "base/gsl.h"
#include "signal/spectrum.h"

#include <gsl/gsl_sort.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

/* Blocks of 20 ms: longer than a period of the lowest string, shorter than an attack is felt. */
static const double block_s = 0.02, rise = 4, over_quiet = 8, lost = 2;
enum { BEFORE = 5, APART = 8 };

/* Root mean square of each block. */
typedef struct blocks {
    size_t n, frames; /* frames in a block */
    double rate_hz, *rms;
} blocks;

static double rms_between(const ll_recording *r, int channel, double from_s, double lasts_s)
{
    const double rate_hz = ll_recording_rate_hz(r);
    const long from = lround(from_s * rate_hz);
    const size_t n = (size_t)lround(fmax(1, lasts_s * rate_hz));
    double *v = malloc(n * sizeof *v);
    if (!v)
        return -1;
    ll_recording_copy(r, channel, from, n, v);
    const double rms = ll_rms_level(n, v);
    free(v);
    return rms;
}

static double peak_between(const ll_recording *r, int channel, double from_s, double lasts_s)
{
    const double rate_hz = ll_recording_rate_hz(r);
    double peak = 0, v;
    for (long i = lround(from_s * rate_hz), end = lround((from_s + lasts_s) * rate_hz); i < end;
         i++) {
        ll_recording_copy(r, channel, i, 1, &v);
        peak = fmax(peak, fabs(v));
    }
    return peak;
}

static ll_status blocks_new(const ll_recording *r, int channel, blocks *b)
{
    b->rate_hz = ll_recording_rate_hz(r);
    b->frames = (size_t)lround(block_s * b->rate_hz);
    b->n = ll_recording_frames(r) / b->frames;
    double *v = malloc(b->frames * sizeof *v);
    b->rms = malloc((b->n + 1) * sizeof *b->rms);
    for (size_t i = 0; v && b->rms && i < b->n; i++) {
        ll_recording_copy(r, channel, (long)(i * b->frames), b->frames, v);
        b->rms[i] = ll_rms_level(b->frames, v);
    }
    const bool room = v && b->rms;
    free(v);
    return room ? LL_OK : LL_NO_MEMORY;
}

/* The tenth quietest of a hundred blocks, and where the longest stretch not far above it lies. */
static ll_status find_quiet(const blocks *b, ll_quiet *quiet)
{
    double *sorted = malloc(b->n * sizeof *sorted);
    if (!sorted)
        return LL_NO_MEMORY;
    for (size_t i = 0; i < b->n; i++)
        sorted[i] = b->rms[i];
    gsl_sort(sorted, 1, b->n);
    const double level = sorted[b->n / 10];
    free(sorted);
    size_t best = 0, best_at = 0, run = 0;
    for (size_t i = 0; i < b->n; i++) {
        run = b->rms[i] <= lost * level ? run + 1 : 0;
        if (run > best) {
            best = run;
            best_at = i + 1 - run;
        }
    }
    const double step = (double)b->frames / b->rate_hz;
    *quiet = (ll_quiet){level, (double)best_at * step, (double)best * step};
    return LL_OK;
}

static bool begins(const blocks *b, size_t i, double quiet)
{
    double before = HUGE_VAL;
    for (size_t k = i > BEFORE ? i - BEFORE : 0; k < i; k++)
        before = fmin(before, b->rms[k]);
    return i > 0 && b->rms[i] > rise * before && b->rms[i] > over_quiet * quiet;
}

static size_t ends(const blocks *b, size_t from, double quiet)
{
    size_t i = from + 1;
    while (i < b->n && b->rms[i] > lost * quiet && !(i >= from + APART && begins(b, i, quiet)))
        i++;
    return i;
}

ll_status ll_plucks_find(const ll_recording *recording, int channel, size_t most,
                         ll_pluck_found *pluck, size_t *count, ll_quiet *quiet)
{
    blocks b = {0};
    ll_quiet still = {0};
    size_t found = 0;
    if (channel < 0 || channel >= ll_recording_channels(recording) ||
        (double)ll_recording_frames(recording) < 0.5 * ll_recording_rate_hz(recording))
        return LL_BAD_VALUE;
    ll_status status = blocks_new(recording, channel, &b);
    if (!status)
        status = find_quiet(&b, &still);
    const double step = (double)b.frames / b.rate_hz;
    for (size_t i = 1; !status && i < b.n && found < most; i++) {
        if (!begins(&b, i, still.rms))
            continue;
        const size_t end = ends(&b, i, still.rms);
        const double start = (double)i * step, lasts = (double)(end - i) * step;
        pluck[found] = (ll_pluck_found){
            start, lasts, peak_between(recording, channel, start, lasts),
            rms_between(recording, channel, start, fmin(lasts, 1)),
            rms_between(recording, channel, start + 0.1, fmax(step, fmin(lasts - 0.1, 1)))};
        if (pluck[found].rms < 0 || pluck[found].rms_after < 0)
            status = LL_NO_MEMORY;
        found++;
        i = end - 1 > i ? end - 1 : i;
    }
    free(b.rms);
    if (status)
        return status;
    *count = found;
    *quiet = still;
    return LL_OK;
}
