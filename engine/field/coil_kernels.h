/* coil_kernels.h - a winding as straight sides and quarter circles; internal to field/.
 *
 * Own frame of the coil, axis z. Every integral over the build (the radial thickness) is a closed form, those along
 * the straight sides too; only the angle of the quarter circles is left to Gauss points. What one point needs of directions
 * and of sides stands in arrays, so that the machine's vector instructions take several at once.
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

/* Directions over the quarter circles of all four corners with weights in radian; u and v are the point's distances
 * from the corner's centre along and across each. */
typedef struct ll_arcs {
    int count;
    double cosine[4 * LL_GAUSS_MOST], sine[4 * LL_GAUSS_MOST], weight[4 * LL_GAUSS_MOST];
    double u[4 * LL_GAUSS_MOST], v[4 * LL_GAUSS_MOST];
} ll_arcs;
/* height is that of the point over the nearest of what makes its integrand singular. The directions crowd where an
 * arc passes nearest. */
void ll_arcs_seen(const ll_gauss *gauss, const ll_racetrack *coil, ll_vec3 point, double height,
                  ll_arcs *arcs);

/* Field and potential at p of a coil with one ampere-turn for each unit of height times build; outside the equivalent
 * magnet, that is without M inside it. */
ll_source_value ll_racetrack_charges(const ll_gauss *gauss, const ll_racetrack *coil, ll_vec3 p);

/* Integral of current direction / distance over the winding's volume at p, in m^2: times mu0 / 4 pi and the
 * current density, the vector potential. Along z it is 0. */
ll_vec3 ll_racetrack_vector(const ll_gauss *gauss, const ll_racetrack *coil, ll_vec3 p);

#endif
