/* alternating.h - a solved scene at a frequency: what eddy currents in its steel, AlNiCo, covers and plates change of the
 * coils' inductances and of the field that one ampere in a coil makes.
 *
 * SI units; phasors with exp(+j w t). Around the operating point everything is linear. All answers are changes, to be
 * added to those of the static solution:
 *   Z = R + j w (L_static + change),   so that the eddy currents' resistance is -w Im(change).
 * Steel and magnets: a complex permeability along each piece, see skin.h. Sheets and pieces that are not magnetic:
 * currents as unknowns, see sheet.h. Both act on each other.
 * Not for two threads on one ll_alternating. Internal: eddies.h is what others use.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_EDDIES_ALTERNATING_H
#define LL_EDDIES_ALTERNATING_H

#include "magnetics/solution.h"
#include <complex.h>

typedef struct ll_alternating ll_alternating;
/* What one coil's ampere changes at one frequency; freed by free(). */
typedef struct ll_alternating_state ll_alternating_state;

/* The solution must outlive *out, which the caller frees. */
ll_status ll_alternating_new(const ll_solution *solution, ll_alternating **out);
void ll_alternating_free(ll_alternating *alternating);

/* Solves for all coils at f_hz > 0; neighbouring frequencies one after the other cost least. LL_BAD_VALUE,
 * LL_NO_CONVERGENCE, LL_NO_MEMORY. */
ll_status ll_alternating_set(ll_alternating *alternating, double f_hz);
/* The answer to a coil's ampere at the frequency set last. */
ll_status ll_alternating_keep(const ll_alternating *alternating, size_t coil,
                              ll_alternating_state **out);

/* What coil i links of it, in henry. */
double complex ll_alternating_inductance(const ll_alternating *alternating, size_t coil_i,
                                         const ll_alternating_state *state);
/* Its H at n points outside the parts: real and imaginary part. */
ll_status ll_alternating_coil_h(const ll_alternating *alternating,
                                const ll_alternating_state *state, size_t n,
                                const ll_vec3 *points_m, ll_vec3 *real_per_m, ll_vec3 *imag_per_m);

#endif
