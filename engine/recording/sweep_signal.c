/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "recording/sweep_signal.h"
#include "base/constants.h"

#include <math.h>
#include <string.h>

/* The ends of the tone and of each sweep rise and fall over this time, so that nothing clicks. */
static const double edge_s = 0.05;

ll_sweep_signal ll_sweep_signal_usual(void)
{
    return (ll_sweep_signal){.from_hz = 15,
                             .to_hz = 21e3,
                             .sweep_s = 10,
                             .rest_s = 1,
                             .tone_hz = 440,
                             .tone_s = 1,
                             .peak = 0.5,
                             .repeats = 3};
}

ll_sweep_signal ll_sweep_signal_one_channel(void)
{
    ll_sweep_signal s = ll_sweep_signal_usual();
    s.repeats = 6;
    s.pause_s = 20;
    return s;
}

ll_status ll_sweep_signal_check(const ll_sweep_signal *s, double rate_hz)
{
    const int good = rate_hz > 0 && s->from_hz > 0 && s->to_hz > s->from_hz &&
                     s->to_hz <= 0.48 * rate_hz && s->sweep_s >= 0.5 && s->sweep_s <= 120 &&
                     s->rest_s >= 0.2 && s->rest_s <= 60 && s->tone_hz > 0 &&
                     s->tone_hz <= 0.48 * rate_hz && s->tone_s >= 4 * edge_s && s->tone_s <= 60 &&
                     s->peak > 0 && s->peak <= 1 && s->repeats >= 1 && s->repeats <= 20 &&
                     s->pause_s >= 0 && s->pause_s <= 120;
    return good ? LL_OK : LL_BAD_VALUE;
}

static size_t samples(double seconds, double rate_hz)
{
    return (size_t)lround(seconds * rate_hz);
}

double ll_sweep_signal_starts_s(const ll_sweep_signal *s, int repeat)
{
    const double pause_s = repeat > 0 && repeat >= s->repeats / 2 ? s->pause_s : 0;
    return 2 * s->rest_s + s->tone_s + repeat * (s->sweep_s + s->rest_s) + pause_s;
}

size_t ll_sweep_signal_length(const ll_sweep_signal *s, double rate_hz)
{
    return samples(ll_sweep_signal_starts_s(s, s->repeats), rate_hz);
}

/* 0 at both ends of n samples, 1 between the edges: halves of a raised cosine. */
static double edge(size_t i, size_t n, double rate_hz)
{
    const double from_end = (double)(i < n - i ? i : n - i) / rate_hz;
    return from_end < edge_s ? (1 - cos(LL_PI * from_end / edge_s)) / 2 : 1;
}

void ll_sweep_write(const ll_sweep_signal *s, double rate_hz, double *out)
{
    const size_t n = samples(s->sweep_s, rate_hz);
    const double ratio = log(s->to_hz / s->from_hz),
                 scale = 2 * LL_PI * s->from_hz * s->sweep_s / ratio;
    for (size_t i = 0; i < n; i++) {
        const double t = (double)i / rate_hz;
        out[i] = s->peak * edge(i, n, rate_hz) * sin(scale * expm1(t / s->sweep_s * ratio));
    }
}

ll_status ll_sweep_signal_write(const ll_sweep_signal *s, double rate_hz, double *out)
{
    const ll_status status = ll_sweep_signal_check(s, rate_hz);
    if (status)
        return status;
    memset(out, 0, ll_sweep_signal_length(s, rate_hz) * sizeof *out);
    const size_t tone = samples(s->tone_s, rate_hz), tone_at = samples(s->rest_s, rate_hz);
    for (size_t i = 0; i < tone; i++)
        out[tone_at + i] =
            s->peak * edge(i, tone, rate_hz) * sin(2 * LL_PI * s->tone_hz * (double)i / rate_hz);
    for (int k = 0; k < s->repeats; k++)
        ll_sweep_write(s, rate_hz, out + samples(ll_sweep_signal_starts_s(s, k), rate_hz));
    return LL_OK;
}
