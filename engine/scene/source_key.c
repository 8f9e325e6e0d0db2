/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scene/source_key.h"

#include <string.h>

/* An axis without its sense: a box is its own mirror image. */
static void put_line(double *key, ll_vec3 v)
{
    const double first = v.x != 0 ? v.x : v.y != 0 ? v.y : v.z;
    const ll_vec3 line = ll_scale(first < 0 ? -1 : 1, v);
    key[0] = line.x + 0.0;
    key[1] = line.y + 0.0;
    key[2] = line.z + 0.0;
}

/* Rounding of quarter turns off, and no minus zero. */
static double clean(double x)
{
    return fabs(x) < 1e-14 ? 0 : fabs(x - round(x)) < 1e-14 ? round(x) : x;
}

static ll_vec3 column(const ll_rotation *r, int k)
{
    return ll_vec(clean(r->m[0][k]), clean(r->m[1][k]), clean(r->m[2][k]));
}

static void put_place(double *key, const ll_pose *pose)
{
    for (int k = 0; k < 3; k++)
        put_line(key + 3 * k, column(&pose->rotation, k));
    key[9] = pose->origin_m.x;
    key[10] = pose->origin_m.y;
    key[11] = pose->origin_m.z;
}

void ll_part_key(const ll_part *part, double key[LL_SOURCE_KEY])
{
    memset(key, 0, LL_SOURCE_KEY * sizeof *key);
    key[0] = 1 + (double)part->shape.kind;
    key[1] = part->shape.size_m.x;
    key[2] = part->shape.size_m.y;
    key[3] = part->shape.size_m.z;
    key[4] = part->shape.radius_m;
    key[5] = part->shape.inner_radius_m;
    key[6] = part->shape.head_radius_m;
    key[7] = part->shape.head_height_m;
    put_place(key + 8, &part->pose);
    /* A screw is not its own mirror image: its head's end counts. */
    if (part->shape.kind == LL_SCREW)
        key[23] = column(&part->pose.rotation, 2).z + 2 * column(&part->pose.rotation, 2).y +
                  4 * column(&part->pose.rotation, 2).x;
}

void ll_magnet_key(const ll_part *part, ll_vec3 m, double key[LL_SOURCE_KEY], double *sign)
{
    ll_vec3 unit = ll_scale(1 / ll_norm(m), m);
    unit = ll_vec(clean(unit.x), clean(unit.y), clean(unit.z));
    ll_part_key(part, key);
    put_line(key + 20, unit);
    *sign = ll_dot(unit, ll_vec(key[20], key[21], key[22])) < 0 ? -1 : 1;
}

void ll_coil_key(const ll_coil *coil, double key[LL_SOURCE_KEY])
{
    memset(key, 0, LL_SOURCE_KEY * sizeof *key);
    key[0] = -1;
    key[1] = coil->shape.opening_x_m;
    key[2] = coil->shape.opening_y_m;
    key[3] = coil->shape.corner_m;
    key[4] = coil->shape.build_m;
    key[5] = coil->shape.height_m;
    key[6] = coil->turns;
    put_place(key + 8, &coil->pose);
    const ll_vec3 axis = column(&coil->pose.rotation, 2);
    key[20] = axis.x;
    key[21] = axis.y;
    key[22] = axis.z;
}

bool ll_keys_equal(const double a[LL_SOURCE_KEY], const double b[LL_SOURCE_KEY])
{
    for (int k = 0; k < LL_SOURCE_KEY; k++)
        if (a[k] != b[k])
            return false;
    return true;
}
