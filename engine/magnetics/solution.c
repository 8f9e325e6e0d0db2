/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "field/source.h"
#include "magnetics/solution_data.h"

#include <stdlib.h>
#include <string.h>

bool ll_solution_has_mesh(const ll_solution *s)
{
    return s->forms || ll_system_bodies(s->system) > 0;
}

ll_vec3 ll_source_magnetisation(const ll_solution *s, size_t part)
{
    const ll_part *p = &s->scene->part[part];
    size_t region;
    const ll_body *body = ll_system_body_of(s->system, part, &region);
    const bool whole = s->forms && ll_form_solution_is_whole(s->forms, part);
    if (ll_material_kind(p->material) != LL_MAGNET || whole || (body && body->kind == LL_TOTAL))
        return ll_vec(0, 0, 0);
    /* A straight law's system may be shared with scenes of other charges: only the scene knows its own. */
    const double m = body && body->kind == LL_REACTION
                         ? body->region[region].reference_a_m
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
        const ll_vec3 m = ll_source_magnetisation(s, i);
        if (ll_norm(m) == 0)
            continue;
        status = ll_magnet_h(&part->shape, &part->pose, m, n, points_m, own);
        for (size_t k = 0; k < n && !status; k++)
            h_a_m[k] = ll_add(h_a_m[k], own[k]);
    }
    for (size_t i = 0; s->current_a && i < s->scene->coils && !status; i++) {
        const ll_coil *coil = &s->scene->coil[i];
        status = ll_coil_h(&coil->shape, &coil->pose, coil->turns, n, points_m, own);
        for (size_t k = 0; k < n && !status; k++)
            h_a_m[k] = ll_add(h_a_m[k], ll_scale(s->current_a[i], own[k]));
    }
    free(own);
    return status;
}

ll_status ll_answer_keep(const ll_system *system, ll_status status, double *x, ll_answer *answer)
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
    return ll_answer_keep(system, ll_system_small_source(system, psi, context, tolerance, x, steps),
                          x, answer);
}

void ll_answer_clear(ll_answer *answer)
{
    free(answer->x);
    free(answer->densities);
    *answer = (ll_answer){NULL, NULL};
}

ll_status ll_coil_answered(const ll_solution *s, size_t coil)
{
    if (coil >= s->scene->coils)
        return LL_NO_COIL;
    const double *x = s->forms ? s->forms->coil[coil].x : s->coil[coil].x;
    return x ? LL_OK : LL_RING_AROUND_COIL;
}

void ll_solution_free(ll_solution *s)
{
    if (!s)
        return;
    ll_answer_clear(&s->bias);
    for (size_t i = 0; s->coil && i < s->scene->coils; i++)
        ll_answer_clear(&s->coil[i]);
    free(s->coil);
    free(s->current_a);
    ll_system_free(s->system);
    ll_release(s->forms);
    ll_scene_free((ll_scene *)s->scene);
    free(s);
}

const ll_scene *ll_solution_scene(const ll_solution *s)
{
    return s->scene;
}

ll_solve_facts ll_solution_facts(const ll_solution *s)
{
    return s->facts;
}
