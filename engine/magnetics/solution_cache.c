/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/solution_cache.h"
#include "base/cache_kind.h"
#include "scene/source_key.h"

#include <stdlib.h>

bool ll_solve_by_forms(const ll_scene *scene, const ll_solve_options *options)
{
    if (options && options->past)
        return true;
    return !(options && options->tetrahedra) && ll_form_scene_serves(scene);
}

/* The densities come from x anew, so that nothing here knows their layout. */
static ll_status copy_answer(const ll_system *system, const ll_answer *from, double factor,
                             ll_answer *to)
{
    if (!from->x) /* the coil has none, or forms have it */
        return LL_OK;
    const size_t n = ll_system_unknowns(system);
    to->x = malloc((n + 1) * sizeof *to->x);
    for (size_t i = 0; to->x && i < n; i++)
        to->x[i] = factor * from->x[i];
    to->densities = to->x ? ll_system_densities(system, to->x) : NULL;
    return to->densities ? LL_OK : LL_NO_MEMORY;
}

/* The same solution for another scene like its own. */
static ll_solution *copy_for(const ll_scene *scene, const ll_solution *s, double sense)
{
    ll_solution *copy = calloc(1, sizeof *copy);
    if (!copy)
        return NULL;
    copy->scene = ll_scene_share(scene);
    copy->system = ll_system_share(s->system);
    copy->forms = ll_share(s->forms);
    copy->facts = s->facts;
    copy->coil = calloc(scene->coils + 1, sizeof *copy->coil);
    ll_status status =
        copy->coil ? copy_answer(s->system, &s->bias, sense, &copy->bias) : LL_NO_MEMORY;
    for (size_t i = 0; i < scene->coils && !status; i++)
        status = copy_answer(s->system, &s->coil[i], 1, &copy->coil[i]);
    if (status) {
        ll_solution_free(copy);
        return NULL;
    }
    return copy;
}

static const ll_member of_options[] = {
    LL_MEMBER(ll_solve_options, fineness, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_solve_options, contact_gap_m, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_solve_options, memory_limit_bytes, LL_MEMBER_ASIDE),
    LL_MEMBER(ll_solve_options, progress, LL_MEMBER_ASIDE),
    LL_MEMBER(ll_solve_options, level, LL_MEMBER_ENUM),
    LL_MEMBER(ll_solve_options, lower, LL_MEMBER_ASIDE),
    LL_MEMBER(ll_solve_options, tetrahedra, LL_MEMBER_BOOL),
    LL_MEMBER(ll_solve_options, past, LL_MEMBER_ASIDE),
    LL_MEMBER(ll_solve_options, current_a, LL_MEMBER_ASIDE),
};
const ll_members ll_solve_options_members = LL_MEMBERS(ll_solve_options, of_options);

/* Magnets with bent curves, and those that conduct, keep their sense in their bodies; in forms all do. */
static bool turns_round(const ll_scene *scene, const ll_solve_options *options)
{
    if (ll_solve_by_forms(scene, options))
        return false;
    for (size_t i = 0; i < scene->parts; i++) {
        const ll_material *m = scene->part[i].material;
        if (ll_material_kind(m) == LL_MAGNET &&
            (!ll_material_is_linear(m) || ll_material_mu_r(m) > 1.5))
            return false;
    }
    return true;
}

static ll_key key_of(const ll_scene *scene, const ll_solve_options *options, double *sense)
{
    ll_solve_options asked = options ? *options : (ll_solve_options){0};
    asked.fineness = asked.fineness > 0 ? asked.fineness : 1;
    ll_key key = {0};
    ll_key_add_members(&key, &ll_solve_options_members, &asked);
    ll_key_add_scene(&key, scene, turns_round(scene, options), sense);
    return key;
}

typedef struct entry {
    ll_shared shared;
    ll_solution *solution;
    double sense;
} entry;

static void kept_free(void *thing)
{
    entry *k = thing;
    ll_solution_free(k->solution);
    free(k);
}

/* Couplings and forms are shared with other solutions and counted by themselves. */
static size_t bytes_of(const void *thing)
{
    enum { FACTORS_AND_COPIES = 60 };
    const ll_solution *s = ((const entry *)thing)->solution;
    if (s->forms)
        return ll_form_solution_bytes(s->forms);
    return ll_system_unknowns(s->system) * (s->scene->coils + 1 + FACTORS_AND_COPIES) *
           sizeof(double);
}

static const ll_cache_kind solutions = {bytes_of};

bool ll_solution_cached(const ll_scene *scene, const ll_solve_options *options, ll_solution **out)
{
    double sense;
    ll_key key = key_of(scene, options, &sense);
    entry *k = ll_cache_find(&solutions, &key);
    ll_solution *found = k ? copy_for(scene, k->solution, sense * k->sense) : NULL;
    ll_release(k);
    ll_key_clear(&key);
    if (found)
        *out = found;
    return found != NULL;
}

void ll_solution_to_cache(const ll_solution *solution, const ll_solve_options *options)
{
    entry *k = malloc(sizeof *k);
    if (!k)
        return;
    ll_shared_begin(&k->shared, kept_free);
    k->solution = copy_for(solution->scene, solution, 1);
    if (k->solution) {
        ll_key key = key_of(solution->scene, options, &k->sense);
        k = ll_cache_keep(&solutions, &key, k);
        ll_key_clear(&key);
    }
    ll_release(k);
}
