/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "field/panel.h"
#include "base/constants.h"
#include "base/vectorised.h"

#include <stdlib.h>
#include <string.h>

/* One array for each quantity, one entry for each panel. Edge e lies opposite corner e. */
enum {
    VX,
    VY,
    VZ, /* corner 0: 3 x 3 numbers up to corner 2 */
    NX = VX + 9,
    NY,
    NZ, /* normal */
    UX,
    UY,
    UZ,                          /* outward normal of edge 0 in the plane: 3 x 3 numbers */
    LENGTH = UX + 9,             /* of the edges: 3 */
    INVERSE_HEIGHT = LENGTH + 3, /* of the corners above their edges: 3 */
    UU01 = INVERSE_HEIGHT + 3,
    UU02,
    UU12, /* products of the edges' normals */
    AREA,
    QUANTITIES
};

struct ll_panels {
    size_t count;
    double *q[QUANTITIES];
    double *block;
};

static void set3(double *const *q, int which, size_t i, ll_vec3 v)
{
    q[which][i] = v.x;
    q[which + 1][i] = v.y;
    q[which + 2][i] = v.z;
}

static ll_vec3 get3(double *const *q, int which, size_t i)
{
    return ll_vec(q[which][i], q[which + 1][i], q[which + 2][i]);
}

static void describe(double *const *q, size_t i, const ll_vec3 v[3])
{
    const ll_vec3 cross = ll_cross(ll_sub(v[1], v[0]), ll_sub(v[2], v[0]));
    const double twice_area = ll_norm(cross);
    const ll_vec3 n = ll_scale(1 / twice_area, cross);
    ll_vec3 u[3];
    for (int e = 0; e < 3; e++) {
        const ll_vec3 edge = ll_sub(v[(e + 2) % 3], v[(e + 1) % 3]);
        const double length = ll_norm(edge);
        u[e] = ll_scale(1 / length, ll_cross(edge, n));
        set3(q, VX + 3 * e, i, v[e]);
        set3(q, UX + 3 * e, i, u[e]);
        q[LENGTH + e][i] = length;
        q[INVERSE_HEIGHT + e][i] = length / twice_area;
    }
    set3(q, NX, i, n);
    q[UU01][i] = ll_dot(u[0], u[1]);
    q[UU02][i] = ll_dot(u[0], u[2]);
    q[UU12][i] = ll_dot(u[1], u[2]);
    q[AREA][i] = 0.5 * twice_area;
}

ll_status ll_panels_new(size_t count, const int (*triangle)[3], const ll_vec3 *node,
                        ll_panels **out)
{
    ll_panels *panels = calloc(1, sizeof *panels);
    double *block = malloc((count + 1) * QUANTITIES * sizeof *block);
    if (!panels || !block) {
        free(panels);
        free(block);
        return LL_NO_MEMORY;
    }
    panels->count = count;
    panels->block = block;
    for (int k = 0; k < QUANTITIES; k++)
        panels->q[k] = block + (size_t)k * count;
    for (size_t i = 0; i < count; i++) {
        const ll_vec3 v[3] = {node[triangle[i][0]], node[triangle[i][1]], node[triangle[i][2]]};
        describe(panels->q, i, v);
    }
    *out = panels;
    return LL_OK;
}

void ll_panels_free(ll_panels *panels)
{
    if (!panels)
        return;
    free(panels->block);
    free(panels);
}

double ll_panels_area(const ll_panels *panels, size_t i)
{
    return panels->q[AREA][i];
}

ll_vec3 ll_panels_normal(const ll_panels *panels, size_t i)
{
    return get3(panels->q, NX, i);
}

/* The line integral of 1/R along an edge of length l between ends at distances ra and rb. */
static inline double edge_log(double ra, double rb, double l)
{
    const double gap = ra + rb - l;
    const double least = 1e-14 * l;
    return log((ra + rb + l) / (gap > least ? gap : least));
}

/* The line integral of R along the same edge, d the distance of the point's foot from the edge in the plane, times
 * two: R0^2 f + s+ R+ - s- R-. */
