/* joint.h - one plan for several prisms that stand in, on or against each other: every outline runs along edges of the
 * triangulation. Internal. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SHAPE_JOINT_H
#define LL_SHAPE_JOINT_H

#include "shape/outline.h"

/* Caller clears *out. LL_NO_MEMORY; LL_BAD_VALUE when outlines lie so close that they cannot be told apart. */
ll_status ll_joint_plan(size_t count, const ll_prism *prism, const ll_sizing *sizing, ll_plan *out);

#endif
