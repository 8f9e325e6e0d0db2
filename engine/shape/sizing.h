/* sizing.h - how fine a mesh is. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SHAPE_SIZING_H
#define LL_SHAPE_SIZING_H

#include "base/geometry.h"

/* The usual first element at an edge over the least half-width of the solid. */
#define LL_USUAL_EDGE 0.1

typedef struct ll_sizing {
    double fineness; /* 1 is the usual mesh; 2 halves every length */
    double
        edge; /* first element at an edge over the usual: above 1 where no field is singular there */
    ll_vec3
        most_m; /* longest elements along the mesh's axes, for the sake of neighbours; 0: no limit */
} ll_sizing;

#endif
