/* eddies.h - a solved scene over frequency: inductances of its coils and the field of one ampere in them, with the eddy
 * currents of everything that conducts.
 *
 * SI units; phasors with exp(+j w t). All figures are changes, to be added to those of the static solution:
 *   Z = R + j w (L_static + change),   so that the eddy currents' resistance is -w Im(change).
 * Where all that conducts or has a permeability stands on the axis of round coils, the currents around it are solved exactly but for
 * the mesh, and serve any frequency. Elsewhere the equations are solved at the frequencies asked for when they are few, else at some three to the decade; between these
 * smooth functions of log f are interpolated by rationals without poles (Floater and Hormann, Numer. Math. 107 (2007)
 * 315), to about 0.1 %.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_EDDIES_EDDIES_H
#define LL_EDDIES_EDDIES_H

#include "base/api.h"
#include "base/complex_number.h"
#include "base/progress.h"
#include "magnetics/solution.h"

LL_API_BEGIN

typedef struct ll_eddies ll_eddies;

/* Serves all frequencies from the lowest to the highest of f_hz[count], in any order, each > 0. The solution must
 * outlive *out, which the caller frees. progress may be NULL. LL_BAD_VALUE, LL_CANCELLED, LL_NO_CONVERGENCE, LL_NO_MEMORY. */
ll_status ll_eddies_new(const ll_solution *solution, const ll_progress *progress, size_t count,
                        const double *f_hz, ll_eddies **out);
void ll_eddies_free(ll_eddies *eddies);
/* True when it was made for a range that holds all these. */
bool ll_eddies_covers(const ll_eddies *eddies, size_t count, const double *f_hz);

/* Change of the own (i == j) or mutual inductance in henry at f_hz[count]. LL_NO_COIL. */
ll_status ll_eddies_inductance(const ll_eddies *eddies, size_t coil_i, size_t coil_j, size_t count,
                               const double *f_hz, ll_complex *change_h);

/* How far that may be off, real and imaginary part: by the mesh where all parts and coils stand on one axis (coaxial.h), by the
 * model elsewhere, as a share of the change that comparisons bound (model_error.h). LL_NO_COIL. */
ll_status ll_eddies_inductance_error(const ll_eddies *eddies, size_t coil_i, size_t coil_j,
                                     size_t count, const double *f_hz, ll_complex *error_h);

/* The frequencies at which the equations were solved, rising. */
size_t ll_eddies_samples(const ll_eddies *eddies);
/* Change of H per ampere of a coil at sample k and n points outside the parts: real and imaginary parts. LL_NO_COIL. */
ll_status ll_eddies_coil_h(const ll_eddies *eddies, size_t k, size_t coil, size_t n,
                           const ll_vec3 *points_m, ll_vec3 *real_per_m, ll_vec3 *imag_per_m);
/* Any change that is smooth in frequency: from its values at the samples to f_hz[count]. */
void ll_eddies_between(const ll_eddies *eddies, const ll_complex *at_samples, size_t count,
                       const double *f_hz, ll_complex *values);
const ll_solution *ll_eddies_solution(const ll_eddies *eddies);

LL_API_END

#endif
