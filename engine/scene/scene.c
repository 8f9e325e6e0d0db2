/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scene/scene_data.h"

#include <stdlib.h>
#include <string.h>

static void scene_free(void *thing)
{
    ll_scene *scene = thing;
    for (size_t i = 0; i < scene->parts; i++) {
        free((char *)scene->part[i].name);
        ll_material_free((ll_material *)scene->part[i].material);
    }
    for (size_t i = 0; i < scene->coils; i++)
        free((char *)scene->coil[i].name);
    free(scene->part);
    free(scene->coil);
    free(scene);
}

ll_status ll_scene_new(ll_scene **out)
{
    ll_scene *scene = calloc(1, sizeof *scene);
    if (!scene)
        return LL_NO_MEMORY;
    ll_shared_begin(&scene->shared, scene_free);
    *out = scene;
    return LL_OK;
}

const ll_scene *ll_scene_share(const ll_scene *scene)
{
    atomic_store(&((ll_scene *)scene)->closed, true);
    return ll_share(scene);
}

void ll_scene_free(ll_scene *scene)
{
    ll_release(scene);
}

static char *copy_text(const char *text)
{
    const size_t size = strlen(text) + 1;
    char *copy = malloc(size);
    return copy ? memcpy(copy, text, size) : NULL;
}

static int finite_vec(ll_vec3 v)
{
    return isfinite(v.x) && isfinite(v.y) && isfinite(v.z);
}

/* Share of the magnetisation at 20 C that the temperature leaves: the reversible change, which comes back when it cools. */
static double strength(const ll_part *part)
{
    return 1 + ll_material_remanence_per_k(part->material) * part->warmer_k;
}

static ll_status check_part(const ll_part *part)
{
    const int magnet = part->material && ll_material_kind(part->material) == LL_MAGNET;
    if (!part->material || !finite_vec(part->pose.origin_m) || !finite_vec(part->north) ||
        !(fabs(part->charge) <= 1))
        return LL_BAD_VALUE;
    if (part->holes > LL_MOST_HOLES ||
        (part->holes &&
         (part->shape.kind != LL_BLOCK || ll_material_kind(part->material) != LL_CONDUCTOR)))
        return LL_BAD_VALUE;
    for (size_t i = 0; i < part->holes; i++)
        if (!(part->hole[i].radius_m > 0) || !finite_vec(part->hole[i].at_m))
            return LL_BAD_VALUE;
    if (magnet && ll_norm(part->north) == 0)
        return LL_NEEDS_NORTH;
    if (magnet && part->warmer_k != 0 && ll_material_remanence_per_k(part->material) == 0)
        return LL_NO_COEFFICIENT;
    return strength(part) >= 0 ? LL_OK : LL_BAD_VALUE;
}

ll_status ll_scene_add_part(ll_scene *scene, const ll_part *part)
{
    const ll_status status = scene->closed ? LL_IN_USE : check_part(part);
    if (status)
        return status;
    ll_part *list = realloc(scene->part, (scene->parts + 1) * sizeof *list);
    if (!list)
        return LL_NO_MEMORY;
    scene->part = list;
    char *name = copy_text(part->name ? part->name : "part");
    if (!name)
        return LL_NO_MEMORY;
    list[scene->parts] = *part;
    list[scene->parts].name = name;
    list[scene->parts].material = ll_material_share(part->material);
    list[scene->parts].charge *= strength(part);
    list[scene->parts].pose = ll_shape_settled(&part->shape, &part->pose);
    if (ll_norm(part->north) > 0)
        list[scene->parts].north = ll_vec_snapped(ll_scale(1 / ll_norm(part->north), part->north));
    scene->parts++;
    return LL_OK;
}

ll_status ll_scene_add_coil(ll_scene *scene, const ll_coil *coil)
{
    if (scene->closed)
        return LL_IN_USE;
    if (!(coil->turns > 0) || !isfinite(coil->turns) || !finite_vec(coil->pose.origin_m))
        return LL_BAD_VALUE;
    ll_coil *list = realloc(scene->coil, (scene->coils + 1) * sizeof *list);
    if (!list)
        return LL_NO_MEMORY;
    scene->coil = list;
    char *name = copy_text(coil->name ? coil->name : "coil");
    if (!name)
        return LL_NO_MEMORY;
    list[scene->coils] = *coil;
    list[scene->coils].name = name;
    /* Half a turn about its axis leaves a coil as it is. */
    list[scene->coils].pose = ll_pose_snapped(&coil->pose);
    list[scene->coils].pose.rotation =
        ll_rotation_settled_about_z(&list[scene->coils].pose.rotation);
    scene->coils++;
    return LL_OK;
}

size_t ll_scene_part_count(const ll_scene *scene)
{
    return scene->parts;
}

size_t ll_scene_coil_count(const ll_scene *scene)
{
    return scene->coils;
}

const ll_part *ll_scene_part(const ll_scene *scene, size_t i)
{
    return i < scene->parts ? &scene->part[i] : NULL;
}

const ll_coil *ll_scene_coil(const ll_scene *scene, size_t i)
{
    return i < scene->coils ? &scene->coil[i] : NULL;
}
