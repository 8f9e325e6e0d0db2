/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/nouns/steel_sheets.h"
#include <math.h>

/* A block that is four times as wide and as long as it is thick; poles and blades are thicker (common practice, no source). */
static bool is_sheet(const bind_part *part)
{
    if (ll_material_kind(part->material) != LL_STEEL || part->shape.kind != LL_BLOCK)
        return false;
    const ll_vec3 size = part->size_m;
    const double least_m = fmin(size.x, fmin(size.y, size.z));
    const double most_m = fmax(size.x, fmax(size.y, size.z));
    return 4 * least_m <= size.x + size.y + size.z - least_m - most_m;
}

/* True when they touch: metal that is not magnetic clashes where steel would join, and a hair of 10 micrometres makes contact a cut. */
static bool touch(const bind_part *sheet, const bind_part *other, const ll_material *metal)
{
    const double hair_m = 10e-6;
    ll_part part = {
        .name = "", .shape = other->shape, .pose = other->pose, .material = metal, .charge = 1};
    ll_scene *scene = NULL;
    ll_clash clash;
    size_t found = 0;
    ll_status status = ll_scene_new(&scene);
    if (status == LL_OK)
        status = ll_scene_add_part(scene, &part);
    part.pose = sheet->pose;
    if (status == LL_OK)
        status = ll_shape_block(ll_vec(sheet->size_m.x + 2 * hair_m, sheet->size_m.y + 2 * hair_m,
                                       sheet->size_m.z + 2 * hair_m),
                                &part.shape);
    if (status == LL_OK)
        status = ll_scene_add_part(scene, &part);
    if (status == LL_OK)
        status = ll_scene_check(scene, 1, &clash, &found);
    ll_scene_free(scene);
    return status == LL_OK && found > 0;
}

/* The first pair; false without one. */
static bool find_pair(const bind_pickup *pickup, const ll_material *metal, size_t pair[2])
{
    for (size_t i = 0; i < pickup->parts.count; i++)
        for (size_t k = 0; is_sheet(bind_pickup_part(pickup, i)) && k < pickup->parts.count; k++) {
            const bind_part *other = bind_pickup_part(pickup, k);
            if (k == i || ll_material_kind(other->material) != LL_STEEL ||
                !touch(bind_pickup_part(pickup, i), other, metal))
                continue;
            pair[0] = i;
            pair[1] = k;
            return true;
        }
    return false;
}

bool bind_push_joined_sheet(lua_State *L, const bind_pickup *pickup)
{
    ll_material *metal = NULL;
    size_t pair[2];
    const bool found = !pickup->head.wrong && ll_material_named("brass", &metal) == LL_OK &&
                       find_pair(pickup, metal, pair);
    ll_material_free(metal);
    if (!found)
        return false;
    const int top = lua_gettop(L);
    lua_pushfstring(L,
                    "left out: currents around in %s, a sheet of steel that touches %s; its losses "
                    "are told too small",
                    bind_part_label(L, pickup, pair[0]), bind_part_label(L, pickup, pair[1]));
    lua_replace(L, top + 1);
    lua_settop(L, top + 1);
    return true;
}
