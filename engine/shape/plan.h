/* plan.h - the flat triangulation and the layers that an extruded mesh is stacked from. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SHAPE_PLAN_H
#define LL_SHAPE_PLAN_H

#include "base/status.h"
#include <stddef.h>

/* Breakpoints of a line, rising. */
typedef struct ll_steps {
    size_t count;
    double *at;
} ll_steps;

/* Cuts [from, to] so that pieces grow from `edge` at the graded ends by `growth` up to `coarse`. */
typedef struct ll_grading {
    double edge, growth, coarse;
} ll_grading;

/* Appends to *steps (which starts empty or ends at `from`). */
ll_status ll_steps_add(ll_steps *steps, double from, double to, int fine_at_from, int fine_at_to,
                       const ll_grading *grading);
void ll_steps_clear(ll_steps *steps);

/* Triangles, counter-clockwise; zone tells which layers of a shape hold the triangle. */
typedef struct ll_plan {
    size_t nodes, triangles;
    double (*node)[2];
    int (*triangle)[3];
    int *zone;
} ll_plan;

/* A tensor grid over two lists of breakpoints, zone 0. */
ll_status ll_plan_grid(const ll_steps *x, const ll_steps *y, ll_plan *out);
/* Rings of `sides` corners at the given radii (of circles of the same area); a first radius of 0 closes the middle.
 * Zone 0 inside zone_radius, 1 outside. */
ll_status ll_plan_polar(const ll_steps *radii, size_t sides, double zone_radius, ll_plan *out);
void ll_plan_clear(ll_plan *plan);

#endif
