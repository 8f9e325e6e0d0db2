/* block_neighbours.h - what a block in a scene wants of its mesh. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_BLOCK_NEIGHBOURS_H
#define LL_MAGNETICS_BLOCK_NEIGHBOURS_H

#include "elements/block_shape.h"
#include "scene/scene.h"

/* The wish for the block that is this part: its edges, and the lines of all parts that stand near. Degree and rules are the
 * caller's. */
ll_block_wish ll_block_among_neighbours(const ll_scene *scene, size_t part);

#endif
