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
#include "base/vectorised.h"
#include "coil_kernels.h"

/* Sums over one end plane, times 4 pi: potential, field along z on its upper side, field in the plane. */
typedef struct sheet_sum {
    double zeta, psi, axial, x, y;
} sheet_sum;

/* The corners: a turn of radius t adds t (n . e) for each direction. */
static LL_VECTORISED(add_corners, (const ll_racetrack *coil, const ll_arcs *arcs, sheet_sum *sum),
                     (coil, arcs, sum))
{
    const double zeta = sum->zeta, build = coil->build, inner = coil->inner;
    double psi = 0.0, axial = 0.0, x = 0.0, y = 0.0;
#pragma omp simd reduction(+ : psi, axial, x, y)
    for (int i = 0; i < arcs->count; i++) {
        const double u = arcs->u[i], v = arcs->v[i], weight = arcs->weight[i];
        const double g1 = inner - u, g2 = g1 + build, w2 = v * v + zeta * zeta;
        const double d1 = sqrt(g1 * g1 + w2), d2 = sqrt(g2 * g2 + w2);
        const double across = ll_log_between(g1, d1, g2, d2, w2);
        const double up = ll_log_ratio(d1 + zeta, d2 + zeta);
        const double turn = v * ll_angle_between(g1 * v, w2 + zeta * d1, g2 * v, w2 + zeta * d2);
        const double radial = d2 - d1 + u * across;
        psi += weight * (0.5 * (g2 * d2 - g1 * d1) + (0.5 * w2 - v * v) * across - zeta * build +
                         u * (d2 - d1 - zeta * up) + zeta * turn);
        axial += weight * (build - zeta * across - turn + u * up);
        x += weight * radial * arcs->cosine[i];
        y += weight * radial * arcs->sine[i];
    }
    sum->psi += psi;
    sum->axial += axial;
    sum->x += x;
    sum->y += y;
}

/* Straight sides seen from a point, two end planes each: the turns run along the first axis from x[0] to x[1], and n along the
 * second, from g[0] to g[1], all from the point's foot. */
typedef struct side_list {
    int count;
    double x[2][8], g[2][8], zeta[8]; /* given */
    double psi[8], axial[8], out[8];  /* found: potential, field along z and along n */
} side_list;

static LL_VECTORISED(find_sides, (side_list * s), (s))
{
#pragma omp simd
    for (int i = 0; i < s->count; i++) {
        const double x1 = s->x[0][i], x2 = s->x[1][i], g1 = s->g[0][i], g2 = s->g[1][i];
        const double zeta = s->zeta[i], z2 = zeta * zeta;
        const double w1 = g1 * g1 + z2, w2 = g2 * g2 + z2;
        const double d11 = sqrt(x1 * x1 + w1), d12 = sqrt(x1 * x1 + w2);
        const double d21 = sqrt(x2 * x2 + w1), d22 = sqrt(x2 * x2 + w2);
        const double turn1 = ll_angle_between(x1 * g1, w1 + zeta * d11, x2 * g1, w1 + zeta * d21);
        const double turn2 = ll_angle_between(x1 * g2, w2 + zeta * d12, x2 * g2, w2 + zeta * d22);
        const double corner = ll_angle_between(x1 * g2, zeta * d12, x2 * g2, zeta * d22) -
                              ll_angle_between(x1 * g1, zeta * d11, x2 * g1, zeta * d21);
        const double along1 = ll_log_between(x1, d11, x2, d21, w1);
        const double along2 = ll_log_between(x1, d12, x2, d22, w2);
        const double across1 = ll_log_between(g1, d11, g2, d12, x1 * x1 + z2);
        const double across2 = ll_log_between(g1, d21, g2, d22, x2 * x2 + z2);
        const double up1 = ll_log_ratio(d11 + zeta, d12 + zeta);
        const double up2 = ll_log_ratio(d21 + zeta, d22 + zeta);
        const double axial =
            x2 * up2 - x1 * up1 + zeta * (along2 - along1) + g2 * turn2 - g1 * turn1;
        const double product = x1 * d11 - x1 * d12 - x2 * d21 + x2 * d22;
        s->psi[i] = 0.5 * (product + w2 * along2 - w1 * along1) - zeta * axial;
        s->axial[i] = axial;
        s->out[i] = x2 * across2 - x1 * across1 + g2 * along2 - g1 * along1 - zeta * corner;
    }
}

/* A side with its middle and the winding's inside that far from the point's foot, on both end planes. */
static void list_side(const ll_racetrack *coil, double half, double middle, double inside,
                      const sheet_sum sums[2], side_list *list)
{
    for (int k = 0; k < 2; k++) {
        const int i = list->count++;
        list->x[0][i] = middle - half;
        list->x[1][i] = middle + half;
        list->g[0][i] = inside;
        list->g[1][i] = inside + coil->build;
        list->zeta[i] = sums[k].zeta;
    }
}

/* The sides along x at +y and -y, those along y at +x and -x. */
static void add_sides(const ll_racetrack *coil, ll_vec3 p, sheet_sum sums[2])
{
    const bool along_x = coil->half_x > 0, along_y = coil->half_y > 0;
    const double inner_x = coil->half_x + coil->inner, inner_y = coil->half_y + coil->inner;
    side_list list = {.count = 0};
    for (int sign = 1; along_x && sign >= -1; sign -= 2)
        list_side(coil, coil->half_x, -p.x, inner_y - sign * p.y, sums, &list);
    for (int sign = 1; along_y && sign >= -1; sign -= 2)
        list_side(coil, coil->half_y, -p.y, inner_x - sign * p.x, sums, &list);
    find_sides(&list);
    for (int i = 0; i < list.count; i++) {
        sheet_sum *sum = &sums[i % 2];
        const double outwards = i / 2 % 2 ? -list.out[i] : list.out[i];
        sum->psi += list.psi[i];
        sum->axial += list.axial[i];
        *(along_x && i < 4 ? &sum->y : &sum->x) += outwards;
    }
}

ll_source_value ll_racetrack_charges(const ll_gauss *gauss, const ll_racetrack *coil, ll_vec3 p)
{
    const double top = p.z - coil->half_height, low = p.z + coil->half_height;
    sheet_sum sums[2] = {{.zeta = fabs(top)}, {.zeta = fabs(low)}};
    ll_arcs arcs;
    ll_arcs_seen(gauss, coil, p, fmin(sums[0].zeta, sums[1].zeta), &arcs);
    for (int k = 0; k < 2; k++)
        add_corners(coil, &arcs, &sums[k]);
    add_sides(coil, p, sums);
    /* On the end planes themselves the point counts as outside. */
    const double st = top < 0 ? -1.0 : 1.0, sl = low > 0 ? 1.0 : -1.0;
    const double share = 1.0 / (4.0 * LL_PI);
    return (ll_source_value){ll_vec(share * (sums[0].x - sums[1].x),
                                    share * (sums[0].y - sums[1].y),
                                    share * (st * sums[0].axial - sl * sums[1].axial)),
                             share * (sums[0].psi - sums[1].psi)};
}
