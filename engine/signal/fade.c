/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "signal/fade.h"
#include "base/constants.h"

#include <math.h>

void ll_fade_out(size_t n, double *samples, double rate_hz)
{
    const size_t wanted = (size_t)lround(LL_FADE_S * rate_hz), last = wanted < n ? wanted : n;
    for (size_t k = 0; k < last; k++)
        samples[n - 1 - k] *= 0.5 * (1 - cos(LL_PI * (double)k / (double)last));
}
