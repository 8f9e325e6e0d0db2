/* coaxial.h - the currents around the common axis of a stack of parts and its coils, exactly but for the mesh.
 *
 * SI units; phasors with exp(+j w t). Changes against the static solution, as in eddies.h; small signals around the operating
 * point. All parts are cells of one meridian (stack.h), on which A_phi is solved inside and outside (azimuthal.h), in degree 4
 * and in degree 3, which tells the error. Immutable once made. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_EDDIES_COAXIAL_H
#define LL_EDDIES_COAXIAL_H

#include "magnetics/solution.h"
#include <complex.h>

typedef struct ll_coaxial ll_coaxial;

/* *out is NULL for a scene that is none. The solution may be freed before it. LL_NO_MEMORY, LL_LIBRARY. */
ll_status ll_coaxial_new(const ll_solution *solution, ll_coaxial **out);
void ll_coaxial_free(ll_coaxial *coaxial);

/* Change of the inductance of coils i and j at f_hz; *error_h (or NULL) gets the error of its real and imaginary part. */
double complex ll_coaxial_inductance(const ll_coaxial *coaxial, size_t i, size_t j, double f_hz,
                                     double complex *error_h);
/* The static inductance, that of the coils in air taken off. */
double ll_coaxial_static_h(const ll_coaxial *coaxial, size_t i, size_t j);
/* Change of H per ampere of a coil at n points outside the parts. LL_NO_MEMORY. */
ll_status ll_coaxial_h(const ll_coaxial *coaxial, size_t coil, double f_hz, size_t n,
                       const ll_vec3 *points_m, ll_vec3 *real_per_m, ll_vec3 *imag_per_m);

#endif
