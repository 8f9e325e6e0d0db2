/* convex.h - how far two boxes or round bars cut into each other. Private to this folder.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SHAPE_CONVEX_H
#define LL_SHAPE_CONVEX_H

#include "base/geometry.h"
#include <stdbool.h>

/* A box with its three axes, or a round bar along axis[2]; both are symmetric about their centre. */
typedef struct ll_convex {
    bool round;
    ll_vec3 centre_m;
    ll_vec3 axis[3];  /* unit vectors, at right angles */
    double half_m[3]; /* half extents along them; a bar has its radius twice */
} ll_convex;

/* The least shift that parts them; minus their distance when they are apart. */
double ll_convex_penetration_m(const ll_convex *a, const ll_convex *b);

#endif
