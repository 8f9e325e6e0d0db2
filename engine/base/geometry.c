/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/geometry.h"

ll_rotation ll_rotation_identity(void)
{
    return (ll_rotation){{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
}

/* Rodrigues' formula: R = cos I + sin [k]x + (1 - cos) k k'. */
ll_rotation ll_rotation_about(ll_vec3 axis, double angle_rad)
{
    const ll_vec3 k = ll_scale(1.0 / ll_norm(axis), axis);
    const double c = cos(angle_rad), s = sin(angle_rad), d = 1.0 - c;
    return (ll_rotation){{
        {c + d * k.x * k.x, d * k.x * k.y - s * k.z, d * k.x * k.z + s * k.y},
        {d * k.y * k.x + s * k.z, c + d * k.y * k.y, d * k.y * k.z - s * k.x},
        {d * k.z * k.x - s * k.y, d * k.z * k.y + s * k.x, c + d * k.z * k.z},
    }};
}

ll_rotation ll_rotation_z_to(ll_vec3 direction)
{
    const ll_vec3 d = ll_scale(1.0 / ll_norm(direction), direction);
    const ll_vec3 axis = ll_cross(ll_vec(0, 0, 1), d);
    const double sine = ll_norm(axis);
    if (sine == 0.0)
        return d.z > 0 ? ll_rotation_identity()
                       : (ll_rotation){{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}};
    return ll_rotation_about(axis, atan2(sine, d.z));
}

ll_rotation ll_rotation_after(ll_rotation a, ll_rotation b)
{
    ll_rotation c;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            c.m[i][j] = a.m[i][0] * b.m[0][j] + a.m[i][1] * b.m[1][j] + a.m[i][2] * b.m[2][j];
    return c;
}

ll_vec3 ll_rotate(const ll_rotation *r, ll_vec3 own)
{
    return ll_vec(r->m[0][0] * own.x + r->m[0][1] * own.y + r->m[0][2] * own.z,
                  r->m[1][0] * own.x + r->m[1][1] * own.y + r->m[1][2] * own.z,
                  r->m[2][0] * own.x + r->m[2][1] * own.y + r->m[2][2] * own.z);
}

ll_vec3 ll_rotate_back(const ll_rotation *r, ll_vec3 world)
{
    return ll_vec(r->m[0][0] * world.x + r->m[1][0] * world.y + r->m[2][0] * world.z,
                  r->m[0][1] * world.x + r->m[1][1] * world.y + r->m[2][1] * world.z,
                  r->m[0][2] * world.x + r->m[1][2] * world.y + r->m[2][2] * world.z);
}

ll_pose ll_pose_at(ll_vec3 origin_m)
{
    return (ll_pose){ll_rotation_identity(), origin_m};
}

double ll_snapped(double x)
{
    return round(x * 1e12) / 1e12 + 0.0; /* no minus zero */
}

ll_vec3 ll_vec_snapped(ll_vec3 v)
{
    return ll_vec(ll_snapped(v.x), ll_snapped(v.y), ll_snapped(v.z));
}

static ll_rotation rotation_snapped(ll_rotation r)
{
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            r.m[i][j] = ll_snapped(r.m[i][j]);
    return r;
}

ll_pose ll_pose_snapped(const ll_pose *pose)
{
    return (ll_pose){rotation_snapped(pose->rotation), ll_vec_snapped(pose->origin_m)};
}

ll_rotation ll_rotation_seen_from(const ll_rotation *frame, const ll_rotation *own)
{
    ll_rotation r = {{{0}}};
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            for (int k = 0; k < 3; k++)
                r.m[i][j] += frame->m[k][i] * own->m[k][j];
    return rotation_snapped(r);
}

ll_pose ll_pose_seen_from(const ll_pose *frame, const ll_pose *own)
{
    return (ll_pose){ll_rotation_seen_from(&frame->rotation, &own->rotation),
                     ll_vec_snapped(ll_to_own(frame, own->origin_m))};
}

/* The largest entry of a column, the first of equals. */
static double leading(const ll_rotation *r, int column)
{
    double best = 0;
    for (int i = 0; i < 3; i++)
        if (fabs(r->m[i][column]) > fabs(best) + 1e-9)
            best = r->m[i][column];
    return best;
}

static ll_rotation flipped(const ll_rotation *r, bool x, bool y)
{
    const bool flip[3] = {x, y, x != y};
    ll_rotation f = *r;
    for (int i = 0; i < 3; i++)
        for (int k = 0; k < 3; k++)
            f.m[i][k] = (flip[k] ? -r->m[i][k] : r->m[i][k]) + 0.0;
    return f;
}

ll_rotation ll_rotation_settled(const ll_rotation *r)
{
    return flipped(r, leading(r, 0) < 0, leading(r, 1) < 0);
}

ll_rotation ll_rotation_settled_about_z(const ll_rotation *r)
{
    const bool back = leading(r, 0) < 0;
    return flipped(r, back, back);
}

ll_vec3 ll_to_world(const ll_pose *pose, ll_vec3 own_m)
{
    return ll_add(ll_rotate(&pose->rotation, own_m), pose->origin_m);
}

ll_vec3 ll_to_own(const ll_pose *pose, ll_vec3 world_m)
{
    return ll_rotate_back(&pose->rotation, ll_sub(world_m, pose->origin_m));
}
