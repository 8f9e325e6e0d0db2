/* hum_lines.h - what the mains leave in a recording: lines at 50 or 60 Hz and their harmonics.
 *
 * Each line's size is a sum over a four-term Blackman-Harris window (F. J. Harris, Proceedings of the IEEE 66 (1978) 51), whose side
 * lobes lie 92 dB down, so that a strong line does not stand for its neighbours. What is found between the lines is noise. SI units.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_RECORDING_HUM_LINES_H
#define LL_RECORDING_HUM_LINES_H

#include "base/api.h"
#include "base/status.h"
#include <stdbool.h>
#include <stddef.h>

LL_API_BEGIN

typedef struct ll_hum_line {
    double f_hz, rms, rms_sd; /* rms_sd: standard deviation, from the noise beside it */
    bool heard;               /* it stands out of the noise by 9 dB or more */
} ll_hum_line;

/* Lines at 1 to `lines` times the mains' frequency, which is looked for within 1 % of near_hz, into line[lines]; *mains_hz: what was
 * found. samples[n]: half a second or more in which nothing else sounds. LL_BAD_VALUE for less, for samples that are not finite and
 * for lines beyond 0.45 of the rate; LL_NO_MEMORY. */
ll_status ll_hum_lines_find(size_t n, const double *samples, double rate_hz, double near_hz,
                            size_t lines, ll_hum_line *line, double *mains_hz);

LL_API_END

#endif
