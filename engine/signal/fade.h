/* fade.h - the end of a recording. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SIGNAL_FADE_H
#define LL_SIGNAL_FADE_H

#include "base/api.h"
#include <stddef.h>

LL_API_BEGIN

/* Seconds. Short beside a note, long beside the period of what is heard: an end that is cut off is a click, as wide as the
 * spectrum. */
#define LL_FADE_S 0.01

/* The last LL_FADE_S of samples[n], or all of them where there are fewer, go down to zero by half a period of a raised cosine. */
void ll_fade_out(size_t n, double *samples, double rate_hz);

LL_API_END

#endif
