/* outline.h - placed shapes seen along a common z: each is one or two prisms over a circle, a ring or a rectangle.
 * Internal. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SHAPE_OUTLINE_H
#define LL_SHAPE_OUTLINE_H

#include "shape/plan.h"
#include "shape/shape.h"
#include "shape/sizing.h"
#include <stdbool.h>

/* A prism: its outline is a polygon, a circle's with the circle's area. */
typedef struct ll_prism {
    int owner; /* which of the shapes */
    double from_z, to_z;
    double centre[2];
    double radius, hole_radius; /* circle or ring; 0 for a rectangle */
    double axis[2][2], half[2]; /* rectangle */
    double scale; /* half of the thinnest way through the shape: what its mesh is graded by */
} ll_prism;

/* True when the shape, so turned, is a prism along z. */
bool ll_outline_fits(const ll_shape *shape, const ll_rotation *rotation);
/* Up to two prisms of a shape that fits; returns how many. */
int ll_outline_prisms(const ll_shape *shape, const ll_pose *pose, int owner, ll_prism out[2]);

/* Own plan of one prism at a size: points and, as pairs of indices, the segments of its outline. */
typedef struct ll_drawing {
    ll_plan plan;
    size_t segments;
    int (*segment)[2];
} ll_drawing;
ll_status ll_outline_draw(const ll_prism *prism, const ll_sizing *sizing, ll_drawing *out);
void ll_drawing_clear(ll_drawing *drawing);

/* Positive inside the polygon of a circle with `sides` sides, or inside the rectangle; about the distance to its outline. */
double ll_outline_depth(const ll_prism *prism, const ll_sizing *sizing, const double at[2]);

/* How the mesh is graded: shared by single shapes and joined ones. */
size_t ll_outline_sides(const ll_prism *prism, const ll_sizing *sizing);
ll_grading ll_outline_grading(double scale_m, double length_m, double most_m,
                              const ll_sizing *sizing);

#endif
