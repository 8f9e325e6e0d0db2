/* geometry.h - vectors, rotations and rigid poses in right-handed Cartesian axes, SI units.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_GEOMETRY_H
#define LL_BASE_GEOMETRY_H

#include "base/api.h"
#include <math.h>
#include <stdbool.h>
#include <stddef.h>

LL_API_BEGIN

typedef struct ll_vec3 {
    double x, y, z;
} ll_vec3;

/* Rotation, row-major: the columns are the body's axes seen from the world. */
typedef struct ll_rotation {
    double m[3][3];
} ll_rotation;

/* Places a body: world = rotation * own + origin_m. */
typedef struct ll_pose {
    ll_rotation rotation;
    ll_vec3 origin_m;
} ll_pose;

static inline ll_vec3 ll_vec(double x, double y, double z)
{
    const ll_vec3 v = {x, y, z};
    return v;
}
static inline ll_vec3 ll_add(ll_vec3 a, ll_vec3 b)
{
    return ll_vec(a.x + b.x, a.y + b.y, a.z + b.z);
}
static inline ll_vec3 ll_sub(ll_vec3 a, ll_vec3 b)
{
    return ll_vec(a.x - b.x, a.y - b.y, a.z - b.z);
}
static inline ll_vec3 ll_scale(double s, ll_vec3 a)
{
    return ll_vec(s * a.x, s * a.y, s * a.z);
}
static inline double ll_dot(ll_vec3 a, ll_vec3 b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}
static inline ll_vec3 ll_cross(ll_vec3 a, ll_vec3 b)
{
    return ll_vec(a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x);
}
static inline double ll_norm(ll_vec3 a)
{
    return sqrt(ll_dot(a, a));
}

/* Which of n places is nearest to one; the first of those as near, 0 when there is none. */
static inline size_t ll_nearest_place(size_t n, const ll_vec3 *place, ll_vec3 to)
{
    size_t best = 0;
    double least = HUGE_VAL;
    for (size_t i = 0; i < n; i++) {
        const ll_vec3 d = ll_sub(place[i], to);
        const double square = ll_dot(d, d);
        if (square < least) {
            least = square;
            best = i;
        }
    }
    return best;
}

ll_rotation ll_rotation_identity(void);

/* Right-hand turn about an axis (any length but zero) by angle_rad. */
ll_rotation ll_rotation_about(ll_vec3 axis, double angle_rad);

/* The shortest turn that takes +z to the given direction (any length but zero); -z turns about x. */
ll_rotation ll_rotation_z_to(ll_vec3 direction);

/* First b, then a. */
ll_rotation ll_rotation_after(ll_rotation a, ll_rotation b);

ll_vec3 ll_rotate(const ll_rotation *r, ll_vec3 own);
ll_vec3 ll_rotate_back(const ll_rotation *r, ll_vec3 world);

ll_pose ll_pose_at(ll_vec3 origin_m);

/* Rounding off: every entry at the next 1e-12 (m, or of one), so that equal places have equal numbers however they were reached. A
 * scene snaps its poses when it takes a part or a coil; what is reckoned from them is snapped where it is made. */
double ll_snapped(double x);
ll_vec3 ll_vec_snapped(ll_vec3 v);
ll_pose ll_pose_snapped(const ll_pose *pose);
/* `own` seen from a frame, snapped. */
ll_rotation ll_rotation_seen_from(const ll_rotation *frame, const ll_rotation *own);
ll_pose ll_pose_seen_from(const ll_pose *frame, const ll_pose *own);

/* Of the four turns that half turns about a body's own axes make of one, that whose first two axes lead forward; of the two that
 * half turns about its z make, that whose first axis does. */
ll_rotation ll_rotation_settled(const ll_rotation *r);
ll_rotation ll_rotation_settled_about_z(const ll_rotation *r);

ll_vec3 ll_to_world(const ll_pose *pose, ll_vec3 own_m);
ll_vec3 ll_to_own(const ll_pose *pose, ll_vec3 world_m);

LL_API_END

#endif
