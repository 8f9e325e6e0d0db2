/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/stiff_string.h"
#include "base/constants.h"
#include "string/string.h"

#include <math.h>
#include <stdbool.h>

static const double last_fret = 60;

static bool above_zero(double value)
{
    return isfinite(value) && value > 0;
}

/* Every length, mass and frequency first: what remains may be zero, but not out of range. */
static ll_status check(const ll_string_tuning *t)
{
    if (!above_zero(t->scale_m) || !above_zero(t->frequency_hz) || !above_zero(t->mass_kg_m) ||
        !above_zero(t->diameter_m) || !above_zero(t->core_diameter_m))
        return LL_BAD_SIZE;
    const bool in_range = t->fret >= 0 && t->fret <= last_fret && isfinite(t->young_pa) &&
                          t->young_pa >= 0 && t->core_diameter_m <= t->diameter_m;
    return in_range ? LL_OK : LL_BAD_VALUE;
}

ll_status ll_stiff_string_tune(const ll_string_tuning *t, ll_stiff_string *out)
{
    const ll_status status = check(t);
    if (status)
        return status;
    /* With B = s / (T L^2), f1^2 = f0^2 (1 + B) and T = mass (2 L f0)^2 the tension is what an ideal string would need,
     * less s / L^2: stiffness does that part of the work. */
    const double d2 = t->core_diameter_m * t->core_diameter_m;
    /* pi^2 E I of a round core */
    const double s = LL_PI * LL_PI * LL_PI * t->young_pa * d2 * d2 / 64,
                 ideal_n = ll_string_tension_n(t->mass_kg_m, t->scale_m, t->frequency_hz);
    const double tension = ideal_n - s / (t->scale_m * t->scale_m);
    if (!above_zero(tension))
        return LL_BAD_VALUE;
    /* Equal temperament is the fret's place, not its pitch: a stiff string sounds a trace sharper there. */
    const double length = t->scale_m * exp2(-t->fret / 12);
    *out = (ll_stiff_string){.length_m = length,
                             .tension_n = tension,
                             .mass_kg_m = t->mass_kg_m,
                             .diameter_m = t->diameter_m,
                             .inharmonicity = s / (tension * length * length),
                             .ideal_hz = sqrt(tension / t->mass_kg_m) / (2 * length)};
    return LL_OK;
}

double ll_stiff_string_partial_hz(const ll_stiff_string *string, size_t n)
{
    const double number = (double)n;
    return number * string->ideal_hz * sqrt(1 + string->inharmonicity * number * number);
}

size_t ll_stiff_string_partials_below(const ll_stiff_string *string, double frequency_hz)
{
    /* At most f / f0 of them; stiffness leaves fewer. */
    const double most = frequency_hz / string->ideal_hz;
    size_t n = most > 0 ? (size_t)fmin(most, 1e6) : 0;
    while (n > 0 && ll_stiff_string_partial_hz(string, n) >= frequency_hz)
        n--;
    return n;
}

double ll_string_wound_mass_kg_m(double core_diameter_m, double wrap_diameter_m,
                                 double core_density_kg_m3, double wrap_density_kg_m3)
{
    /* Length of wire on one length of string: a helix, unrolled. */
    const double wire_per_m =
        hypot(LL_PI * (core_diameter_m + wrap_diameter_m) / wrap_diameter_m, 1);
    return ll_string_plain_mass_kg_m(core_diameter_m, core_density_kg_m3) +
           wire_per_m * ll_string_plain_mass_kg_m(wrap_diameter_m, wrap_density_kg_m3);
}
