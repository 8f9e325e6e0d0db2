/* shape.c - making shapes and asking their size, section and distance.
 *
 * A round shape is the turned figure of a profile, a polyline in the half-plane (radius, z); the nearest
 * surface point of any point lies in the point's own half-plane, so distances are found there.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "shape/shape.h"
#include "base/constants.h"

/* LL_BAD_VALUE for a length that is not finite, LL_BAD_SIZE for one that is not greater than zero. */
static ll_status check_lengths(int n, const double *lengths_m)
{
    for (int i = 0; i < n; i++)
        if (!isfinite(lengths_m[i]))
            return LL_BAD_VALUE;
    for (int i = 0; i < n; i++)
        if (lengths_m[i] <= 0.0)
            return LL_BAD_SIZE;
    return LL_OK;
}

ll_status ll_shape_block(ll_vec3 size_m, ll_shape *out)
{
    const ll_status status = check_lengths(3, (double[]){size_m.x, size_m.y, size_m.z});
    if (!status)
        *out = (ll_shape){.kind = LL_BLOCK, .size_m = size_m};
    return status;
}

ll_status ll_shape_rod(double diameter_m, double length_m, ll_shape *out)
{
    const ll_status status = check_lengths(2, (double[]){diameter_m, length_m});
    if (!status)
        *out = (ll_shape){.kind = LL_ROD,
                          .size_m = ll_vec(diameter_m, diameter_m, length_m),
                          .radius_m = 0.5 * diameter_m};
    return status;
}

ll_status ll_shape_ring(double outer_diameter_m, double inner_diameter_m, double length_m,
                        ll_shape *out)
{
    const double wall_m = 0.5 * (outer_diameter_m - inner_diameter_m);
    const ll_status status =
        check_lengths(4, (double[]){outer_diameter_m, inner_diameter_m, length_m, wall_m});
    if (!status)
        *out = (ll_shape){.kind = LL_RING,
                          .size_m = ll_vec(outer_diameter_m, outer_diameter_m, length_m),
                          .radius_m = 0.5 * outer_diameter_m,
                          .inner_radius_m = 0.5 * inner_diameter_m};
    return status;
}

ll_status ll_shape_screw(double thread_diameter_m, double length_m, double head_diameter_m,
                         double head_height_m, ll_shape *out)
{
    const double thread_length_m = length_m - head_height_m;
    const ll_status status =
        check_lengths(5, (double[]){thread_diameter_m, length_m, head_diameter_m, head_height_m,
                                    thread_length_m});
    if (status)
        return status;
    if (head_diameter_m < thread_diameter_m)
        return LL_BAD_VALUE;
    *out = (ll_shape){.kind = LL_SCREW,
                      .size_m = ll_vec(head_diameter_m, head_diameter_m, length_m),
                      .radius_m = 0.5 * thread_diameter_m,
                      .head_radius_m = 0.5 * head_diameter_m,
                      .head_height_m = head_height_m};
    return LL_OK;
}

/* Lower end of a screw's head in its own frame. */
static double head_start_m(const ll_shape *screw)
{
    return 0.5 * screw->size_m.z - screw->head_height_m;
}

static double disc_m2(double radius_m)
{
    return LL_PI * radius_m * radius_m;
}

double ll_shape_volume_m3(const ll_shape *s)
{
    switch (s->kind) {
    case LL_BLOCK:
        return s->size_m.x * s->size_m.y * s->size_m.z;
    case LL_SCREW:
        return disc_m2(s->radius_m) * (s->size_m.z - s->head_height_m) +
               disc_m2(s->head_radius_m) * s->head_height_m;
    default:
        return (disc_m2(s->radius_m) - disc_m2(s->inner_radius_m)) * s->size_m.z;
    }
}

double ll_shape_section_m2(const ll_shape *s, double z_m)
{
    if (!(fabs(z_m) <= 0.5 * s->size_m.z))
        return 0.0;
    switch (s->kind) {
    case LL_BLOCK:
        return s->size_m.x * s->size_m.y;
    case LL_SCREW:
        return disc_m2(z_m < head_start_m(s) ? s->radius_m : s->head_radius_m);
    default:
        return disc_m2(s->radius_m) - disc_m2(s->inner_radius_m);
    }
}

