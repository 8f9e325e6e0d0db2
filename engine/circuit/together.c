/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuit/together.h"

#include <math.h>

ll_phase ll_together_phase(size_t n, const double *a, const double *b)
{
    size_t agree = 0;
    for (size_t i = 0; i < n; i++)
        agree += a[i] * b[i] > 0;
    return agree == n ? LL_IN_PHASE : agree == 0 ? LL_OUT_OF_PHASE : LL_MIXED_PHASE;
}

double ll_together_left(size_t n, const double *a, const double *b)
{
    double most = 0, left = 1;
    for (size_t i = 0; i < n; i++) {
        const double all = fabs(a[i]) + fabs(b[i]);
        if (all > most) {
            most = all;
            left = fabs(a[i] + b[i]) / all;
        }
    }
    return left;
}

double ll_together_level(double a, double b, const double share[2])
{
    const double loudest = fmax(fabs(a), fabs(b));
    return loudest > 0 ? fabs(a * share[0] + b * share[1]) / loudest : 0;
}

void ll_parallel_shares(double ra_ohm, double rb_ohm, double share[2])
{
    const double sum = ra_ohm + rb_ohm;
    share[0] = sum > 0 ? rb_ohm / sum : 0.5;
    share[1] = sum > 0 ? ra_ohm / sum : 0.5;
}
