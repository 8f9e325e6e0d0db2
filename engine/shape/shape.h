/* shape.h - the solids that parts are made of, each in its own frame, centred on its origin.
 *
 * SI units. Rods, rings and screws stand along their own z. A screw's origin is the middle of its whole
 * length, head included; its head is at the +z end.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SHAPE_SHAPE_H
#define LL_SHAPE_SHAPE_H

#include "base/api.h"
#include "base/geometry.h"
#include "base/status.h"
#include <stdbool.h>

LL_API_BEGIN

typedef enum ll_shape_kind { LL_BLOCK, LL_ROD, LL_RING, LL_SCREW } ll_shape_kind;

/* A plain value. Make it with the functions below, which check it; all lengths in metres. */
typedef struct ll_shape {
    ll_shape_kind kind;
    ll_vec3 size_m;        /* block: full edges; others: bounding box */
    double radius_m;       /* rod, ring (outer), screw (thread) */
    double inner_radius_m; /* ring */
    double head_radius_m;  /* screw */
    double head_height_m;  /* screw */
} ll_shape;

/* Every length and every wall > 0 or LL_BAD_SIZE; a non-finite one LL_BAD_VALUE, and so is a screw's head that is
 * thinner than its thread. */
ll_status ll_shape_block(ll_vec3 size_m, ll_shape *out);
ll_status ll_shape_rod(double diameter_m, double length_m, ll_shape *out);
/* 0 < inner < outer. */
ll_status ll_shape_ring(double outer_diameter_m, double inner_diameter_m, double length_m,
                        ll_shape *out);
/* length_m is that of thread and head together; head_diameter_m >= thread, 0 < head height < length. */
ll_status ll_shape_screw(double thread_diameter_m, double length_m, double head_diameter_m,
                         double head_height_m, ll_shape *out);

double ll_shape_volume_m3(const ll_shape *shape);
/* Area of the cross-section at height z_m in the shape's own frame across its own z; 0 outside. */
double ll_shape_section_m2(const ll_shape *shape, double z_m);

/* Positive inside: how deep the point (own frame) lies under the nearest face; negative outside: minus the
 * distance to the nearest face, edge or corner. Exact for every shape. */
double ll_shape_depth_m(const ll_shape *shape, ll_vec3 own_m);

/* How far two placed shapes cut into each other: the least shift that would part them, to about 1 % of the
 * smaller one's size; 0 or less when they do not (then minus a lower bound of the clearance). What stands in
 * the hole of a ring cuts into it by as far as it reaches into the wall, whether or not a shift would part
 * them. The same for (a, b) and (b, a) to within rounding. */
double ll_shape_overlap_m(const ll_shape *a, const ll_pose *pa, const ll_shape *b,
                          const ll_pose *pb);

/* The middle of the face that looks most towards +z, where a blade or a probe is laid. */
ll_vec3 ll_shape_top_m(const ll_shape *shape, const ll_pose *pose);

/* The pose, snapped; of those in which the shape fills the same place, half turns apart, always the same one. */
ll_pose ll_shape_settled(const ll_shape *shape, const ll_pose *pose);

/* How far the placed shape reaches from its origin along a world direction (unit) or against it, whichever is
 * more: the half-extent. */
double ll_shape_reach_m(const ll_shape *shape, const ll_rotation *rotation, ll_vec3 direction);

LL_API_END

#endif
