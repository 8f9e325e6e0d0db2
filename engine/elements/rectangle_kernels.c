/* rectangle_kernels.c - integrals of polynomials / R and polynomials z / R^3 over a rectangle.
 *
 * U, W: from the point to the rectangle's points, R^2 = U^2 + W^2 + z^2. With the line integrals
 *     E_k = integral W^k / R dW  along an edge, and  integral W^k R dW = E_k+2 + (U^2 + z^2) E_k,
 * the area integrals J_ab of U^a W^b / R follow from d(U^(a-1) R) = ((a-1) U^(a-2) R + U^a / R) dU:
 *     a J_ab = [U^(a-1) integral W^b R dW] - (a-1) (J_a-2,b+2 + z^2 J_a-2,b)
 * and those of U^a W^b z / R^3 from d(1 / R) = -U / R^3 dU. What is left is J_00 with the solid angle.
 * Each function is written for any degree and compiled for each one: loops of known length live in registers.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/rectangle_kernels.h"
#include "base/vectorised.h"

#include <math.h>

typedef double lanes __attribute__((vector_size(8 * LL_LANES)));
typedef long long lane_bits __attribute__((vector_size(8 * LL_LANES)));

#define INLINE static inline __attribute__((always_inline))

enum { P1 = LL_DEGREE_MOST + 1, POWERS = 2 * LL_DEGREE_MOST + 3 };

INLINE lanes all(double x)
{
    return (lanes){x, x, x, x};
}

INLINE lanes choose(lane_bits mask, lanes yes, lanes no)
{
    return (lanes)((mask & (lane_bits)yes) | (~mask & (lane_bits)no));
}

INLINE lanes magnitude(lanes x)
{
    return choose(x < 0, -x, x);
}

INLINE lanes root(lanes x)
{
#pragma omp simd
    for (int l = 0; l < LL_LANES; l++)
        x[l] = sqrt(x[l]);
    return x;
}

INLINE lanes logarithm(lanes x)
{
    double in[LL_LANES], out[LL_LANES];
    for (int l = 0; l < LL_LANES; l++)
        in[l] = x[l];
#pragma omp simd
    for (int l = 0; l < LL_LANES; l++)
        out[l] = log(in[l]);
    return (lanes){out[0], out[1], out[2], out[3]};
}

INLINE lanes angle(lanes y, lanes x)
{
    double a[LL_LANES], b[LL_LANES], out[LL_LANES];
    for (int l = 0; l < LL_LANES; l++) {
        a[l] = y[l];
        b[l] = x[l];
    }
#pragma omp simd
    for (int l = 0; l < LL_LANES; l++)
        out[l] = atan2(a[l], b[l]);
    return (lanes){out[0], out[1], out[2], out[3]};
}

/* e[k] = integral of x^k / R from a to b, k <= n; ra and rb are R there, c2 = R^2 - x^2. The logarithm is taken where
 * nothing cancels: the stretch is turned so that its middle lies at x >= 0. */
INLINE void line_integrals(lanes a, lanes b, lanes ra, lanes rb, lanes c2, int n, lanes *e)
{
    const double tiny = 1e-280;
    const lane_bits turned = a + b < 0;
    const lanes far = choose(turned, -a, b), far_r = choose(turned, ra, rb);
    const lanes near = choose(turned, -b, a), near_r = choose(turned, rb, ra);
    const lanes above = far + far_r + tiny;
    e[0] = logarithm(choose(near < 0, above * (near_r - near) / (c2 + tiny),
                            above / (near_r + magnitude(near) + tiny)));
    if (n < 1)
        return;
    e[1] = rb - ra;
    lanes at_a = a * ra, at_b = b * rb;
    for (int k = 2; k <= n; k++) {
        e[k] = (at_b - at_a - (k - 1) * c2 * e[k - 2]) * (1.0 / k);
        at_a *= a;
        at_b *= b;
    }
}

