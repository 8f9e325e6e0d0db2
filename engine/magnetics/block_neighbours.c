/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/block_neighbours.h"

#include <math.h>

/* Neighbours further than this share of the block's middle half edge leave no lines: their fields are smooth there. */
static const double near_share = 0.8;
/* A rod's field on a face has a width of sqrt(2 R gap): an edge a little outside it on either side. */
static const double beside_rod = 1.25, least_gap_m = 0.01e-3;

/* A block whose longest edge is below this many of its shortest. */
static const double compact = 4;

static double edge(ll_vec3 size, int axis)
{
    return axis == 0 ? size.x : axis == 1 ? size.y : size.z;
}

static ll_vec3 world_axis(const ll_part *p, int axis)
{
    const double(*m)[3] = p->pose.rotation.m;
    return ll_vec(m[0][axis], m[1][axis], m[2][axis]);
}

/* A neighbour in the block's own frame: along each axis its middle, its half extent, and the gap beyond the block. */
typedef struct neighbour {
    double middle[3], half[3];
    int apart; /* the axis along which it stands off most */
} neighbour;

static neighbour look_at(const ll_part *block, const ll_part *other)
{
    const ll_vec3 at = ll_to_own(&block->pose, other->pose.origin_m);
    neighbour n = {{at.x, at.y, at.z}, {0, 0, 0}, 0};
    double most = -HUGE_VAL;
    for (int k = 0; k < 3; k++) {
        n.half[k] = ll_shape_reach_m(&other->shape, &other->pose.rotation, world_axis(block, k));
        const double gap = fabs(n.middle[k]) - n.half[k] - 0.5 * edge(block->shape.size_m, k);
        if (gap > most) {
            most = gap;
            n.apart = k;
        }
    }
    return n;
}

/* Lines of a neighbour along one axis of the block: where it ends, or beside the line in which a round one comes nearest. */
static void add_lines(const ll_part *block, const ll_part *other, const neighbour *n, int axis,
                      double gap, ll_block_wish *wish)
{
    double half = n->half[axis];
    if (other->shape.kind != LL_BLOCK) {
        const ll_vec3 own = ll_rotate_back(&block->pose.rotation, world_axis(other, 2));
        const double radius = 0.5 * edge(other->shape.size_m, 0);
        const bool along = fabs(edge(own, axis)) > 0.7, end_on = fabs(edge(own, n->apart)) > 0.7;
        if (!along && !end_on)
            half = fmin(half, beside_rod * sqrt(2 * radius * gap));
    }
    ll_block_add_mark(wish, axis, n->middle[axis] - half, 0);
    ll_block_add_mark(wish, axis, n->middle[axis] + half, 0);
}

static void see(const ll_part *block, const ll_part *other, ll_block_wish *wish)
{
    const ll_vec3 s = block->shape.size_m;
    const double thin = fmin(s.x, fmin(s.y, s.z)), most = fmax(s.x, fmax(s.y, s.z));
    const double middle_half = 0.5 * (s.x + s.y + s.z - thin - most);
    const double gap =
        -ll_shape_overlap_m(&block->shape, &block->pose, &other->shape, &other->pose);
    if (gap > near_share * middle_half)
        return;
    const neighbour n = look_at(block, other);
    for (int k = 0; k < 3; k++)
        if (k != n.apart)
            add_lines(block, other, &n, k, fmax(gap, least_gap_m), wish);
}

/* Edges are most of what a cube is, and it costs little. */
static int layers_for(const ll_part *p)
{
    const ll_vec3 s = p->shape.size_m;
    const double thin = fmin(s.x, fmin(s.y, s.z)), most = fmax(s.x, fmax(s.y, s.z));
    return ll_material_kind(p->material) == LL_MAGNET ? 0 : most < compact * thin ? 2 : 1;
}

ll_block_wish ll_block_among_neighbours(const ll_scene *scene, size_t part)
{
    const ll_part *p = ll_scene_part(scene, part);
    ll_block_wish wish = {.size_m = p->shape.size_m, .layers = layers_for(p), .marks = 0};
    for (size_t j = 0; j < ll_scene_part_count(scene); j++)
        if (j != part)
            see(p, ll_scene_part(scene, j), &wish);
    return wish;
}
