/* From a scene to its solution.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/solve.h"
#include "base/dense.h"
#include "field/source.h"
#include "magnetics/coil_source.h"
#include "magnetics/contact.h"
#include "magnetics/history.h"
#include "magnetics/solution_cache.h"
#include "magnetics/solution_data.h"
#include "scene/source_key.h"

#include <omp.h>
#include <stdlib.h>
#include <string.h>

/* What a kept answer is to. */
enum { SOURCE_MAGNET, SOURCE_COIL };

static const double solve_tolerance = 1e-7;
static const double least_fineness = 0.3, most_fineness = 4;

/* ---- magnets in closed form ---- */

/* The air between part i and body b: none where the part is its own body, or the body is no steel. */
static double air_between(const ll_system *system, size_t i, size_t b)
{
    size_t region;
    const ll_body *body = ll_system_body(system, b);
    const bool own = ll_system_body_of(system, i, &region) == body;
    return own || body->kind != LL_TOTAL ? 0 : ll_system_contact_m(system);
}

static ll_status magnets_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                   double *psi)
{
    const ll_solution *s = context;
    ll_status status = LL_OK;
    memset(psi, 0, n * sizeof *psi);
    for (size_t i = 0; i < s->scene->parts && !status; i++)
        status = ll_contact_add(&s->scene->part[i], ll_source_magnetisation(s, i),
                                air_between(s->system, i, b), n, points_m, psi);
    return status;
}

/* ---- the bias and the coils ---- */

typedef struct ll_unit_magnet {
    const ll_system *system;
    size_t index;
    const ll_part *part;
    ll_vec3 unit;
} ll_unit_magnet;

static ll_status unit_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                double *psi)
{
    const ll_unit_magnet *u = context;
    memset(psi, 0, n * sizeof *psi);
    return ll_contact_add(u->part, u->unit, air_between(u->system, u->index, b), n, points_m, psi);
}

/* x += the answer to one magnet, met before or not. */
static ll_status add_magnet(ll_solution *s, size_t part, double *work, double *x)
{
    const ll_part *p = &s->scene->part[part];
    const ll_vec3 m = ll_source_magnetisation(s, part);
    if (ll_norm(m) == 0)
        return LL_OK;
    ll_key key = {0};
    double sign;
    size_t steps;
    ll_key_add(&key, SOURCE_MAGNET);
    ll_key_add_magnet(&key, p, m, &sign);
    ll_unit_magnet u = {s->system, part, p, ll_scale(sign / ll_norm(m), m)};
    const ll_status status = ll_system_cached_small_source(s->system, &key, unit_potential, &u,
                                                           solve_tolerance, work, &steps);
    ll_key_clear(&key);
    s->facts.iterations += steps;
    if (!status)
        ll_dense_add(ll_system_unknowns(s->system), sign * ll_norm(m), work, x);
    return status;
}

static ll_status sum_of_magnets(ll_solution *s, double *x)
{
    double *work = malloc((ll_system_unknowns(s->system) + 1) * sizeof *work);
    ll_status status = work ? LL_OK : LL_NO_MEMORY;
    for (size_t i = 0; i < s->scene->parts && !status; i++)
        status = add_magnet(s, i, work, x);
    free(work);
    return status;
}

/* A system that is met for the first time answers all magnets at once; one that comes again, as in a sweep, answers
 * each magnet by itself, and each answer serves for every strength and both senses. */
static ll_status find_bias(ll_solution *s, bool met_before)
{
    double *x = calloc(ll_system_unknowns(s->system) + 1, sizeof *x);
    if (!x)
        return LL_NO_MEMORY;
    ll_status status;
    if (!ll_system_is_linear(s->system)) {
        status = ll_history_recall(s->system, s->scene);
        if (!status)
            status = ll_system_bias(s->system, magnets_potential, s, x, &s->facts.iterations,
                                    &s->facts.newton_steps);
    } else if (met_before)
        status = sum_of_magnets(s, x);
    else
        status = ll_system_small_source(s->system, magnets_potential, s, solve_tolerance, x,
                                        &s->facts.iterations);
    return ll_answer_keep(s->system, status, x, &s->bias);
}

static ll_status find_coil(ll_solution *s, size_t i)
{
    double *x = calloc(ll_system_unknowns(s->system) + 1, sizeof *x);
    if (!x)
        return LL_NO_MEMORY;
    ll_key key = {0};
    ll_coil_source source = {s->scene, s->system, i};
    size_t steps;
    ll_key_add(&key, SOURCE_COIL);
    ll_key_add_coil(&key, &s->scene->coil[i]);
    const ll_status status =
        ll_system_is_linear(s->system)
            ? ll_system_cached_small_source(s->system, &key, ll_coil_source_potential, &source,
                                            solve_tolerance, x, &steps)
            : ll_system_small_source(s->system, ll_coil_source_potential, &source, solve_tolerance,
                                     x, &steps);
    ll_key_clear(&key);
    s->facts.iterations += steps;
    return ll_answer_keep(s->system, status, x, &s->coil[i]);
}

static ll_status find_answers(ll_solution *s, const ll_progress *progress, bool met_before)
{
    ll_status status = find_bias(s, met_before);
    for (size_t i = 0; i < s->scene->coils && !status; i++) {
        if (!ll_progress_go_on(progress, 0.5 + 0.5 * (double)i / (double)s->scene->coils))
            return LL_CANCELLED;
        status = find_coil(s, i);
        /* Its readings tell; all that does not need this coil goes on. */
        if (status == LL_RING_AROUND_COIL)
            status = LL_OK;
    }
    return status;
}

