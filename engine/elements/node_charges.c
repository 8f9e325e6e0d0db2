/* Compiled for vectors of charges. SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/node_charges.h"
#include "base/constants.h"
#include "base/vectorised.h"

#include <math.h>

LL_VECTORISED(ll_charges_add_h,
              (size_t n, const ll_vec3 *at_m, const double *charge_a_m, ll_vec3 point_m,
               ll_vec3 *h_a_m),
              (n, at_m, charge_a_m, point_m, h_a_m))
{
    double x = 0, y = 0, z = 0;
#pragma omp simd reduction(+ : x, y, z)
    for (size_t i = 0; i < n; i++) {
        const double dx = point_m.x - at_m[i].x, dy = point_m.y - at_m[i].y;
        const double dz = point_m.z - at_m[i].z;
        const double inverse = 1 / sqrt(dx * dx + dy * dy + dz * dz);
        const double weight = charge_a_m[i] * inverse * inverse * inverse;
        x += weight * dx;
        y += weight * dy;
        z += weight * dz;
    }
    const double scale = 1 / (4 * LL_PI);
    *h_a_m = ll_vec(h_a_m->x + scale * x, h_a_m->y + scale * y, h_a_m->z + scale * z);
}

LL_VECTORISED(ll_charges_add_potential,
              (size_t n, const ll_vec3 *at_m, const double *charge_a_m, ll_vec3 point_m,
               double *potential_a),
              (n, at_m, charge_a_m, point_m, potential_a))
{
    double sum = 0;
#pragma omp simd reduction(+ : sum)
    for (size_t i = 0; i < n; i++) {
        const double dx = point_m.x - at_m[i].x, dy = point_m.y - at_m[i].y;
        const double dz = point_m.z - at_m[i].z;
        sum += charge_a_m[i] / sqrt(dx * dx + dy * dy + dz * dz);
    }
    *potential_a += sum / (4 * LL_PI);
}
