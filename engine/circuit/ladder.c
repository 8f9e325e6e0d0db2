/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuit/ladder.h"
#include <math.h>

ll_status ll_ladder(double source_ohm, size_t count, const ll_ladder_section *section, double *ohm,
                    double *share)
{
    double r = source_ohm, v = 1;
    if (!(source_ohm >= 0 && isfinite(source_ohm)))
        return LL_BAD_VALUE;
    for (size_t i = 0; i < count; i++) {
        const ll_ladder_section *s = &section[i];
        if (!(s->across_ohm > 0 && s->series_ohm >= 0 && isfinite(s->series_ohm)))
            return LL_BAD_VALUE;
        const double left = 1 / (1 + r / s->across_ohm);
        v *= left;
        r = r * left + s->series_ohm;
    }
    *ohm = r;
    *share = v;
    return LL_OK;
}
