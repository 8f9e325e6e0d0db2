/* coil.c - the field and the potential of a placed coil: checks, frames and loops over points.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "coil_kernels.h"
#include "source.h"

/* What one call needs at every point. */
typedef struct coil_in_place {
    ll_racetrack track;
    double density; /* ampere-turns per ampere for each area of the winding's cross-section */
    double m_per_m; /* the equivalent magnetisation in the hole, per ampere */
    ll_gauss gauss;
} coil_in_place;

static ll_status prepare(const ll_coil_shape *coil, double turns, size_t n, const ll_vec3 *points_m,
                         coil_in_place *out)
{
    const ll_status status = ll_coil_check(coil);
    if (status)
        return status;
    if (!isfinite(turns) || !ll_points_finite(n, points_m))
        return LL_BAD_VALUE;
    out->track = ll_racetrack_of(coil);
    out->density = turns / (coil->height_m * coil->build_m);
    out->m_per_m = turns / coil->height_m;
    return ll_gauss_fill(&out->gauss);
}

/* How much of the equivalent magnetisation stands at (x, y): 1 in the hole, 0 outside the winding. */
static double magnetised_share(const ll_racetrack *t, ll_vec3 p)
{
    const double x = fabs(p.x) - t->half_x, y = fabs(p.y) - t->half_y;
    const double beyond = hypot(fmax(x, 0.0), fmax(y, 0.0)) + fmin(fmax(x, y), 0.0);
    return fmin(fmax(1.0 - (beyond - t->inner) / t->build, 0.0), 1.0);
}

/* h or psi may be NULL; in_hole is the share of M whose integral along z is taken off psi. */
static ll_status evaluate(const ll_coil_shape *coil, const ll_pose *pose, double turns, size_t n,
                          const ll_vec3 *points_m, double in_hole, ll_vec3 *h, double *psi)
{
    coil_in_place placed;
    const ll_status status = prepare(coil, turns, n, points_m, &placed);
    if (status)
        return status;
    const double m = in_hole * placed.m_per_m, half = placed.track.half_height;
#pragma omp parallel for schedule(static) if (n > 16)
    for (size_t i = 0; i < n; i++) {
        const ll_vec3 own = ll_to_own(pose, points_m[i]);
        const ll_source_value charges = ll_racetrack_charges(&placed.gauss, &placed.track, own);
        if (h) {
            /* The field of the end faces' charges, and within the winding's height M with it. */
            ll_vec3 b = ll_scale(placed.density, charges.h);
            if (fabs(own.z) < half)
                b.z += placed.m_per_m * magnetised_share(&placed.track, own);
            h[i] = ll_rotate(&pose->rotation, b);
        }
        if (psi)
            psi[i] = placed.density * charges.psi - m * fmin(fmax(own.z, -half), half);
    }
    return LL_OK;
}

ll_status ll_coil_h(const ll_coil_shape *coil, const ll_pose *pose, double turns, size_t n,
                    const ll_vec3 *points_m, ll_vec3 *h_per_m)
{
    return evaluate(coil, pose, turns, n, points_m, 0.0, h_per_m, NULL);
}

ll_status ll_coil_potential(const ll_coil_shape *coil, const ll_pose *pose, double turns, size_t n,
                            const ll_vec3 *points_m, double *psi)
{
    return evaluate(coil, pose, turns, n, points_m, 0.0, NULL, psi);
}

ll_status ll_coil_h_and_potential(const ll_coil_shape *coil, const ll_pose *pose, double turns,
                                  size_t n, const ll_vec3 *points_m, ll_vec3 *h_per_m, double *psi)
{
    return evaluate(coil, pose, turns, n, points_m, 0.0, h_per_m, psi);
}

ll_status ll_coil_potential_in_hole(const ll_coil_shape *coil, const ll_pose *pose, double turns,
                                    size_t n, const ll_vec3 *points_m, double *psi)
{
    return evaluate(coil, pose, turns, n, points_m, 1.0, NULL, psi);
}

ll_status ll_coil_a(const ll_coil_shape *coil, const ll_pose *pose, double turns, size_t n,
                    const ll_vec3 *points_m, ll_vec3 *a_wb_m)
{
    coil_in_place placed;
    const ll_status status = prepare(coil, turns, n, points_m, &placed);
    if (status)
        return status;
    const double factor = LL_MU0 / (4 * LL_PI) * placed.density;
#pragma omp parallel for schedule(static) if (n > 16)
    for (size_t i = 0; i < n; i++) {
        const ll_vec3 own = ll_to_own(pose, points_m[i]);
        const ll_vec3 a = ll_racetrack_vector(&placed.gauss, &placed.track, own);
        a_wb_m[i] = ll_rotate(&pose->rotation, ll_scale(factor, a));
    }
    return LL_OK;
}
