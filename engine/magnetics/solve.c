/* From a scene to its solution.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "field/source.h"
#include "magnetics/solution.h"

#include <gsl/gsl_errno.h>
#include <omp.h>
#include <stdlib.h>
#include <string.h>

static const double solve_tolerance = 1e-7, response_tolerance = 1e-4;
static const double least_fineness = 0.3, most_fineness = 4;

/* ---- magnets in closed form ---- */

ll_vec3 ll_source_magnetisation(const ll_system *system, const ll_scene *scene, size_t part)
{
    const ll_part *p = &scene->part[part];
    size_t region;
    const ll_body *body = ll_system_body_of(system, part, &region);
    if (ll_material_kind(p->material) != LL_MAGNET || (body && body->kind == LL_TOTAL))
        return ll_vec(0, 0, 0);
    const double m = body ? body->region[region].reference_a_m
                          : p->charge * ll_material_remanence_t(p->material) / LL_MU0;
    return ll_scale(m / ll_norm(p->north), p->north);
}

ll_status ll_sources_h(const ll_solution *s, size_t n, const ll_vec3 *points_m, ll_vec3 *h_a_m)
{
    ll_vec3 *own = malloc((n + 1) * sizeof *own);
    if (!own)
        return LL_NO_MEMORY;
    memset(h_a_m, 0, n * sizeof *h_a_m);
    ll_status status = LL_OK;
    for (size_t i = 0; i < s->scene->parts && !status; i++) {
        const ll_part *part = &s->scene->part[i];
        const ll_vec3 m = ll_source_magnetisation(s->system, s->scene, i);
        if (ll_norm(m) == 0)
            continue;
        status = ll_magnet_h(&part->shape, &part->pose, m, n, points_m, own);
        for (size_t k = 0; k < n && !status; k++)
            h_a_m[k] = ll_add(h_a_m[k], own[k]);
    }
    free(own);
    return status;
}

static ll_status magnets_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                   double *psi)
{
    (void)b;
    const ll_solution *s = context;
    double *own = malloc((n + 1) * sizeof *own);
    if (!own)
        return LL_NO_MEMORY;
    memset(psi, 0, n * sizeof *psi);
    ll_status status = LL_OK;
    for (size_t i = 0; i < s->scene->parts && !status; i++) {
        const ll_part *part = &s->scene->part[i];
        const ll_vec3 m = ll_source_magnetisation(s->system, s->scene, i);
        if (ll_norm(m) == 0)
            continue;
        status = ll_magnet_potential(&part->shape, &part->pose, m, n, points_m, own);
        for (size_t k = 0; k < n && !status; k++)
            psi[k] += own[k];
    }
    free(own);
    return status;
}

/* ---- coils ---- */

static bool passes_through(const ll_body *body, const ll_coil *coil)
{
    for (size_t i = 0; i < body->form->mesh->surface_nodes; i++)
        if (ll_coil_hole_holds(coil, ll_to_world(&body->pose, body->form->mesh->node_m[i])))
            return true;
    return false;
}

/* The coil stands for a magnetised disc that fills its hole, M = turns / height there. In the hole H = -grad psi + M, so
 * the potential falls by M along the axis; above the winding the whole fall, `turns`, is behind. */
ll_status ll_coil_source_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                   double *psi)
{
    const ll_coil_source *source = context;
    const ll_coil *coil = &source->scene->coil[source->coil];
    const ll_status status =
        ll_coil_potential(&coil->shape, &coil->pose, coil->turns, n, points_m, psi);
    if (status || !passes_through(ll_system_body(source->system, b), coil))
        return status;
    const double half = coil->shape.height_m / 2;
    for (size_t i = 0; i < n; i++) {
        const double z = ll_to_own(&coil->pose, points_m[i]).z;
        if (z >= half)
            psi[i] -= coil->turns;
        else if (ll_coil_hole_holds(coil, points_m[i]))
            psi[i] -= coil->turns * (z + half) / (2 * half);
    }
    return LL_OK;
}

/* ---- answers ---- */

/* Takes x, which is freed on failure. */
static ll_status keep_answer(const ll_system *system, ll_status status, double *x,
                             ll_answer *answer)
{
    double *densities = status ? NULL : ll_system_densities(system, x);
    if (!status && !densities)
        status = LL_NO_MEMORY;
    if (status)
        free(x);
    else
        *answer = (ll_answer){x, densities};
    return status;
}

ll_status ll_answer_find(const ll_system *system, ll_source_potential psi, void *context,
                         double tolerance, ll_answer *answer, size_t *steps)
{
    double *x = calloc(ll_system_unknowns(system) + 1, sizeof *x);
    if (!x)
        return LL_NO_MEMORY;
    return keep_answer(system, ll_system_signal(system, psi, context, tolerance, x, steps), x,
                       answer);
}

void ll_answer_clear(ll_answer *answer)
{
    free(answer->x);
    free(answer->densities);
    *answer = (ll_answer){NULL, NULL};
}

