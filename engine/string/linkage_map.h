/* linkage_map.h - what a string adds to a coil's flux linkage, as a smooth function of where it is.
 *
 * A polynomial in the displacements x (across) and z (up) from rest, fitted to samples by least squares, for a string
 * that moves as a whole. The linkage gathers over a stretch of string, the aperture: a displacement that changes along
 * the string counts with its mean, weighted by the aperture. That is exact for small motion; in the curvature, which
 * makes distortion, it neglects only how the displacement differs within the aperture.
 * SI units; linkage with the coil's turns included. A map never changes once made and may be shared between threads.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_LINKAGE_MAP_H
#define LL_STRING_LINKAGE_MAP_H

#include "base/api.h"
#include "base/status.h"
#include "string/linkage_samples.h"

LL_API_BEGIN

typedef struct ll_linkage_map ll_linkage_map;

/* How much each place along the string has to do with the linkage, in any unit: linear between the points, zero outside.
 * One point is an aperture without width; its weight is not looked at. */
typedef struct ll_aperture {
    size_t points;
    const double *from_bridge_m; /* rising */
    const double *weight;        /* their integral must not vanish */
} ll_aperture;

/* The share of its antinode's displacement with which partial n of a string of that length moves in the aperture, by its
 * weights: integral weight sin(n pi y / L) dy over integral weight dy. It has the nulls of the pickup's position and falls for
 * waves that are short against the aperture. 0 when the weights sum to nothing. */
double ll_aperture_comb(const ll_aperture *aperture, double length_m, size_t n);

/* A polynomial of the given total degree, 1 to LL_LINKAGE_MAP_DEGREE, no power of x or z higher than the distinct places
 * along it can tell, less one; a constant part of the samples is no matter. Copies what it needs; the caller frees *out with ll_linkage_map_free. For a linkage that falls as the cube of the distance to a
 * pole 3 mm below, sampled 1 mm each way on 9 x 9 places, degree 8 gives slopes within 0.2 % of that at rest half way out
 * and within 3.5 % at the corners; degree 6 within 1.5 % and 16 %.
 * LL_BAD_VALUE for figures that are not finite or samples that do not determine the polynomial (a grid does); LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_linkage_map_new(const ll_linkage_samples *samples, unsigned degree,
                             const ll_aperture *aperture, ll_linkage_map **out);
void ll_linkage_map_free(ll_linkage_map *map);

/* The largest difference between a sample and the polynomial. */
double ll_linkage_map_residual_wb(const ll_linkage_map *map);

/* ll_aperture_comb of the map's aperture. */
double ll_linkage_map_comb(const ll_linkage_map *map, double length_m, size_t n);

/* d(linkage)/dx and d(linkage)/dz in Wb/m at n displacements. LL_OUTSIDE_MAP when one is not covered. */
ll_status ll_linkage_map_gradient(const ll_linkage_map *map, size_t n, const double *x_m,
                                  const double *z_m, double *dx_wb_m, double *dz_wb_m);

/* Linkage in Wb at one displacement. LL_OUTSIDE_MAP. */
ll_status ll_linkage_map_value(const ll_linkage_map *map, double x_m, double z_m,
                               double *linkage_wb);

LL_API_END

#endif
