/* together.h - two pickups on one instrument: whether strings and hum add or cancel, and what each counts.
 *
 * a[n] and b[n] are what each gives alone, with its sign at the output: for n strings, or for n directions of an outside field.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_CIRCUIT_TOGETHER_H
#define LL_CIRCUIT_TOGETHER_H

#include "base/api.h"
#include <stddef.h>

LL_API_BEGIN

typedef enum ll_phase { LL_IN_PHASE, LL_OUT_OF_PHASE, LL_MIXED_PHASE } ll_phase;

/* In phase when every pair has one sign, out of phase when none has; a silent one is not in phase. */
ll_phase ll_together_phase(size_t n, const double *a, const double *b);

/* |a + b| over |a| + |b|, where the latter is largest: 0 when they cancel, 1 when they add or where there is nothing. */
double ll_together_left(size_t n, const double *a, const double *b);

/* |share a + share b| over the louder one alone; 0 when both are silent. */
double ll_together_level(double a, double b, const double share[2]);

/* By what two sources of these resistances count in parallel: each is loaded by the other. Both 0: a half each. */
void ll_parallel_shares(double ra_ohm, double rb_ohm, double share[2]);

LL_API_END

#endif
