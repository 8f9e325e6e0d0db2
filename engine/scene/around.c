/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scene/around.h"

#include <math.h>

/* Half of the part's middle line, in the coil's own axes, pointing up them. */
static ll_vec3 half_line(const ll_coil *coil, const ll_shape *shape, const ll_pose *pose)
{
    const double half[3] = {shape->size_m.x / 2, shape->size_m.y / 2, shape->size_m.z / 2};
    ll_vec3 best = ll_vec(0, 0, 0);
    double steepest = -1;
    for (int k = 0; k < 3; k++) {
        const ll_vec3 own = ll_vec(k == 0, k == 1, k == 2);
        const ll_vec3 axis = ll_rotate_back(&coil->pose.rotation, ll_rotate(&pose->rotation, own));
        if (fabs(axis.z) > steepest + 1e-9) {
            steepest = fabs(axis.z);
            best = ll_scale(axis.z < 0 ? -half[k] : half[k], axis);
        }
    }
    return best;
}

double ll_coil_away_m(const ll_coil *coil, const ll_shape *shape, const ll_pose *pose)
{
    const ll_vec3 middle = ll_to_own(&coil->pose, pose->origin_m);
    const ll_vec3 half = half_line(coil, shape, pose);
    const double up = half.z > 0 ? fmin(1, fmax(-1, -middle.z / half.z)) : 0;
    const ll_vec3 at = ll_add(middle, ll_scale(up, half));
    const double x = fmax(0, fabs(at.x) - coil->shape.opening_x_m / 2);
    const double y = fmax(0, fabs(at.y) - coil->shape.opening_y_m / 2);
    const double z = fmax(0, fabs(at.z) - coil->shape.height_m / 2);
    return ll_norm(ll_vec(x, y, z));
}

static double off_axis_m(const ll_coil *coil, const ll_pose *pose)
{
    const ll_vec3 middle = ll_to_own(&coil->pose, pose->origin_m);
    return hypot(middle.x, middle.y);
}

size_t ll_coil_around(size_t coils, const ll_coil *coil, const ll_shape *shape, const ll_pose *pose)
{
    const double rounding_m = 1e-9;
    size_t best = 0;
    double least_m = HUGE_VAL;
    for (size_t i = 0; i < coils; i++) {
        const double away_m = ll_coil_away_m(&coil[i], shape, pose);
        const bool same = fabs(away_m - least_m) <= rounding_m;
        if ((same && off_axis_m(&coil[i], pose) < off_axis_m(&coil[best], pose) - rounding_m) ||
            (!same && away_m < least_m)) {
            best = i;
            least_m = away_m;
        }
    }
    return best;
}
