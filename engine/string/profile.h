/* profile.h - a quantity along the string, linear between its points and zero outside them, against a partial's wave.
 * Private to this folder. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_PROFILE_H
#define LL_STRING_PROFILE_H

#include "base/status.h"
#include <complex.h>
#include <stddef.h>

/* LL_BAD_VALUE unless there are two points or more, all finite, and they rise. */
ll_status ll_profile_check(size_t points, const double *y_m);

/* Integral of value(y) exp(i wave_per_m y) over the part of the profile within 0 to length_m: exact, so that the points
 * need only follow the profile and not the wave. */
double complex ll_profile_transform(size_t points, const double *y_m, const double *value,
                                    double length_m, double wave_per_m);

#endif
