/* coil_vector.c - the vector potential of a winding, up to mu0 / 4 pi times the current density.
 *
 * The integral of 1 / distance over height and build is a closed form for each direction of a corner and, over the
 * length as well, for a straight side: the Newtonian potential of a block (W. D. MacMillan, The Theory of the
 * Potential, 1930, sec. 43). Letters as in coil_charges.c, zeta with its sign.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "coil_kernels.h"

/* Integral of t / distance over t = radius from the corner's centre (the build) and over the height. */
static double through_winding(const ll_racetrack *coil, double u, double v, const double zeta[2])
{
    const double g[2] = {coil->inner - u, coil->inner - u + coil->build}, v2 = v * v;
    double sum = 0.0, d[2][2];
    for (int k = 0; k < 2; k++) {
        const double w2 = v2 + zeta[k] * zeta[k];
        for (int i = 0; i < 2; i++)
            d[i][k] = sqrt(g[i] * g[i] + w2);
        const double turn =
            ll_angle_between(zeta[k] * g[0], fabs(v) * d[0][k], zeta[k] * g[1], fabs(v) * d[1][k]);
        const double part = zeta[k] * (0.5 * (d[1][k] - d[0][k]) +
                                       u * ll_log_between(g[0], d[0][k], g[1], d[1][k], w2)) -
                            u * fabs(v) * turn;
        sum += k ? part : -part;
    }
    for (int i = 0; i < 2; i++) {
        const double q2 = g[i] * g[i] + v2;
        const double part =
            (0.5 * q2 + u * g[i]) * ll_log_between(zeta[0], d[i][0], zeta[1], d[i][1], q2);
        sum += i ? part : -part;
    }
    return sum;
}

/* Terms of the block's potential that go with its third axis: x y asinh(z / hypot(x, y)) - z^2/2 atan(x y / (z r)). */
static double block_terms(const double x[2], const double y[2], const double z[2])
{
    double sum = 0.0;
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++) {
            const double q2 = x[i] * x[i] + y[j] * y[j], sign = i == j ? 1.0 : -1.0;
            const double r0 = sqrt(q2 + z[0] * z[0]), r1 = sqrt(q2 + z[1] * z[1]);
            const double xy = x[i] * y[j];
            sum += sign * xy * ll_log_between(z[0], r0, z[1], r1, q2);
            sum -= sign * 0.5 *
                   (z[1] * fabs(z[1]) * atan2(xy, fabs(z[1]) * r1) -
                    z[0] * fabs(z[0]) * atan2(xy, fabs(z[0]) * r0));
        }
    return sum;
}

static double block_potential(double x_low, double x_high, double y_low, double y_high,
                              const double z[2])
{
    const double x[2] = {x_low, x_high}, y[2] = {y_low, y_high};
    return block_terms(x, y, z) + block_terms(y, z, x) + block_terms(z, x, y);
}

/* The current runs counterclockwise: along -x at +y, along +y at +x. */
static ll_vec3 sides(const ll_racetrack *coil, ll_vec3 p, const double zeta[2], double sign)
{
    ll_vec3 a = {0, 0, 0};
    if (coil->half_x > 0) {
        const double g = coil->half_y + coil->inner - sign * p.y;
        a.x = -sign *
              block_potential(-coil->half_x - p.x, coil->half_x - p.x, g, g + coil->build, zeta);
    }
    if (coil->half_y > 0) {
        const double g = coil->half_x + coil->inner - sign * p.x;
        a.y = sign *
              block_potential(-coil->half_y - p.y, coil->half_y - p.y, g, g + coil->build, zeta);
    }
    return a;
}

/* A corner mirrored into the first quadrant: one mirror turns the sense of the current round. */
static ll_vec3 corner(const ll_gauss *gauss, const ll_racetrack *coil, ll_vec3 p,
                      const double zeta[2], double sx, double sy)
{
    const double x = sx * p.x - coil->half_x, y = sy * p.y - coil->half_y;
    ll_vec3 a = {0, 0, 0};
    ll_arc arc;
    ll_arc_points(gauss, coil, x, y, fmax(fabs(p.z) - coil->half_height, 0.0), &arc);
    for (int i = 0; i < arc.count; i++) {
        const double c = arc.cosine[i], s = arc.sine[i];
        const double part =
            arc.weight[i] * through_winding(coil, x * c + y * s, y * c - x * s, zeta);
        a.x -= part * s;
        a.y += part * c;
    }
    return ll_vec(sy * a.x, sx * a.y, 0.0);
}

ll_vec3 ll_racetrack_vector(const ll_gauss *gauss, const ll_racetrack *coil, ll_vec3 p)
{
    const double zeta[2] = {-coil->half_height - p.z, coil->half_height - p.z};
    ll_vec3 a = ll_add(sides(coil, p, zeta, 1.0), sides(coil, p, zeta, -1.0));
    for (int i = 0; i < 4; i++)
        a = ll_add(a, corner(gauss, coil, p, zeta, i & 1 ? -1 : 1, i & 2 ? -1 : 1));
    return a;
}
