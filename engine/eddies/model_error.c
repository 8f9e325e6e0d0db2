/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "eddies/model_error.h"

#include <math.h>

/* Permeability in place of currents: long bars, bars with ends that count, bars no longer than wide. A bar's ends are as far
 * apart as it is long over wide. */
static const double long_bar = 0.03, bar_with_ends = 0.13, short_bar = 0.22;
static const double ends_far = 3, ends_near = 1.5;
/* The hole of a tube holds a flux that its wall keeps whole; steel in contact carries its flux around more corners than a bar has. */
static const double thick_tube = 0.14, thin_tube = 0.8, joined_steel = 0.18;
/* Currents on leaves. */
static const double leaves = 0.07;

static const double touching_m = 2e-6;

static bool is_steel(const ll_part *p)
{
    return ll_material_mu_r(p->material) > 1 + 1e-9;
}

static bool touches_steel(const ll_scene *scene, size_t part)
{
    const ll_part *p = ll_scene_part(scene, part);
    for (size_t j = 0; j < ll_scene_part_count(scene); j++) {
        const ll_part *q = ll_scene_part(scene, j);
        if (j != part && is_steel(q) &&
            -ll_shape_overlap_m(&p->shape, &p->pose, &q->shape, &q->pose) < touching_m)
            return true;
    }
    return false;
}

static double share_of_steel(const ll_scene *scene, size_t part)
{
    const ll_part *p = ll_scene_part(scene, part);
    const ll_vec3 size = p->shape.size_m;
    if (touches_steel(scene, part))
        return joined_steel;
    if (p->shape.kind == LL_RING)
        return ll_material_mu_r(p->material) < 100 ? thin_tube : thick_tube;
    if (p->shape.kind == LL_BLOCK)
        return bar_with_ends;
    const double slender = size.z / fmax(size.x, size.y);
    return slender >= ends_far ? long_bar : slender >= ends_near ? bar_with_ends : short_bar;
}

double ll_eddies_model_share(const ll_scene *scene)
{
    double worst = 0;
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *p = ll_scene_part(scene, i);
        if (ll_material_conductivity_s_m(p->material) > 0)
            worst = fmax(worst, is_steel(p) ? share_of_steel(scene, i) : leaves);
    }
    return worst;
}
