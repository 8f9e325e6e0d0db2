/* stack.h - a scene whose parts all stand on one axis, with its coils, as one meridian: rods, rings, screws, discs, one on, in or
 * around the other, with or without air between them, are cells of one grid.
 *
 * The cells know the skin depth: the first layer under a surface is a depth and a half thick at 20 kHz, each next one 2.5 times as
 * thick, and no layer thicker than 6 % of the piece it is cut from, for its edges; beside the ends of a winding that comes near they are
 * as thick as the gap. At degree 4 half an element for each skin depth
 * is enough, so that mesh serves from rest to beyond hearing. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_EDDIES_STACK_H
#define LL_EDDIES_STACK_H

#include "elements/meridian.h"
#include "scene/scene.h"

/* Whether something conducts and everything that conducts or has a permeability is of revolution about one axis, which is that of
 * all coils, themselves round. *axis gets a pose whose z it is. */
bool ll_stack_find(const ll_scene *scene, ll_pose *axis);

/* The cells, in the axis' frame; a cell's region is its part. Where parts overlap the first one holds, as a thread in a plate.
 * Cleared by ll_meridian_clear. LL_TOO_BIG where there would be too many, LL_NO_MEMORY. */
ll_status ll_stack_mesh(const ll_scene *scene, const ll_pose *axis, int degree, ll_meridian *out);

#endif
