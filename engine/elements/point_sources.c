/* Compiled for vectors of sources. SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/point_sources.h"
#include "base/constants.h"
#include "base/vectorised.h"

#include <math.h>

static LL_VECTORISED(add_one, (const ll_cloud_sources *s, ll_vec3 point_m, ll_vec3 *h_a_m),
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

/* Distances, which cost most, are found once for both. */
static LL_VECTORISED(add_two,
                     (const ll_cloud_sources *s, const ll_cloud_sources *t, ll_vec3 point_m,
                      ll_vec3 *h_a_m),
                     (s, t, point_m, h_a_m))
{
    const ll_vec3 *at = s->at_m, *normal = s->normal;
    double x = 0, y = 0, z = 0, u = 0, v = 0, w = 0;
#pragma omp simd reduction(+ : x, y, z, u, v, w)
    for (size_t i = 0; i < s->count; i++) {
        const double dx = point_m.x - at[i].x, dy = point_m.y - at[i].y, dz = point_m.z - at[i].z;
        const double inverse = 1 / sqrt(dx * dx + dy * dy + dz * dz), square = inverse * inverse;
        const double cube = square * inverse;
        const double facing = 3 * square * (normal[i].x * dx + normal[i].y * dy + normal[i].z * dz);
        const double across_s = s->dipole[i] * cube, across_t = t->dipole[i] * cube;
        const double along_s = s->charge[i] * cube + across_s * facing;
        const double along_t = t->charge[i] * cube + across_t * facing;
        x += along_s * dx - across_s * normal[i].x;
        y += along_s * dy - across_s * normal[i].y;
        z += along_s * dz - across_s * normal[i].z;
        u += along_t * dx - across_t * normal[i].x;
        v += along_t * dy - across_t * normal[i].y;
        w += along_t * dz - across_t * normal[i].z;
    }
    const double scale = 1 / (4 * LL_PI);
    h_a_m[0] = ll_add(h_a_m[0], ll_scale(scale, ll_vec(x, y, z)));
    h_a_m[1] = ll_add(h_a_m[1], ll_scale(scale, ll_vec(u, v, w)));
}

void ll_clouds_add_h(size_t count, const ll_cloud_sources *s, ll_vec3 point_m, ll_vec3 *h_a_m)
{
    if (count == 2)
        add_two(&s[0], &s[1], point_m, h_a_m);
    else
        add_one(&s[0], point_m, h_a_m);
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
