/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/legendre.h"

#include <math.h>

void ll_legendre(int count, double x, double *value)
{
    double before = 0, now = 1;
    for (int k = 0; k < count; k++) {
        value[k] = now;
        const double next = ((2 * k + 1) * x * now - k * before) / (k + 1);
        before = now;
        now = next;
    }
}

void ll_shapes(int degree, double x, double *value, double *slope)
{
    double p[LL_DEGREE_MOST + 1] = {0};
    ll_legendre(degree + 1, x, p);
    value[0] = 0.5 * (1 - x);
    value[1] = 0.5 * (1 + x);
    slope[0] = -0.5;
    slope[1] = 0.5;
    for (int k = 2; k <= degree; k++) {
        const double norm = sqrt(2.0 * (2 * k - 1));
        value[k] = (p[k] - p[k - 2]) / norm;
        slope[k] = (2 * k - 1) / norm * p[k - 1];
    }
}
