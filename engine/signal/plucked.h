/* plucked.h - how loud a plucked string is in each coil and in any sum of them, without its sound being made.
 *
 * Mode m of the string gives coil c the voltage a_cm exp(-d_m t) sin(w_m t) with
 *   a_cm = w_m integral (x_m h_cx(y) + z_m h_cz(y)) sin(n pi y / L) dy,
 * h the coil's hearing along the string (string/hearing.h). The mean square over the first T seconds of coils that count by g_c
 * is then sum g_c g_k G_ck,
 *   G_ck = sum over modes l, m of one partial of a_cl a_km mean(exp(-(d_l + d_m) t) cos((w_l - w_m) t)) / 2;
 * different partials do not meet within T. Distortion is left out: for two coils that nearly cancel this is exact where a linkage
 * map of their difference is not. SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SIGNAL_PLUCKED_H
#define LL_SIGNAL_PLUCKED_H

#include "base/api.h"
#include "signal/voice.h"

LL_API_BEGIN

/* square_v2[coils][coils], the matrix G of one string, symmetric; spec->share is not looked at. LL_NO_COIL, and statuses of
 * ll_voice_new. */
ll_status ll_plucked_squares(const ll_solution *s, const ll_voice_spec *spec, double seconds,
                             double *square_v2);

/* Root mean square in V of the coils that count by share[coils]. */
double ll_plucked_level(size_t coils, const double *square_v2, const double *share);

LL_API_END

#endif
