/* mesh.h - a solid cut into tetrahedra, with the triangles of its surface.
 *
 * SI units, in the shape's own frame. A shape is a plan (triangles in x and y) stacked in layers along z; both are
 * graded towards edges, where the field is singular. A circle becomes a polygon of the same area.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SHAPE_MESH_H
#define LL_SHAPE_MESH_H

#include "base/status.h"
#include "shape/shape.h"
#include "shape/sizing.h"
#include "shape/tetrahedra.h"
#include <stdbool.h>
#include <stddef.h>

/* One shape, or several that touch or overlap, in one piece: where they overlap the first owns the volume. The poses place
 * the shapes in the mesh's frame; all must be prisms along its z (ll_mesh_fits), so one shape wants no turn that tilts
 * it. Fineness 0.1 to 20. Caller frees *out with ll_mesh_free.
 * LL_BAD_VALUE, LL_NO_MEMORY. */
ll_status ll_mesh_new(size_t count, const ll_shape *shape, const ll_pose *pose,
                      const ll_sizing *sizing, ll_mesh **out);
/* True when a shape so turned is a prism along z: any round piece that stands, any block with an edge along z. */
bool ll_mesh_fits(const ll_shape *shape, const ll_rotation *rotation);
void ll_mesh_free(ll_mesh *mesh);

double ll_mesh_volume_m3(const ll_mesh *mesh);

#endif
