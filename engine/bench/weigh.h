/* weigh.h - which fault explains what the instruments said, and which reading would settle most.
 *
 * A hypothesis is a fault with what each reading would be under it: at one point, or at several when the fault has a size
 * (how much charge is left, how many turns are shorted), all equally likely beforehand. Readings y scatter around the
 * prediction f by a normal law with covariance
 *
 *   diag(absolute^2 + (relative f)^2 + extra^2) + for each test: common^2 1 1' + common_relative^2 f f' + sum over tolerances t t'
 *   + for each unknown size s s'
 *
 * `common` is what all readings of one test share (a probe held too high, an unknown reference), a tolerance t what one
 * standard deviation of a sound part changes in each reading. A point stands for a cell of sizes, evenly spread: s is what one
 * standard deviation within the cell, its width over sqrt(12), changes, so that the few points make a smooth whole. A sign reading says +1, 0 or -1: N, weak or S. Probabilities
 * follow from Bayes' rule; a fault's size is integrated over its points, which makes a fault that could mean anything
 * less likely than one that had to mean this (D. MacKay, Information Theory, Inference, and Learning Algorithms,
 * chapter 28). Whoever calls brings "sound" and "none of these" as hypotheses like any other.
 *
 * Values may be in any units, the same throughout for one reading. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BENCH_WEIGH_H
#define LL_BENCH_WEIGH_H

#include "base/api.h"
#include "base/status.h"
#include "bench/bench.h"

LL_API_BEGIN

/* Any one value may also be simply wrong, by as much as `broad` says, one in two hundred (common practice, no source): a hypothesis that
 * all other readings ask for is not lost by one that does not fit.
 *
 * Readings which[taken], rising, have values value[taken]. probability[hypotheses] sums to one; share[the points of all
 * hypotheses, one after the other] sums to one over each hypothesis; misfit[hypotheses] is chi squared of the best point, signs
 * counted by twice the log of how much likelier another would have been; `taken` is what to expect at most. LL_BAD_VALUE for priors, errors or values that cannot be, LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_bench_weigh(const ll_bench *bench, size_t taken, const size_t *which,
                         const double *value, double *probability, double *share, double *misfit);

/* How likely each of those readings is a slip, over all hypotheses with the probabilities and shares that stand: slip[taken], a sign's
 * wrong letter included. Statuses as above. */
ll_status ll_bench_slips(const ll_bench *bench, size_t taken, const size_t *which,
                         const double *value, const double *probability, const double *share,
                         double *slip);

/* Expected information in bits of each test about which hypothesis is true, from the probabilities and shares that stand:
 * bits[tests], tests counted by the last reading's. Sampled with a fixed seed: the same call gives the same bits, good
 * to some 0.05. Tests are taken as independent of those already done. LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_bench_information(const ll_bench *bench, const double *probability,
                               const double *share, double *bits);

LL_API_END

#endif
