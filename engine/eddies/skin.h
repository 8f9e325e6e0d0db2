/* skin.h - eddy currents inside bars of steel and AlNiCo, as a complex permeability: a flux that alternates along a bar
 * drives currents around it, which keep the flux out of its middle.
 *
 * With H along a long bar and kappa^2 = j w mu sigma, H obeys laplace H = kappa^2 H across the section and is given at
 * its outside; the mean of H over the section, divided by that at the outside, is the factor by which the permeability
 * along the bar falls. Round: 2 I1(kappa a) / (kappa a I0(kappa a)), which is 2 J1(ka) / (ka J0(ka)) with k = (1 - j) / delta
 * (Landau and Lifshitz, Electrodynamics of Continuous Media, section 59; Bozorth, Ferromagnetism, chapter 17).
 * Phasors with exp(+j w t); any consistent units of length. Thread-safe.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_EDDIES_SKIN_H
#define LL_EDDIES_SKIN_H

#include "magnetics/body.h"
#include <complex.h>

/* kappa = (1 + j) / skin depth, in 1/m. */
double complex ll_skin_kappa(double f_hz, double mu_r, double conductivity_s_m);

/* Mean over a round section of radius a. */
double complex ll_skin_round(double complex kappa, double a);
/* Mean over the annulus from r1 to r2 <= a within a round section of radius a. */
double complex ll_skin_annulus(double complex kappa, double a, double r1, double r2);
/* Mean over the wall of a tube whose hole, of radius b, holds air: the flux in the hole drives the wall's currents too. */
double complex ll_skin_tube(double complex kappa, double mu_r, double a, double b);
/* Mean over a rectangle with half edges a and b. */
double complex ll_skin_rectangle(double complex kappa, double a, double b);
/* Mean between the heights s1 and s2 in a plate of half thickness b with H along it; -b and b give all of it. */
double complex ll_skin_plate(double complex kappa, double b, double s1, double s2);

/* What eddy currents take from the permeability of each tetrahedron along the axes of the body: change[tets][3], relative;
 * mu[tets][3] is what is left of its size. w is the bias potential. LL_NO_MEMORY. */
ll_status ll_skin_body(const ll_body *body, const ll_scene *scene, const double *w, double f_hz,
                       double complex (*change)[3], double (*size)[3]);
/* True when some part of the body conducts. The scene tells what its parts are made of: a body may be shared with a scene
 * whose parts conduct otherwise. */
bool ll_skin_conducts(const ll_body *body, const ll_scene *scene);

#endif