static inline double edge_area(double ra, double rb, double l, double f, double r0_squared)
{
    const double sum = (rb * rb - ra * ra) / l;
    return r0_squared * f + 0.5 * ((sum + l) * rb - (sum - l) * ra);
}

/* Signed solid angle / height convention: positive above the plane, zero on it. */
static inline double solid_angle(double twice_area, double h, double r0, double r1, double r2,
                                 double l0, double l1, double l2)
{
    const double dot12 = 0.5 * (r1 * r1 + r2 * r2 - l0 * l0);
    const double dot02 = 0.5 * (r0 * r0 + r2 * r2 - l1 * l1);
    const double dot01 = 0.5 * (r0 * r0 + r1 * r1 - l2 * l2);
    const double below = r0 * r1 * r2 + dot12 * r0 + dot02 * r1 + dot01 * r2;
    return 2 * atan2(twice_area * h, below);
}

static const double flat = 1e-11;

/* Heights below rounding count as zero: the double layer jumps there. */
static inline double clean_height(double h, double scale)
{
    return fabs(h) < flat * scale ? 0.0 : h;
}

LL_VECTORISED(ll_panel_potentials,
              (const ll_panels *panels, size_t i, double contact, size_t n, const double *x,
               const double *y, const double *z, double *s, double *d),
              (panels, i, contact, n, x, y, z, s, d))
{
    double c[QUANTITIES];
    for (int k = 0; k < QUANTITIES; k++)
        c[k] = panels->q[k][i];
    const double quarter = 1 / (4 * LL_PI);
    const double least = contact > 0 ? contact : flat * c[LENGTH];
#pragma omp simd
    for (size_t p = 0; p < n; p++) {
        const double ax = x[p] - c[VX], ay = y[p] - c[VY], az = z[p] - c[VZ];
        const double bx = x[p] - c[VX + 3], by = y[p] - c[VY + 3], bz = z[p] - c[VZ + 3];
        const double ex = x[p] - c[VX + 6], ey = y[p] - c[VY + 6], ez = z[p] - c[VZ + 6];
        const double true_h = ax * c[NX] + ay * c[NY] + az * c[NZ];
        const double h = fabs(true_h) < least ? contact : true_h;
        const double lift = h * h - true_h * true_h;
        const double r0 = sqrt(ax * ax + ay * ay + az * az + lift);
        const double r1 = sqrt(bx * bx + by * by + bz * bz + lift);
        const double r2 = sqrt(ex * ex + ey * ey + ez * ez + lift);
        /* Distance of the foot from each edge, positive inside. */
        const double d0 = -(bx * c[UX] + by * c[UY] + bz * c[UZ]);
        const double d1 = -(ex * c[UX + 3] + ey * c[UY + 3] + ez * c[UZ + 3]);
        const double d2 = -(ax * c[UX + 6] + ay * c[UY + 6] + az * c[UZ + 6]);
        const double f0 = edge_log(r1, r2, c[LENGTH]);
        const double f1 = edge_log(r2, r0, c[LENGTH + 1]);
        const double f2 = edge_log(r0, r1, c[LENGTH + 2]);
        const double w0 = edge_area(r1, r2, c[LENGTH], f0, d0 * d0 + h * h);
        const double w1 = edge_area(r2, r0, c[LENGTH + 1], f1, d1 * d1 + h * h);
        const double w2 = edge_area(r0, r1, c[LENGTH + 2], f2, d2 * d2 + h * h);
        const double angle = h == 0.0 ? 0.0
                                      : solid_angle(2 * c[AREA], h, r0, r1, r2, c[LENGTH],
                                                    c[LENGTH + 1], c[LENGTH + 2]);
        const double whole = d0 * f0 + d1 * f1 + d2 * f2 - h * angle;
        const double q0 = quarter * c[INVERSE_HEIGHT], q1 = quarter * c[INVERSE_HEIGHT + 1],
                     q2 = quarter * c[INVERSE_HEIGHT + 2];
        s[p] = q0 * (d0 * whole - 0.5 * (w0 + c[UU01] * w1 + c[UU02] * w2));
        s[n + p] = q1 * (d1 * whole - 0.5 * (c[UU01] * w0 + w1 + c[UU12] * w2));
        s[2 * n + p] = q2 * (d2 * whole - 0.5 * (c[UU02] * w0 + c[UU12] * w1 + w2));
        d[p] = q0 * (d0 * angle + h * (f0 + c[UU01] * f1 + c[UU02] * f2));
        d[n + p] = q1 * (d1 * angle + h * (c[UU01] * f0 + f1 + c[UU12] * f2));
        d[2 * n + p] = q2 * (d2 * angle + h * (c[UU02] * f0 + c[UU12] * f1 + f2));
    }
}

