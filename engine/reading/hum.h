/* hum.h - what coils link of a field from far away, such as that of a mains transformer, the steel's share included.
 *
 * By reciprocity: mu0 turns area n . H at the coil's middle, and mu0 integral (w H_n - psi lambda) dS over all steel, w and
 * lambda of one ampere in the coil, psi and H_n of the field from outside.
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_READING_HUM_H
#define LL_READING_HUM_H

#include "base/api.h"
#include "magnetics/solution.h"

LL_API_BEGIN

/* H = even_a_m + gradient (r - about_m); the gradient symmetric with no trace, as it is away from currents. */
typedef struct ll_outside_field {
    ll_vec3 even_a_m;
    double gradient_a_m2[3][3];
    ll_vec3 about_m;
} ll_outside_field;

/* Linkage of one coil, turns included. Exact in air for fields that are linear over the coil. LL_NO_COIL, LL_NO_MEMORY. */
ll_status ll_hum_linkage(const ll_solution *s, size_t coil, const ll_outside_field *field,
                         double *linkage_wb);

/* The fields that a pickup is asked about: an even one along x, y and z, then a vertical one that grows along x, y and z, none at
 * about_m and as strong as the even one after grows_over_m; k < LL_HUM_FIELDS. */
enum { LL_HUM_DIRECTIONS = 3, LL_HUM_FIELDS = 2 * LL_HUM_DIRECTIONS };
ll_outside_field ll_hum_field(size_t k, double strength_a_m, double grows_over_m, ll_vec3 about_m);

/* All of them, linkage_wb[LL_HUM_FIELDS][coils of the scene]. LL_NO_COIL, LL_NO_MEMORY. */
ll_status ll_hum_linkages(const ll_solution *s, double strength_a_m, double grows_over_m,
                          ll_vec3 about_m, double *linkage_wb);

/* What coils that count by share[coils] take up of fields of any direction: the root of the squares of all fields' sums. */
double ll_hum_taken(size_t coils, const double *share, const double *linkage_wb);

LL_API_END

#endif
