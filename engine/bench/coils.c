/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/coils.h"
#include "base/constants.h"
#include "winding/winding.h"

#include <math.h>

static bool can_be(const ll_coil_state *s)
{
    return s->turns > 0 && isfinite(s->turns) && s->wire > 0 && isfinite(s->wire) && s->core > 0 &&
           isfinite(s->core) && s->shorted >= 0 && s->shorted < 1;
}

static ll_status check(const ll_series_coils *coils)
{
    for (size_t i = 0; i < coils->count; i++)
        if (!can_be(&coils->state[i]))
            return LL_BAD_VALUE;
    return LL_OK;
}

/* Turns that give voltage, over the sound coil's. */
static double lively(const ll_coil_state *s)
{
    return (s->reversed ? -1 : 1) * s->turns * (1 - s->shorted);
}

static double resistance(const ll_series_coils *coils, size_t i, double over_20_c)
{
    const ll_coil_state *s = &coils->state[i];
    return s->open ? LL_OPEN_OHM
                   : coils->r_ohm[i] * s->turns * s->wire * (1 - s->shorted) * over_20_c;
}

ll_status ll_series_resistances(const ll_series_coils *coils, double temperature_c, double *r_ohm)
{
    const double over_20_c = ll_copper_over_20_c(temperature_c);
    const ll_status status = check(coils);
    if (status || !(over_20_c > 0))
        return status ? status : LL_BAD_VALUE;
    for (size_t i = 0; i < coils->count; i++)
        r_ohm[i] = resistance(coils, i, over_20_c);
    return LL_OK;
}

/* Adds what the shorted turns of one coil bring in series with the others, w^2 M^2 / Z of the loop. */
static void add_loop(const ll_series_coils *coils, size_t i, double w, double inductive,
                     double over_20_c, ll_series_figures *sum)
{
    const ll_coil_state *s = &coils->state[i];
    const double l = coils->l_h[i * coils->count + i] * s->core * s->turns * s->turns * inductive;
    const double r_loop = s->shorted * coils->r_ohm[i] * s->turns * s->wire * over_20_c;
    const double x_loop = w * s->shorted * s->shorted * l;
    const double x_mutual = w * LL_SHORTED_COUPLING * s->shorted * (1 - s->shorted) * l;
    const double share = x_mutual * x_mutual / (r_loop * r_loop + x_loop * x_loop);
    sum->shorted_ohm += share * r_loop;
    sum->shorted_h -= share * x_loop / w;
}

static double mutual(const ll_series_coils *coils, size_t i, size_t k)
{
    const ll_coil_state *a = &coils->state[i], *b = &coils->state[k];
    return coils->l_h[i * coils->count + k] * sqrt(a->core * b->core) * lively(a) * lively(b);
}

static double static_inductance(const ll_series_coils *coils)
{
    double sum = 0;
    for (size_t i = 0; i < coils->count; i++)
        for (size_t k = 0; k < coils->count; k++)
            sum += mutual(coils, i, k);
    return sum;
}

ll_status ll_series_impedance(const ll_series_coils *coils, double f_hz, ll_eddy_share eddies,
                              double temperature_c, ll_series_figures *out)
{
    const double over_20_c = ll_copper_over_20_c(temperature_c), w = 2 * LL_PI * f_hz;
    const ll_status status = check(coils);
    if (status || !(f_hz > 0 && isfinite(f_hz) && over_20_c > 0))
        return status ? status : LL_BAD_VALUE;
    const double l = static_inductance(coils);
    ll_series_figures sum = {.r_ohm = eddies.ohm_per_h * l, .l_h = eddies.inductive * l};
    double dcr = 0;
    for (size_t i = 0; i < coils->count; i++) {
        dcr += resistance(coils, i, over_20_c);
        if (coils->state[i].shorted > 0)
            add_loop(coils, i, w, eddies.inductive, over_20_c, &sum);
    }
    sum.r_ohm += fmin(dcr, LL_OPEN_OHM) + sum.shorted_ohm;
    sum.l_h += sum.shorted_h;
    *out = sum;
    return LL_OK;
}

ll_status ll_series_turns(const ll_series_coils *coils, double *turns)
{
    const ll_status status = check(coils);
    for (size_t i = 0; i < coils->count && !status; i++)
        turns[i] = lively(&coils->state[i]);
    return status;
}

double ll_series_passes(const ll_series_coils *coils)
{
    for (size_t i = 0; i < coils->count; i++)
        if (coils->state[i].open)
            return LL_THROUGH_BREAK;
    return 1;
}
