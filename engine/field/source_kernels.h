/* source_kernels.h - what the closed-form sources share; internal to field/.
 *
 * A kernel works in the body's own frame and gives field and potential together: both rest on the same logarithms and
 * arctangents, so that asking for one costs nearly as much as asking for both. Those of magnets take many points at once, for the
 * machine's vector instructions.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_FIELD_SOURCE_KERNELS_H
#define LL_FIELD_SOURCE_KERNELS_H

#include "base/constants.h"
#include "base/geometry.h"
#include <math.h>
#include <stdbool.h>
#include <stddef.h>

/* H = -grad psi: A/m and A for a magnet, 1/m and 1 for a coil that carries one ampere. */
typedef struct ll_source_value {
    ll_vec3 h;
    double psi;
} ll_source_value;

/* A length below every real one (a thousandth of a femtometre): keeps logarithms finite on edges. */
#define LL_TINY_M 1e-18

/* asinh(b / q) - asinh(a / q) for a <= b, where ra and rb are hypot(a, q) and hypot(b, q). One logarithm; no
 * cancellation on the extension of the line q = 0, and finite on the line itself. Choices, not branches, as loops over
 * many at once want it. */
static inline double ll_log_between(double a, double ra, double b, double rb, double q2)
{
    const double above = a >= 0 ? b + rb : b <= 0 ? ra - a : (b + rb) * (ra - a);
    const double below = a >= 0 ? a + ra : b <= 0 ? rb - b : q2;
    const double least = a >= 0 || b <= 0 ? LL_TINY_M : LL_TINY_M * LL_TINY_M;
    return log(above / (below > least ? below : least));
}

/* log(b / a) of two lengths, finite where one of them is 0. */
static inline double ll_log_ratio(double a, double b)
{
    return log((b > LL_TINY_M ? b : LL_TINY_M) / (a > LL_TINY_M ? a : LL_TINY_M));
}

/* atan(yb / xb) - atan(ya / xa) for xa, xb >= 0. */
static inline double ll_angle_between(double ya, double xa, double yb, double xb)
{
    return atan2(yb * xa - ya * xb, xa * xb + ya * yb);
}

static inline double ll_square(double x)
{
    return x * x;
}

bool ll_points_finite(size_t n, const ll_vec3 *points);

/* Some points in a body's own frame, and the field and potential that gather there. */
enum { LL_POINTS_AT_ONCE = 64 };
typedef struct ll_field_points {
    int count;
    double x[LL_POINTS_AT_ONCE], y[LL_POINTS_AT_ONCE], z[LL_POINTS_AT_ONCE];
    double above[LL_POINTS_AT_ONCE]; /* +1 or -1: the side from which charged planes are seen */
    double hx[LL_POINTS_AT_ONCE], hy[LL_POINTS_AT_ONCE], hz[LL_POINTS_AT_ONCE],
        psi[LL_POINTS_AT_ONCE];
} ll_field_points;

/* Gauss-Legendre on (-1, 1): where dipoles stand along each edge of a block that is seen from far away. */
typedef struct ll_dipole_rule {
    double node[4], weight[4];
} ll_dipole_rule;

/* Adds a uniformly magnetised block, full edges size. */
void ll_block_add(const ll_dipole_rule *rule, ll_vec3 size, ll_vec3 m, ll_field_points *p);

/* A uniformly magnetised rod about z between two heights. share is 1, or -1 for a hole; points on the rim's cylinder are seen
 * from the material's outside. */
typedef struct ll_rod_piece {
    double radius, low, high, share;
} ll_rod_piece;

/* Cosines for the mean over a rim; filled once, read by every point. */
typedef struct ll_rim_rule {
    double cosine[3][32];
} ll_rim_rule;
void ll_rim_rule_fill(ll_rim_rule *rule);
void ll_rod_add(const ll_rim_rule *rule, const ll_rod_piece *rod, ll_vec3 m, ll_field_points *p);

#endif
