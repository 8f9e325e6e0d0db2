/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/damping.h"
#include "base/constants.h"

#include <math.h>
#include <stdbool.h>

/* Air at 20 C: handbook values, from memory. */
#define AIR_VISCOSITY_PA_S 1.8e-5
#define AIR_DENSITY_KG_M3 1.2

/* Friction between the turns of a wrap makes a wound string lose more when it bends, and its upper partials die soon. */
const ll_damping ll_damping_plain = {
    AIR_VISCOSITY_PA_S, AIR_DENSITY_KG_M3, 2e-4, 1e-4,
    "bending: Valette and Cuesta 1993, from memory; constant part: common practice, no source"};
const ll_damping ll_damping_wound = {AIR_VISCOSITY_PA_S, AIR_DENSITY_KG_M3, 4e-3, 2e-4,
                                     "common practice, no source: more than a plain string"};

ll_status ll_damping_check(const ll_damping *d)
{
    const double figures[] = {d->air_viscosity_pa_s, d->air_density_kg_m3, d->eta_bending,
                              d->eta_constant};
    bool good = true;
    for (size_t i = 0; i < sizeof figures / sizeof figures[0]; i++)
        good = good && isfinite(figures[i]) && figures[i] >= 0;
    return good ? LL_OK : LL_BAD_VALUE;
}

/* Drag for each velocity and length, over mass times angular frequency. The first term creeps, as in treacle, and rules
 * slow thin strings; the second is the boundary layer, thinner the faster the string swings. */
static double air_loss_factor(const ll_damping *d, const ll_stiff_string *string, double hz)
{
    const double layer = sqrt(LL_PI * d->air_viscosity_pa_s * d->air_density_kg_m3 * hz);
    const double drag = 2 * LL_PI * (d->air_viscosity_pa_s + string->diameter_m * layer);
    return drag / (2 * LL_PI * hz * string->mass_kg_m);
}

double ll_damping_loss_factor(const ll_damping *d, const ll_stiff_string *string, size_t n)
{
    /* B n^2 is the share of a partial's energy that bending holds instead of tension. */
    const double bending = string->inharmonicity * (double)n * (double)n;
    return air_loss_factor(d, string, ll_stiff_string_partial_hz(string, n)) +
           d->eta_bending * bending + d->eta_constant;
}

double ll_damping_decay_per_s(const ll_damping *d, const ll_stiff_string *string, size_t n)
{
    return LL_PI * ll_stiff_string_partial_hz(string, n) * ll_damping_loss_factor(d, string, n);
}
