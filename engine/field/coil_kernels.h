/* coil_kernels.h - a winding as straight sides and quarter circles; internal to field/.
 *
 * Own frame of the coil, axis z. Every integral over the build (the radial thickness) is a closed form, those along
 * the straight sides too; only the angle of the quarter circles is left to Gauss points.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_FIELD_COIL_KERNELS_H
#define LL_FIELD_COIL_KERNELS_H

#include "source_kernels.h"
#include "winding/winding.h"

#define LL_GAUSS_SIZES 7
#define LL_GAUSS_MOST 64

/* Gauss-Legendre points on (-1, 1) in rising numbers. */
typedef struct ll_gauss {
    int count[LL_GAUSS_SIZES];
    double node[LL_GAUSS_SIZES][LL_GAUSS_MOST], weight[LL_GAUSS_SIZES][LL_GAUSS_MOST];
} ll_gauss;
ll_status ll_gauss_fill(ll_gauss *gauss);

/* The winding's dimensions as the kernels use them. */
typedef struct ll_racetrack {
    double half_x,
        half_y; /* half lengths of the straight sides, where the corners have their centres */
    double inner, build; /* inner corner radius, radial thickness */
    double half_height;
} ll_racetrack;
ll_racetrack ll_racetrack_of(const ll_coil_shape *coil);

/* Directions over the first quadrant's quarter circle with weights in radian. */
typedef struct ll_arc {
    int count;
    double cosine[LL_GAUSS_MOST], sine[LL_GAUSS_MOST], weight[LL_GAUSS_MOST];
} ll_arc;
/* x, y from the corner's centre; height is that of the point over the nearest of what makes its integrand
 * singular. The points crowd where the arc passes nearest. */
void ll_arc_points(const ll_gauss *gauss, const ll_racetrack *coil, double x, double y,
                   double height, ll_arc *arc);

/* Field and potential at p of a coil with one ampere-turn for each unit of height times build; outside the equivalent
 * magnet, that is without M inside it. */
ll_source_value ll_racetrack_charges(const ll_gauss *gauss, const ll_racetrack *coil, ll_vec3 p);

/* Integral of current direction / distance over the winding's volume at p, in m^2: times mu0 / 4 pi and the
 * current density, the vector potential. Along z it is 0. */
ll_vec3 ll_racetrack_vector(const ll_gauss *gauss, const ll_racetrack *coil, ll_vec3 p);

#endif
