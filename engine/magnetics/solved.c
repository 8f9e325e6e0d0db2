/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/solved.h"
#include "base/shelf.h"
#include "scene/source_key.h"

#include <stdlib.h>

typedef struct kept {
    ll_solution *solution;
    double fineness, contact_m;
} kept;

static double fineness_of(const ll_solve_options *o)
{
    return o && o->fineness > 0 ? o->fineness : 1;
}

static double contact_of(const ll_solve_options *o)
{
    return o ? o->contact_gap_m : 0;
}

/* *sense: that of b's magnetisation in a's, the same for all magnets; 0 as long as none was met. */
static bool same_part(const ll_part *a, const ll_part *b, double *sense)
{
    double ka[LL_SOURCE_KEY], kb[LL_SOURCE_KEY], sa = 1, sb = 1;
    if (!ll_material_equal(a->material, b->material) || fabs(a->charge) != fabs(b->charge) ||
        a->charged != b->charged)
        return false;
    const bool magnet = ll_material_kind(a->material) == LL_MAGNET && a->charge != 0;
    if (magnet) {
        ll_magnet_key(a, ll_scale(a->charge, a->north), ka, &sa);
        ll_magnet_key(b, ll_scale(b->charge, b->north), kb, &sb);
    } else {
        ll_part_key(a, ka);
        ll_part_key(b, kb);
    }
    if (!ll_keys_equal(ka, kb))
        return false;
    if (magnet && *sense == 0)
        *sense = sa * sb;
    return !magnet || *sense == sa * sb;
}

static bool same_coil(const ll_coil *a, const ll_coil *b)
{
    double ka[LL_SOURCE_KEY], kb[LL_SOURCE_KEY];
    ll_coil_key(a, ka);
    ll_coil_key(b, kb);
    return ll_keys_equal(ka, kb);
}

/* The sense in which a's solution is b's; 0 when it is not. */
static double sense_of(const ll_scene *a, const ll_scene *b)
{
    double sense = 0;
    bool same = a->parts == b->parts && a->coils == b->coils;
    for (size_t i = 0; same && i < a->parts; i++)
        same = same_part(&a->part[i], &b->part[i], &sense);
    for (size_t i = 0; same && i < a->coils; i++)
        same = same_coil(&a->coil[i], &b->coil[i]);
    return !same ? 0 : sense == 0 ? 1 : sense;
}

static double *scaled_copy(const double *from, size_t n, double factor)
{
    double *to = malloc((n + 1) * sizeof *to);
    for (size_t i = 0; to && i < n; i++)
        to[i] = factor * from[i];
    return to;
}

/* The densities come from x anew, so that nothing here knows their layout. */
static ll_status copy_answer(const ll_system *system, const ll_answer *from, double factor,
                             ll_answer *to)
{
    if (!from->x) /* the coil has none */
        return LL_OK;
    to->x = scaled_copy(from->x, ll_system_unknowns(system), factor);
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

/* Magnets with bent curves keep their sense in their bodies. */
static bool turns_round(const ll_system *system)
{
    for (size_t b = 0; b < ll_system_bodies(system); b++)
        if (ll_system_body(system, b)->kind == LL_REACTION)
            return false;
    return true;
}

typedef struct wanted_solution {
    const ll_scene *scene;
    const ll_solve_options *options;
    double *sense; /* in which the one that was found is the wanted one */
} wanted_solution;

static bool serves(const void *thing, const void *wanted)
{
    const kept *here = thing;
    const wanted_solution *w = wanted;
    if (here->fineness != fineness_of(w->options) || here->contact_m != contact_of(w->options))
        return false;
    *w->sense = sense_of(here->solution->scene, w->scene);
    return *w->sense > 0 || (*w->sense < 0 && turns_round(here->solution->system));
}

/* Couplings and forms are shared with other solutions and counted in their own stores. */
static size_t own_bytes(const void *thing)
{
    enum { FACTORS_AND_COPIES = 60 };
    const ll_solution *s = ((const kept *)thing)->solution;
    return ll_system_unknowns(s->system) * (s->scene->coils + 1 + FACTORS_AND_COPIES) *
           sizeof(double);
}

static void give_up(void *thing)
{
    kept *here = thing;
    ll_solution_free(here->solution);
    free(here);
}

static ll_shelf shelf = {
    .places = 16, .bytes = (size_t)128 << 20, .bytes_of = own_bytes, .give_up = give_up};

bool ll_solved_find(const ll_scene *scene, const ll_solve_options *options, ll_solution **out)
{
    double sense;
    const wanted_solution wanted = {scene, options, &sense};
    ll_solution *found = NULL;
#pragma omp critical(ll_solved_store)
    {
        const kept *here = ll_shelf_find(&shelf, serves, &wanted);
        if (here)
            found = copy_for(scene, here->solution, sense);
    }
    if (found)
        *out = found;
    return found != NULL;
}

void ll_solved_keep(const ll_solution *solution, const ll_solve_options *options)
{
    kept *here = malloc(sizeof *here);
    if (!here)
        return;
    *here =
        (kept){copy_for(solution->scene, solution, 1), fineness_of(options), contact_of(options)};
    if (!here->solution) {
        free(here);
        return;
    }
#pragma omp critical(ll_solved_store)
    ll_shelf_put(&shelf, here);
}
