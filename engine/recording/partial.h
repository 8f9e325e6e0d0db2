/* partial.h - one partial of a ringing string: pitch, decay, and the beat of its two directions of motion.
 *
 * The partial is brought down to zero frequency under a short window, and what is left is one or two decaying complex
 * exponentials, found by the matrix pencil (Y. Hua, T. K. Sarkar, IEEE Trans. Acoustics, Speech and Signal Processing 38 (1990)
 * 814) and then by least squares. SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_RECORDING_PARTIAL_H
#define LL_RECORDING_PARTIAL_H

#include "base/api.h"
#include "base/status.h"
#include <stdbool.h>
#include <stddef.h>

LL_API_BEGIN

typedef struct ll_partial_mode {
    double f_hz, f_sd_hz;
    double amplitude;   /* peak value of the sine at the first sample */
    double decay_per_s; /* the amplitude falls as exp(-decay t) */
} ll_partial_mode;

typedef struct ll_partial_found {
    int modes;                  /* 1, or 2 where the partial beats */
    ll_partial_mode mode[2];    /* the stronger first */
    double beat_hz, beat_sd_hz; /* difference of the two; 0 for one mode */
    double rest;                /* root mean square of what is left over, of that of the partial */
} ll_partial_found;

/* samples[n] from one pluck. near_hz: where the partial is expected; the strongest tone within reach_hz of it is taken, and
 * everything within reach_hz belongs to it. LL_BAD_VALUE when the section is under 16 / reach_hz seconds, or the range is not
 * within 0 and half the rate; LL_NO_SIGNAL when nothing rings there; LL_NO_CONVERGENCE, LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_partial_find(size_t n, const double *samples, double rate_hz, double near_hz,
                          double reach_hz, ll_partial_found *out);

LL_API_END

#endif
