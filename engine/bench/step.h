/* step.h - one step of bounded least squares: screws within their range, an unknown within what can be.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BENCH_STEP_H
#define LL_BENCH_STEP_H

#include "base/status.h"
#include <stddef.h>

/* From x[columns], within low and high, to *the next[columns] that makes |residual + jacobian (next - x)|^2 +
 * |damping (next - x) / (high - low)|^2 least: Levenberg's step, with the unknowns that would leave their range held
 * at its end and the rest solved again. jacobian[rows][columns], residual[rows], damping > 0.
 * LL_BAD_VALUE, LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_bench_step(size_t rows, size_t columns, const double *jacobian, const double *residual,
                        const double *x, const double *low, const double *high, double damping,
                        double *next);

/* Standard deviations of the unknowns, from rows divided by those of their readings: the diagonal of (J' J)^-1, its square
 * root. sd[columns]. LL_LIBRARY when the readings do not settle the unknowns. */
ll_status ll_bench_uncertainty(size_t rows, size_t columns, const double *jacobian, double *sd);

#endif
