/* rectangle_kernels.h - the three ways to integrate over a rectangle, LL_LANES points at a time. Internal to elements/.
 *
 * Values are [value][lane] and lack the factor 1 / (4 pi). SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_RECTANGLE_KERNELS_H
#define LL_ELEMENTS_RECTANGLE_KERNELS_H

#include "elements/legendre.h"
#include "elements/rectangle.h"
#include <stdbool.h>

enum {
    LL_LANES = 4,
    LL_RECTANGLE_VALUES_MOST =
        LL_DEGREE_MOST * LL_DEGREE_MOST + (LL_DEGREE_MOST + 1) * (LL_DEGREE_MOST + 1),
    LL_RECTANGLE_POINTS_MOST = 20 /* Gauss points of one side */
};

/* A Gauss rule with the polynomials at its points. */
typedef struct ll_rectangle_rule {
    int points;
    double node[LL_RECTANGLE_POINTS_MOST], weight[LL_RECTANGLE_POINTS_MOST];
    double charge[LL_RECTANGLE_POINTS_MOST][LL_DEGREE_MOST];
    double dipole[LL_RECTANGLE_POINTS_MOST][LL_DEGREE_MOST + 1];
} ll_rectangle_rule;

typedef double ll_lane_values[LL_LANES] __attribute__((aligned(32)));
typedef struct ll_lane_points {
    ll_lane_values u, w, z;
} ll_lane_points;

/* flat: the points lie on the plane, where K is zero. */
void ll_rectangle_closed(int degree, const ll_rectangle_sides *r, const ll_lane_points *at,
                         bool flat, ll_lane_values *out);
/* Closed along u, the rule along w. */
void ll_rectangle_half(int degree, const ll_rectangle_sides *r, const ll_rectangle_rule *across,
                       const ll_lane_points *at, bool flat, ll_lane_values *out);
void ll_rectangle_gauss(int degree, const ll_rectangle_sides *r, const ll_rectangle_rule *along,
                        const ll_rectangle_rule *across, const ll_lane_points *at, bool flat,
                        ll_lane_values *out);

#endif
