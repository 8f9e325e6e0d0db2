/* surface.h - the outer triangles of a volume mesh and their corners. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SHAPE_SURFACE_H
#define LL_SHAPE_SURFACE_H

#include "base/status.h"
#include "shape/tetrahedra.h"

/* Fills mesh->triangle with the faces that belong to one tetrahedron only. */
ll_status ll_surface_find(ll_mesh *mesh);
/* Fills mesh->corner: at each node the triangles that meet there are split where the surface turns by more than
 * 50 degrees. */
ll_status ll_surface_corners(ll_mesh *mesh);

#endif
