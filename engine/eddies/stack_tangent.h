/* stack_tangent.h - the permeability that a small signal meets in the cells of a stack around the operating point: that of the
 * static solution, averaged around the axis, bilinear over each cell. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_EDDIES_STACK_TANGENT_H
#define LL_EDDIES_STACK_TANGENT_H

#include "elements/azimuthal.h"
#include "magnetics/solution.h"

typedef struct ll_stack_tangent ll_stack_tangent;
/* The axis and the meridian as for ll_stack_mesh; both and the solution must outlive *out, but a meridian of another degree on the same
 * cells may take its place. LL_NO_MEMORY. */
ll_status ll_stack_tangent_new(const ll_solution *solution, const ll_pose *axis,
                               const ll_meridian *meridian, ll_stack_tangent **out);
void ll_stack_tangent_free(ll_stack_tangent *tangent);
/* For ll_filling_at: the filling of cell number `cell`. */
ll_filling ll_stack_tangent_at(const ll_stack_tangent *t, size_t cell, const ll_cell *c, double r,
                               double z);

#endif