/* Coefficients of the polynomials in powers of U, where the side's own coordinate is (U + shift) / half. */
INLINE void in_powers(int p, lanes shift, double half, lanes legendre[P1][P1], lanes shape[P1][P1])
{
    const double scale = 1 / half;
    const lanes e = shift * scale;
    for (int k = 0; k <= p; k++)
        for (int a = 0; a <= p; a++)
            legendre[k][a] = all(0);
    legendre[0][0] = all(1);
    legendre[1][0] = e;
    legendre[1][1] = all(scale);
    for (int k = 2; k <= p; k++)
        for (int a = 0; a <= k; a++) {
            lanes t = e * legendre[k - 1][a];
            if (a)
                t += scale * legendre[k - 1][a - 1];
            legendre[k][a] = ((2 * k - 1) * t - (k - 1) * legendre[k - 2][a]) * (1.0 / k);
        }
    for (int a = 0; a <= p; a++) {
        shape[0][a] = 0.5 * (legendre[0][a] - legendre[1][a]);
        shape[1][a] = 0.5 * (legendre[0][a] + legendre[1][a]);
    }
    for (int k = 2; k <= p; k++)
        for (int a = 0; a <= p; a++)
            shape[k][a] = (legendre[k][a] - legendre[k - 2][a]) * (1 / sqrt(2.0 * (2 * k - 1)));
}

INLINE void store(lanes x, ll_lane_values out)
{
    for (int l = 0; l < LL_LANES; l++)
        out[l] = x[l];
}

/* out[g n + h] = sum of left[g][a] right[h][b] m[a][b], all of 0 .. n - 1. */
INLINE void combine(int n, int triangular, lanes left[P1][P1], lanes right[P1][P1], lanes m[P1][P1],
                    ll_lane_values *out)
{
    for (int g = 0; g < n; g++) {
        lanes t[P1];
        for (int b = 0; b < n; b++) {
            t[b] = left[g][0] * m[0][b];
            for (int a = 1; a < (triangular ? g + 1 : n); a++)
                t[b] += left[g][a] * m[a][b];
        }
        for (int h = 0; h < n; h++) {
            lanes s = right[h][0] * t[0];
            for (int b = 1; b < (triangular ? h + 1 : n); b++)
                s += right[h][b] * t[b];
            store(s, out[g * n + h]);
        }
    }
}

/* What the closed forms share: distances to the edges, and the integrals along them. */
typedef struct edges {
    lanes u[2], w[2], z, z2, r[2][2];
    lanes at_u[2][POWERS]; /* along w, at U = u[i] */
    lanes at_w[2][POWERS]; /* along u, at W = w[j] */
    lanes solid_angle;     /* not negative */
} edges;

/* The highest b that J_ab is needed for: S takes a, b < p, K a <= p - 2 and b <= p, and J_a wants J_a-2 two higher. */
INLINE int highest(int p, int a)
{
    return p + 2 * ((p - 1) / 2 - a / 2);
}

INLINE edges look_at_edges(int p, const ll_rectangle_sides *r, const ll_lane_points *at)
{
    edges e;
    const lanes x = *(const lanes *)at->u, y = *(const lanes *)at->w, z = *(const lanes *)at->z;
    e.z = z;
    e.z2 = z * z;
    for (int i = 0; i < 2; i++) {
        e.u[i] = r->u[i] - x;
        e.w[i] = r->w[i] - y;
    }
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++)
            e.r[i][j] = root(e.u[i] * e.u[i] + e.w[j] * e.w[j] + e.z2);
    const int n = highest(p, 0) + 2;
    for (int i = 0; i < 2; i++) {
        line_integrals(e.w[0], e.w[1], e.r[i][0], e.r[i][1], e.u[i] * e.u[i] + e.z2, n, e.at_u[i]);
        line_integrals(e.u[0], e.u[1], e.r[0][i], e.r[1][i], e.w[i] * e.w[i] + e.z2, n, e.at_w[i]);
    }
    e.solid_angle = all(0);
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++) {
            const lanes t = angle(e.u[i] * e.w[j], magnitude(z) * e.r[i][j] + 1e-290);
            e.solid_angle += i == j ? t : -t;
        }
    return e;
}

