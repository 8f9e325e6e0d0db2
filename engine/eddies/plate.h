/* plate.h - currents that run around in a magnetic plate, in all of its thickness, driven by the flux that passes through it.
 *
 * Within a thin plate of steel the electric field E obeys E'' = kappa^2 E from face to face. Its odd part goes with the flux
 * along the plate: that is the complex permeability of skin.h. Its even part, whose value at the faces follows from the mean of
 * the flux through them, drives a current as in a plate that is not magnetic, but for the factor F = tanh(kappa b) /
 * (kappa b), b half the thickness. They are a stream function T in the plate's middle, which makes H = T n / thickness - grad w inside:
 *   inside    integral mu grad w . grad v dV + integral lambda v dS = integral mu T / thickness n . grad v dV
 *   current   R T + j w F mu0 integral N (lambda_front - lambda_back) / 2 dS = 0
 * so that outside nothing changes but w and lambda. Patterns as in currents.h, whose inductance is in the bodies.
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_EDDIES_PLATE_H
#define LL_EDDIES_PLATE_H

#include "magnetics/solution_data.h"

typedef struct ll_plate_currents {
    size_t patterns;
    double *
        weight; /* [patterns][unknowns of the body, its w and then its lambda] flux through each over mu0 */
    double *rhs;                           /* the same for their right-hand sides */
    double half_m, mu_r, conductivity_s_m; /* what F depends on: mu_r is the mean along the plate */
} ll_plate_currents;

/* True for a body that is one conducting plate of steel. */
bool ll_plate_is(const ll_solution *s, size_t b);
/* Its patterns; freed by ll_plate_clear. */
ll_status ll_plate_find(const ll_solution *s, size_t b, ll_plate_currents *out);
void ll_plate_clear(ll_plate_currents *plate);

#endif