void ll_solution_free(ll_solution *s)
{
    if (!s)
        return;
    ll_answer_clear(&s->bias);
    for (size_t i = 0; s->coil && i < s->scene->coils; i++)
        ll_answer_clear(&s->coil[i]);
    free(s->coil);
    ll_system_free(s->system);
    ll_scene_free((ll_scene *)s->scene);
    free(s);
}

static ll_status find_bias(ll_solution *s)
{
    double *x = calloc(ll_system_unknowns(s->system) + 1, sizeof *x);
    if (!x)
        return LL_NO_MEMORY;
    const ll_status status = ll_system_bias(s->system, magnets_potential, s, x,
                                            &s->facts.iterations, &s->facts.newton_steps);
    return keep_answer(s->system, status, x, &s->bias);
}

static ll_status find_answers(ll_solution *s, const ll_progress *progress)
{
    ll_status status = find_bias(s);
    for (size_t i = 0; i < s->scene->coils && !status; i++) {
        size_t steps;
        if (!ll_progress_go_on(progress, 0.5 + 0.5 * (double)i / (double)s->scene->coils))
            return LL_CANCELLED;
        ll_coil_source source = {s->scene, s->system, i};
        status = ll_answer_find(s->system, ll_coil_source_potential, &source, solve_tolerance,
                                &s->coil[i], &steps);
        s->facts.iterations += steps;
    }
    return status;
}

static void note_facts(ll_solution *s, double started)
{
    s->facts.bodies = ll_system_bodies(s->system);
    for (size_t b = 0; b < s->facts.bodies; b++)
        s->facts.triangles += ll_system_body(s->system, b)->form->mesh->triangles;
    s->facts.unknowns = ll_system_unknowns(s->system);
    s->facts.memory_bytes = ll_system_bytes(s->system);
    s->facts.seconds = omp_get_wtime() - started;
}

static bool options_hold(const ll_solve_options *o)
{
    return !o ||
           ((o->fineness == 0 || (o->fineness >= least_fineness && o->fineness <= most_fineness)) &&
            o->contact_gap_m >= 0 && isfinite(o->contact_gap_m));
}

ll_status ll_solve(const ll_scene *scene, const ll_solve_options *options, ll_solution **out)
{
    if (!options_hold(options))
        return LL_BAD_VALUE;
    /* GSL's own handler would end the process; every status is looked at instead. */
    gsl_set_error_handler_off();
    const double started = omp_get_wtime();
    const ll_progress *progress = options ? options->progress : NULL;
    ll_clash clash;
    size_t found;
    ll_status status = ll_scene_check(scene, 1, &clash, &found);
    if (status || found)
        return status ? status : LL_OVERLAP;
    if (!ll_progress_go_on(progress, 0))
        return LL_CANCELLED;
    ll_solution *s = calloc(1, sizeof *s);
    if (!s)
        return LL_NO_MEMORY;
    s->scene = ll_scene_share(scene);
    s->coil = calloc(scene->coils + 1, sizeof *s->coil);
    status = s->coil ? ll_system_new(scene, options, &s->system) : LL_NO_MEMORY;
    if (!status && !ll_progress_go_on(progress, 0.5))
        status = LL_CANCELLED;
    if (!status)
        status = find_answers(s, progress);
    if (status) {
        ll_solution_free(s);
        return status;
    }
    note_facts(s, started);
    *out = s;
    return LL_OK;
}

/* ---- the answer to a string ---- */

typedef struct ll_charges {
    size_t count;
    const ll_vec3 *at_m;
    const double *charge_a_m;
} ll_charges;

static ll_status charges_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                   double *psi)
{
    (void)b;
    const ll_charges *c = context;
#pragma omp parallel for
    for (size_t i = 0; i < n; i++) {
        double sum = 0;
        for (size_t k = 0; k < c->count; k++)
            sum += c->charge_a_m[k] / ll_norm(ll_sub(points_m[i], c->at_m[k]));
        psi[i] = sum / (4 * LL_PI);
    }
    return LL_OK;
}

ll_status ll_solution_response_h(const ll_solution *s, size_t m, const ll_vec3 *charges_at_m,
                                 const double *charge_a_m, size_t n, const ll_vec3 *points_m,
                                 ll_vec3 *h_a_m)
{
    ll_charges charges = {m, charges_at_m, charge_a_m};
    ll_answer answer;
    size_t steps;
    const ll_status status =
        ll_answer_find(s->system, charges_potential, &charges, response_tolerance, &answer, &steps);
    if (status)
        return status;
    memset(h_a_m, 0, n * sizeof *h_a_m);
    ll_system_field(s->system, answer.densities, n, points_m, h_a_m);
    ll_answer_clear(&answer);
    return LL_OK;
}

const ll_scene *ll_solution_scene(const ll_solution *s)
{
    return s->scene;
}

ll_solve_facts ll_solution_facts(const ll_solution *s)
{
    return s->facts;
}
