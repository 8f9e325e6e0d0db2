/* coil_charges.c - field and potential of a winding as the two charged end faces of its magnetised equivalent.
 *
 * A winding of N turns with current I, height h and build b has the field of a body with M = N I / h along z in its
 * hole that falls linearly to zero through the build. Its charges lie on the end planes alone. Linear density is a
 * stack of uniform sheets, each bounded by one turn; a uniform sheet's potential is an integral along its edge,
 *     4 pi psi = contour integral of (n . e) / (D + zeta) dl,   e from the point's foot to the edge, n outwards,
 * and its field in the plane that of n / D (divergence theorem; see also D. R. Wilton et al., IEEE Trans. AP 32
 * (1984) 276). Integrated over the build first, both are bounded everywhere but for a logarithm on the end faces of
 * the winding itself.
 * Below, g is the distance from the foot of the point to a turn along n, v the one across, q^2 = g^2 + v^2,
 * w^2 = v^2 + zeta^2, D^2 = q^2 + zeta^2.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "coil_kernels.h"

/* Sums over one end plane, times 4 pi: potential, field along z on its upper side, field in the plane. */
typedef struct sheet_sum {
    double zeta, psi, axial, x, y;
} sheet_sum;

/* One direction (c, s) of a corner with the point at (x, y) from its centre; a turn of radius t adds t (n . e). */
static void add_direction(const ll_racetrack *coil, double c, double s, double x, double y,
                          double weight, sheet_sum *sum)
{
    const double u = x * c + y * s, v = y * c - x * s, zeta = sum->zeta;
    const double g1 = coil->inner - u, g2 = g1 + coil->build, w2 = v * v + zeta * zeta;
    const double d1 = sqrt(g1 * g1 + w2), d2 = sqrt(g2 * g2 + w2);
    const double across = ll_log_between(g1, d1, g2, d2, w2);
    const double up = log((d2 + zeta) / (d1 + zeta));
    const double turn = v * ll_angle_between(g1 * v, w2 + zeta * d1, g2 * v, w2 + zeta * d2);
    const double radial = d2 - d1 + u * across;
    sum->psi += weight * (0.5 * (g2 * d2 - g1 * d1) + (0.5 * w2 - v * v) * across -
                          zeta * coil->build + u * (d2 - d1 - zeta * up) + zeta * turn);
    sum->axial += weight * (coil->build - zeta * across - turn + u * up);
    sum->x += weight * radial * c;
    sum->y += weight * radial * s;
}

/* A straight side with its turns along the first axis, from x1 to x2, and n along the second, from g1 to g2 (all from
 * the point's foot). Returns psi, axial and the field along n. */
static sheet_sum straight_side(double x1, double x2, double g1, double g2, double zeta)
{
    const double z2 = zeta * zeta, x[2] = {x1, x2}, g[2] = {g1, g2};
    double d[2][2], along[2], across[2], up[2], turn = 0.0, corner = 0.0, product = 0.0;
    for (int i = 0; i < 2; i++)
        for (int k = 0; k < 2; k++) {
            const double sign = i == k ? 1.0 : -1.0, w2 = g[k] * g[k] + z2;
            d[i][k] = sqrt(x[i] * x[i] + w2);
            turn += sign * g[k] * atan2(x[i] * g[k], w2 + zeta * d[i][k]);
            corner += sign * atan2(x[i] * g[k], zeta * d[i][k]);
            product += sign * x[i] * d[i][k];
        }
    for (int i = 0; i < 2; i++) {
        along[i] = ll_log_between(x1, d[0][i], x2, d[1][i], g[i] * g[i] + z2);
        across[i] = ll_log_between(g1, d[i][0], g2, d[i][1], x[i] * x[i] + z2);
        up[i] = log((d[i][1] + zeta) / fmax(d[i][0] + zeta, sqrt(LL_TINY_M2)));
    }
    const double axial = x2 * up[1] - x1 * up[0] + zeta * (along[1] - along[0]) + turn;
    const double stretch = (g2 * g2 + z2) * along[1] - (g1 * g1 + z2) * along[0];
    return (sheet_sum){.psi = 0.5 * (product + stretch) - zeta * axial,
                       .axial = axial,
                       .y = x2 * across[1] - x1 * across[0] + g2 * along[1] - g1 * along[0] -
                            zeta * corner};
}

/* The sides along x at +y and -y (sign), then the same for y. */
static void add_sides(const ll_racetrack *coil, ll_vec3 p, double sign, sheet_sum *sum)
{
    if (coil->half_x > 0) {
        const double g = coil->half_y + coil->inner - sign * p.y;
        const sheet_sum side =
            straight_side(-coil->half_x - p.x, coil->half_x - p.x, g, g + coil->build, sum->zeta);
        sum->psi += side.psi;
        sum->axial += side.axial;
        sum->y += sign * side.y;
    }
    if (coil->half_y > 0) {
        const double g = coil->half_x + coil->inner - sign * p.x;
        const sheet_sum side =
            straight_side(-coil->half_y - p.y, coil->half_y - p.y, g, g + coil->build, sum->zeta);
        sum->psi += side.psi;
        sum->axial += side.axial;
        sum->x += sign * side.y;
    }
}

/* The corner at (sx, sy), mirrored into the first quadrant; the same directions serve both end planes. */
static void add_corner(const ll_gauss *gauss, const ll_racetrack *coil, ll_vec3 p, double sx,
                       double sy, sheet_sum *sums)
{
    const double x = sx * p.x - coil->half_x, y = sy * p.y - coil->half_y;
    ll_arc arc;
    ll_arc_points(gauss, coil, x, y, fmin(sums[0].zeta, sums[1].zeta), &arc);
    for (int k = 0; k < 2; k++) {
        sheet_sum part = {.zeta = sums[k].zeta};
        for (int i = 0; i < arc.count; i++)
            add_direction(coil, arc.cosine[i], arc.sine[i], x, y, arc.weight[i], &part);
        sums[k].psi += part.psi;
        sums[k].axial += part.axial;
        sums[k].x += sx * part.x;
        sums[k].y += sy * part.y;
    }
}

ll_source_value ll_racetrack_charges(const ll_gauss *gauss, const ll_racetrack *coil, ll_vec3 p)
{
    const double top = p.z - coil->half_height, low = p.z + coil->half_height;
    sheet_sum sums[2] = {{.zeta = fabs(top)}, {.zeta = fabs(low)}};
    for (int i = 0; i < 4; i++)
        add_corner(gauss, coil, p, i & 1 ? -1 : 1, i & 2 ? -1 : 1, sums);
    for (int k = 0; k < 2; k++) {
        add_sides(coil, p, 1.0, &sums[k]);
        add_sides(coil, p, -1.0, &sums[k]);
    }
    /* On the end planes themselves the point counts as outside. */
    const double st = top < 0 ? -1.0 : 1.0, sl = low > 0 ? 1.0 : -1.0;
    const double share = 1.0 / (4.0 * LL_PI);
    return (ll_source_value){ll_vec(share * (sums[0].x - sums[1].x),
                                    share * (sums[0].y - sums[1].y),
                                    share * (st * sums[0].axial - sl * sums[1].axial)),
                             share * (sums[0].psi - sums[1].psi)};
}
