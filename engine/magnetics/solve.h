/* solve.h - from a scene to its solution, from which every magnetic reading is taken.
 *
 * SI units, the scene's axes: H in A/m.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_SOLVE_H
#define LL_MAGNETICS_SOLVE_H

#include "base/api.h"
#include "magnetics/options.h"
#include "magnetics/solution.h"

LL_API_BEGIN

/* Solves the bias field of the magnets, and, for each coil, the field of one ampere in it around that
 * operating point. A scene without magnets or without coils is fine. Caller frees *out. The scene may be
 * freed before the solution. LL_BAD_VALUE, LL_OVERLAP, LL_TOO_BIG, LL_NO_CONVERGENCE, LL_CANCELLED, LL_NO_MEMORY. */
ll_status ll_solve(const ll_scene *scene, const ll_solve_options *options, ll_solution **out);

LL_API_END

#endif