ll_vec3 ll_panels_centre(const ll_panels *panels, size_t i)
{
    double *const *q = panels->q;
    return ll_scale(1.0 / 3,
                    ll_add(get3(q, VX, i), ll_add(get3(q, VX + 3, i), get3(q, VX + 6, i))));
}

double ll_panels_radius(const ll_panels *panels, size_t i)
{
    const ll_vec3 centre = ll_panels_centre(panels, i);
    double radius = 0;
    for (int k = 0; k < 3; k++)
        radius = fmax(radius, ll_norm(ll_sub(get3(panels->q, VX + 3 * k, i), centre)));
    return radius;
}

LL_VECTORISED(ll_panel_potentials_afar,
              (const ll_panels *panels, size_t i, size_t n, const double *x, const double *y,
               const double *z, double *s, double *d),
              (panels, i, n, x, y, z, s, d))
{
    double *const *q = panels->q;
    const ll_vec3 normal = get3(q, NX, i), centre = ll_panels_centre(panels, i);
    ll_vec3 at[3];
    for (int k = 0; k < 3; k++)
        at[k] = ll_scale(0.5, ll_add(centre, get3(q, VX + 3 * k, i)));
    const double share = q[AREA][i] / (3 * 4 * LL_PI);
#pragma omp simd
    for (size_t p = 0; p < n; p++) {
        const double h = (x[p] - centre.x) * normal.x + (y[p] - centre.y) * normal.y +
                         (z[p] - centre.z) * normal.z;
        const double ax = x[p] - at[0].x, ay = y[p] - at[0].y, az = z[p] - at[0].z;
        const double bx = x[p] - at[1].x, by = y[p] - at[1].y, bz = z[p] - at[1].z;
        const double cx = x[p] - at[2].x, cy = y[p] - at[2].y, cz = z[p] - at[2].z;
        const double ra = 1 / sqrt(ax * ax + ay * ay + az * az);
        const double rb = 1 / sqrt(bx * bx + by * by + bz * bz);
        const double rc = 1 / sqrt(cx * cx + cy * cy + cz * cz);
        const double sum = (ra + rb + rc) / 6;
        s[p] = share * (sum + 0.5 * ra);
        s[n + p] = share * (sum + 0.5 * rb);
        s[2 * n + p] = share * (sum + 0.5 * rc);
        const double da = ra * ra * ra, db = rb * rb * rb, dc = rc * rc * rc;
        const double all = (da + db + dc) / 6;
        d[p] = share * h * (all + 0.5 * da);
        d[n + p] = share * h * (all + 0.5 * db);
        d[2 * n + p] = share * h * (all + 0.5 * dc);
    }
}

/* ---- fields ---- */

enum { GROUP = 32 };
/* Beyond this many of its radii a panel is seen as three points: error below 1e-4 of what it adds there. */
static const double radii_apart = 6;

/* Points of one group, and the field that gathers there, times 4 pi. */
typedef struct ll_group {
    double x[GROUP], y[GROUP], z[GROUP], hx[GROUP], hy[GROUP], hz[GROUP];
} ll_group;

/* One panel with its densities: corner charges, and the surface current grad w x n that a dipole layer w amounts to. */
typedef struct ll_loaded {
    double q[QUANTITIES], c[3];
    ll_vec3 j;
} ll_loaded;

