/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "recording/one_channel.h"
#include "base/constants.h"
#include "recording/sweep_place.h"

#include <complex.h>
#include <math.h>
#include <stdlib.h>

enum { MOST_REPEATS = 20, SLOPE_POINTS = 40 };

/* Where the slope of the phase is taken: where sweeps are strong and a frame is less than half a turn. */
static const double slope_from_hz = 200, slope_to_hz = 10e3;

/* Two channels of so many frames: the second is the recording's, the first the same from frame `later` on. */
static ll_status beside_itself(const ll_recording *r, int channel, long later, size_t frames,
                               ll_recording **out)
{
    double *samples = malloc(2 * frames * sizeof *samples);
    if (!samples)
        return LL_NO_MEMORY;
    ll_recording_copy(r, channel, later, frames, samples);
    ll_recording_copy(r, channel, 0, frames, samples + frames);
    const ll_status status = ll_recording_new(2, frames, ll_recording_rate_hz(r), samples, out);
    free(samples);
    return status;
}

/* The frames by which the first channel of two alike is behind the second, from phase = -2 pi f delay / rate by least squares. */
static ll_status delay_of(const ll_recording *two, const ll_sweep_signal *signal, double *delay)
{
    double f[SLOPE_POINTS], up = 0, down = 0;
    ll_transfer_point p[SLOPE_POINTS];
    for (int i = 0; i < SLOPE_POINTS; i++)
        f[i] = slope_from_hz * pow(slope_to_hz / slope_from_hz, i / (SLOPE_POINTS - 1.0));
    const ll_status status = ll_transfer(two, 0, 1, signal, SLOPE_POINTS, f, p, NULL);
    for (int i = 0; i < SLOPE_POINTS && !status; i++) {
        const double weight = p[i].sd > 0 ? 1 / (p[i].sd * p[i].sd) : 1;
        up += weight * f[i] * atan2(p[i].im, p[i].re);
        down += weight * f[i] * f[i];
    }
    *delay = down > 0 ? -up / down * ll_recording_rate_hz(two) / (2 * LL_PI) : 0;
    return status;
}

/* The player's clock against the recorder's: the last sweep of the first half over its first. */
static ll_status find_drift(const ll_recording *r, int channel, const ll_sweep_signal *signal,
                            const double *frame, double *drift)
{
    const int last = signal->repeats / 2 - 1;
    const double rate_hz = ll_recording_rate_hz(r),
                 delay_s =
                     ll_sweep_signal_starts_s(signal, last) - ll_sweep_signal_starts_s(signal, 0);
    const long later = lround(frame[last] - frame[0]);
    ll_sweep_signal one = *signal;
    one.repeats = 1;
    one.pause_s = 0;
    ll_recording *two = NULL;
    const double end = frame[0] + (signal->sweep_s + 0.9 * signal->rest_s) * rate_hz;
    ll_status status = beside_itself(r, channel, later, (size_t)end, &two);
    double delay = 0;
    if (!status)
        status = delay_of(two, &one, &delay);
    ll_recording_free(two);
    *drift = ((double)later + delay) / (delay_s * rate_hz) - 1;
    return status;
}

static void put_right(size_t n, double frames, double rate_hz, ll_transfer_point *point)
{
    for (size_t i = 0; i < n; i++) {
        const double complex h = (point[i].re + I * point[i].im) *
                                 cexp(2 * LL_PI * I * point[i].f_hz * frames / rate_hz);
        point[i].re = creal(h);
        point[i].im = cimag(h);
    }
}

ll_status ll_one_channel_transfer(const ll_recording *recording, int channel,
                                  const ll_sweep_signal *signal, size_t n, const double *f_hz,
                                  ll_transfer_point *point, ll_transfer_facts *facts)
{
    double frame[MOST_REPEATS], drift = 0, likeness = 0;
    if (signal->repeats < 4 || signal->repeats % 2 || !(signal->pause_s > 0))
        return LL_BAD_VALUE;
    ll_status status = ll_sweep_place(recording, channel, signal, frame, &likeness);
    if (!status)
        status = find_drift(recording, channel, signal, frame, &drift);
    if (status)
        return status;
    ll_sweep_signal half = *signal;
    half.repeats = signal->repeats / 2;
    half.pause_s = 0;
    const double rate_hz = ll_recording_rate_hz(recording);
    const double later =
        (ll_sweep_signal_starts_s(signal, half.repeats) - ll_sweep_signal_starts_s(signal, 0)) *
        rate_hz * (1 + drift);
    const double end = frame[half.repeats - 1] + (signal->sweep_s + 0.9 * signal->rest_s) * rate_hz;
    ll_recording *two = NULL;
    status = beside_itself(recording, channel, lround(later), (size_t)end, &two);
    if (!status)
        status = ll_transfer(two, 0, 1, &half, n, f_hz, point, facts);
    ll_recording_free(two);
    if (status)
        return status;
    put_right(n, later - (double)lround(later), rate_hz, point);
    if (facts)
        facts->drift = drift;
    return LL_OK;
}
