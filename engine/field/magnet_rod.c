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
#include "source_kernels.h"

/* Lengths in radii below which a point counts as lying on a plane or on the cylinder. */
#define ON_SURFACE 1e-13

typedef struct rim_value {
    double psi, axial, radial, cross;
} rim_value;

/* Integral over (0, pi/2) of (a cos^2 + b sin^2) / ((cos^2 + p sin^2) sqrt(cos^2 + kc^2 sin^2)), p and kc > 0. */
static double cel(double kc, double p, double a, double b)
{
    double q = sqrt(p), em = 1.0, e = kc, k = kc;
    b /= q;
    for (;;) {
        const double f = a, g = e / q;
        a += b / q;
        b = 2.0 * (b + f * g);
        q += g;
        const double previous = em;
        em += k;
        if (fabs(previous - k) <= 1e-8 * previous)
            return 0.5 * LL_PI * (b + a * em) / (em * (em + q));
        k = 2.0 * sqrt(e);
        e = k * em;
    }
}

/* Close to the rim. The substitution phi = pi - 2 theta makes each mean a cel without cancellation. */
static rim_value near_rim(double rho, double zeta, double kc)
{
    const double far = sqrt(ll_square(1 + rho) + zeta * zeta), sum2 = ll_square(1 + rho);
    const double p = fmax(ll_square(1 - rho) / sum2, 1e-40);
    const double inside = rho < 1 ? 1.0 : rho > 1 ? 0.0 : 0.5;
    const double share = 1.0 / (LL_PI * far);
    const double turn = cel(kc, p, 1 + rho, 1 - rho) / sum2;
    const double sine2 = cel(kc, 1.0, p, 1.0) - p * cel(kc, p, 1.0, 1.0);
    const double a = 4 * share * zeta / sum2 * sine2 / ll_square(1 - p);
    return (rim_value){
        .psi = share * (cel(kc, 1.0, 1 + rho, 1 - rho) + zeta * zeta * turn) - 0.5 * zeta * inside,
        .axial = 0.5 * inside - share * zeta * turn,
        .radial = share * cel(kc, 1.0, -1.0, 1.0),
        .cross = 0.25 / fmax(1.0, rho * rho) - a,
    };
}

static rim_value mean_over_rim(double rho, double zeta, const double *cosine, int count)
{
    rim_value sum = {0, 0, 0, 0};
    const double unlike2 = ll_square(1 - rho) + zeta * zeta;
    for (int i = 0; i < count; i++) {
        const double c = cosine[i], d2 = unlike2 + 2 * rho * (1 - c), d = sqrt(d2);
        const double towards = 1 - rho * c, sine2 = 1 - c * c;
        const double e = 1.0 / (d + zeta), f = 1.0 / d;
        sum.psi += towards * e;
        sum.axial += towards * e * f;
        sum.radial += sine2 * f * f * f;
        sum.cross += sine2 * e * f;
    }
    const double share = 0.5 / count;
    return (rim_value){share * sum.psi, share * sum.axial, share * rho * sum.radial,
                       share * sum.cross};
}

/* Equal steps between 0 and pi, from the middle of the first one; 8, 16 or 32 of them. */
void ll_rim_rule_fill(ll_rim_rule *rule)
{
    for (int r = 0; r < 3; r++)
        for (int i = 0; i < 8 << r; i++)
            rule->cosine[r][i] = cos((i + 0.5) * LL_PI / (8 << r));
}

/* The error of n steps over half the rim is ((1 - kc) / (1 + kc))^(2 n), kc the ratio of the nearest to the farthest
 * distance to the rim: below 1e-15 at each of the bounds. */
static rim_value rim_at(const ll_rim_rule *rule, double rho, double zeta)
{
    const double near2 = ll_square(1 - rho) + zeta * zeta;
    const double kc = sqrt(near2 / (near2 + 4 * rho));
    if (kc < 0.28)
        return near_rim(rho, zeta, fmax(kc, 1e-12));
    const int r = kc > 0.8 ? 0 : kc > 0.5 ? 1 : 2;
    return mean_over_rim(rho, zeta, rule->cosine[r], 8 << r);
}

static double snap(double x)
{
    return fabs(x) <= ON_SURFACE ? 0.0 : x;
}

static double side(double zeta, double above)
{
    return zeta > 0 ? 1.0 : zeta < 0 ? -1.0 : above;
}

ll_source_value ll_rod_at(const ll_rim_rule *rule, const ll_rod_piece *rod, ll_vec3 m, ll_vec3 p,
                          double above)
{
    const double r = hypot(p.x, p.y), rho = 1.0 + snap(r / rod->radius - 1.0);
    const double top_z = snap((p.z - rod->high) / rod->radius);
    const double low_z = snap((p.z - rod->low) / rod->radius);
    const double st = side(top_z, above), sl = side(low_z, above);
    const rim_value t = rim_at(rule, rho, fabs(top_z)), l = rim_at(rule, rho, fabs(low_z));

    /* a and the axial field of the solenoid on the same cylinder; a hole's surface is seen from within. */
    const bool within = rho < 1 || (rho == 1 && rod->share < 0);
    const double c = 0.25 / fmax(1.0, rho * rho);
    const double a = c * (sl - st) - sl * l.cross + st * t.cross;
    const double solenoid = (within ? 0.5 : 0.0) * (sl - st) - sl * l.axial + st * t.axial;

    const double ex = r > 0 ? p.x / r : 1.0, ey = r > 0 ? p.y / r : 0.0;
    const double radial_m = m.x * ex + m.y * ey;
    const double outwards = m.z * (t.radial - l.radial) - (solenoid - 2 * a) * radial_m;
    const double along = m.z * (st * t.axial - sl * l.axial) + radial_m * (t.radial - l.radial);
    const double psi = rod->radius * m.z * (t.psi - l.psi) + r * radial_m * a;
    const ll_vec3 h = ll_vec(outwards * ex - a * m.x, outwards * ey - a * m.y, along);
    return (ll_source_value){ll_scale(rod->share, h), rod->share * psi};
}
