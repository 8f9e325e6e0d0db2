/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/wrap.h"
#include "base/constants.h"

#include <math.h>

/* Of the law of bars side by side. */
static const double spacing = 0.039, inside = 1.28;
/* A field in which any steel is full. */
static const double strong_a_m = 1e7;

bool ll_string_is_wrapped(const ll_string *string)
{
    return string->wrap && ll_material_kind(string->wrap) == LL_STEEL &&
           ll_material_mu_r(string->wrap) > 1;
}

ll_wrap ll_wrap_of(const ll_string *string)
{
    if (!ll_string_is_wrapped(string))
        return (ll_wrap){0, 0};
    const double outside = string->diameter_m, core = string->core_diameter_m;
    /* Round wire fills pi / 4 of the ring between core and outside. */
    const double area = LL_PI / 4 * LL_PI / 4 * (outside * outside - core * core);
    const double chi = ll_material_mu_r(string->wrap) - 1;
    double b;
    ll_material_b(string->wrap, strong_a_m, &b, NULL);
    return (ll_wrap){area / (spacing + inside / chi), area * (b / LL_MU0 - strong_a_m)};
}

double ll_wrap_moment(const ll_wrap *wrap, double h_a_m, double *slope_m2)
{
    if (!(wrap->most_a_m > 0)) {
        if (slope_m2)
            *slope_m2 = 0;
        return 0;
    }
    const double bend = LL_PI * wrap->slope_m2 / (2 * wrap->most_a_m), u = bend * h_a_m;
    if (slope_m2)
        *slope_m2 = wrap->slope_m2 / (1 + u * u);
    return 2 / LL_PI * wrap->most_a_m * atan(u);
}