/* j[a][b]: rows a = 0, where integration by parts goes along W, and a = 1, whose inner integral is elementary. */
INLINE void first_rows(int p, const edges *e, lanes side[2][POWERS], lanes j[P1][POWERS])
{
    lanes low = e->at_w[0][2] + (e->w[0] * e->w[0] + e->z2) * e->at_w[0][0];
    lanes high = e->at_w[1][2] + (e->w[1] * e->w[1] + e->z2) * e->at_w[1][0];
    j[0][0] = e->u[1] * e->at_u[1][0] - e->u[0] * e->at_u[0][0] + e->w[1] * e->at_w[1][0] -
              e->w[0] * e->at_w[0][0] - magnitude(e->z) * e->solid_angle;
    j[0][1] = high - low;
    for (int b = 2; b <= highest(p, 0); b++) {
        low *= e->w[0];
        high *= e->w[1];
        const lanes ends = e->u[1] * side[1][b - 2] - e->u[0] * side[0][b - 2];
        j[0][b] = (high - low - 0.5 * (b - 1) * (ends + e->z2 * j[0][b - 2])) * (2.0 / (b + 1));
    }
    for (int b = 0; p > 1 && b <= highest(p, 1); b++)
        j[1][b] = side[1][b] - side[0][b];
}

INLINE void single_integrals(int p, const edges *e, lanes j[P1][POWERS])
{
    lanes side[2][POWERS]; /* integral of W^b R along the edges at U = u[i] */
    for (int i = 0; i < 2; i++)
        for (int b = 0; b <= highest(p, 0); b++)
            side[i][b] = e->at_u[i][b + 2] + (e->u[i] * e->u[i] + e->z2) * e->at_u[i][b];
    first_rows(p, e, side, j);
    lanes low = e->u[0], high = e->u[1];
    for (int a = 2; a < p; a++) {
        for (int b = 0; b <= highest(p, a); b++)
            j[a][b] = (high * side[1][b] - low * side[0][b] -
                       (a - 1) * (j[a - 2][b + 2] + e->z2 * j[a - 2][b])) *
                      (1.0 / a);
        low *= e->u[0];
        high *= e->u[1];
    }
}

INLINE void double_integrals(int p, const edges *e, lanes j[P1][POWERS], lanes k[P1][P1])
{
    k[0][0] = choose(e->z < 0, -e->solid_angle, e->solid_angle);
    lanes low = all(1), high = all(1);
    for (int b = 1; b <= p; b++) {
        k[0][b] = low * e->at_w[0][0] - high * e->at_w[1][0];
        if (b > 1)
            k[0][b] += (b - 1) * j[0][b - 2];
        k[0][b] *= e->z;
        low *= e->w[0];
        high *= e->w[1];
    }
    low = high = all(1);
    for (int a = 1; a <= p; a++) {
        for (int b = 0; b <= p; b++) {
            k[a][b] = low * e->at_u[0][b] - high * e->at_u[1][b];
            if (a > 1)
                k[a][b] += (a - 1) * j[a - 2][b];
            k[a][b] *= e->z;
        }
        low *= e->u[0];
        high *= e->u[1];
    }
}

INLINE void zero(int n, ll_lane_values *out)
{
    for (int i = 0; i < n; i++)
        store(all(0), out[i]);
}

INLINE void closed(int p, const ll_rectangle_sides *r, const ll_lane_points *at, bool flat,
                   ll_lane_values *out)
{
    const edges e = look_at_edges(p, r, at);
    lanes j[P1][POWERS], m[P1][P1], lu[P1][P1], nu[P1][P1], lw[P1][P1], nw[P1][P1];
    single_integrals(p, &e, j);
    in_powers(p, -0.5 * (e.u[0] + e.u[1]), 0.5 * (r->u[1] - r->u[0]), lu, nu);
    in_powers(p, -0.5 * (e.w[0] + e.w[1]), 0.5 * (r->w[1] - r->w[0]), lw, nw);
    for (int a = 0; a < p; a++)
        for (int b = 0; b < p; b++)
            m[a][b] = j[a][b];
    combine(p, true, lu, lw, m, out);
    if (flat) {
        zero((p + 1) * (p + 1), out + p * p);
        return;
    }
    double_integrals(p, &e, j, m);
    combine(p + 1, false, nu, nw, m, out + p * p);
}

/* 1 / (R (R + |U|)) with the sign of U: U / R = sign (1 - c2 / (R (R + |U|))), which cancels nothing. */
INLINE lanes short_of_one(lanes u, lanes r)
{
    const lanes t = 1 / (r * (r + magnitude(u)));
    return choose(u < 0, -t, t);
}

