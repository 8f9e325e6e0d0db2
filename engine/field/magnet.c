/* magnet.c - a magnet's shape as blocks and rods, and the loops over points.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "source.h"
#include "source_kernels.h"

/* What one call needs at every point: the pieces in the shape's own frame. */
typedef struct magnet_in_place {
    const ll_shape *shape;
    const ll_pose *pose;
    ll_vec3 m_own;
    ll_rod_piece rods[2];
    int rod_count;
    double waist_z; /* points on a charged plane above it are seen from above, others from below */
    ll_rim_rule rule;
} magnet_in_place;

/* A ring is a rod with a hole; a screw is a thread with a head on it, whose charges cancel where they meet. */
static void split_into_rods(magnet_in_place *magnet)
{
    const ll_shape *s = magnet->shape;
    const double half = 0.5 * s->size_m.z, neck = half - s->head_height_m;
    magnet->rods[0] = (ll_rod_piece){s->radius_m, -half, half, 1.0};
    magnet->rod_count = s->kind == LL_ROD ? 1 : 2;
    magnet->waist_z = 0.0;
    if (s->kind == LL_RING)
        magnet->rods[1] = (ll_rod_piece){s->inner_radius_m, -half, half, -1.0};
    if (s->kind == LL_SCREW) {
        magnet->rods[0].high = neck;
        magnet->rods[1] = (ll_rod_piece){s->head_radius_m, neck, half, 1.0};
        magnet->waist_z = neck + 1e-12 * half;
    }
    ll_rim_rule_fill(&magnet->rule);
}

static ll_status prepare(const ll_shape *shape, const ll_pose *pose, ll_vec3 m_a_m, size_t n,
                         const ll_vec3 *points_m, magnet_in_place *out)
{
    if (!ll_points_finite(1, &m_a_m) || !ll_points_finite(n, points_m))
        return LL_BAD_VALUE;
    *out = (magnet_in_place){
        .shape = shape, .pose = pose, .m_own = ll_rotate_back(&pose->rotation, m_a_m)};
    if (shape->kind != LL_BLOCK)
        split_into_rods(out);
    return LL_OK;
}

static ll_source_value value_at(const magnet_in_place *magnet, ll_vec3 point_m)
{
    const ll_vec3 own = ll_to_own(magnet->pose, point_m);
    if (magnet->shape->kind == LL_BLOCK)
        return ll_block_at(magnet->shape->size_m, magnet->m_own, own);
    ll_source_value sum = {{0, 0, 0}, 0};
    const double above = own.z > magnet->waist_z ? 1.0 : -1.0;
    for (int i = 0; i < magnet->rod_count; i++) {
        const ll_source_value one =
            ll_rod_at(&magnet->rule, &magnet->rods[i], magnet->m_own, own, above);
        sum.h = ll_add(sum.h, one.h);
        sum.psi += one.psi;
    }
    return sum;
}

bool ll_points_finite(size_t n, const ll_vec3 *points)
{
    for (size_t i = 0; i < n; i++)
        if (!isfinite(points[i].x) || !isfinite(points[i].y) || !isfinite(points[i].z))
            return false;
    return true;
}

ll_status ll_magnet_h(const ll_shape *shape, const ll_pose *pose, ll_vec3 m_a_m, size_t n,
                      const ll_vec3 *points_m, ll_vec3 *h_a_m)
{
    magnet_in_place magnet;
    const ll_status status = prepare(shape, pose, m_a_m, n, points_m, &magnet);
    if (status)
        return status;
#pragma omp parallel for schedule(static) if (n > 64)
    for (size_t i = 0; i < n; i++)
        h_a_m[i] = ll_rotate(&pose->rotation, value_at(&magnet, points_m[i]).h);
    return LL_OK;
}

ll_status ll_magnet_potential(const ll_shape *shape, const ll_pose *pose, ll_vec3 m_a_m, size_t n,
                              const ll_vec3 *points_m, double *psi_a)
{
    magnet_in_place magnet;
    const ll_status status = prepare(shape, pose, m_a_m, n, points_m, &magnet);
    if (status)
        return status;
#pragma omp parallel for schedule(static) if (n > 64)
    for (size_t i = 0; i < n; i++)
        psi_a[i] = value_at(&magnet, points_m[i]).psi;
    return LL_OK;
}
