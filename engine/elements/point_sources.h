/* point_sources.h - field and potential of point charges and point dipoles. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_POINT_SOURCES_H
#define LL_ELEMENTS_POINT_SOURCES_H

#include "base/geometry.h"
#include <stddef.h>

/* Charges in A m and dipoles in A m2 along unit normals. */
typedef struct ll_cloud_sources {
    size_t count;
    const ll_vec3 *at_m, *normal;
    const double *charge, *dipole;
} ll_cloud_sources;

/* h_a_m[count] += the field of each of one or two sets at the same places (the first's), at a point that none of them holds. */
void ll_clouds_add_h(size_t count, const ll_cloud_sources *s, ll_vec3 point_m, ll_vec3 *h_a_m);
/* *potential_a += that of n charges, in ampere. */
void ll_charges_add_potential(size_t n, const ll_vec3 *at_m, const double *charge_a_m,
                              ll_vec3 point_m, double *potential_a);

#endif
