/* leaf.h - pieces of metal that are not magnetic, as leaves of current: a stream function T on a triangulated surface,
 * K = grad T x n the current across a line of unit length, T = 0 at a free edge and constant around a hole.
 *
 * A thin plate is one leaf or a few through its thickness; a rod, a thick disc or a ring is a pile of leaves along its
 * axis: T along the axis stands for every current that runs across it. Plates that meet along an edge, as those of a cover do,
 * are one leaf, and the current runs round the edge.
 * SI units, world axes. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_EDDIES_LEAF_H
#define LL_EDDIES_LEAF_H

#include "scene/scene.h"

/* Thinner than this share of its other edges, a piece is a plate, whose flux lies in it and whose currents run on its faces. */
#define LL_PLATE_SHARE 0.3

typedef struct ll_leaf_triangle {
    int node[3];   /* counter-clockwise seen from the side of the normal */
    double ohm;    /* resistance of a square of the leaf; 0 in the hole of a ring */
    double half_m; /* half the metal that the leaf stands for, along the normal */
    double area_m2;
    double radius_m; /* from the centre to the farthest corner */
    ll_vec3 centre_m, normal;
    ll_vec3 curl[3]; /* grad N x n of each corner's hat N: K = sum T curl */
} ll_leaf_triangle;

/* The hole of a ring, which something may pass through. */
typedef struct ll_leaf_hole {
    ll_pose pose;                   /* axis along own z, origin in the leaf */
    double radius_m, half_length_m; /* of the whole ring's hole, about the ring's own centre */
    ll_vec3 centre_m;
    int unknown; /* T in the hole */
} ll_leaf_hole;

typedef struct ll_leaves {
    size_t nodes, triangles, holes, unknowns;
    ll_vec3 *node_m;
    int *unknown; /* [nodes] -1 where T is zero */
    ll_leaf_triangle *triangle;
    ll_leaf_hole *hole;
} ll_leaves;

/* All parts of the scene that conduct and are not magnetic; LL_NO_MEMORY. Cleared by ll_leaves_clear. */
ll_status ll_leaves_find(const ll_scene *scene, ll_leaves *out);
/* One leaf in the middle of a plate, for the currents that run around in all of its thickness. */
ll_status ll_leaves_of_plate(const ll_part *part, ll_leaves *out);
void ll_leaves_clear(ll_leaves *leaves);

/* Across a plate, a block or a disc much thinner than wide: its thickness, and the direction in world axes; 0 and nothing for
 * another shape. */
double ll_leaf_plate_m(const ll_part *part, ll_vec3 *normal);

#endif
