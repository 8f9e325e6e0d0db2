/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/load_line.h"
#include "base/constants.h"
#include "field/source.h"

/* Points across each edge of the shape's box. */
enum { ACROSS = 8, MOST = ACROSS * ACROSS * ACROSS };

/* Minus the mean of H along the axis for unit magnetisation along it. */
static ll_status demagnetising_factor(const ll_shape *shape, const ll_pose *pose, ll_vec3 axis,
                                      double *factor)
{
    ll_vec3 at[MOST], h[MOST];
    size_t n = 0;
    for (int k = 0; k < MOST; k++) {
        const int i = k % ACROSS, j = k / ACROSS % ACROSS, l = k / (ACROSS * ACROSS);
        const ll_vec3 own = ll_vec(shape->size_m.x * ((i + 0.5) / ACROSS - 0.5),
                                   shape->size_m.y * ((j + 0.5) / ACROSS - 0.5),
                                   shape->size_m.z * ((l + 0.5) / ACROSS - 0.5));
        if (ll_shape_depth_m(shape, own) > 0)
            at[n++] = ll_to_world(pose, own);
    }
    const ll_status status = ll_magnet_h(shape, pose, axis, n, at, h);
    double sum = 0;
    for (size_t k = 0; k < n && !status; k++)
        sum -= ll_dot(h[k], axis) / (double)n;
    if (!status)
        *factor = fmin(1, fmax(1e-3, sum));
    return status;
}

/* M of the curve less M of the load line: falls as -H grows. */
static double imbalance(const ll_region *region, double h, double factor)
{
    return ll_region_b(region, h, HUGE_VAL, NULL) / LL_MU0 - h + h / factor;
}

/* Where the curve meets the load line of this demagnetising factor. */
static double field_at(const ll_region *region, double factor)
{
    /* The field that demagnetises points against the charge. */
    const double sign = region->charge < 0 ? -1 : 1;
    double none = 0, all = -sign * 3 / LL_MU0;
    for (int k = 0; k < 60; k++) {
        const double mid = 0.5 * (none + all);
        *(sign * imbalance(region, mid, factor) > 0 ? &none : &all) = mid;
    }
    return none;
}

ll_status ll_load_line(const ll_region *region, const ll_shape *shape, const ll_pose *pose,
                       double *h_a_m, double *m_a_m)
{
    double factor;
    const ll_status status = demagnetising_factor(shape, pose, region->axis, &factor);
    const double h = status ? 0 : field_at(region, factor);
    if (!status && h_a_m)
        *h_a_m = h;
    if (!status && m_a_m)
        *m_a_m = -h / factor;
    return status;
}
