/* sweep_signal.h - the test signal of an impedance measurement: exponential sweeps of a sine with a tone ahead of them.
 *
 * In this order: silence, the tone, silence, then `repeats` times a sweep and the silence after it. A sweep's frequency rises by
 * equal ratios in equal times, phase(t) = 2 pi from T / ln(to / from) (exp(t / T ln(to / from)) - 1) (A. Farina, 108th
 * AES Convention, 2000, preprint 5093; from memory). SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_RECORDING_SWEEP_SIGNAL_H
#define LL_RECORDING_SWEEP_SIGNAL_H

#include "base/api.h"
#include "base/status.h"
#include <stddef.h>

LL_API_BEGIN

typedef struct ll_sweep_signal {
    double from_hz, to_hz;
    double sweep_s; /* of one sweep */
    double rest_s;  /* the silence before the tone, after it, and after each sweep */
    double tone_hz, tone_s;
    double peak; /* above 0, at most 1 */
    int repeats; /* 1 to 20 */
    double
        pause_s; /* 0, or more silence in the middle, before repeat repeats / 2: for a change by hand */
} ll_sweep_signal;

/* What serves a pickup at any usual rate: 15 Hz to 21 kHz, three times in 10 s each, after a second of 440 Hz. */
ll_sweep_signal ll_sweep_signal_usual(void);

/* The same for a bench that records one channel alone: six times, and 20 s in the middle. */
ll_sweep_signal ll_sweep_signal_one_channel(void);
/* LL_BAD_VALUE for a signal that cannot be, or that reaches beyond 0.48 of the rate. */
ll_status ll_sweep_signal_check(const ll_sweep_signal *signal, double rate_hz);

/* Samples of the whole signal at a rate, and the second at which a repeat (0 is the first) begins. */
size_t ll_sweep_signal_length(const ll_sweep_signal *signal, double rate_hz);
double ll_sweep_signal_starts_s(const ll_sweep_signal *signal, int repeat);

/* The whole signal into out[ll_sweep_signal_length]. */
ll_status ll_sweep_signal_write(const ll_sweep_signal *signal, double rate_hz, double *out);

/* One sweep alone, into out[lround(sweep_s rate)]. */
void ll_sweep_write(const ll_sweep_signal *signal, double rate_hz, double *out);

LL_API_END

#endif
