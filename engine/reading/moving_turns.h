/* moving_turns.h - turns of a winding that move in the field of the magnets: what makes a pickup microphonic.
 *
 * A turn that moves with velocity v through B has the electromotive force
 *   integral (v x B) . dl = v . integral B x dl
 * along its direction of winding, which is minus the change of its flux (textbooks). B is that of the solution where the turns
 * are; what their own current does to it is left out. SI units.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_READING_MOVING_TURNS_H
#define LL_READING_MOVING_TURNS_H

#include "base/api.h"
#include "magnetics/solution.h"

LL_API_BEGIN

/* Voltage of `turns` turns, finish against start, for 1 m/s along each world axis, in *volt_s_per_m; they lie evenly between two
 * depths of the coil's build, counted from its inside, over its whole height. LL_NO_COIL, LL_BAD_VALUE for depths that are not
 * within the build and rising, LL_NO_MEMORY. */
ll_status ll_moving_turns(const ll_solution *s, size_t coil, double from_depth_m, double to_depth_m,
                          double turns, ll_vec3 *volt_s_per_m);

LL_API_END

#endif
