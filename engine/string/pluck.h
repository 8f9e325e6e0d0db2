/* pluck.h - what a finger or plectrum leaves in the partials of a string.
 *
 * A string pulled aside by h at the distance d from one end and let go at once has partials of amplitude
 *   a_n = 2 h L^2 sin(n pi d / L) / (n^2 pi^2 d (L - d))     (P. Morse, Vibration and Sound; textbooks)
 * at their antinodes. Here three things soften it: stiffness rounds the corner, 1 / (1 + B n^2); the force is spread over
 * a width as a raised cosine; and it ceases within a time as a raised cosine. Each of the last two multiplies a_n by the
 * transform of a raised cosine, which is 1 for long waves and slow partials.
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_PLUCK_H
#define LL_STRING_PLUCK_H

#include "base/api.h"
#include "string/stiff_string.h"

LL_API_BEGIN

typedef struct ll_pluck {
    double from_bridge_m; /* centre of the force, between the ends of the sounding length */
    double
        height_m; /* of the corner that the same force makes at a point; negative: the other way */
    double
        angle_rad; /* direction of the pull: 0 towards +x across the strings, pi/2 towards +z, up */
    double width_m;   /* whole width of the force along the string; 0: a point */
    double release_s; /* time in which the force ceases, its middle being t = 0; 0: at once */
} ll_pluck;

/* LL_BAD_VALUE for a pluck that is not between the ends of the string with its whole width, or not finite. */
ll_status ll_pluck_check(const ll_pluck *pluck, const ll_stiff_string *string);

/* Amplitude in m of partial n at its antinodes, along the direction of the pull. */
double ll_pluck_amplitude_m(const ll_pluck *pluck, const ll_stiff_string *string, size_t n);

LL_API_END

#endif
