/* bench.h - what instruments can tell apart: readings with their errors, and what each would be under each hypothesis.
 * weigh.h says what the figures mean and may be in. Arrays are borrowed.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BENCH_BENCH_H
#define LL_BENCH_BENCH_H

#include "base/api.h"
#include <stddef.h>

LL_API_BEGIN

typedef enum ll_bench_kind { LL_BENCH_VALUE, LL_BENCH_SIGN } ll_bench_kind;

/* One number that an instrument shows; readings taken together are of one test, and stand together. */
typedef struct ll_bench_reading {
    ll_bench_kind kind;
    size_t test;               /* counted from 0, not falling from one reading to the next */
    double absolute, relative; /* standard deviation of its own, relative to the prediction */
    double common, common_relative;
    double weak;  /* sign: under this magnitude the instrument shows neither */
    double broad; /* value: standard deviation of one that is simply wrong; 0: never */
} ll_bench_reading;

enum { LL_BENCH_SIZES = 3 };

typedef struct ll_bench_hypothesis {
    double prior; /* > 0; they need not sum to one */
    size_t points;
    const double *predicted; /* [points][readings] */
    const double *extra;     /* [points][readings], or NULL: none */
    /* Unknown sizes: points are all combinations of count[0] of the first with those of the others, the last running fastest;
     * at[count] are their places, rising, counted in cells' widths. count 0: no such size, and none after it. */
    size_t count[LL_BENCH_SIZES];
    const double *at[LL_BENCH_SIZES];
} ll_bench_hypothesis;

/* What is borrowed must outlive the calls. */
typedef struct ll_bench {
    size_t readings, hypotheses, tolerances;
    const ll_bench_reading *reading;
    const ll_bench_hypothesis *hypothesis;
    const double *tolerance; /* [tolerances][readings] */
} ll_bench;

/* The points of all hypotheses together. */
size_t ll_bench_points(const ll_bench *bench);
/* Standard deviation of every reading at one point of a hypothesis; error[readings]. */
void ll_bench_error(const ll_bench *bench, size_t hypothesis, size_t point, double *error);

LL_API_END

#endif
