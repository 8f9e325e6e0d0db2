/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "signal/voltage.h"
#include "signal/synthesis.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Where the sum is built, out of the caller's sight until it is whole. */
typedef struct ll_mix {
    double rate_hz;
    size_t n;
    double *voltage_v;
    const ll_progress *progress;
    double share_before, share; /* of the whole work: strings done, and one string */
} ll_mix;

/* The chain rule at every sample; the first n of the block. */
static ll_status add_block(const ll_linkage_map *map, const ll_block *b, size_t n,
                           double *voltage_v)
{
    double dx[LL_BLOCK], dz[LL_BLOCK];
    const ll_status status = ll_linkage_map_gradient(map, n, b->x_m, b->z_m, dx, dz);
    if (status)
        return status;
    for (size_t t = 0; t < n; t++)
        voltage_v[t] -= dx[t] * b->x_m_s[t] + dz[t] * b->z_m_s[t];
    return LL_OK;
}

/* Sounds the string from sample `from` to the end. */
static ll_status add_blocks(ll_synthesis *s, const ll_linkage_map *map, size_t from,
                            const ll_mix *mix)
{
    ll_block block;
    for (size_t t = from; t < mix->n; t += LL_BLOCK) {
        const double done = (double)t / (double)mix->n;
        if (!ll_progress_go_on(mix->progress, mix->share_before + mix->share * done))
            return LL_CANCELLED;
        ll_synthesis_next(s, &block);
        const size_t some = mix->n - t < LL_BLOCK ? mix->n - t : LL_BLOCK;
        const ll_status status = add_block(map, &block, some, mix->voltage_v + t);
        if (status)
            return status;
    }
    return LL_OK;
}

/* The first sample at or after the release is a fraction of a sample late; the synthesis starts with that fraction. */
static ll_status add_string(const ll_heard_string *h, const ll_mix *mix)
{
    const double first = ceil(h->start_s * mix->rate_hz);
    if (first >= (double)mix->n)
        return LL_OK;
    ll_synthesis *s = NULL;
    ll_status status =
        ll_synthesis_new(h->motion, h->map, mix->rate_hz, first / mix->rate_hz - h->start_s, &s);
    if (!status)
        status = add_blocks(s, h->map, (size_t)first, mix);
    ll_synthesis_free(s);
    return status;
}

static ll_status check(size_t strings, const ll_heard_string *heard, double rate_hz)
{
    if (!isfinite(rate_hz) || rate_hz <= 0)
        return LL_BAD_VALUE;
    for (size_t i = 0; i < strings; i++)
        if (!isfinite(heard[i].start_s) || heard[i].start_s < 0)
            return LL_BAD_VALUE;
    return LL_OK;
}

ll_status ll_voltage(size_t strings, const ll_heard_string *heard, double rate_hz, size_t n,
                     double *voltage_v, const ll_progress *progress)
{
    ll_status status = check(strings, heard, rate_hz);
    if (status || n == 0)
        return status;
    ll_mix mix = {rate_hz, n, calloc(n, sizeof(double)), progress, 0, 1 / fmax(1, (double)strings)};
    if (!mix.voltage_v)
        return LL_NO_MEMORY;
    for (size_t i = 0; i < strings && !status; i++) {
        mix.share_before = (double)i * mix.share;
        status = add_string(&heard[i], &mix);
    }
    if (!status)
        memcpy(voltage_v, mix.voltage_v, n * sizeof(double));
    free(mix.voltage_v);
    return status;
}
