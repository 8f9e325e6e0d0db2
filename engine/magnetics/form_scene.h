/* form_scene.h - which scenes are solved by bodies of higher degree, and those bodies. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_FORM_SCENE_H
#define LL_MAGNETICS_FORM_SCENE_H

#include "magnetics/form_body.h"
#include "scene/scene.h"

/* How finely: each level adds a degree and a harmonic on the same mesh. */
typedef struct ll_form_choice {
    int level;  /* 0: degree 2, .. LL_FORM_LEVELS - 1 */
    int finer;  /* more points in every rule, see ll_revolved_options */
    bool whole; /* with sines in any case: for sources that are not mirrored where the scene is */
    /* See options.h; both for as long as the scene is solved. */
    const struct ll_past *const *past;
    const double *current_a;
} ll_form_choice;

enum { LL_FORM_LEVELS = 4, LL_FORM_LOWEST_DEGREE = 2 };

/* A plane in which all bodies have their axes, and that mirrors all sources: fields have no sines there. */
typedef struct ll_mirror {
    bool exists;
    ll_vec3 normal, through_m;
} ll_mirror;

/* The mirror of a scene that is served; coils count as sources too. LL_NO_MEMORY. */
ll_status ll_form_scene_mirror(const ll_scene *scene, ll_mirror *out);

/* Whether all parts that need a mesh are clear of each other. */
bool ll_form_scene_is_clear(const ll_scene *scene);
/* And whether there are any, of kinds that forms are the better way for. */
bool ll_form_scene_serves(const ll_scene *scene);

/* The bodies of such a scene, prepared, in an array that the caller owns; body_of[parts] tells which body a part is, or
 * SIZE_MAX. LL_NO_MEMORY, LL_LIBRARY. */
ll_status ll_form_scene_bodies(const ll_scene *scene, const ll_form_choice *choice,
                               ll_form_body **body, size_t *count, size_t *body_of);

#endif
