/* magnet.c - a magnet's shape as blocks and rods, and the loops over points.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/gauss.h"
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
    ll_dipole_rule dipoles;
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
    if (shape->kind == LL_BLOCK)
        return ll_gauss_points(4, out->dipoles.node, out->dipoles.weight);
    split_into_rods(out);
    return LL_OK;
}

/* Field and potential at a few points, own axes. */
static void find_values(const magnet_in_place *magnet, int n, const ll_vec3 *points_m,
                        ll_field_points *p)
{
    p->count = n;
    for (int i = 0; i < n; i++) {
        const ll_vec3 own = ll_to_own(magnet->pose, points_m[i]);
        p->x[i] = own.x;
        p->y[i] = own.y;
        p->z[i] = own.z;
        p->above[i] = own.z > magnet->waist_z ? 1.0 : -1.0;
        p->hx[i] = p->hy[i] = p->hz[i] = p->psi[i] = 0;
    }
    if (magnet->shape->kind == LL_BLOCK)
        ll_block_add(&magnet->dipoles, magnet->shape->size_m, magnet->m_own, p);
    for (int i = 0; i < magnet->rod_count; i++)
        ll_rod_add(&magnet->rule, &magnet->rods[i], magnet->m_own, p);
}

bool ll_points_finite(size_t n, const ll_vec3 *points)
{
    for (size_t i = 0; i < n; i++)
        if (!isfinite(points[i].x) || !isfinite(points[i].y) || !isfinite(points[i].z))
            return false;
    return true;
}

/* Either output may be NULL. */
static ll_status find_all(const ll_shape *shape, const ll_pose *pose, ll_vec3 m_a_m, size_t n,
                          const ll_vec3 *points_m, ll_vec3 *h_a_m, double *psi_a)
{
    magnet_in_place magnet;
    const ll_status status = prepare(shape, pose, m_a_m, n, points_m, &magnet);
    if (status)
        return status;
#pragma omp parallel for schedule(static) if (n > LL_POINTS_AT_ONCE)
    for (size_t from = 0; from < n; from += LL_POINTS_AT_ONCE) {
        ll_field_points p;
        const int count = n - from < LL_POINTS_AT_ONCE ? (int)(n - from) : LL_POINTS_AT_ONCE;
        find_values(&magnet, count, points_m + from, &p);
        for (int i = 0; h_a_m && i < count; i++)
            h_a_m[from + (size_t)i] = ll_rotate(&pose->rotation, ll_vec(p.hx[i], p.hy[i], p.hz[i]));
        for (int i = 0; psi_a && i < count; i++)
            psi_a[from + (size_t)i] = p.psi[i];
    }
    return LL_OK;
}

ll_status ll_magnet_h(const ll_shape *shape, const ll_pose *pose, ll_vec3 m_a_m, size_t n,
                      const ll_vec3 *points_m, ll_vec3 *h_a_m)
{
    return find_all(shape, pose, m_a_m, n, points_m, h_a_m, NULL);
}

ll_status ll_magnet_potential(const ll_shape *shape, const ll_pose *pose, ll_vec3 m_a_m, size_t n,
                              const ll_vec3 *points_m, double *psi_a)
{
    return find_all(shape, pose, m_a_m, n, points_m, NULL, psi_a);
}
