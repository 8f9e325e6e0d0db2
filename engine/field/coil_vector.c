/* coil_vector.c - the vector potential of a winding, up to mu0 / 4 pi times the current density.
 *
 * The integral of 1 / distance over height and build is a closed form for each direction of a corner and, over the
 * length as well, for a straight side: the Newtonian potential of a block (W. D. MacMillan, The Theory of the
 * Potential, 1930, sec. 43). Letters as in coil_charges.c, zeta with its sign.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/vectorised.h"
#include "coil_kernels.h"

/* Where the winding's ends are, seen from the point's mirror image that lies above its middle: z1 < 0. */
typedef struct two_ends {
    double z1, z2;
    double level; /* 1 where the point is between them, 0 where it is above both */
} two_ends;

/* ll_log_between the ends. They are the same for all directions, and the choice between them is a factor: the compiler would
 * move a choice out of the loop and find no vector form for what is left. */
static inline double log_between_ends(const two_ends *e, double d1, double d2, double q2)
{
    const double to2 = d2 + fabs(e->z2);
    const double above = e->level * to2 + (1.0 - e->level);
    const double below = e->level * q2 + (1.0 - e->level) * to2;
    return log((d1 - e->z1) * above /
               (below > LL_TINY_M * LL_TINY_M ? below : LL_TINY_M * LL_TINY_M));
}

/* Integral of t / distance over t = radius from the corner's centre (the build) and over the height. */
static inline double through_winding(double inner, double build, double u, double v,
                                     const two_ends *e)
{
    const double z1 = e->z1, z2 = e->z2;
    const double g1 = inner - u, g2 = g1 + build, v2 = v * v, beside = fabs(v);
    const double q1 = g1 * g1 + v2, q2 = g2 * g2 + v2, w1 = v2 + z1 * z1, w2 = v2 + z2 * z2;
    const double d11 = sqrt(q1 + z1 * z1), d12 = sqrt(q1 + z2 * z2);
    const double d21 = sqrt(q2 + z1 * z1), d22 = sqrt(q2 + z2 * z2);
    const double turn1 = ll_angle_between(z1 * g1, beside * d11, z1 * g2, beside * d21);
    const double turn2 = ll_angle_between(z2 * g1, beside * d12, z2 * g2, beside * d22);
    const double low = z1 * (0.5 * (d21 - d11) + u * ll_log_between(g1, d11, g2, d21, w1));
    const double high = z2 * (0.5 * (d22 - d12) + u * ll_log_between(g1, d12, g2, d22, w2));
    const double inside = (0.5 * q1 + u * g1) * log_between_ends(e, d11, d12, q1);
    const double outside = (0.5 * q2 + u * g2) * log_between_ends(e, d21, d22, q2);
    return high - low - u * beside * (turn2 - turn1) + outside - inside;
}

/* The corners; the current runs counterclockwise. */
static LL_VECTORISED(corners,
                     (const ll_racetrack *coil, const ll_arcs *arcs, const two_ends *ends,
                      ll_vec3 *out),
                     (coil, arcs, ends, out))
{
    const double inner = coil->inner, build = coil->build;
    const two_ends own = *ends;
    double x = 0.0, y = 0.0;
#pragma omp simd reduction(+ : x, y)
    for (int i = 0; i < arcs->count; i++) {
        const double u = arcs->u[i], v = arcs->v[i];
        const double part = arcs->weight[i] * through_winding(inner, build, u, v, &own);
        x -= part * arcs->sine[i];
        y += part * arcs->cosine[i];
    }
    *out = ll_vec(x, y, 0.0);
}

/* Edges of the straight sides, twelve to a block: x and y of the edge, its ends along z. The block's potential is the sum over
 * its edges of weight times x y asinh(z / hypot(x, y)) - z^2/2 atan(x y / (z r)) between the ends, each axis being z once. */
typedef struct edge_list {
    int count;
    double x[48], y[48], z1[48], z2[48];
    double weight_x[48], weight_y[48]; /* in the components of the vector potential */
} edge_list;

static LL_VECTORISED(sum_edges, (const edge_list *e, ll_vec3 *out), (e, out))
{
    double a_x = 0.0, a_y = 0.0;
#pragma omp simd reduction(+ : a_x, a_y)
    for (int i = 0; i < e->count; i++) {
        const double x = e->x[i], y = e->y[i], z1 = e->z1[i], z2 = e->z2[i];
        const double q2 = x * x + y * y, xy = x * y, to1 = fabs(z1), to2 = fabs(z2);
        const double r1 = sqrt(q2 + z1 * z1), r2 = sqrt(q2 + z2 * z2);
        const double term = xy * ll_log_between(z1, r1, z2, r2, q2) -
                            0.5 * (z2 * to2 * atan2(xy, to2 * r2) - z1 * to1 * atan2(xy, to1 * r1));
        a_x += e->weight_x[i] * term;
        a_y += e->weight_y[i] * term;
    }
    *out = ll_vec(a_x, a_y, 0.0);
}

/* The four edges along z of a block; weight_x and weight_y tell where the current goes. */
static void list_edges(const double x[2], const double y[2], const double z[2], double weight_x,
                       double weight_y, edge_list *list)
{
    for (int k = 0; k < 4; k++) {
        const int n = list->count++, i = k / 2, j = k % 2;
        const double sign = i == j ? 1.0 : -1.0;
        list->x[n] = x[i];
        list->y[n] = y[j];
        list->z1[n] = z[0];
        list->z2[n] = z[1];
        list->weight_x[n] = sign * weight_x;
        list->weight_y[n] = sign * weight_y;
    }
}

static void list_block(double x_low, double x_high, double y_low, double y_high, const double z[2],
                       double weight_x, double weight_y, edge_list *list)
{
    const double x[2] = {x_low, x_high}, y[2] = {y_low, y_high};
    list_edges(x, y, z, weight_x, weight_y, list);
    list_edges(y, z, x, weight_x, weight_y, list);
    list_edges(z, x, y, weight_x, weight_y, list);
}

/* The current runs along -x at +y, along +y at +x. */
static ll_vec3 sides(const ll_racetrack *coil, ll_vec3 p, const two_ends *ends)
{
    const double zeta[2] = {ends->z1, ends->z2};
    edge_list list = {.count = 0};
    for (int sign = 1; sign >= -1; sign -= 2) {
        const double x = coil->half_x + coil->inner - sign * p.x;
        const double y = coil->half_y + coil->inner - sign * p.y;
        if (coil->half_x > 0)
            list_block(-coil->half_x - p.x, coil->half_x - p.x, y, y + coil->build, zeta, -sign, 0,
                       &list);
        if (coil->half_y > 0)
            list_block(-coil->half_y - p.y, coil->half_y - p.y, x, x + coil->build, zeta, 0, sign,
                       &list);
    }
    ll_vec3 sum;
    sum_edges(&list, &sum);
    return sum;
}

ll_vec3 ll_racetrack_vector(const ll_gauss *gauss, const ll_racetrack *coil, ll_vec3 p)
{
    const double height = fabs(p.z), above = height - coil->half_height;
    const two_ends ends = {-coil->half_height - height, -above, above < 0 ? 1.0 : 0.0};
    ll_arcs arcs;
    ll_arcs_seen(gauss, coil, p, above > 0 ? above : 0, &arcs);
    ll_vec3 round;
    corners(coil, &arcs, &ends, &round);
    return ll_add(sides(coil, p, &ends), round);
}