/* t[a] = integral of U^a / R^3, from the ends and the integrals e of U^a / R. */
INLINE void cubic_integrals(int p, const lanes u[2], const lanes r[2], lanes c2, const lanes *e,
                            lanes *t)
{
    const lanes signs = choose(u[1] < 0, all(-1), all(1)) - choose(u[0] < 0, all(-1), all(1));
    const lanes low = 1 / r[0], high = 1 / r[1];
    t[0] = signs / c2 + short_of_one(u[0], r[0]) - short_of_one(u[1], r[1]);
    t[1] = low - high;
    lanes at_low = u[0] * low, at_high = u[1] * high;
    for (int a = 2; a <= p; a++) {
        t[a] = at_low - at_high + (a - 1) * e[a - 2];
        at_low *= u[0];
        at_high *= u[1];
    }
}

INLINE void half_closed(int p, const ll_rectangle_sides *r, const ll_rectangle_rule *across,
                        const ll_lane_points *at, bool flat, ll_lane_values *out)
{
    const lanes x = *(const lanes *)at->u, y = *(const lanes *)at->w, z = *(const lanes *)at->z;
    const double half = 0.5 * (r->w[1] - r->w[0]), middle = 0.5 * (r->w[1] + r->w[0]);
    const lanes u[2] = {r->u[0] - x, r->u[1] - x};
    lanes s[P1][P1], k[P1][P1], lu[P1][P1], nu[P1][P1];
    for (int a = 0; a <= p; a++)
        for (int h = 0; h <= p; h++)
            s[a][h] = k[a][h] = all(0);
    for (int i = 0; i < across->points; i++) {
        const lanes w = middle + half * across->node[i] - y, c2 = w * w + z * z + 1e-290;
        const lanes ends[2] = {root(u[0] * u[0] + c2), root(u[1] * u[1] + c2)};
        const double weight = half * across->weight[i];
        lanes e[P1], t[P1];
        line_integrals(u[0], u[1], ends[0], ends[1], c2, p, e);
        for (int a = 0; a < p; a++)
            for (int h = 0; h < p; h++)
                s[a][h] += e[a] * (weight * across->charge[i][h]);
        if (flat)
            continue;
        cubic_integrals(p, u, ends, c2, e, t);
        for (int a = 0; a <= p; a++)
            for (int h = 0; h <= p; h++)
                k[a][h] += z * t[a] * (weight * across->dipole[i][h]);
    }
    in_powers(p, -0.5 * (u[0] + u[1]), 0.5 * (r->u[1] - r->u[0]), lu, nu);
    for (int g = 0; g < p; g++)
        for (int h = 0; h < p; h++) {
            lanes sum = lu[g][0] * s[0][h];
            for (int a = 1; a <= g; a++)
                sum += lu[g][a] * s[a][h];
            store(sum, out[g * p + h]);
        }
    for (int g = 0; g <= p; g++)
        for (int h = 0; h <= p; h++) {
            lanes sum = nu[g][0] * k[0][h];
            for (int a = 1; a <= p; a++)
                sum += nu[g][a] * k[a][h];
            store(sum, out[p * p + g * (p + 1) + h]);
        }
}

/* One row of Gauss points, at U: sums over W of charge / R and dipole z / R^3. */
INLINE void gauss_row(int p, lanes u2, lanes y, lanes z, double middle, double half, double weight,
                      const ll_rectangle_rule *across, bool flat, lanes *s, lanes *k)
{
    for (int h = 0; h <= p; h++)
        s[h] = k[h] = all(0);
    for (int i = 0; i < across->points; i++) {
        const lanes w = middle + half * across->node[i] - y;
        const lanes inverse = 1 / root(u2 + w * w);
        const lanes single = inverse * (weight * half * across->weight[i]);
        for (int h = 0; h < p; h++)
            s[h] += single * across->charge[i][h];
        if (flat)
            continue;
        const lanes dipole = single * inverse * inverse * z;
        for (int h = 0; h <= p; h++)
            k[h] += dipole * across->dipole[i][h];
    }
}

