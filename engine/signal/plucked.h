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

/* A string's partials as it is plucked where no magnet pulls at it, so that what pickups in several places hear of it can be added. */
typedef struct ll_plucked ll_plucked;

/* Root mean squares are over the first `seconds`. The caller frees *out with ll_plucked_free. spec->string and spec->share are not looked
 * at. LL_BAD_VALUE, and statuses of ll_stiff_string_tune and ll_pluck_check. */
ll_status ll_plucked_new(const ll_voice_spec *spec, double seconds, ll_plucked **out);
void ll_plucked_free(ll_plucked *plucked);
size_t ll_plucked_partials(const ll_plucked *plucked);

/* f_hz[partials]. */
void ll_plucked_hz(const ll_plucked *plucked, double *f_hz);
/* v[partials]: effective voltage, with its sign, of the coils that count by spec->share[coils of the scene]; *slope_v: theirs for the whole
 * string moving up at 1 m/s. Statuses of ll_hearing_new. */
ll_status ll_plucked_voltages(const ll_plucked *plucked, const ll_solution *s,
                              const ll_voice_spec *spec, double *v, double *slope_v);
/* m_s[partials]: effective upward speed at a place along the string, with its sign. */
void ll_plucked_speeds(const ll_plucked *plucked, double from_bridge_m, double *m_s);

/* Root mean square in V of the coils that count by share[coils]. */
double ll_plucked_level(size_t coils, const double *square_v2, const double *share);

LL_API_END

#endif
