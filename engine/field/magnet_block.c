/* magnet_block.c - field and potential of a uniformly magnetised block, many points at once.
 *
 * Magnetisation along one edge leaves two charged rectangles. Their potential is a sum over the eight corners of
 * F = x asinh(y / hypot(x, z)) + y asinh(x / hypot(y, z)) - z atan(x y / (z r)), z along the magnetisation
 * (A. J. Newell, W. Williams, D. J. Dunlop, J. Geophys. Res. 98 (1993) 9551; D. Durand 1968). The other edges
 * follow by renaming the axes. Two arctangents of one face's edge are one, which has no jump between them.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/vectorised.h"
#include "source_kernels.h"

/* Beyond this many half diagonals the eight corners cancel each other to rounding; 4 x 4 x 4 dipoles at Gauss
 * points are exact to (1/16)^8 there. */
#define FAR_HALF_DIAGONALS 16.0
/* Of square metres: below every real one, and far from the end of the numbers. */
#define LL_TINY_AREA 1e-150

/* Distances of the point from the high face of one axis (the smaller), and from the low one. On a face, to rounding, it counts as
 * outside. */
typedef struct face_offsets {
    double high, low;
} face_offsets;

static inline face_offsets offsets(double half, double at)
{
    const double tiny = 1e-14 * half, high = at - half, low = at + half;
    return (face_offsets){fabs(high) <= tiny ? 0.0 : high, fabs(low) <= tiny ? 0.0 : low};
}

static inline double radius(double x, double y, double z)
{
    return sqrt(x * x + y * y + z * z);
}

/* What an edge along y at (x, z) holds: asinh(y / hypot(x, z)) between its ends. */
static inline double edge(double x, face_offsets y, double z)
{
    return ll_log_between(y.high, radius(x, y.high, z), y.low, radius(x, y.low, z), x * x + z * z);
}

/* atan(x y / (z r)) between the ends of an edge along y, z = its height >= 0. */
static inline double edge_angle(double x, face_offsets y, double z)
{
    return ll_angle_between(x * y.high, z * radius(x, y.high, z) + LL_TINY_AREA, x * y.low,
                            z * radius(x, y.low, z) + LL_TINY_AREA);
}

/* Solid angle of a face at height z, with the side from which it is seen. */
static inline double solid_angle(face_offsets x, face_offsets y, double z, bool above)
{
    const double angle = edge_angle(x.low, y, fabs(z)) - edge_angle(x.high, y, fabs(z));
    return above ? angle : -angle;
}

/* One component of the magnetisation, in axes renamed so that it lies along the third: half edges and arrays in that order. */
typedef struct renamed {
    int count;
    double half[3], share; /* M / 4 pi */
    const double *at[3];
    double *h[3], *psi;
} renamed;

static LL_VECTORISED(add_component, (const renamed *r), (r))
{
    const double *px = r->at[0], *py = r->at[1], *pz = r->at[2];
    double *hx = r->h[0], *hy = r->h[1], *hz = r->h[2], *psi = r->psi;
    const double share = r->share, half_x = r->half[0], half_y = r->half[1], half_z = r->half[2];
#pragma omp simd
    for (int i = 0; i < r->count; i++) {
        const face_offsets x = offsets(half_x, px[i]), y = offsets(half_y, py[i]),
                           z = offsets(half_z, pz[i]);
        const double x_hh = edge(x.high, y, z.high), x_hl = edge(x.high, y, z.low),
                     x_lh = edge(x.low, y, z.high), x_ll = edge(x.low, y, z.low);
        const double y_hh = edge(y.high, x, z.high), y_hl = edge(y.high, x, z.low),
                     y_lh = edge(y.low, x, z.high), y_ll = edge(y.low, x, z.low);
        const double top = solid_angle(x, y, z.high, z.high >= 0),
                     bottom = solid_angle(x, y, z.low, z.low > 0);
        const double logs = x.high * (x_hh - x_hl) - x.low * (x_lh - x_ll) +
                            y.high * (y_hh - y_hl) - y.low * (y_lh - y_ll);
        hx[i] += share * (x_hh - x_hl - x_lh + x_ll);
        hy[i] += share * (y_hh - y_hl - y_lh + y_ll);
        hz[i] += share * (top - bottom);
        psi[i] -= share * (logs + z.high * top - z.low * bottom);
    }
}