INLINE void gauss_both(int p, const ll_rectangle_sides *r, const ll_rectangle_rule *along,
                       const ll_rectangle_rule *across, const ll_lane_points *at, bool flat,
                       ll_lane_values *out)
{
    const lanes x = *(const lanes *)at->u, y = *(const lanes *)at->w, z = *(const lanes *)at->z;
    const double half_u = 0.5 * (r->u[1] - r->u[0]), middle_u = 0.5 * (r->u[1] + r->u[0]);
    const double half_w = 0.5 * (r->w[1] - r->w[0]), middle_w = 0.5 * (r->w[1] + r->w[0]);
    lanes sum[LL_RECTANGLE_VALUES_MOST];
    for (int i = 0; i < p * p + (p + 1) * (p + 1); i++)
        sum[i] = all(0);
    for (int i = 0; i < along->points; i++) {
        const lanes u = middle_u + half_u * along->node[i] - x;
        lanes s[P1], k[P1];
        gauss_row(p, u * u + z * z, y, z, middle_w, half_w, half_u * along->weight[i], across, flat,
                  s, k);
        for (int g = 0; g < p; g++)
            for (int h = 0; h < p; h++)
                sum[g * p + h] += along->charge[i][g] * s[h];
        for (int g = 0; !flat && g <= p; g++)
            for (int h = 0; h <= p; h++)
                sum[p * p + g * (p + 1) + h] += along->dipole[i][g] * k[h];
    }
    for (int i = 0; i < p * p + (p + 1) * (p + 1); i++)
        store(sum[i], out[i]);
}

/* One compiled copy for each degree. */
#define FOR_DEGREE(p)                                                                              \
    static LL_VECTORISED(                                                                          \
        closed_##p,                                                                                \
        (const ll_rectangle_sides *r, const ll_lane_points *at, bool flat, ll_lane_values *out),   \
        (r, at, flat, out))                                                                        \
    {                                                                                              \
        closed(p, r, at, flat, out);                                                               \
    }                                                                                              \
    static LL_VECTORISED(half_##p,                                                                 \
                         (const ll_rectangle_sides *r, const ll_rectangle_rule *across,            \
                          const ll_lane_points *at, bool flat, ll_lane_values *out),               \
                         (r, across, at, flat, out))                                               \
    {                                                                                              \
        half_closed(p, r, across, at, flat, out);                                                  \
    }                                                                                              \
    static LL_VECTORISED(gauss_##p,                                                                \
                         (const ll_rectangle_sides *r, const ll_rectangle_rule *along,             \
                          const ll_rectangle_rule *across, const ll_lane_points *at, bool flat,    \
                          ll_lane_values *out),                                                    \
                         (r, along, across, at, flat, out))                                        \
    {                                                                                              \
        gauss_both(p, r, along, across, at, flat, out);                                            \
    }
FOR_DEGREE(1)
FOR_DEGREE(2)
FOR_DEGREE(3)
FOR_DEGREE(4)
FOR_DEGREE(5)

void ll_rectangle_closed(int degree, const ll_rectangle_sides *r, const ll_lane_points *at,
                         bool flat, ll_lane_values *out)
{
    static void (*const kernel[])(const ll_rectangle_sides *, const ll_lane_points *, bool,
                                  ll_lane_values *) = {closed_1, closed_2, closed_3, closed_4,
                                                       closed_5};
    kernel[degree - 1](r, at, flat, out);
}

void ll_rectangle_half(int degree, const ll_rectangle_sides *r, const ll_rectangle_rule *across,
                       const ll_lane_points *at, bool flat, ll_lane_values *out)
{
    static void (*const kernel[])(const ll_rectangle_sides *, const ll_rectangle_rule *,
                                  const ll_lane_points *, bool,
                                  ll_lane_values *) = {half_1, half_2, half_3, half_4, half_5};
    kernel[degree - 1](r, across, at, flat, out);
}

void ll_rectangle_gauss(int degree, const ll_rectangle_sides *r, const ll_rectangle_rule *along,
                        const ll_rectangle_rule *across, const ll_lane_points *at, bool flat,
                        ll_lane_values *out)
{
    static void (*const kernel[])(const ll_rectangle_sides *, const ll_rectangle_rule *,
                                  const ll_rectangle_rule *, const ll_lane_points *, bool,
                                  ll_lane_values *) = {gauss_1, gauss_2, gauss_3, gauss_4, gauss_5};
    kernel[degree - 1](r, along, across, at, flat, out);
}