static ll_loaded load_panel(const ll_panels *panels, size_t i, const double *charge,
                            const double *dipole)
{
    ll_loaded p;
    ll_vec3 gradient = {0, 0, 0};
    for (int k = 0; k < QUANTITIES; k++)
        p.q[k] = panels->q[k][i];
    for (int k = 0; k < 3; k++) {
        p.c[k] = charge[3 * i + (size_t)k];
        gradient = ll_add(gradient, ll_scale(-dipole[3 * i + (size_t)k] * p.q[INVERSE_HEIGHT + k],
                                             get3(panels->q, UX + 3 * k, i)));
    }
    p.j = ll_cross(gradient, get3(panels->q, NX, i));
    return p;
}

/* Integral of a density along an edge over R, from its values at the ends. */
static inline double edge_integral(double ca, double cb, double ra, double rb, double l, double f)
{
    const double slope = (cb - ca) / l, start = 0.5 * ((rb * rb - ra * ra) / l - l);
    return (ca - slope * start) * f + slope * (rb - ra);
}

static LL_VECTORISED(add_field, (const ll_loaded *panel, ll_group *g), (panel, g))
{
    double
        c[QUANTITIES]; /* a copy: what cannot change behind the loop's back may stay in registers */
    memcpy(c, panel->q, sizeof c);
    const double c0 = panel->c[0], c1 = panel->c[1], c2 = panel->c[2];
    const double k0 = c0 * c[INVERSE_HEIGHT], k1 = c1 * c[INVERSE_HEIGHT + 1],
                 k2 = c2 * c[INVERSE_HEIGHT + 2];
    const double jx = panel->j.x, jy = panel->j.y, jz = panel->j.z;
    const double *x = g->x, *y = g->y, *z = g->z;
    double *hx = g->hx, *hy = g->hy, *hz = g->hz;
#pragma omp simd
    for (size_t p = 0; p < GROUP; p++) {
        const double ax = x[p] - c[VX], ay = y[p] - c[VY], az = z[p] - c[VZ];
        const double bx = x[p] - c[VX + 3], by = y[p] - c[VY + 3], bz = z[p] - c[VZ + 3];
        const double ex = x[p] - c[VX + 6], ey = y[p] - c[VY + 6], ez = z[p] - c[VZ + 6];
        const double r0 = sqrt(ax * ax + ay * ay + az * az);
        const double r1 = sqrt(bx * bx + by * by + bz * bz);
        const double r2 = sqrt(ex * ex + ey * ey + ez * ez);
        const double h = clean_height(ax * c[NX] + ay * c[NY] + az * c[NZ], c[LENGTH]);
        const double d0 = -(bx * c[UX] + by * c[UY] + bz * c[UZ]);
        const double d1 = -(ex * c[UX + 3] + ey * c[UY + 3] + ez * c[UZ + 3]);
        const double d2 = -(ax * c[UX + 6] + ay * c[UY + 6] + az * c[UZ + 6]);
        const double f0 = edge_log(r1, r2, c[LENGTH]);
        const double f1 = edge_log(r2, r0, c[LENGTH + 1]);
        const double f2 = edge_log(r0, r1, c[LENGTH + 2]);
        const double angle = h == 0.0 ? 0.0
                                      : solid_angle(2 * c[AREA], h, r0, r1, r2, c[LENGTH],
                                                    c[LENGTH + 1], c[LENGTH + 2]);
        const double whole = d0 * f0 + d1 * f1 + d2 * f2 - h * angle;
        /* Charge: its mean over the solid angle along n, edge integrals, and the slope across. */
        const double along = k0 * (d0 * angle + h * (f0 + c[UU01] * f1 + c[UU02] * f2)) +
                             k1 * (d1 * angle + h * (c[UU01] * f0 + f1 + c[UU12] * f2)) +
                             k2 * (d2 * angle + h * (c[UU02] * f0 + c[UU12] * f1 + f2));
        const double e0 = edge_integral(c1, c2, r1, r2, c[LENGTH], f0) + whole * k0;
        const double e1 = edge_integral(c2, c0, r2, r0, c[LENGTH + 1], f1) + whole * k1;
        const double e2 = edge_integral(c0, c1, r0, r1, c[LENGTH + 2], f2) + whole * k2;
        /* Current: J x integral (x - y) / R^3. */
        const double fx = c[NX] * angle + c[UX] * f0 + c[UX + 3] * f1 + c[UX + 6] * f2;
        const double fy = c[NY] * angle + c[UY] * f0 + c[UY + 3] * f1 + c[UY + 6] * f2;
        const double fz = c[NZ] * angle + c[UZ] * f0 + c[UZ + 3] * f1 + c[UZ + 6] * f2;
        hx[p] += along * c[NX] + e0 * c[UX] + e1 * c[UX + 3] + e2 * c[UX + 6] + jy * fz - jz * fy;
        hy[p] += along * c[NY] + e0 * c[UY] + e1 * c[UY + 3] + e2 * c[UY + 6] + jz * fx - jx * fz;
        hz[p] += along * c[NZ] + e0 * c[UZ] + e1 * c[UZ + 3] + e2 * c[UZ + 6] + jx * fy - jy * fx;
    }
}

