/* block.h - the form of a block: polynomials in x, y and z on a mesh of boxes.
 *
 * A block is its own mirror image three times. With s = +1 or -1 for each of the own planes x = 0, y = 0, z = 0, every function on it is a sum
 * of eight parities, as one of the angle is a sum of harmonics: w = sum of w_c(|x|, |y|, |z|) times the sign that class c has in that octant. Boundary
 * operators keep the classes apart, whatever the scene, so that they are eight matrices an eighth as wide; only a law that bends mixes them.
 * The mesh is that of an octant and mirrored to the others.
 *
 * w is of degree p in each direction, lambda of degree p - 1 on each rectangle of the surface. The potentials of the rectangles
 * are those of rectangle.h. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_BLOCK_H
#define LL_ELEMENTS_BLOCK_H

#include "elements/body_form.h"

typedef struct ll_block_options {
    int elements[3];       /* of half an edge, along x, y, z */
    const double *at_m[3]; /* [elements + 1] breaks from 0 in the middle to half the edge, rising */
    int degree;            /* 1 .. LL_DEGREE_MOST */
    int finer;             /* more points in every rule, to test them: 0 as a rule */
} ll_block_options;

/* A block about the origin of its own frame. Caller releases *out. LL_BAD_VALUE, LL_TOO_BIG, LL_NO_MEMORY, LL_LIBRARY. */
ll_status ll_block_new(const ll_block_options *options, ll_body_form **out);

#endif