/* ---- bodies of higher degree ---- */

/* The level that a fineness stands for, where none is given: 0 for degree 2. */
static int level_of(const ll_solve_options *o)
{
    if (o && o->level > 0)
        return o->level - 1 < LL_FORM_LEVELS ? o->level - 1 : LL_FORM_LEVELS - 1;
    const double fineness = o && o->fineness > 0 ? o->fineness : 1;
    return fineness < 1 ? 0 : fineness < 1.4 ? 1 : 2;
}

static ll_status solve_forms(ll_solution *s, const ll_solve_options *options)
{
    const ll_form_choice choice = {
        .level = level_of(options),
        .whole = options && options->past,
        .past = options ? options->past : NULL,
        .current_a = options ? options->current_a : NULL,
    };
    const ll_solution *lower = options ? options->lower : NULL;
    const size_t limit = options ? options->memory_limit_bytes : 0;
    ll_status status = ll_system_of_none(options, &s->system);
    if (!status)
        status = ll_form_solution_new(s->scene, &choice, ll_system_contact_m(s->system),
                                      options ? options->progress : NULL,
                                      lower ? lower->forms : NULL, &s->forms);
    if (status)
        return status;
    if (limit && ll_form_solution_bytes(s->forms) > limit)
        return LL_TOO_BIG;
    s->facts.iterations = s->forms->products;
    s->facts.newton_steps = s->forms->newton_steps;
    return LL_OK;
}

static void note_facts(ll_solution *s, double started)
{
    s->facts.degree = 1;
    s->facts.bodies = ll_system_bodies(s->system);
    for (size_t b = 0; b < s->facts.bodies; b++)
        s->facts.triangles += ll_system_body(s->system, b)->form->mesh->triangles;
    s->facts.unknowns = ll_system_unknowns(s->system);
    s->facts.memory_bytes = ll_system_bytes(s->system);
    if (s->forms) {
        const ll_form_system *system = s->forms->system;
        s->facts.bodies = system->count;
        s->facts.unknowns = system->forms->unknowns;
        s->facts.memory_bytes = ll_form_solution_bytes(s->forms);
        s->facts.degree = system->body[0].placed.form->degree;
    }
    s->facts.seconds = omp_get_wtime() - started;
}

static bool options_hold(const ll_solve_options *o)
{
    return !o ||
           ((o->fineness == 0 || (o->fineness >= least_fineness && o->fineness <= most_fineness)) &&
            o->contact_gap_m >= 0 && isfinite(o->contact_gap_m) && (o->past || !o->current_a));
}

/* What follows a past is solved by forms, which stand clear of each other. */
static bool past_holds(const ll_scene *scene, const ll_solve_options *o)
{
    if (!o || !o->past)
        return true;
    bool finite = !o->tetrahedra && ll_form_scene_is_clear(scene);
    for (size_t i = 0; o->current_a && i < scene->coils; i++)
        finite = finite && isfinite(o->current_a[i]);
    return finite;
}

/* Currents that flow with the bias make field of their own. */
static ll_status note_currents(ll_solution *s, const ll_solve_options *options)
{
    if (!options || !options->current_a)
        return LL_OK;
    s->current_a = malloc((s->scene->coils + 1) * sizeof *s->current_a);
    for (size_t i = 0; s->current_a && i < s->scene->coils; i++)
        s->current_a[i] = options->current_a[i];
    return s->current_a ? LL_OK : LL_NO_MEMORY;
}

ll_status ll_solve(const ll_scene *scene, const ll_solve_options *options, ll_solution **out)
{
    if (!options_hold(options) || !past_holds(scene, options))
        return LL_BAD_VALUE;
    const double started = omp_get_wtime();
    const ll_progress *progress = options ? options->progress : NULL;
    ll_clash clash;
    size_t found;
    ll_status status = ll_scene_check(scene, 1, &clash, &found);
    if (status || found)
        return status ? status : LL_OVERLAP;
    if (!ll_progress_go_on(progress, 0))
        return LL_CANCELLED;
    const bool past = options && options->past;
    if (!past && ll_solution_cached(scene, options, out))
        return LL_OK;
    ll_solution *s = calloc(1, sizeof *s);
    if (!s)
        return LL_NO_MEMORY;
    s->scene = ll_scene_share(scene);
    s->coil = calloc(scene->coils + 1, sizeof *s->coil);
    status = s->coil ? note_currents(s, options) : LL_NO_MEMORY;
    if (!status && ll_solve_by_forms(scene, options))
        status = solve_forms(s, options);
    else if (!status) {
        bool met_before = false;
        status = ll_system_get(s->scene, options, &s->system, &met_before);
        if (!status)
            status = ll_progress_go_on(progress, 0.5) ? find_answers(s, progress, met_before)
                                                      : LL_CANCELLED;
    }
    if (status) {
        ll_solution_free(s);
        return status;
    }
    note_facts(s, started);
    s->facts.contact_gap_m = options ? options->contact_gap_m : 0;
    s->facts.fineness = options && options->fineness > 0 ? options->fineness : 1;
    if (s->facts.newton_steps && !past)
        ll_solution_to_cache(s, options);
    *out = s;
    return LL_OK;
}
