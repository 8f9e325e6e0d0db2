/* linkage_samples.h - linkages at places of a string, to which a map is fitted. SI units.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_LINKAGE_SAMPLES_H
#define LL_STRING_LINKAGE_SAMPLES_H

#include "base/api.h"
#include <stddef.h>

LL_API_BEGIN

/* The highest total degree of the polynomial. */
#define LL_LINKAGE_MAP_DEGREE 10

/* n places of the string's axis, relative to rest; the rectangle around them is what the map covers. */
typedef struct ll_linkage_samples {
    size_t n;
    const double *x_m, *z_m;
    const double *linkage_wb;
} ll_linkage_samples;

LL_API_END

#endif
