/* damping.h - what a vibrating string loses, partial by partial.
 *
 * A loss factor eta is the energy lost in a radian over the energy in the partial, 1 / Q. The amplitude decays as
 * exp(-pi f eta t), the energy twice as fast. Three losses add up:
 *   air       R / (2 pi f mass), R = 2 pi viscosity + 2 pi d sqrt(pi viscosity density f): the drag of a cylinder in
 *             viscous air (G. Stokes 1851; the form in C. Valette and C. Cuesta, Mecanique de la corde vibrante, 1993,
 *             from memory; the second term is that of a thin boundary layer);
 *   bending   eta_bending (E I / T)(n pi / L)^2 = eta_bending B n^2 (J. Woodhouse, euphonics.org, 7.2.2);
 *   the rest  a constant: ends, friction inside.
 * No measured figures of steel strings on an instrument were found; the defaults are orders of magnitude.
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_DAMPING_H
#define LL_STRING_DAMPING_H

#include "base/api.h"
#include "string/stiff_string.h"

LL_API_BEGIN

typedef struct ll_damping {
    double air_viscosity_pa_s;
    double air_density_kg_m3;
    double eta_bending;
    double eta_constant;
    const char *source; /* may be NULL */
} ll_damping;

extern const ll_damping ll_damping_plain, ll_damping_wound;

/* LL_BAD_VALUE for a figure that is negative or not finite. */
ll_status ll_damping_check(const ll_damping *damping);

/* Loss factor of partial n. */
double ll_damping_loss_factor(const ll_damping *damping, const ll_stiff_string *string, size_t n);

/* The amplitude of partial n decays as exp(-decay t); returns decay in 1/s. */
double ll_damping_decay_per_s(const ll_damping *damping, const ll_stiff_string *string, size_t n);

LL_API_END

#endif