static void add_near(ll_vec3 size, ll_vec3 m, ll_field_points *p)
{
    const double half[3] = {0.5 * size.x, 0.5 * size.y, 0.5 * size.z}, part[3] = {m.x, m.y, m.z};
    const double *const at[3] = {p->x, p->y, p->z};
    double *const h[3] = {p->hx, p->hy, p->hz};
    for (int k = 0; k < 3; k++) {
        const int a = (k + 1) % 3, b = (k + 2) % 3;
        const renamed r = {p->count,
                           {half[a], half[b], half[k]},
                           part[k] / (4.0 * LL_PI),
                           {at[a], at[b], at[k]},
                           {h[a], h[b], h[k]},
                           p->psi};
        if (part[k] != 0)
            add_component(&r);
    }
}

static ll_source_value dipole_at(ll_vec3 moment, ll_vec3 e)
{
    const double r2 = ll_dot(e, e), r3 = r2 * sqrt(r2), along = ll_dot(moment, e);
    const ll_vec3 h = ll_sub(ll_scale(3.0 * along / r2, e), moment);
    const double share = 1.0 / (4.0 * LL_PI * r3);
    return (ll_source_value){ll_scale(share, h), share * along};
}

static ll_source_value far_block(const ll_dipole_rule *rule, ll_vec3 size, ll_vec3 m, ll_vec3 p)
{
    const double *node = rule->node, *weight = rule->weight;
    const ll_vec3 moment = ll_scale(size.x * size.y * size.z / 8, m); /* the weights sum to two */
    ll_source_value sum = {{0, 0, 0}, 0};
    for (int i = 0; i < 64; i++) {
        const int a = i / 16, b = i / 4 % 4, c = i % 4;
        const ll_vec3 at =
            ll_vec(0.5 * size.x * node[a], 0.5 * size.y * node[b], 0.5 * size.z * node[c]);
        const ll_source_value one =
            dipole_at(ll_scale(weight[a] * weight[b] * weight[c], moment), ll_sub(p, at));
        sum.h = ll_add(sum.h, one.h);
        sum.psi += one.psi;
    }
    return sum;
}

/* The near ones of these points, packed; `from` tells where each belongs. */
static void gather_near(const ll_field_points *p, double reach, ll_field_points *near, int *from)
{
    near->count = 0;
    for (int i = 0; i < p->count; i++) {
        if (radius(p->x[i], p->y[i], p->z[i]) > reach)
            continue;
        const int k = near->count++;
        from[k] = i;
        near->x[k] = p->x[i];
        near->y[k] = p->y[i];
        near->z[k] = p->z[i];
        near->hx[k] = near->hy[k] = near->hz[k] = near->psi[k] = 0;
    }
}

static void add_value(ll_field_points *p, int i, ll_vec3 h, double psi)
{
    p->hx[i] += h.x;
    p->hy[i] += h.y;
    p->hz[i] += h.z;
    p->psi[i] += psi;
}

void ll_block_add(const ll_dipole_rule *rule, ll_vec3 size, ll_vec3 m, ll_field_points *p)
{
    const double reach = FAR_HALF_DIAGONALS * 0.5 * ll_norm(size);
    ll_field_points near;
    int from[LL_POINTS_AT_ONCE];
    gather_near(p, reach, &near, from);
    add_near(size, m, &near);
    for (int k = 0; k < near.count; k++)
        add_value(p, from[k], ll_vec(near.hx[k], near.hy[k], near.hz[k]), near.psi[k]);
    for (int i = 0; near.count < p->count && i < p->count; i++) {
        const ll_vec3 at = ll_vec(p->x[i], p->y[i], p->z[i]);
        if (ll_norm(at) > reach) {
            const ll_source_value far = far_block(rule, size, m, at);
            add_value(p, i, far.h, far.psi);
        }
    }
}
