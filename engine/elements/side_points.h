/* side_points.h - where a side of a meridian is asked for its rings: Gauss points that crowd where a target is near.
 *
 * From afar one rule serves. Nearer, stretches shrink towards the foot of the target's perpendicular; on the side itself
 * u^4 takes the kernels' logarithm away. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_SIDE_POINTS_H
#define LL_ELEMENTS_SIDE_POINTS_H

#include "elements/meridian.h"

/* Gauss points on -1 .. 1. */
typedef struct ll_rule {
    int points;
    double at[LL_GAUSS_MOST_POINTS], weight[LL_GAUSS_MOST_POINTS];
} ll_rule;
/* LL_NO_MEMORY. */
ll_status ll_rule_fill(int points, ll_rule *rule);

/* Rules for far sides, for stretches of near ones, and for a target on the side. */
typedef struct ll_side_rules {
    ll_rule far, stretch, singular;
} ll_side_rules;
/* far_points of a side that is far, at most LL_GAUSS_MOST_POINTS - 8. LL_NO_MEMORY. */
ll_status ll_side_rules_fill(int far_points, ll_side_rules *rules);

/* Points on a side for a target at (r, z): coordinate on -1 .. 1 and weight (metres) of each. Returns how many, at most
 * LL_SIDE_POINTS. */
enum { LL_SIDE_POINTS = 1024 };
int ll_side_points(const ll_side_rules *rules, const ll_side *side, double r, double z, double *at,
                   double *weight);

#endif