/* Distance to a box, negative inside: beyond the faces by Pythagoras, within by the nearest face. */
static double block_depth(const ll_shape *s, ll_vec3 p)
{
    const double x = fabs(p.x) - 0.5 * s->size_m.x, y = fabs(p.y) - 0.5 * s->size_m.y,
                 z = fabs(p.z) - 0.5 * s->size_m.z;
    const double nearest = fmax(x, fmax(y, z));
    if (nearest <= 0.0)
        return -nearest;
    return -ll_norm(ll_vec(fmax(x, 0.0), fmax(y, 0.0), fmax(z, 0.0)));
}

typedef struct profile_point {
    double radius_m, z_m;
} profile_point;

/* The polyline that turns into the surface, at most 6 points; the axis is no part of it. A ring's closes. */
static int profile_of(const ll_shape *s, profile_point p[6])
{
    const double inner = s->inner_radius_m, outer = s->radius_m, half = 0.5 * s->size_m.z;
    int n = 0;
    p[n++] = (profile_point){inner, -half};
    p[n++] = (profile_point){outer, -half};
    if (s->kind == LL_SCREW) {
        p[n++] = (profile_point){outer, head_start_m(s)};
        p[n++] = (profile_point){s->head_radius_m, head_start_m(s)};
        p[n++] = (profile_point){s->head_radius_m, half};
    } else {
        p[n++] = (profile_point){outer, half};
    }
    p[n++] = (profile_point){inner, half};
    if (s->kind == LL_RING)
        p[n++] = (profile_point){inner, -half};
    return n;
}

static double segment_distance2(profile_point a, profile_point b, double radius, double z)
{
    const double along_r = b.radius_m - a.radius_m, along_z = b.z_m - a.z_m;
    const double length2 = along_r * along_r + along_z * along_z;
    double t = 0.0;
    if (length2 > 0.0)
        t = ((radius - a.radius_m) * along_r + (z - a.z_m) * along_z) / length2;
    t = fmin(1.0, fmax(0.0, t));
    const double dr = a.radius_m + t * along_r - radius, dz = a.z_m + t * along_z - z;
    return dr * dr + dz * dz;
}

static bool round_holds(const ll_shape *s, double radius, double z)
{
    const bool in_head = s->kind == LL_SCREW && z >= head_start_m(s);
    return fabs(z) <= 0.5 * s->size_m.z && radius >= s->inner_radius_m &&
           radius <= (in_head ? s->head_radius_m : s->radius_m);
}

static double round_depth(const ll_shape *s, ll_vec3 p)
{
    profile_point profile[6];
    const int n = profile_of(s, profile);
    const double radius = sqrt(p.x * p.x + p.y * p.y);
    double nearest2 = HUGE_VAL;
    for (int i = 0; i + 1 < n; i++) {
        const double distance2 = segment_distance2(profile[i], profile[i + 1], radius, p.z);
        nearest2 = distance2 < nearest2 ? distance2 : nearest2;
    }
    return round_holds(s, radius, p.z) ? sqrt(nearest2) : -sqrt(nearest2);
}

double ll_shape_depth_m(const ll_shape *shape, ll_vec3 own_m)
{
    return shape->kind == LL_BLOCK ? block_depth(shape, own_m) : round_depth(shape, own_m);
}

double ll_shape_reach_m(const ll_shape *s, const ll_rotation *rotation, ll_vec3 direction)
{
    const ll_vec3 d = ll_rotate_back(rotation, direction);
    if (s->kind == LL_BLOCK)
        return 0.5 * (fabs(d.x) * s->size_m.x + fabs(d.y) * s->size_m.y + fabs(d.z) * s->size_m.z);
    return 0.5 * (fabs(d.z) * s->size_m.z + hypot(d.x, d.y) * s->size_m.x);
}

ll_vec3 ll_shape_top_m(const ll_shape *s, const ll_pose *pose)
{
    const double half[3] = {s->size_m.x / 2, s->size_m.y / 2, s->size_m.z / 2};
    ll_vec3 top = pose->origin_m;
    double steepest = 0;
    for (int k = 0; k < 3; k++) {
        const ll_vec3 axis = ll_rotate(&pose->rotation, ll_vec(k == 0, k == 1, k == 2));
        if (fabs(axis.z) > steepest + 1e-9) {
            steepest = fabs(axis.z);
            top = ll_add(pose->origin_m, ll_scale(axis.z < 0 ? -half[k] : half[k], axis));
        }
    }
    return top;
}

ll_pose ll_shape_settled(const ll_shape *shape, const ll_pose *pose)
{
    ll_pose p = ll_pose_snapped(pose);
    p.rotation = shape->kind == LL_SCREW ? ll_rotation_settled_about_z(&p.rotation)
                                         : ll_rotation_settled(&p.rotation);
    return p;
}
