/* magnet_rod.c - field and potential of a uniformly magnetised rod, from integrals over the rims of its two ends.
 *
 * Along the axis the rod is two charged discs; across it, a cylinder with charge M cos(phi). Both follow from four
 * functions of one rim (radius 1, distance rho from the axis, height zeta >= 0 above the rim's plane, with
 * D the distance to a point of the rim, q its part in the plane, means over the rim's angle phi):
 *     psi    = 1/2 mean (1 - rho cos phi) / (D + zeta)              potential of the disc with unit charge density
 *     axial  = 1/2 mean (1 - rho cos phi) / (D (D + zeta))          its field along the axis, solid angle / 4 pi
 *     radial = 1/2 mean cos phi / D = rho/2 mean sin^2 phi / D^3     its field away from the axis
 *     cross  = 1/2 mean sin^2 phi / (D (D + zeta))
 * The potential of transverse magnetisation is (M . r) a, where a rho is the vector potential of the solenoid on
 * the same cylinder (both are the surface integral of cos(phi) / distance), and a(zeta) = sign(zeta) (c - cross),
 * c = 1/4 inside the cylinder, 1 / (4 rho^2) outside. Field: H = -grad of it, with the solenoid's own axial field.
 * Equivalent to A. Caciagli et al., J. Magn. Magn. Mater. 456 (2018) 423, in forms without cancellation.
 * Away from the rim the means converge exponentially with equal steps of phi; close to it they are complete elliptic
 * integrals by R. Bulirsch's cel (Numer. Math. 13 (1969) 305), as N. Derby and S. Olbert use it for solenoids
 * (Am. J. Phys. 78 (2010) 229).
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/vectorised.h"
#include "source_kernels.h"

/* Lengths in radii below which a point counts as lying on a plane or on the cylinder. */
#define ON_SURFACE 1e-13
/* In radii: nothing is felt there, and squares are still numbers. */
#define FARTHEST 1e60

enum { RIMS = 2 * LL_POINTS_AT_ONCE };

/* Rims seen from points: the high and the low one of each. */
typedef struct rims {
    int count;
    double rho[RIMS + 1],
        zeta[RIMS + 1]; /* one more than there can be, to be written and forgotten */
    double psi[RIMS], axial[RIMS], radial[RIMS], cross[RIMS];
} rims;

/* The four integrals over (0, pi/2) of cos^2 and of sin^2, over (cos^2 + p sin^2) sqrt(cos^2 + kc^2 sin^2) and over the root alone:
 * Bulirsch's cel(kc, p, 1, 0), cel(kc, p, 0, 1), and the same with p = 1. One arithmetic-geometric mean serves them all; it has
 * converged after eight steps for every kc >= 1e-12. */
typedef struct four_cels {
    double p_cos, p_sin, one_cos, one_sin;
} four_cels;

typedef struct cel_mean {
    double em, k, e, q, one;
    double ac, bc, as, bs, oc, pc, os, ps; /* Bulirsch's a and b of the four */
} cel_mean;

static inline void step(cel_mean *m)
{
    const double over = 1 / m->q, g = m->e * over, over_one = 1 / m->one, g_one = m->e * over_one;
    const double fc = m->ac, fs = m->as, hc = m->oc, hs = m->os;
    m->ac += m->bc * over;
    m->bc = 2 * (m->bc + fc * g);
    m->as += m->bs * over;
    m->bs = 2 * (m->bs + fs * g);
    m->q += g;
    m->oc += m->pc * over_one;
    m->pc = 2 * (m->pc + hc * g_one);
    m->os += m->ps * over_one;
    m->ps = 2 * (m->ps + hs * g_one);
    m->one += g_one;
    m->em += m->k;
    m->k = 2 * sqrt(m->e);
    m->e = m->k * m->em;
}

static inline void two_steps(cel_mean *m)
{
    step(m);
    step(m);
}

static inline four_cels cels(double kc, double p)
{
    const double root = sqrt(p);
    cel_mean m = {1, kc, kc, root, 1, 1, 0, 0, 1 / root, 1, 0, 0, 1};
    two_steps(&m);
    two_steps(&m);
    two_steps(&m);
    two_steps(&m);
    const double share = 0.5 * LL_PI / m.em, of_p = share / (m.em + m.q),
                 of_one = share / (m.em + m.one);
    return (four_cels){of_p * (m.bc + m.ac * m.em), of_p * (m.bs + m.as * m.em),
                       of_one * (m.pc + m.oc * m.em), of_one * (m.ps + m.os * m.em)};
}

