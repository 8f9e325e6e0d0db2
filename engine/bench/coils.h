/* coils.h - what an ohm meter and a bridge find at a pickup's coils in series, in some state of repair, from the same coils sound.
 *
 * Turns that a fault has joined are a closed loop among the others, as the secondary of a transformer is: of a coil of inductance L
 * and resistance R a share s of the turns shorted leaves (1 - s) of them to give voltage. Every loop j has its resistance r_j, shares
 * its flux with the other loops by L_jk and with all lively turns by M_j, and carries what the coil's current drives in it:
 *
 *   (r_j + j w L_jj) i_j + sum over k of j w L_jk i_k = - j w M_j i,    Z = R + j w L + sum of j w M_j i_j / i
 *
 * so that one loop brings w^2 M^2 / (r + j w L_loop) (F. E. Terman, Radio Engineers' Handbook (1943), section 3, from memory). Turns of
 * one coil couple to the others of that coil by LL_SHORTED_COUPLING, wherever they may lie, to other coils as all its turns do.
 *
 * SI units. Errors: LL_BAD_VALUE for what no coil can be, LL_NO_MEMORY, LL_LIBRARY; outputs stay untouched then. Threads: nothing is kept.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BENCH_COILS_H
#define LL_BENCH_COILS_H

#include "base/api.h"
#include "base/status.h"
#include <stdbool.h>
#include <stddef.h>

LL_API_BEGIN

/* Coupling of shorted turns to the others of their coil. Of the engine's own coils the outermost tenth of the turns couples to the
 * rest by 0.75 to 0.85, turns in the middle by more. */
#define LL_SHORTED_COUPLING 0.85
/* What a broken wire reads: as far as hand meters reach. Common practice, no source. */
#define LL_OPEN_OHM 9e6
/* What a break lets pass of a signal: its two sides are plates of a small capacitor. Common practice, no source. */
#define LL_THROUGH_BREAK 0.03

/* A coil against its sound self. */
typedef struct ll_coil_state {
    double turns; /* over the sound coil's, above 0 */
    double wire;  /* ohm of a metre over the sound wire's, above 0 */
    double
        core; /* inductance for each turn squared over the sound coil's: its shape, the steel in it; above 0 */
    double
        shorted; /* share of its turns that lie in a closed loop, 0 to 1: all of them when its leads touch */
    bool reversed; /* leads or winding, against the sound coil */
    bool open;     /* the wire is broken */
} ll_coil_state;

/* Coils in series; arrays are borrowed. */
typedef struct ll_series_coils {
    size_t count;
    const double *r_ohm; /* [count], of the sound coils at 20 C; above 0 */
    const double *
        l_h; /* [count][count], sound turns, signed as they count in the whole; a magnet or pole may have changed it */
    const ll_coil_state *state; /* [count] */
    double joint_ohm;           /* of a poor joint in the leads, 0 or more */
    bool
        one_loop; /* shorted turns of all coils are one loop, as where two coils touch, not one for each coil */
} ll_series_coils;

/* dc resistance of each coil, copper at temperature_c: r_ohm[count]. */
ll_status ll_series_resistances(const ll_series_coils *coils, double temperature_c, double *r_ohm);

/* What currents in steel and covers do to the sound pickup at one frequency. */
typedef struct ll_eddy_share {
    double ohm_per_h; /* series resistance for each henry of static inductance */
    double inductive; /* inductance over the static one */
} ll_eddy_share;

/* A bridge's series figures, own capacitance left out, and how much of them comes from shorted turns. */
typedef struct ll_series_figures {
    double r_ohm, l_h, shorted_ohm, shorted_h;
} ll_series_figures;

/* f_hz > 0. */
ll_status ll_series_impedance(const ll_series_coils *coils, double f_hz, ll_eddy_share eddies,
                              double temperature_c, ll_series_figures *out);

/* Turns of each coil that give voltage, over the sound coil's, negative when reversed: by what its signal and its hum count.
 * turns[count]. */
ll_status ll_series_turns(const ll_series_coils *coils, double *turns);

/* What of a signal gets out: all of it, or LL_THROUGH_BREAK when a wire is broken. */
double ll_series_passes(const ll_series_coils *coils);

/* Where a coil rings with all the capacitance across it, losses left out (W. Thomson 1853): l_h and c_f > 0. */
double ll_resonance_hz(double l_h, double c_f);

LL_API_END

#endif
