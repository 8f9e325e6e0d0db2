/* coil_arc.c - where to put the Gauss points along a quarter circle of a winding.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "coil_kernels.h"
#include <gsl/gsl_integration.h>

ll_status ll_gauss_fill(ll_gauss *gauss)
{
    static const int sizes[LL_GAUSS_SIZES] = {6, 8, 12, 16, 20, 32, 64};
    for (int s = 0; s < LL_GAUSS_SIZES; s++) {
        gauss->count[s] = sizes[s];
        const size_t n = (size_t)sizes[s];
        gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc(n);
        if (!table)
            return LL_NO_MEMORY;
        for (size_t i = 0; i < n; i++)
            gsl_integration_glfixed_point(-1, 1, i, &gauss->node[s][i], &gauss->weight[s][i],
                                          table);
        gsl_integration_glfixed_table_free(table);
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
static double angular_gap(const ll_racetrack *coil, double d, double height)
{
    const double s = fmin(fmax(hypot(d, height), coil->inner), coil->inner + coil->build);
    const double gap2 = ll_square(s - d) + height * height;
    if (s * d <= 0.1 * gap2)
        return 3.0;
    return fmax(2.0 * asinh(0.5 * sqrt(gap2 / (s * d))), 1e-6);
}

/* theta = bearing + gap sinh(t) moves the singular points to t = +- j pi/2 however close they are (B. M. Johnston,
 * P. R. Johnston, D. Elliott, Int. J. Numer. Meth. Eng. 69 (2007) 1345); so the number of points grows only with the
 * logarithm of the gap. */
void ll_arc_points(const ll_gauss *gauss, const ll_racetrack *coil, double x, double y,
                   double height, ll_arc *arc)
{
    const double gap = angular_gap(coil, hypot(x, y), height);
    double bearing = atan2(y, x);
    if (bearing < -0.75 * LL_PI)
        bearing += 2 * LL_PI;
    const double first = asinh(-bearing / gap), last = asinh((0.5 * LL_PI - bearing) / gap);
    const double half = 0.5 * (last - first), middle = 0.5 * (last + first);
    int size = 0;
    while (size < LL_GAUSS_SIZES - 1 && gauss->count[size] < 4.0 + 4.0 * half)
        size++;
    arc->count = gauss->count[size];
    for (int i = 0; i < arc->count; i++) {
        const double e = exp(middle + half * gauss->node[size][i]);
        const double theta = bearing + 0.5 * gap * (e - 1 / e);
        arc->weight[i] = half * gauss->weight[size][i] * 0.5 * gap * (e + 1 / e);
        arc->cosine[i] = cos(theta);
        arc->sine[i] = sin(theta);
    }
}