/* The panel's charge and current gathered in three points. */
static LL_VECTORISED(add_field_afar, (const ll_loaded *panel, ll_vec3 centre, ll_group *g),
                     (panel, centre, g))
{
    const double *c = panel->q;
    const double sum = (panel->c[0] + panel->c[1] + panel->c[2]) / 6, share = c[AREA] / 3;
    const double jx = share * panel->j.x, jy = share * panel->j.y, jz = share * panel->j.z;
    for (int k = 0; k < 3; k++) {
        const double at_x = 0.5 * (centre.x + c[VX + 3 * k]),
                     at_y = 0.5 * (centre.y + c[VY + 3 * k]),
                     at_z = 0.5 * (centre.z + c[VZ + 3 * k]);
        const double q = share * (sum + 0.5 * panel->c[k]);
#pragma omp simd
        for (size_t p = 0; p < GROUP; p++) {
            const double x = g->x[p] - at_x, y = g->y[p] - at_y, z = g->z[p] - at_z;
            const double r2 = x * x + y * y + z * z, cube = 1 / (r2 * sqrt(r2));
            g->hx[p] += cube * (q * x + jy * z - jz * y);
            g->hy[p] += cube * (q * y + jz * x - jx * z);
            g->hz[p] += cube * (q * z + jx * y - jy * x);
        }
    }
}

/* Up to GROUP points; places that are not used repeat the first. Returns the radius around *centre. */
static double load_group(size_t n, const ll_vec3 *points, ll_group *g, ll_vec3 *centre)
{
    double radius = 0;
    *centre = ll_vec(0, 0, 0);
    for (size_t p = 0; p < GROUP; p++) {
        const ll_vec3 at = points[p < n ? p : 0];
        g->x[p] = at.x;
        g->y[p] = at.y;
        g->z[p] = at.z;
        g->hx[p] = g->hy[p] = g->hz[p] = 0;
        if (p < n)
            *centre = ll_add(*centre, ll_scale(1 / (double)n, at));
    }
    for (size_t p = 0; p < n; p++)
        radius = fmax(radius, ll_norm(ll_sub(points[p], *centre)));
    return radius;
}

static void field_of_group(const ll_panels *panels, const double *charge, const double *dipole,
                           size_t n, const ll_vec3 *points, ll_vec3 *h)
{
    ll_group g;
    ll_vec3 middle;
    const double radius = load_group(n, points, &g, &middle);
    for (size_t i = 0; i < panels->count; i++) {
        const ll_loaded panel = load_panel(panels, i, charge, dipole);
        const ll_vec3 centre = ll_panels_centre(panels, i);
        if (ll_norm(ll_sub(centre, middle)) - radius > radii_apart * ll_panels_radius(panels, i))
            add_field_afar(&panel, centre, &g);
        else
            add_field(&panel, &g);
    }
    const double quarter = 1 / (4 * LL_PI);
    for (size_t p = 0; p < n; p++)
        h[p] = ll_add(h[p], ll_scale(quarter, ll_vec(g.hx[p], g.hy[p], g.hz[p])));
}

void ll_panels_field(const ll_panels *panels, const double *charge, const double *dipole, size_t n,
                     const ll_vec3 *points, ll_vec3 *h)
{
    for (size_t first = 0; first < n; first += GROUP) {
        const size_t left = n - first;
        field_of_group(panels, charge, dipole, left < GROUP ? left : GROUP, points + first,
                       h + first);
    }
}
