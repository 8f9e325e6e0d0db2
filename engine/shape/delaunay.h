/* delaunay.h - Delaunay triangulation of points in the plane. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SHAPE_DELAUNAY_H
#define LL_SHAPE_DELAUNAY_H

#include "base/status.h"
#include <stddef.h>

/* Triangles, counter-clockwise, of distinct points (Bowyer, Comput. J. 24 (1981) 162; Watson, ibid. 167). Points on a common circle
 * or line, which grids are full of, are told apart by a shift of 1e-7 of the whole that only the decisions see.
 * Caller frees *triangle. LL_NO_MEMORY. */
ll_status ll_delaunay(size_t points, const double (*point)[2], int (**triangle)[3],
                      size_t *triangles);

#endif