/* Close to the rim. The substitution phi = pi - 2 theta makes each mean a cel without cancellation. */
static LL_VECTORISED(near_rims, (rims *restrict r), (r))
{
#pragma omp simd
    for (int i = 0; i < r->count; i++) {
        const double rho = r->rho[i], zeta = r->zeta[i], zeta2 = zeta * zeta;
        const double sum2 = ll_square(1 + rho), unlike2 = ll_square(1 - rho);
        const double far = sqrt(sum2 + zeta2), ratio = sqrt((unlike2 + zeta2) / (sum2 + zeta2));
        const double kc = ratio > 1e-12 ? ratio : 1e-12;
        const double p = unlike2 / sum2 > 1e-40 ? unlike2 / sum2 : 1e-40;
        const double inside = rho < 1 ? 1.0 : rho > 1 ? 0.0 : 0.5;
        const double share = 1.0 / (LL_PI * far);
        const four_cels c = cels(kc, p);
        const double turn = ((1 + rho) * c.p_cos + (1 - rho) * c.p_sin) / sum2;
        const double sine2 = p * c.one_cos + c.one_sin - p * (c.p_cos + c.p_sin);
        const double whole = rho > 1 ? rho * rho : 1.0;
        r->psi[i] = share * ((1 + rho) * c.one_cos + (1 - rho) * c.one_sin + zeta2 * turn) -
                    0.5 * zeta * inside;
        r->axial[i] = 0.5 * inside - share * zeta * turn;
        r->radial[i] = share * (c.one_sin - c.one_cos);
        r->cross[i] = 0.25 / whole - 4 * share * zeta / sum2 * sine2 / ll_square(1 - p);
    }
}

/* One step of the angle for all rims. */
static inline void add_step(rims *restrict r, double c)
{
    const double sine2 = 1 - c * c;
#pragma omp simd
    for (int i = 0; i < r->count; i++) {
        const double rho = r->rho[i], zeta = r->zeta[i];
        const double d = sqrt(ll_square(1 - rho) + zeta * zeta + 2 * rho * (1 - c));
        /* 1 / d and 1 / (d + zeta) by one division. */
        const double both = 1 / (d * (d + zeta)), e = both * d, f = both * (d + zeta);
        r->psi[i] += (1 - rho * c) * e;
        r->axial[i] += (1 - rho * c) * both;
        r->radial[i] += sine2 * f * f * f;
        r->cross[i] += sine2 * both;
    }
}

static LL_VECTORISED(means_over_rims, (rims *restrict r, const double *cosine, int steps),
                     (r, cosine, steps))
{
    const double share = 0.5 / steps;
    for (int i = 0; i < r->count; i++)
        r->psi[i] = r->axial[i] = r->radial[i] = r->cross[i] = 0;
    for (int k = 0; k < steps; k++)
        add_step(r, cosine[k]);
    for (int i = 0; i < r->count; i++) {
        r->psi[i] *= share;
        r->axial[i] *= share;
        r->radial[i] *= share * r->rho[i];
        r->cross[i] *= share;
    }
}

/* Equal steps between 0 and pi, from the middle of the first one; 8, 16 or 32 of them. */
void ll_rim_rule_fill(ll_rim_rule *rule)
{
    for (int r = 0; r < 3; r++)
        for (int i = 0; i < 8 << r; i++)
            rule->cosine[r][i] = cos((i + 0.5) * LL_PI / (8 << r));
}

/* The error of n steps over half the rim is ((1 - kc) / (1 + kc))^(2 n), kc the ratio of the nearest to the farthest
 * distance to the rim: below 1e-15 at each of the bounds. 3 means by elliptic integrals. */
static inline int way_of(double rho, double zeta)
{
    const double near2 = ll_square(1 - rho) + zeta * zeta, far2 = near2 + 4 * rho;
    return (near2 < 0.28 * 0.28 * far2) + (near2 <= 0.5 * 0.5 * far2) + (near2 <= 0.8 * 0.8 * far2);
}

