/* step.h - one step of bounded least squares: screws within their range, an unknown within what can be.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BENCH_STEP_H
#define LL_BENCH_STEP_H

#include "base/api.h"
#include "base/status.h"
#include <stddef.h>

LL_API_BEGIN

/* From x[columns], within low and high, to *the next[columns] that makes |residual + jacobian (next - x)|^2 +
 * |damping (next - x) / (high - low)|^2 least: Levenberg's step, with the unknowns that would leave their range held
 * at its end and the rest solved again. jacobian[rows][columns], residual[rows], damping > 0.
 * LL_BAD_VALUE, LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_bench_step(size_t rows, size_t columns, const double *jacobian, const double *residual,
                        const double *x, const double *low, const double *high, double damping,
                        double *next);

/* Standard deviations of the unknowns that least squares finds, from rows divided by those of their readings, and from what is only
 * taken as known: tolerance[tolerances][rows] is what one standard deviation of each such thing changes in the readings, in theirs. With
 * G = (J' J)^-1 J' the variances are the diagonal of (J' J)^-1 + sum over tolerances (G t)(G t)' (propagation of errors: JCGM 100,
 * section 5). sd[columns]. LL_LIBRARY when the readings do not settle the unknowns, LL_NO_MEMORY, LL_BAD_VALUE. */
ll_status ll_bench_uncertainty(size_t rows, size_t columns, const double *jacobian,
                               size_t tolerances, const double *tolerance, double *sd);

LL_API_END

#endif
