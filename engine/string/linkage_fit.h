/* linkage_fit.h - the polynomial behind a linkage map, in displacements scaled to -1 to 1. Private to this folder.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_LINKAGE_FIT_H
#define LL_STRING_LINKAGE_FIT_H

#include "base/status.h"
#include "string/linkage_samples.h"

typedef struct ll_polynomial {
    unsigned degree;
    double centre_x_m, centre_z_m, half_x_m, half_z_m; /* of the rectangle it covers */
    double residual_wb;
    double c[LL_LINKAGE_MAP_DEGREE + 1]
            [LL_LINKAGE_MAP_DEGREE + 1]; /* of u^i v^j, i + j <= degree */
} ll_polynomial;

/* Least squares. Statuses as of ll_linkage_map_new. */
ll_status ll_polynomial_fit(const ll_linkage_samples *samples, unsigned degree, ll_polynomial *out);

/* Value at u, v, each within -1 to 1. */
double ll_polynomial_value(const ll_polynomial *polynomial, double u, double v);

#endif
