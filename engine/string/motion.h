/* motion.h - a plucked string as a sum of decaying partials.
 *
 * Each partial moves along the two axes of its pair of modes, x across and z up:
 *   x(y, t) = sum x_m exp(-decay t) cos(2 pi f t) sin(n pi y / L),  z alike,
 * y from the bridge, t from the release. The velocity at t = 0 is zero but for the decay's share, about 1 / (2 Q).
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_MOTION_H
#define LL_STRING_MOTION_H

#include "base/api.h"
#include "string/damping.h"
#include "string/modes.h"
#include "string/pluck.h"

LL_API_BEGIN

/* One mode: a partial's motion along one of its two axes. */
typedef struct ll_mode {
    size_t number; /* of the partial, from 1 */
    double frequency_hz;
    double decay_per_s;
    double x_m, z_m; /* amplitude at the antinodes */
} ll_mode;

typedef struct ll_motion {
    double length_m;
    size_t count;    /* two for each partial, less those that the pluck leaves still */
    ll_mode modes[]; /* partials in order */
} ll_motion;

/* From pairs[partials], as ll_mode_pairs gives them. The caller frees *out with ll_motion_free.
 * LL_BAD_VALUE for a pluck or a damping that cannot be, or no partials; LL_NO_MEMORY. */
ll_status ll_motion_new(const ll_stiff_string *string, size_t partials, const ll_mode_pair *pairs,
                        const ll_damping *damping, const ll_pluck *pluck, ll_motion **out);
void ll_motion_free(ll_motion *motion);

/* Displacement of the string at from_bridge_m, time_s after the release. */
void ll_motion_at(const ll_motion *motion, double from_bridge_m, double time_s, double *x_m,
                  double *z_m);

LL_API_END

#endif
