/* tetrahedra.h - what a mesh holds. SI units, in the frame of what was meshed. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SHAPE_TETRAHEDRA_H
#define LL_SHAPE_TETRAHEDRA_H

#include "base/geometry.h"
#include <stddef.h>

typedef struct ll_mesh {
    size_t nodes; /* those on the surface come first */
    size_t surface_nodes;
    ll_vec3 *node_m;
    size_t tets;
    int (*tet)[4]; /* positive volume: (b-a) x (c-a) . (d-a) > 0 */
    int *owner;    /* [tets] which of the shapes each belongs to */
    size_t triangles;
    int (*triangle)[3]; /* counter-clockwise seen from outside */
    /* Corners for a quantity that jumps where the surface has a sharp edge: the same corner node has one number
     * on each smooth piece of surface that meets there. */
    size_t corners;
    int (*corner)[3];
} ll_mesh;

#endif
