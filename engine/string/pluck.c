/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/pluck.h"
#include "base/constants.h"

#include <math.h>

ll_status ll_pluck_check(const ll_pluck *p, const ll_stiff_string *string)
{
    if (!isfinite(p->from_bridge_m) || !isfinite(p->height_m) || !isfinite(p->angle_rad) ||
        !isfinite(p->width_m) || !isfinite(p->release_s) || p->width_m < 0 || p->release_s < 0)
        return LL_BAD_VALUE;
    const double half = p->width_m / 2;
    const double nearest_end = fmin(p->from_bridge_m, string->length_m - p->from_bridge_m);
    return nearest_end > 0 && nearest_end >= half ? LL_OK : LL_BAD_VALUE;
}

static double sine_over(double u)
{
    return fabs(u) < 1e-8 ? 1 : sin(u) / u;
}

/* Transform of a raised cosine of unit area and whole width w at the wave number k, u = k w / 2: three shifted
 * sin(u) / u, so that nothing is divided by nothing. */
static double raised_cosine(double u)
{
    return sine_over(u) + (sine_over(u - LL_PI) + sine_over(u + LL_PI)) / 2;
}

double ll_pluck_amplitude_m(const ll_pluck *p, const ll_stiff_string *string, size_t n)
{
    const double length = string->length_m, d = p->from_bridge_m, number = (double)n;
    const double wave = number * LL_PI / length;
    /* A force F at d makes a corner F d (L - d) / (T L) high: the height stands for the force. */
    const double corner = 2 * p->height_m * sin(wave * d) / (wave * wave * d * (length - d));
    const double omega = 2 * LL_PI * ll_stiff_string_partial_hz(string, n);
    return corner / (1 + string->inharmonicity * number * number) *
           raised_cosine(wave * p->width_m / 2) * raised_cosine(omega * p->release_s / 2);
}
