/* blade.h - the screwdriver test: what a steel blade gives each coil as it is pulled off a pole.
 *
 * The tip of the blade is taken as a small ball of soft steel. In a field H it has the moment 3 V H (J. D. Jackson, Classical
 * Electrodynamics, section 5.11, for a high permeability), and a coil whose field for one ampere is h links of it, by
 * reciprocity, mu0 3 V H . h. Pulled off, the blade takes that linkage with it. H and h hold the steel of the pickup; that the
 * pole magnetises the near blade some more is left out: it makes the signal larger, never of the other sign.
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_READING_BLADE_H
#define LL_READING_BLADE_H

#include "base/api.h"
#include "magnetics/solve.h"

LL_API_BEGIN

/* Half of a usual blade's width, and how far it is held off what it lies on. */
#define LL_BLADE_RADIUS_M 2.5e-3
#define LL_BLADE_GAP_M 0.5e-3

/* Where the ball's middle is as the blade lies on a part: above the middle of the face that looks most upwards, lowered from far
 * above until the ball is LL_BLADE_GAP_M from this or any other part: a cover, or a neighbour that stands higher. LL_NO_PART. */
ll_status ll_blade_rest(const ll_scene *scene, size_t part, ll_vec3 *middle_m);

/* What each coil links of the blade with its middle there, turns included: linkage_wb[coils of the scene]. The voltage of a
 * coil's finish against its start has that sign while the blade leaves. LL_NO_COIL without coils; LL_NO_MEMORY. */
ll_status ll_blade_linkage(const ll_solution *s, ll_vec3 middle_m, double *linkage_wb);

LL_API_END

#endif
