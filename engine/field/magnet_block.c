/* magnet_block.c - field and potential of a uniformly magnetised block.
 *
 * Magnetisation along one edge leaves two charged rectangles. Their potential is a sum over the eight corners of
 * F = x asinh(y / hypot(x, z)) + y asinh(x / hypot(y, z)) - z atan(x y / (z r)), z along the magnetisation
 * (A. J. Newell, W. Williams, D. J. Dunlop, J. Geophys. Res. 98 (1993) 9551; D. Durand 1968). The other edges
 * follow by renaming the axes.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "source_kernels.h"

/* Beyond this many half diagonals the eight corners cancel each other to rounding; 4 x 4 x 4 dipoles at Gauss
 * points are exact to (1/16)^8 there. */
#define FAR_HALF_DIAGONALS 16.0

/* Distances of the point from the low and the high face, index 0: from the high one (smaller), 1: from the low. */
typedef struct corner_offsets {
    double x[2], y[2], z[2];
} corner_offsets;

/* On a face, to rounding, the point counts as outside. */
static void offsets(double half, double at, double u[2])
{
    const double tiny = 1e-14 * half;
    u[0] = at - half;
    u[1] = at + half;
    if (fabs(u[0]) <= tiny)
        u[0] = 0.0;
    if (fabs(u[1]) <= tiny)
        u[1] = -0.0;
}

static double radius(double x, double y, double z)
{
    return sqrt(x * x + y * y + z * z);
}

/* Sum over the corners of x asinh(y / hypot(x, z)), and of the asinh alone, which is the field along x. */
static void log_terms(const double x[2], const double y[2], const double z[2], double *potential,
                      double *field)
{
    *potential = *field = 0.0;
    for (int i = 0; i < 2; i++)
        for (int k = 0; k < 2; k++) {
            const double sign = i == k ? 1.0 : -1.0;
            const double step =
                ll_log_between(y[0], radius(x[i], y[0], z[k]), y[1], radius(x[i], y[1], z[k]),
                               ll_square(x[i]) + ll_square(z[k]));
            *field += sign * step;
            *potential += sign * x[i] * step;
        }
}

/* Sum over the corners of z atan(x y / (z r)), and of the arctangents alone: the solid angles of both faces. */
static void angle_terms(const corner_offsets *u, double *potential, double *field)
{
    *potential = *field = 0.0;
    for (int k = 0; k < 2; k++) {
        double angle = 0.0;
        for (int i = 0; i < 2; i++)
            for (int j = 0; j < 2; j++) {
                const double r = radius(u->x[i], u->y[j], u->z[k]);
                const double a = atan2(u->x[i] * u->y[j], fabs(u->z[k]) * r);
                angle += i == j ? a : -a;
            }
        if (signbit(u->z[k]))
            angle = -angle;
        *field += k ? angle : -angle;
        *potential += k ? u->z[k] * angle : -u->z[k] * angle;
    }
}

/* Magnetisation m along the third axis of the offsets. */
static ll_source_value along_third(const corner_offsets *u, double m)
{
    double px, py, pz, hx, hy, hz;
    log_terms(u->x, u->y, u->z, &px, &hx);
    log_terms(u->y, u->x, u->z, &py, &hy);
    angle_terms(u, &pz, &hz);
    const double share = m / (4.0 * LL_PI);
    return (ll_source_value){ll_vec(share * hx, share * hy, -share * hz), -share * (px + py - pz)};
}

static ll_source_value near_block(ll_vec3 size, ll_vec3 m, ll_vec3 p)
{
    corner_offsets u;
    offsets(0.5 * size.x, p.x, u.x);
    offsets(0.5 * size.y, p.y, u.y);
    offsets(0.5 * size.z, p.z, u.z);
    const corner_offsets about_x = {{u.y[0], u.y[1]}, {u.z[0], u.z[1]}, {u.x[0], u.x[1]}};
    const corner_offsets about_y = {{u.z[0], u.z[1]}, {u.x[0], u.x[1]}, {u.y[0], u.y[1]}};
    ll_source_value sum = {{0, 0, 0}, 0}, part;
    if (m.x != 0) {
        part = along_third(&about_x, m.x);
        sum = (ll_source_value){ll_vec(part.h.z, part.h.x, part.h.y), part.psi};
    }
    if (m.y != 0) {
        part = along_third(&about_y, m.y);
        sum.h = ll_add(sum.h, ll_vec(part.h.y, part.h.z, part.h.x));
        sum.psi += part.psi;
    }
    if (m.z != 0) {
        part = along_third(&u, m.z);
        sum.h = ll_add(sum.h, part.h);
        sum.psi += part.psi;
    }
    return sum;
}

static ll_source_value dipole_at(ll_vec3 moment, ll_vec3 e)
{
    const double r2 = ll_dot(e, e), r3 = r2 * sqrt(r2), along = ll_dot(moment, e);
    const ll_vec3 h = ll_sub(ll_scale(3.0 * along / r2, e), moment);
    const double share = 1.0 / (4.0 * LL_PI * r3);
    return (ll_source_value){ll_scale(share, h), share * along};
}

static ll_source_value far_block(ll_vec3 size, ll_vec3 m, ll_vec3 p)
{
    /* Gauss-Legendre, four points on (-1, 1), weights halved so that they sum to one. */
    static const double node[4] = {-0.86113631159405258, -0.33998104358485626, 0.33998104358485626,
                                   0.86113631159405258};
    static const double weight[4] = {0.17392742256872693, 0.32607257743127307, 0.32607257743127307,
                                     0.17392742256872693};
    const ll_vec3 moment = ll_scale(size.x * size.y * size.z, m);
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

ll_source_value ll_block_at(ll_vec3 size, ll_vec3 m, ll_vec3 p)
{
    const double reach = FAR_HALF_DIAGONALS * 0.5 * ll_norm(size);
    return ll_dot(p, p) > reach * reach ? far_block(size, m, p) : near_block(size, m, p);
}
