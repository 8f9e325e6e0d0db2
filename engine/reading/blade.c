/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "reading/blade.h"
#include "base/constants.h"
#include "reading/readings.h"

#include <math.h>
#include <stdlib.h>

/* From a point outside to the nearest surface of any part; 0 within one. */
static double clearance_m(const ll_scene *scene, ll_vec3 point_m)
{
    double least_m = HUGE_VAL;
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *p = ll_scene_part(scene, i);
        least_m = fmin(least_m, -ll_shape_depth_m(&p->shape, ll_to_own(&p->pose, point_m)));
    }
    return fmax(0, least_m);
}

static double highest_m(const ll_scene *scene)
{
    double top_m = -HUGE_VAL;
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *p = ll_scene_part(scene, i);
        top_m = fmax(top_m, p->pose.origin_m.z +
                                ll_shape_reach_m(&p->shape, &p->pose.rotation, ll_vec(0, 0, 1)));
    }
    return top_m;
}

/* Steps of the clearance left never pass through a surface. */
ll_status ll_blade_rest(const ll_scene *scene, size_t part, ll_vec3 *middle_m)
{
    const double close_m = 1e-6, away_m = LL_BLADE_RADIUS_M + LL_BLADE_GAP_M;
    if (part >= ll_scene_part_count(scene))
        return LL_NO_PART;
    const ll_part *p = ll_scene_part(scene, part);
    ll_vec3 at_m = ll_shape_top_m(&p->shape, &p->pose);
    const double lowest_m = at_m.z;
    at_m.z = highest_m(scene) + away_m;
    for (double left_m = HUGE_VAL; left_m > close_m && at_m.z > lowest_m; at_m.z -= left_m)
        left_m = clearance_m(scene, at_m) - away_m;
    *middle_m = at_m;
    return LL_OK;
}

ll_status ll_blade_linkage(const ll_solution *s, ll_vec3 middle_m, double *linkage_wb)
{
    const double moment_m3 = 4 * LL_PI * pow(LL_BLADE_RADIUS_M, 3); /* 3 V */
    const size_t coils = ll_scene_coil_count(ll_solution_scene(s));
    ll_vec3 b_t = {0, 0, 0}, *h_per_m = malloc((coils + 1) * sizeof *h_per_m);
    ll_status status = !h_per_m ? LL_NO_MEMORY : coils ? LL_OK : LL_NO_COIL;
    if (!status)
        status = ll_solution_b(s, 1, &middle_m, &b_t);
    for (size_t c = 0; c < coils && !status; c++)
        status = ll_solution_coil_h(s, c, 1, &middle_m, &h_per_m[c]);
    for (size_t c = 0; c < coils && !status; c++)
        linkage_wb[c] = moment_m3 * ll_dot(b_t, h_per_m[c]);
    free(h_per_m);
    return status;
}
