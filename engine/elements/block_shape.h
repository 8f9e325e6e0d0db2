/* block_shape.h - the form of a block of given edges: where its elements are cut, and such forms cached.
 *
 * The smallest element lies at an edge of the block, 0.4 of half its least thickness but at least 0.03 of half the edge that is cut,
 * as nothing sees more of a thin plate; each next one is at most four times as long. Neighbours leave their lines too:
 * beside rods at a gap of 0.3 mm a bar that is graded to its own ends alone is 6 % off.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_BLOCK_SHAPE_H
#define LL_ELEMENTS_BLOCK_SHAPE_H

#include "base/key.h"
#include "elements/block.h"

enum { LL_BLOCK_MARKS_MOST = 16 };

/* A neighbour's line across an axis: how far from the middle, and the length of the elements that it wants beside it. */
typedef struct ll_block_mark {
    int axis;
    double at_m, beside_m;
} ll_block_mark;

/* Everything that a form depends on: equal wishes give the same form. */
typedef struct ll_block_wish {
    ll_vec3 size_m; /* full edges */
    int degree, finer;
    /* Elements between an edge and the plain ones, 1 .. 4: 1 as a rule; 0 for a low permeability, whose fields are dull at edges. */
    int layers;
    int marks;
    ll_block_mark mark[LL_BLOCK_MARKS_MOST];
} ll_block_wish;

/* Adds a line at `at_m` of either sign; not outside the block, nor when there are too many. */
void ll_block_add_mark(ll_block_wish *wish, int axis, double at_m, double beside_m);

extern const ll_members ll_block_wish_members;

/* From the cache or new: a share (ll_release). LL_BAD_VALUE, LL_TOO_BIG, LL_NO_MEMORY, LL_LIBRARY. Thread-safe. */
ll_status ll_block_get(const ll_block_wish *wish, ll_body_form **out);

#endif
