/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "field/panel.h"
#include "base/constants.h"
#include "base/vectorised.h"

#include <stdlib.h>

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

size_t ll_panels_count(const ll_panels *panels)
{
    return panels->count;
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

LL_VECTORISED
void ll_panel_potentials(const ll_panels *panels, size_t i, double contact, size_t n,
                         const double *x, const double *y, const double *z, double *s, double *d)
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

LL_VECTORISED
void ll_panel_potentials_afar(const ll_panels *panels, size_t i, size_t n, const double *x,
                              const double *y, const double *z, double *s, double *d)
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

LL_VECTORISED
ll_vec3 ll_panels_field(const ll_panels *panels, const double *charge, const double *dipole,
                        ll_vec3 point)
{
    double *const *q = panels->q;
    double hx = 0, hy = 0, hz = 0;
#pragma omp simd reduction(+ : hx, hy, hz)
    for (size_t i = 0; i < panels->count; i++) {
        const double ax = point.x - q[VX][i], ay = point.y - q[VY][i], az = point.z - q[VZ][i];
        const double bx = point.x - q[VX + 3][i], by = point.y - q[VY + 3][i],
                     bz = point.z - q[VZ + 3][i];
        const double ex = point.x - q[VX + 6][i], ey = point.y - q[VY + 6][i],
                     ez = point.z - q[VZ + 6][i];
        const double r0 = sqrt(ax * ax + ay * ay + az * az);
        const double r1 = sqrt(bx * bx + by * by + bz * bz);
        const double r2 = sqrt(ex * ex + ey * ey + ez * ez);
        const double l0 = q[LENGTH][i], l1 = q[LENGTH + 1][i], l2 = q[LENGTH + 2][i];
        const double nx = q[NX][i], ny = q[NY][i], nz = q[NZ][i];
        const double h = clean_height(ax * nx + ay * ny + az * nz, l0);
        const double u0x = q[UX][i], u0y = q[UY][i], u0z = q[UZ][i];
        const double u1x = q[UX + 3][i], u1y = q[UY + 3][i], u1z = q[UZ + 3][i];
        const double u2x = q[UX + 6][i], u2y = q[UY + 6][i], u2z = q[UZ + 6][i];
        const double d0 = -(bx * u0x + by * u0y + bz * u0z);
        const double d1 = -(ex * u1x + ey * u1y + ez * u1z);
        const double d2 = -(ax * u2x + ay * u2y + az * u2z);
        const double f0 = edge_log(r1, r2, l0), f1 = edge_log(r2, r0, l1),
                     f2 = edge_log(r0, r1, l2);
        const double angle =
            h == 0.0 ? 0.0 : solid_angle(2 * q[AREA][i], h, r0, r1, r2, l0, l1, l2);
        const double whole = d0 * f0 + d1 * f1 + d2 * f2 - h * angle;
        const double k0 = q[INVERSE_HEIGHT][i], k1 = q[INVERSE_HEIGHT + 1][i],
                     k2 = q[INVERSE_HEIGHT + 2][i];
        const double c0 = charge[3 * i], c1 = charge[3 * i + 1], c2 = charge[3 * i + 2];

        /* Charge: its mean over the solid angle along n, edge integrals and the slope across. */
        const double along = c0 * k0 * (d0 * angle + h * (f0 + q[UU01][i] * f1 + q[UU02][i] * f2)) +
                             c1 * k1 * (d1 * angle + h * (q[UU01][i] * f0 + f1 + q[UU12][i] * f2)) +
                             c2 * k2 * (d2 * angle + h * (q[UU02][i] * f0 + q[UU12][i] * f1 + f2));
        /* Along an edge from a to b: s runs from ((rb^2 - ra^2)/l - l)/2. */
        const double g0 = (c2 - c1) / l0, g1 = (c0 - c2) / l1, g2 = (c1 - c0) / l2;
        const double s0 = 0.5 * ((r2 * r2 - r1 * r1) / l0 - l0),
                     s1 = 0.5 * ((r0 * r0 - r2 * r2) / l1 - l1),
                     s2 = 0.5 * ((r1 * r1 - r0 * r0) / l2 - l2);
        const double e0 = (c1 - g0 * s0) * f0 + g0 * (r2 - r1) + whole * c0 * k0;
        const double e1 = (c2 - g1 * s1) * f1 + g1 * (r0 - r2) + whole * c1 * k1;
        const double e2 = (c0 - g2 * s2) * f2 + g2 * (r1 - r0) + whole * c2 * k2;
        hx += along * nx + e0 * u0x + e1 * u1x + e2 * u2x;
        hy += along * ny + e0 * u0y + e1 * u1y + e2 * u2y;
        hz += along * nz + e0 * u0z + e1 * u1z + e2 * u2z;

        /* Dipoles: the field of the surface current grad w x n. */
        const double m0 = -dipole[3 * i] * k0, m1 = -dipole[3 * i + 1] * k1,
                     m2 = -dipole[3 * i + 2] * k2;
        const double gx = m0 * u0x + m1 * u1x + m2 * u2x, gy = m0 * u0y + m1 * u1y + m2 * u2y,
                     gz = m0 * u0z + m1 * u1z + m2 * u2z;
        const double jx = gy * nz - gz * ny, jy = gz * nx - gx * nz, jz = gx * ny - gy * nx;
        const double fx = nx * angle + u0x * f0 + u1x * f1 + u2x * f2,
                     fy = ny * angle + u0y * f0 + u1y * f1 + u2y * f2,
                     fz = nz * angle + u0z * f0 + u1z * f1 + u2z * f2;
        hx += jy * fz - jz * fy;
        hy += jz * fx - jx * fz;
        hz += jx * fy - jy * fx;
    }
    const double quarter = 1 / (4 * LL_PI);
    return ll_vec(quarter * hx, quarter * hy, quarter * hz);
}
