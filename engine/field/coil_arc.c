/* coil_arc.c - where to put the Gauss points along a quarter circle of a winding.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/gauss.h"
#include "base/vectorised.h"
#include "coil_kernels.h"

ll_status ll_gauss_fill(ll_gauss *gauss)
{
    static const int sizes[LL_GAUSS_SIZES] = {6, 8, 12, 16, 20, 32, 64};
    for (int s = 0; s < LL_GAUSS_SIZES; s++) {
        gauss->count[s] = sizes[s];
        const ll_status status = ll_gauss_points(sizes[s], gauss->node[s], gauss->weight[s]);
        if (status)
            return status;
    }
    return LL_OK;
}

ll_racetrack ll_racetrack_of(const ll_coil_shape *coil)
{
    return (ll_racetrack){.half_x = fmax(0.0, 0.5 * coil->opening_x_m - coil->corner_m),
                          .half_y = fmax(0.0, 0.5 * coil->opening_y_m - coil->corner_m),
                          .inner = coil->corner_m,
                          .build = coil->build_m,
                          .half_height = 0.5 * coil->height_m};
}

/* Seen along the arc, the integrand is singular at theta = bearing +- j gap, where the complex distance
 * s^2 + d^2 + height^2 - 2 s d cos(theta - bearing) vanishes for the nearest s of the build. */
static inline double angular_gap(const ll_racetrack *coil, double d2, double height)
{
    const double d = sqrt(d2), away = sqrt(d2 + height * height), outer = coil->inner + coil->build;
    const double s = away < coil->inner ? coil->inner : away > outer ? outer : away;
    const double gap2 = ll_square(s - d) + height * height, product = s * d;
    const bool far = product <= 0.1 * gap2;
    const double gap = far ? 3.0 : 2.0 * asinh(0.5 * sqrt(gap2 / (far ? 1.0 : product)));
    return gap > 1e-6 ? gap : 1e-6;
}

/* A point seen from the centre of a corner that is mirrored into the first quadrant by the signs sx and sy:
 * theta = bearing + gap sinh(t) moves the singular points to t = +- j pi/2 however close they are (B. M. Johnston,
 * P. R. Johnston, D. Elliott, Int. J. Numer. Meth. Eng. 69 (2007) 1345); so the number of directions grows only with
 * the logarithm of the gap. */
typedef struct corner_view {
    double sx[4], sy[4], x[4], y[4], gap[4], bearing[4], middle[4], half[4];
} corner_view;

static LL_VECTORISED(look_from_corners,
                     (const ll_racetrack *coil, ll_vec3 p, double height, corner_view *c),
                     (coil, p, height, c))
{
#pragma omp simd
    for (int k = 0; k < 4; k++) {
        c->sx[k] = k & 1 ? -1 : 1;
        c->sy[k] = k & 2 ? -1 : 1;
        const double x = c->sx[k] * p.x - coil->half_x, y = c->sy[k] * p.y - coil->half_y;
        const double gap = angular_gap(coil, x * x + y * y, height), seen = atan2(y, x);
        const double bearing = seen < -0.75 * LL_PI ? seen + 2 * LL_PI : seen;
        const double first = asinh(-bearing / gap), last = asinh((0.5 * LL_PI - bearing) / gap);
        c->x[k] = x;
        c->y[k] = y;
        c->gap[k] = gap;
        c->bearing[k] = bearing;
        c->half[k] = 0.5 * (last - first);
        c->middle[k] = 0.5 * (last + first);
    }
}

/* The angles of one corner's directions in u, as long as nothing else stands there. Returns how many. */
static inline int spread(const ll_gauss *gauss, const corner_view *c, int k, double *u,
                         double *weight)
{
    int size = 0;
    while (size < LL_GAUSS_SIZES - 1 && gauss->count[size] < 4.0 + 4.0 * c->half[k])
        size++;
    const double *node = gauss->node[size], *share = gauss->weight[size];
    const double gap = 0.5 * c->gap[k], middle = c->middle[k], half = c->half[k];
    const double bearing = c->bearing[k];
#pragma omp simd
    for (int i = 0; i < gauss->count[size]; i++) {
        const double e = exp(middle + half * node[i]);
        u[i] = bearing + gap * (e - 1 / e);
        weight[i] = half * share[i] * gap * (e + 1 / e);
    }
    return gauss->count[size];
}

/* Turns the directions of one corner back out of the first quadrant and sees the point along them. */
static inline void turn_back(const corner_view *c, int k, int first, int end, ll_arcs *arcs)
{
    const double x = c->x[k], y = c->y[k], sx = c->sx[k], sy = c->sy[k];
    double *cosine = arcs->cosine, *sine = arcs->sine, *u = arcs->u, *v = arcs->v;
#pragma omp simd
    for (int i = first; i < end; i++) {
        u[i] = x * cosine[i] + y * sine[i];
        v[i] = y * cosine[i] - x * sine[i];
        cosine[i] *= sx;
        sine[i] *= sy;
    }
}

/* Sine and cosine in loops of their own: together they would be one function that has no vector form. */
LL_VECTORISED(ll_arcs_seen,
              (const ll_gauss *gauss, const ll_racetrack *coil, ll_vec3 point, double height,
               ll_arcs *arcs),
              (gauss, coil, point, height, arcs))
{
    corner_view corners;
    int end[5] = {0};
    /* cppcheck-suppress ctuuninitvar ; all that is used of it is filled here */
    double *cosine = arcs->cosine, *sine = arcs->sine;
    const double *angle = arcs->u;
    look_from_corners(coil, point, height, &corners);
    for (int k = 0; k < 4; k++)
        end[k + 1] = end[k] + spread(gauss, &corners, k, arcs->u + end[k], arcs->weight + end[k]);
#pragma omp simd
    for (int i = 0; i < end[4]; i++)
        cosine[i] = cos(angle[i]);
#pragma omp simd
    for (int i = 0; i < end[4]; i++)
        sine[i] = sin(angle[i]);
    for (int k = 0; k < 4; k++)
        turn_back(&corners, k, end[k], end[k + 1], arcs);
    arcs->count = end[4];
}
