/* Compiled for vectors of sources. SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/point_sources.h"
#include "base/constants.h"
#include "base/vectorised.h"

#include <math.h>

LL_VECTORISED(ll_cloud_add_h, (const ll_cloud_sources *s, ll_vec3 point_m, ll_vec3 *h_a_m),
              (s, point_m, h_a_m))
{
    const ll_vec3 *at = s->at_m, *normal = s->normal;
    double x = 0, y = 0, z = 0;
#pragma omp simd reduction(+ : x, y, z)
    for (size_t i = 0; i < s->count; i++) {
        const double dx = point_m.x - at[i].x, dy = point_m.y - at[i].y, dz = point_m.z - at[i].z;
        const double inverse = 1 / sqrt(dx * dx + dy * dy + dz * dz), square = inverse * inverse;
        const double facing = normal[i].x * dx + normal[i].y * dy + normal[i].z * dz;
        const double cube = square * inverse, across = s->dipole[i] * cube;
        const double along = s->charge[i] * cube + 3 * across * facing * square;
        x += along * dx - across * normal[i].x;
        y += along * dy - across * normal[i].y;
        z += along * dz - across * normal[i].z;
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
