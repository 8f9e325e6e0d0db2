/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/profile.h"
#include "base/gsl.h"

#include <gsl/gsl_sf_bessel.h>
#include <math.h>

ll_status ll_profile_check(size_t points, const double *y_m)
{
    if (points < 2 || !isfinite(y_m[0]))
        return LL_BAD_VALUE;
    for (size_t i = 1; i < points; i++)
        if (!isfinite(y_m[i]) || !(y_m[i] > y_m[i - 1]))
            return LL_BAD_VALUE;
    return LL_OK;
}

/* Spherical Bessel function of order 1 at u >= 0; GSL calls its handler for arguments that underflow. */
static double spherical_1(double u)
{
    return u < 1e-100 ? 0 : gsl_sf_bessel_j1(u);
}

/* From a to b, value rising from f to g: with middle m and half length h the integral is
 * 2 h exp(i k m) ((f + g) / 2 j0(k h) + i (g - f) / 2 j1(k h)). */
static double complex piece(double a, double b, double f, double g, double k)
{
    const double middle = (a + b) / 2, half = (b - a) / 2;
    return 2 * half * cexp(I * k * middle) *
           ((f + g) / 2 * gsl_sf_bessel_j0(k * half) + I * ((g - f) / 2 * spherical_1(k * half)));
}

double complex ll_profile_transform(size_t points, const double *y, const double *value,
                                    double length_m, double wave_per_m)
{
    double complex sum = 0;
    for (size_t i = 0; i + 1 < points; i++) {
        const double a = fmax(y[i], 0), b = fmin(y[i + 1], length_m);
        if (a >= b)
            continue;
        const double slope = (value[i + 1] - value[i]) / (y[i + 1] - y[i]);
        sum +=
            piece(a, b, value[i] + slope * (a - y[i]), value[i] + slope * (b - y[i]), wave_per_m);
    }
    return sum;
}