/* All rims, those of one way together. */
static void find_rims(const ll_rim_rule *rule, const unsigned char *way, rims *all)
{
    for (int w = 0; w < 4; w++) {
        rims like;
        int from[RIMS + 1] = {0};
        like.count = 0;
        for (int i = 0; i < all->count; i++) {
            from[like.count] = i;
            like.rho[like.count] = all->rho[i];
            like.zeta[like.count] = all->zeta[i];
            like.count += way[i] == w;
        }
        if (like.count == 0)
            continue;
        if (w == 3)
            near_rims(&like);
        else
            means_over_rims(&like, rule->cosine[w], 8 << w);
        for (int k = 0; k < like.count; k++) {
            all->psi[from[k]] = like.psi[k];
            all->axial[from[k]] = like.axial[k];
            all->radial[from[k]] = like.radial[k];
            all->cross[from[k]] = like.cross[k];
        }
    }
}

static inline double snap(double x)
{
    return fabs(x) <= ON_SURFACE ? 0.0 : x;
}

static inline double side(double zeta, double above)
{
    return zeta > 0 ? 1.0 : zeta < 0 ? -1.0 : above;
}

/* Points in radii: from the axis, above the high rim and above the low one. */
typedef struct rod_view {
    double r[LL_POINTS_AT_ONCE], high[LL_POINTS_AT_ONCE], low[LL_POINTS_AT_ONCE];
    unsigned char way[RIMS];
} rod_view;

/* The high rim of point i is rim i, the low one rim i + the number of points. */
static LL_VECTORISED(look,
                     (const ll_rod_piece *rod, const ll_field_points *restrict p,
                      rod_view *restrict v, rims *restrict seen),
                     (rod, p, v, seen))
{
    const int n = p->count;
    const double scale = 1 / rod->radius;
    seen->count = 2 * n;
#pragma omp simd
    for (int i = 0; i < n; i++) {
        v->r[i] = sqrt(p->x[i] * p->x[i] + p->y[i] * p->y[i]);
        v->high[i] = snap((p->z[i] - rod->high) * scale);
        v->low[i] = snap((p->z[i] - rod->low) * scale);
        seen->rho[i] = seen->rho[i + n] = fmin(FARTHEST, 1.0 + snap(v->r[i] * scale - 1.0));
        seen->zeta[i] = fmin(FARTHEST, fabs(v->high[i]));
        seen->zeta[i + n] = fmin(FARTHEST, fabs(v->low[i]));
    }
    for (int i = 0; i < 2 * n; i++)
        v->way[i] = (unsigned char)way_of(seen->rho[i], seen->zeta[i]);
}

static LL_VECTORISED(add_values,
                     (const ll_rod_piece *rod, const ll_vec3 *m, const rod_view *restrict v,
                      const rims *restrict s, ll_field_points *restrict p),
                     (rod, m, v, s, p))
{
    const int n = p->count;
    const double share = rod->share, radius = rod->radius;
#pragma omp simd
    for (int i = 0; i < n; i++) {
        const int l = i + n;
        const double rho = s->rho[i], st = side(v->high[i], p->above[i]),
                     sl = side(v->low[i], p->above[i]);
        /* a and the axial field of the solenoid on the same cylinder; a hole's surface is seen from within. */
        const double inside = rho < 1 || (rho <= 1 && share < 0) ? 0.5 : 0.0;
        const double c = rho > 1 ? 0.25 / (rho * rho) : 0.25;
        const double a = c * (sl - st) - sl * s->cross[l] + st * s->cross[i];
        const double solenoid = inside * (sl - st) - sl * s->axial[l] + st * s->axial[i];
        const double over = v->r[i] > 0 ? 1 / v->r[i] : 0.0;
        const double ex = v->r[i] > 0 ? p->x[i] * over : 1.0, ey = p->y[i] * over;
        const double radial_m = m->x * ex + m->y * ey, radial = s->radial[i] - s->radial[l];
        const double outwards = m->z * radial - (solenoid - 2 * a) * radial_m;
        p->hx[i] += share * (outwards * ex - a * m->x);
        p->hy[i] += share * (outwards * ey - a * m->y);
        p->hz[i] += share * (m->z * (st * s->axial[i] - sl * s->axial[l]) + radial_m * radial);
        p->psi[i] += share * (radius * m->z * (s->psi[i] - s->psi[l]) + v->r[i] * radial_m * a);
    }
}

void ll_rod_add(const ll_rim_rule *rule, const ll_rod_piece *rod, ll_vec3 m, ll_field_points *p)
{
    rims seen;
    rod_view view;
    look(rod, p, &view, &seen);
    find_rims(rule, view.way, &seen);
    add_values(rod, &m, &view, &seen, p);
}
