/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "recording/sweep_place.h"
#include "base/gsl.h"

#include <gsl/gsl_fft_halfcomplex.h>
#include <gsl/gsl_fft_real.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

/* Clocks of two machines differ by less; what a sweep was put through leaves at least so much likeness. */
static const double most_drift = 500e-6, least_likeness = 0.3;

/* A recording's correlation with one sweep at every lag, by fast convolution. */
typedef struct correlation {
    size_t size, frames, sweep;
    double *channel, *lag; /* [size] */
    double sweep_energy;
} correlation;

/* In GSL's half-complex order, a times the conjugate of b into b. */
static void multiply_conjugate(size_t size, const double *a, double *b)
{
    b[0] *= a[0];
    b[size / 2] *= a[size / 2];
    for (size_t k = 1; k < size / 2; k++) {
        const double re = b[k], im = -b[size - k];
        b[k] = a[k] * re - a[size - k] * im;
        b[size - k] = a[k] * im + a[size - k] * re;
    }
}

static ll_status correlate(const ll_recording *r, int channel, const ll_sweep_signal *signal,
                           correlation *c)
{
    ll_sweep_write(signal, ll_recording_rate_hz(r), c->lag);
    for (size_t i = 0; i < c->sweep; i++)
        c->sweep_energy += c->lag[i] * c->lag[i];
    ll_recording_copy(r, channel, 0, c->frames, c->channel);
    double *spectrum = malloc(c->size * sizeof *spectrum);
    if (!spectrum)
        return LL_NO_MEMORY;
    for (size_t i = 0; i < c->size; i++)
        spectrum[i] = c->channel[i];
    bool failed = gsl_fft_real_radix2_transform(spectrum, 1, c->size) ||
                  gsl_fft_real_radix2_transform(c->lag, 1, c->size);
    multiply_conjugate(c->size, spectrum, c->lag);
    failed = failed || gsl_fft_halfcomplex_radix2_inverse(c->lag, 1, c->size);
    free(spectrum);
    return failed ? LL_LIBRARY : LL_OK;
}

static ll_status correlation_new(const ll_recording *r, int channel, const ll_sweep_signal *signal,
                                 correlation *c)
{
    *c = (correlation){.size = 2, .frames = ll_recording_frames(r)};
    c->sweep = (size_t)lround(signal->sweep_s * ll_recording_rate_hz(r));
    if (c->frames < c->sweep)
        return LL_NO_SIGNAL;
    while (c->size < c->frames + c->sweep)
        c->size *= 2;
    c->channel = calloc(c->size, sizeof(double));
    c->lag = calloc(c->size, sizeof(double));
    return c->channel && c->lag ? correlate(r, channel, signal, c) : LL_NO_MEMORY;
}

/* The lag of the largest correlation between two lags, between samples by a parabola. */
static double highest(const correlation *c, double from, double to, double *value)
{
    const long last = (long)(c->frames - c->sweep / 2);
    long best = -1;
    *value = 0;
    for (long i = from > 1 ? (long)from : 1; i <= (long)to && i < last; i++)
        if (fabs(c->lag[i]) > *value) {
            *value = fabs(c->lag[i]);
            best = i;
        }
    if (best < 1)
        return -1;
    const double before = fabs(c->lag[best - 1]), after = fabs(c->lag[best + 1]);
    const double bend = before - 2 * *value + after;
    return (double)best + (bend < 0 ? (before - after) / (2 * bend) : 0);
}

/* With the strongest correlation as repeat `which`: the places of all, and the sum of their correlations. */
static double assign(const correlation *c, const ll_sweep_signal *signal, double rate_hz,
                     double strongest, int which, double *frame)
{
    double sum = 0;
    for (int k = 0; k < signal->repeats; k++) {
        const double away = rate_hz * (ll_sweep_signal_starts_s(signal, k) -
                                       ll_sweep_signal_starts_s(signal, which));
        const double there = strongest + away, room = 8 + most_drift * fabs(away);
        double value;
        frame[k] = highest(c, there - room, there + room, &value);
        if (frame[k] < 0)
            return -1;
        sum += value;
    }
    return sum;
}

static double likeness_at(const correlation *c, double frame)
{
    const size_t from = (size_t)frame;
    double energy = 0;
    for (size_t i = from; i < from + c->sweep && i < c->frames; i++)
        energy += c->channel[i] * c->channel[i];
    return energy > 0 ? fabs(c->lag[from]) / sqrt(energy * c->sweep_energy) : 0;
}

static ll_status place(const correlation *c, const ll_sweep_signal *signal, double rate_hz,
                       double *frame, double *likeness)
{
    const int repeats = signal->repeats;
    double value, most = -1, found[20] = {0}, least = 1;
    const double strongest = highest(c, 0, (double)c->frames, &value);
    for (int which = 0; which < repeats && strongest >= 0; which++) {
        const double sum = assign(c, signal, rate_hz, strongest, which, found);
        if (sum <= most)
            continue;
        most = sum;
        for (int k = 0; k < repeats; k++)
            frame[k] = found[k];
    }
    for (int k = 0; k < repeats && most > 0; k++)
        least = fmin(least, likeness_at(c, frame[k]));
    if (most <= 0 || least < least_likeness)
        return LL_NO_SIGNAL;
    *likeness = least;
    return LL_OK;
}

ll_status ll_sweep_place(const ll_recording *recording, int channel, const ll_sweep_signal *signal,
                         double *frame, double *likeness)
{
    const double rate_hz = ll_recording_rate_hz(recording);
    correlation c = {0};
    ll_status status = ll_sweep_signal_check(signal, rate_hz);
    if (status || channel < 0 || channel >= ll_recording_channels(recording))
        return LL_BAD_VALUE;
    status = correlation_new(recording, channel, signal, &c);
    double found[20] = {0}, like = 0;
    if (!status)
        status = place(&c, signal, rate_hz, found, &like);
    free(c.channel);
    free(c.lag);
    if (status)
        return status;
    for (int k = 0; k < signal->repeats; k++)
        frame[k] = found[k];
    *likeness = like;
    return LL_OK;
}
