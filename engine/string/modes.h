/* modes.h - the pair of modes of each partial, across and up, and how a pull along the string detunes them.
 *
 * A pull F(y) per length that changes as the string moves by u acts as a stiffness k = -dF/du per length:
 *   mass u'' = T d2u/dy2 - E I d4u/dy4 - k(y) u.
 * In the shape sin(n pi y / L) of a partial, first-order perturbation gives
 *   (2 pi f)^2 = (2 pi f_n)^2 + 2 / (mass L) integral k(y) sin^2(n pi y / L) dy,
 * exact for a uniform k; for a small shift this is df / f = integral k sin^2 dy / (T (n pi)^2 / L). Motion across and up
 * is coupled where the string is not over the middle of a pole: k is then a symmetric 2 x 2 matrix, and the pair vibrates
 * along its two principal axes. Two frequencies near each other in one partial beat.
 * SI units; x across, z up. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_MODES_H
#define LL_STRING_MODES_H

#include "base/api.h"
#include "string/stiff_string.h"
#include <stdbool.h>

LL_API_BEGIN

/* A force on the string at rest and its gradient, per length of string; linear between the points, zero outside. What
 * lies beyond the sounding length is left out. A magnet below pulls with force_z < 0 and gradient_zz > 0. */
typedef struct ll_pull {
    size_t points;               /* two or more */
    const double *from_bridge_m; /* rising */
    const double *force_x_n_m, *force_z_n_m;
    const double *gradient_xx_n_m2; /* dFx/dx */
    const double *gradient_xz_n_m2; /* dFx/dz = dFz/dx */
    const double *gradient_zz_n_m2; /* dFz/dz */
} ll_pull;

/* The two modes of a partial. The first moves along the axis nearer to x, the second at right angles to it. */
typedef struct ll_mode_pair {
    double horizontal_hz, vertical_hz;
    double angle_rad; /* from x towards z to the first axis: within +-pi/4 */
} ll_mode_pair;

/* Partials 1 to count, into pairs[count]. split is the difference between vertical and horizontal frequency, over the
 * partial's own, that the instrument gives the string by itself (0: none). pull may be NULL.
 * LL_BAD_VALUE for a figure not finite, a split beyond +-0.1, or a pull that overcomes the tension. */
ll_status ll_mode_pairs(const ll_stiff_string *string, double split, const ll_pull *pull,
                        size_t count, ll_mode_pair *pairs);

/* Resultant of the pull on the sounding length. LL_BAD_VALUE as above. */
ll_status ll_pull_total(const ll_pull *pull, double length_m, double *force_x_n, double *force_z_n);

/* 1200 log2(f / reference). */
double ll_cents(double frequency_hz, double reference_hz);

/* How fast the pair beats. */
double ll_beat_hz(const ll_mode_pair *pair);

/* Whether ears hear beats of that rate as a warble: LL_WARBLE_FROM_HZ to LL_WARBLE_TO_HZ. Slower ones pass for a swell
 * of the decay, faster ones for roughness (common practice, no source; fluctuation is heard most near 4 Hz and turns to
 * roughness near 20 Hz: E. Zwicker and H. Fastl, Psychoacoustics, from memory). */
#define LL_WARBLE_FROM_HZ 0.5
#define LL_WARBLE_TO_HZ 20.0
bool ll_beat_warbles(double beat_hz);

LL_API_END

#endif
