/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "recording/partial.h"
#include "base/constants.h"
#include "base/dense.h"
#include "recording/exponentials.h"
#include "signal/spectrum.h"
#include "signal/window.h"

#include <complex.h>
#include <math.h>
#include <stdlib.h>

/* The window lasts 4 / reach, so that its main lobe (4 / duration to each side) ends at the reach; it moves on by a tenth. */
enum { STEPS_OF_WINDOW = 10, MOST_VALUES = 1200, LEAST_VALUES = 30 };
/* A second mode must be stronger than this part of the first and leave so much less over, in power. */
static const double least_second = 0.02, least_gain = 0.25;

/* The partial at zero frequency, a value each `step` samples; NULL without memory. */
typedef struct baseband {
    size_t n, step, width;
    double rate_hz;
    double complex *value;
} baseband;

static double complex under_window(size_t width, const double *samples, double cycles_per_sample)
{
    const double complex turn = cexp(-2 * LL_PI * I * cycles_per_sample);
    double complex phase = 1, sum = 0;
    for (size_t i = 0; i < width; i++) {
        sum += samples[i] * phase * ll_window(i, width);
        phase *= turn;
    }
    return 2 * sum / ((double)width * LL_WINDOW_MEAN);
}

static ll_status bring_down(size_t n, const double *samples, double rate_hz, double hz,
                            double reach_hz, baseband *b)
{
    b->width = (size_t)lround(4 / reach_hz * rate_hz);
    b->step = b->width / STEPS_OF_WINDOW > 0 ? b->width / STEPS_OF_WINDOW : 1;
    b->n = (n - b->width) / b->step + 1;
    b->n = b->n < MOST_VALUES ? b->n : MOST_VALUES;
    b->rate_hz = rate_hz / (double)b->step;
    b->value = malloc(b->n * sizeof *b->value);
    if (!b->value)
        return LL_NO_MEMORY;
    for (size_t k = 0; k < b->n; k++) {
        const double cycles = hz / rate_hz;
        b->value[k] = under_window(b->width, samples + k * b->step, cycles) *
                      cexp(-2 * LL_PI * I * cycles * (double)(k * b->step));
    }
    return LL_OK;
}

/* What the window makes of exp(s t), s per sample, from its first sample on. */
static double complex gain(const baseband *b, double complex s)
{
    double complex sum = 0;
    for (size_t i = 0; i < b->width; i++)
        sum += cexp(s * (double)i) * ll_window(i, b->width);
    return sum / ((double)b->width * LL_WINDOW_MEAN);
}

static ll_partial_mode mode_of(const baseband *b, const ll_exponential *e, double hz,
                               double rate_hz)
{
    const double complex s = e->exponent / (double)b->step;
    const double per_s = rate_hz / (2 * LL_PI);
    /* Values a tenth of a window apart share their noise: of ten, two tell anew (the window's noise bandwidth is two bins). */
    const double shared = sqrt(STEPS_OF_WINDOW / 2.0);
    return (ll_partial_mode){hz + cimag(s) * per_s, shared * e->sd / (double)b->step * per_s,
                             cabs(e->amplitude / gain(b, s)), -creal(s) * rate_hz};
}

/* The strongest tone within reach, in steps that no main lobe slips through. */
static double strongest(size_t n, const double *samples, double rate_hz, double near_hz,
                        double reach_hz, double *level)
{
    enum { STEPS = 40 };
    double f[STEPS + 1], amplitude[STEPS + 1];
    size_t best = 0;
    const size_t some = (size_t)fmin((double)n, 8 * rate_hz / reach_hz * 2);
    for (int i = 0; i <= STEPS; i++)
        f[i] = near_hz + reach_hz * (2.0 * i / STEPS - 1);
    if (ll_tone_levels(some, samples, rate_hz, STEPS + 1, f, amplitude))
        return 0;
    for (size_t i = 0; i <= STEPS; i++)
        if (amplitude[i] > amplitude[best])
            best = i;
    *level = amplitude[best];
    return f[best];
}

static ll_status take_modes(const baseband *b, double hz, double rate_hz, ll_partial_found *out)
{
    ll_exponential one[1], two[2];
    double rest_one, rest_two;
    ll_status status = ll_exponentials_find(b->n, b->value, 1, one, &rest_one);
    if (status)
        return status;
    out->modes = 1;
    out->mode[0] = mode_of(b, &one[0], hz, rate_hz);
    out->rest = rest_one;
    status = ll_exponentials_find(b->n, b->value, 2, two, &rest_two);
    if (status)
        return status == LL_NO_MEMORY ? status : LL_OK;
    const int strong = cabs(two[0].amplitude) >= cabs(two[1].amplitude) ? 0 : 1;
    const double ratio = cabs(two[1 - strong].amplitude) / cabs(two[strong].amplitude);
    if (ratio < least_second || rest_two * rest_two > least_gain * rest_one * rest_one)
        return LL_OK;
    out->modes = 2;
    for (int k = 0; k < 2; k++)
        out->mode[k] = mode_of(b, &two[k == 0 ? strong : 1 - strong], hz, rate_hz);
    out->beat_hz = fabs(out->mode[0].f_hz - out->mode[1].f_hz);
    out->beat_sd_hz = hypot(out->mode[0].f_sd_hz, out->mode[1].f_sd_hz);
    out->rest = rest_two;
    return LL_OK;
}

ll_status ll_partial_find(size_t n, const double *samples, double rate_hz, double near_hz,
                          double reach_hz, ll_partial_found *out)
{
    baseband b = {0};
    ll_partial_found found = {0};
    double level = 0;
    if (!(rate_hz > 0) || !(reach_hz > 0) || !(near_hz > reach_hz) ||
        !(near_hz + reach_hz < rate_hz / 2) || (double)n < 16 / reach_hz * rate_hz ||
        !ll_all_finite(n, samples))
        return LL_BAD_VALUE;
    const double hz = strongest(n, samples, rate_hz, near_hz, reach_hz, &level);
    if (!(hz > 0) || !(level > 0))
        return LL_NO_SIGNAL;
    ll_status status = bring_down(n, samples, rate_hz, hz, reach_hz, &b);
    if (!status)
        status = b.n >= LEAST_VALUES ? take_modes(&b, hz, rate_hz, &found) : LL_BAD_VALUE;
    free(b.value);
    if (!status)
        *out = found;
    return status;
}
