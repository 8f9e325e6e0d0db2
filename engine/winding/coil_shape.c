/* coil_shape.c - which racetracks can be wound, and how long their turns are.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "winding.h"
#include <math.h>

ll_status ll_coil_check(const ll_coil_shape *coil)
{
    const double shorter = fmin(coil->opening_x_m, coil->opening_y_m);
    const double sum =
        coil->opening_x_m + coil->opening_y_m + coil->corner_m + coil->build_m + coil->height_m;
    if (!isfinite(sum))
        return LL_BAD_VALUE;
    if (!(shorter > 0 && coil->build_m > 0 && coil->height_m > 0))
        return LL_BAD_SIZE;
    /* A corner of half the opening may come out a rounding larger. */
    return coil->corner_m >= 0 && coil->corner_m <= 0.5 * shorter * (1 + 1e-12) ? LL_OK
                                                                                : LL_BAD_VALUE;
}

/* Straight sides stay as long as they are; the corners' radius grows with the depth. */
double ll_coil_turn_m(const ll_coil_shape *coil, double depth_m)
{
    return 2.0 * (coil->opening_x_m + coil->opening_y_m) - 8.0 * coil->corner_m +
           2.0 * LL_PI * (coil->corner_m + depth_m);
}
