/* overlap.c - how far two placed shapes cut into each other.
 *
 * Every shape is one or two convex pieces, of which a ring's has a hole: a screw is its thread, taken through the
 * head, and its head. The depth of two shapes is that of their deepest pair of pieces.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "shape/convex.h"
#include "shape/shape.h"

/* Axes closer than this count as parallel: 0.1 nm of error over a tenth of a metre. */
static const double parallel_sine = 1e-9;

typedef struct piece {
    ll_convex hull;
    double hole_m; /* radius of the hole along the axis, 0 for none */
} piece;

static piece piece_at(const ll_shape *s, const ll_pose *pose, double radius_m, double centre_z_m,
                      double length_m)
{
    const bool round = s->kind != LL_BLOCK;
    piece p = {.hull = {.round = round,
                        .centre_m = ll_to_world(pose, ll_vec(0, 0, centre_z_m)),
                        .half_m = {round ? radius_m : 0.5 * s->size_m.x,
                                   round ? radius_m : 0.5 * s->size_m.y, 0.5 * length_m}},
               .hole_m = s->inner_radius_m};
    p.hull.axis[0] = ll_rotate(&pose->rotation, ll_vec(1, 0, 0));
    p.hull.axis[1] = ll_rotate(&pose->rotation, ll_vec(0, 1, 0));
    p.hull.axis[2] = ll_rotate(&pose->rotation, ll_vec(0, 0, 1));
    return p;
}

static int pieces_of(const ll_shape *s, const ll_pose *pose, piece out[2])
{
    const double length = s->size_m.z, head = s->head_height_m;
    out[0] = piece_at(s, pose, s->radius_m, 0.0, length);
    if (s->kind != LL_SCREW)
        return 1;
    out[1] = piece_at(s, pose, s->head_radius_m, 0.5 * (length - head), head);
    return 2;
}

/* A round piece within the hole of another reaches into its wall by its own radius and their offset. */
static double reach_into_wall(const piece *outer, const piece *inner, double offset_m)
{
    return outer->hole_m > 0.0 ? offset_m + inner->hull.half_m[0] - outer->hole_m : HUGE_VAL;
}

/* Round pieces along one direction part by a shift along it, by one across it, or lie one in the other. */
static double parallel_depth(const piece *a, const piece *b)
{
    const ll_vec3 apart = ll_sub(b->hull.centre_m, a->hull.centre_m);
    const double along = fabs(ll_dot(apart, a->hull.axis[2]));
    const double offset = ll_norm(ll_cross(apart, a->hull.axis[2]));
    const double endwise = a->hull.half_m[2] + b->hull.half_m[2] - along;
    const double sidewise = a->hull.half_m[0] + b->hull.half_m[0] - offset;
    const double nested = fmin(reach_into_wall(a, b, offset), reach_into_wall(b, a, offset));
    return fmin(fmin(endwise, sidewise), nested);
}

/* Farthest from the ring's axis that the part of a straight edge between its end planes gets; 0 if no part of
 * the edge is there. */
static double edge_radius(const ll_convex *ring, double half_height_m, ll_vec3 p, ll_vec3 q)
{
    const double zp = ll_dot(ll_sub(p, ring->centre_m), ring->axis[2]);
    const double zq = ll_dot(ll_sub(q, ring->centre_m), ring->axis[2]);
    double from = 0.0, to = 1.0;
    if (zp == zq) {
        if (fabs(zp) > half_height_m)
            return 0.0;
    } else {
        const double t1 = (-half_height_m - zp) / (zq - zp), t2 = (half_height_m - zp) / (zq - zp);
        from = fmax(from, fmin(t1, t2));
        to = fmin(to, fmax(t1, t2));
    }
    if (from > to)
        return 0.0;
    const ll_vec3 start = ll_sub(p, ring->centre_m), way = ll_sub(q, p);
    const double r1 = ll_norm(ll_cross(ll_add(start, ll_scale(from, way)), ring->axis[2]));
    const double r2 = ll_norm(ll_cross(ll_add(start, ll_scale(to, way)), ring->axis[2]));
    return fmax(r1, r2);
}

/* A point of a hull given in half extents along its axes. */
static ll_vec3 hull_point(const ll_convex *c, double x, double y, double z)
{
    return ll_add(
        ll_add(c->centre_m, ll_scale(x * c->half_m[0], c->axis[0])),
        ll_add(ll_scale(y * c->half_m[1], c->axis[1]), ll_scale(z * c->half_m[2], c->axis[2])));
}

/* Greatest radius about the ring's axis between its end planes: of a box by its edges, of a bar by those of
 * a prism with enough sides for 0.1 % of the bar's radius. */
static double greatest_radius(const ll_convex *ring, double half_height_m, const ll_convex *c)
{
    const int sides = c->round ? 64 : 4;
    const double corner = c->round ? 1.0 : sqrt(2.0), first = c->round ? 0.0 : 0.25 * LL_PI;
    double most = 0.0;
    for (int i = 0; i < sides; i++) {
        const double t = first + 2.0 * LL_PI * i / sides, u = t + 2.0 * LL_PI / sides;
        const double x = corner * cos(t), y = corner * sin(t);
        const double next_x = corner * cos(u), next_y = corner * sin(u);
        const ll_vec3 low = hull_point(c, x, y, -1), high = hull_point(c, x, y, 1);
        const ll_vec3 next_low = hull_point(c, next_x, next_y, -1),
                      next_high = hull_point(c, next_x, next_y, 1);
        most = fmax(most, edge_radius(ring, half_height_m, low, high));
        most = fmax(most, edge_radius(ring, half_height_m, low, next_low));
        most = fmax(most, edge_radius(ring, half_height_m, high, next_high));
    }
    return most;
}

/* How far what stands in the hole of a ring reaches into its wall. What goes through a hole at a slant may
 * come closer to the ring just outside of it, so a clearance is looked for over as much more height. */
static double nested_depth(const piece *ring, const ll_convex *c)
{
    if (ring->hole_m <= 0.0)
        return HUGE_VAL;
    const double height = ring->hull.half_m[2];
    const double depth = greatest_radius(&ring->hull, height, c) - ring->hole_m;
    if (depth >= 0.0)
        return depth;
    return fmin(0.0, greatest_radius(&ring->hull, height - depth, c) - ring->hole_m);
}

static double piece_depth(const piece *a, const piece *b)
{
    const bool round = a->hull.round && b->hull.round;
    if (round && ll_norm(ll_cross(a->hull.axis[2], b->hull.axis[2])) < parallel_sine)
        return parallel_depth(a, b);
    const double depth = ll_convex_penetration_m(&a->hull, &b->hull);
    if (depth <= 0.0)
        return depth;
    return fmin(depth, fmin(nested_depth(a, &b->hull), nested_depth(b, &a->hull)));
}

double ll_shape_overlap_m(const ll_shape *a, const ll_pose *pa, const ll_shape *b,
                          const ll_pose *pb)
{
    piece of_a[2], of_b[2];
    const int n_a = pieces_of(a, pa, of_a), n_b = pieces_of(b, pb, of_b);
    double deepest = -HUGE_VAL;
    for (int i = 0; i < n_a; i++)
        for (int j = 0; j < n_b; j++)
            deepest = fmax(deepest, piece_depth(&of_a[i], &of_b[j]));
    return deepest;
}
