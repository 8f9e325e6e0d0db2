/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/contact.h"
#include "base/dense.h"
#include "field/source.h"

#include <stdlib.h>

/* The way out of a shape from a point near its surface, own frame: how fast the depth falls, by differences. */
static ll_vec3 outwards(const ll_shape *shape, ll_vec3 own, double step)
{
    const ll_vec3 axis[3] = {ll_vec(step, 0, 0), ll_vec(0, step, 0), ll_vec(0, 0, step)};
    double fall[3];
    for (int k = 0; k < 3; k++)
        fall[k] = ll_shape_depth_m(shape, ll_sub(own, axis[k])) -
                  ll_shape_depth_m(shape, ll_add(own, axis[k]));
    const ll_vec3 way = ll_vec(fall[0], fall[1], fall[2]);
    const double length = ll_norm(way);
    return length > 0 ? ll_scale(1 / length, way) : ll_vec(0, 0, 0);
}

/* The clearance that is missing between the part and the points of another body; 0 or less when there is enough. */
static double missing_air(const ll_part *part, double contact_m, size_t n, const ll_vec3 *points_m)
{
    double deepest = -HUGE_VAL;
    for (size_t i = 0; i < n; i++)
        deepest =
            fmax(deepest, ll_shape_depth_m(&part->shape, ll_to_own(&part->pose, points_m[i])));
    return contact_m + deepest;
}

ll_status ll_contact_add(const ll_part *part, ll_vec3 m_a_m, double contact_m, size_t n,
                         const ll_vec3 *points_m, double *psi)
{
    if (ll_norm(m_a_m) == 0)
        return LL_OK;
    const double missing = contact_m > 0 ? missing_air(part, contact_m, n, points_m) : 0;
    double *one = malloc((n + 1) * sizeof *one);
    ll_vec3 *off = missing > 0 ? malloc((n + 1) * sizeof *off) : NULL;
    ll_status status = one && (off || !(missing > 0)) ? LL_OK : LL_NO_MEMORY;
    for (size_t i = 0; !status && off && i < n; i++) {
        const ll_vec3 own = ll_to_own(&part->pose, points_m[i]);
        const ll_vec3 out = outwards(&part->shape, own, 0.1 * contact_m);
        off[i] = ll_to_world(&part->pose, ll_add(own, ll_scale(missing, out)));
    }
    if (!status)
        status =
            ll_magnet_potential(&part->shape, &part->pose, m_a_m, n, off ? off : points_m, one);
    if (!status)
        ll_dense_add(n, 1, one, psi);
    free(off);
    free(one);
    return status;
}
