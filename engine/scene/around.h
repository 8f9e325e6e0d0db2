/* around.h - which winding a part stands in.
 *
 * A part's middle line runs along that of its own axes which lies nearest to the coil's axis, from face to face. It is looked at
 * where it comes nearest to the middle of the winding's height: inside the opening both ways and within the height, the part
 * stands in the coil. SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SCENE_AROUND_H
#define LL_SCENE_AROUND_H

#include "base/api.h"
#include "scene/scene.h"

LL_API_BEGIN

/* How far the part's middle line passes outside the opening of the winding; 0 when it stands in it. */
double ll_coil_away_m(const ll_coil *coil, const ll_shape *shape, const ll_pose *pose);

/* The coil that a part stands in, or the nearest one: of coils as near, the one whose axis is nearest to the part's middle.
 * `coils` > 0. */
size_t ll_coil_around(size_t coils, const ll_coil *coil, const ll_shape *shape,
                      const ll_pose *pose);

LL_API_END

#endif
