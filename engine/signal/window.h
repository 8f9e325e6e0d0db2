/* window.h - the window under which tones are told apart. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SIGNAL_WINDOW_H
#define LL_SIGNAL_WINDOW_H

#include "base/constants.h"
#include <math.h>
#include <stddef.h>

/* Four terms, side lobes below -92 dB (F. Harris, Proc. IEEE 66 (1978) 51, table I; from memory); the first is the mean. */
#define LL_WINDOW_MEAN 0.35875

/* At the middle of sample i of n, so that the window is the same forwards and backwards. */
static inline double ll_window(size_t i, size_t n)
{
    const double angle = 2 * LL_PI * ((double)i + 0.5) / (double)n;
    return LL_WINDOW_MEAN - 0.48829 * cos(angle) + 0.14128 * cos(2 * angle) -
           0.01168 * cos(3 * angle);
}

#endif
