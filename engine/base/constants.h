/* constants.h - physical constants, SI.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_CONSTANTS_H
#define LL_BASE_CONSTANTS_H

#include "base/api.h"

LL_API_BEGIN

#define LL_PI 3.14159265358979323846

/* Vacuum permeability in H/m, the value before 2019 (4 pi 1e-7); CODATA 2018 differs by 5e-10. */
#define LL_MU0 (4e-7 * LL_PI)

/* Boltzmann's constant in J/K, exact since 2019 (SI brochure, 9th edition). */
#define LL_BOLTZMANN 1.380649e-23

/* Standard gravity in m/s2, by which grams of pull are force (3rd CGPM, 1901). */
#define LL_GRAVITY 9.80665

LL_API_END

#endif
