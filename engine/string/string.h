/* string.h - a string over a pickup: its tension, its magnetisation, and what it adds to a coil's linkage.
 *
 * SI units; the string runs along y at (x_m, z_m). Linkage in weber with the coil's turns included. The string is
 * a thin wire of round section, magnetised along and across its length by the bias field and by
 * itself, and answered by the steel; its signal follows from reciprocity:
 *   linkage = mu0 integral M . H_coil_per_ampere dV.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_STRING_H
#define LL_STRING_STRING_H

#include "base/api.h"
#include "base/status.h"
#include "magnetics/solution.h"
#include <stdbool.h>

LL_API_BEGIN

typedef struct ll_string {
    double diameter_m;           /* outside, as the packet says */
    double core_diameter_m;      /* of the magnetic core; equal to diameter_m for a plain string */
    const ll_material *material; /* of the core; steel (or a conductor: no signal) */
    double x_m, z_m;             /* the axis at rest */
    const ll_material *wrap; /* of a wound string, when it is magnetic; NULL: it adds mass alone */
} ll_string;

/* Linkage of coil `coil` added by the string with its axis at each of n places (x_m[i], z_m[i]).
 * LL_NO_COIL, LL_STRING_IN_PART, LL_NO_CONVERGENCE. */
ll_status ll_string_linkage(const ll_solution *s, size_t coil, const ll_string *string, size_t n,
                            const double *x_m, const double *z_m, double *linkage_wb);

/* d(linkage)/dz and d(linkage)/dx at rest, Wb/m: the magnitude of the open-circuit voltage for 1 m/s. The voltage
 * itself is -d(linkage)/dt. */
ll_status ll_string_gradient(const ll_solution *s, size_t coil, const ll_string *string,
                             double *dz_wb_m, double *dx_wb_m);

/* Tension in newton of a string of linear density mass_kg_m tuned to frequency_hz over scale_m:
 * T = mass (2 L f)^2. */
double ll_string_tension_n(double mass_kg_m, double scale_m, double frequency_hz);

/* Speed of waves along a string, stiffness left out: two lengths in a period, whatever fret is stopped. */
double ll_string_wave_m_s(double scale_m, double frequency_hz);

/* The lowest frequency at which a travelling wave is heard in opposite ways at two places distance_m > 0 apart: half a wave, or
 * a whole one where they are joined out of phase. */
double ll_string_notch_hz(double wave_m_s, double distance_m, bool in_phase);

/* Linear density in kg/m of a plain steel string. */
double ll_string_plain_mass_kg_m(double diameter_m, double density_kg_m3);

LL_API_END

#endif
