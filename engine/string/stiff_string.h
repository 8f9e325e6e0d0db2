/* stiff_string.h - a string between two ends: its tension from pitch and mass, and its partials with their
 * inharmonicity.
 *
 * Partial n of a stiff string that is hinged at both ends (H. Fletcher, J. Acoust. Soc. Am. 36 (1964) 203):
 *   f_n = n f0 sqrt(1 + B n^2),   B = pi^2 E I / (T L^2) = pi^3 E d^4 / (64 T L^2),   T = mass (2 L f0)^2.
 * Clamped ends raise all partials alike to first order, so that tuning takes them up. f0 is such that partial 1 sounds
 * the note. A fret shortens the string at the same tension; pressing it down does not stretch it.
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_STIFF_STRING_H
#define LL_STRING_STIFF_STRING_H

#include "base/api.h"
#include "base/status.h"
#include <stddef.h>

LL_API_BEGIN

/* Young's modulus of music wire, ASTM A228: 203 to 207 GPa (handbooks, from memory). */
#define LL_YOUNG_MUSIC_WIRE_PA 207e9

/* What is known of a string on the instrument. */
typedef struct ll_string_tuning {
    double scale_m;         /* open length, nut to bridge */
    double frequency_hz;    /* of partial 1, open */
    double fret;            /* 0 is open; each fret is a twelfth of an octave; at most 60 */
    double mass_kg_m;       /* whole: of a wound string core and wrap */
    double diameter_m;      /* outside: what the air meets */
    double core_diameter_m; /* what resists bending: the core, or the whole of a plain string */
    double young_pa;        /* of the core; 0 for a string without stiffness */
} ll_string_tuning;

/* What follows, for the sounding length. */
typedef struct ll_stiff_string {
    double length_m; /* from fret or nut to the bridge */
    double tension_n;
    double mass_kg_m;
    double diameter_m;
    double inharmonicity; /* B */
    double ideal_hz;      /* f0: partial 1 without stiffness */
} ll_stiff_string;

/* LL_BAD_SIZE for a length, diameter, mass or frequency that is not greater than zero, LL_BAD_VALUE for other values
 * out of range, also when the core is so stiff that it sounds the note without tension. */
ll_status ll_stiff_string_tune(const ll_string_tuning *tuning, ll_stiff_string *out);

/* Frequency of partial n, 1 and up. */
double ll_stiff_string_partial_hz(const ll_stiff_string *string, size_t n);

/* How many partials sound below the given frequency. */
size_t ll_stiff_string_partials_below(const ll_stiff_string *string, double frequency_hz);

/* Mass per length of a core with round wire wound closely around it once: one turn of wire on a circle of diameter
 * core + wrap for each wrap diameter of string. */
double ll_string_wound_mass_kg_m(double core_diameter_m, double wrap_diameter_m,
                                 double core_density_kg_m3, double wrap_density_kg_m3);

LL_API_END

#endif
