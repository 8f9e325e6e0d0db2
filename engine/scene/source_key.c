/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scene/source_key.h"
#include "base/pose_key.h"
#include "material/material_key.h"
#include "shape/shape_key.h"
#include "winding/coil_key.h"

static void add_material(ll_key *key, const void *whole)
{
    ll_material_add_to_key(((const ll_part *)whole)->material, key);
}

static const ll_member of_part[] = {
    LL_MEMBER(ll_part, name, LL_MEMBER_ASIDE),
    LL_MEMBER_WITH(ll_part, shape, &ll_shape_members),
    LL_MEMBER_WITH(ll_part, pose, &ll_pose_members),
    LL_MEMBER_TOLD(ll_part, material, add_material),
    LL_MEMBER(ll_part, north, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_part, charge, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_part, charged, LL_MEMBER_ENUM),
    LL_MEMBER(ll_part, warmer_k, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_part, holes, LL_MEMBER_ASIDE),
    LL_MEMBER(ll_part, hole, LL_MEMBER_ASIDE),
};
const ll_members ll_part_members = LL_MEMBERS(ll_part, of_part);

static const ll_member of_coil[] = {
    LL_MEMBER(ll_coil, name, LL_MEMBER_ASIDE),
    LL_MEMBER_WITH(ll_coil, shape, &ll_coil_shape_members),
    LL_MEMBER_WITH(ll_coil, pose, &ll_pose_members),
    LL_MEMBER(ll_coil, turns, LL_MEMBER_NUMBERS),
};
const ll_members ll_coil_members = LL_MEMBERS(ll_coil, of_coil);

void ll_key_add_part(ll_key *key, const ll_part *part)
{
    ll_key_add_members(key, &ll_part_members, part);
}

void ll_key_add_coil(ll_key *key, const ll_coil *coil)
{
    ll_key_add_members(key, &ll_coil_members, coil);
}

/* 1 or -1 by the first entry that is not zero. */
static double sense_of(ll_vec3 m)
{
    return (m.x != 0 ? m.x : m.y != 0 ? m.y : m.z) < 0 ? -1 : 1;
}

void ll_key_add_magnet(ll_key *key, const ll_part *part, ll_vec3 m, double *sense)
{
    const ll_vec3 unit = ll_vec_snapped(ll_scale(1 / ll_norm(m), m));
    *sense = sense_of(unit);
    ll_key_add_members(key, &ll_shape_members, &part->shape);
    ll_key_add_members(key, &ll_pose_members, &part->pose);
    ll_key_add(key, *sense * unit.x);
    ll_key_add(key, *sense * unit.y);
    ll_key_add(key, *sense * unit.z);
}

void ll_key_add_scene(ll_key *key, const ll_scene *scene, bool either_sense, double *sense)
{
    const size_t parts = ll_scene_part_count(scene), coils = ll_scene_coil_count(scene);
    *sense = 0;
    ll_key_add(key, (double)parts);
    for (size_t i = 0; i < parts; i++) {
        ll_part part = *ll_scene_part(scene, i);
        if (part.charge != 0 && ll_norm(part.north) > 0 && *sense == 0)
            *sense = either_sense ? sense_of(ll_scale(part.charge, part.north)) : 1;
        /* Charge against north is charge along the other way. */
        part.north = ll_scale(part.charge < 0 ? -*sense : *sense, part.north);
        part.charge = fabs(part.charge);
        ll_key_add_part(key, &part);
    }
    for (size_t i = 0; i < coils; i++)
        ll_key_add_coil(key, ll_scene_coil(scene, i));
    *sense = *sense == 0 ? 1 : *sense;
}
