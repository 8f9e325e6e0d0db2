/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/history.h"
#include "magnetics/contact.h"
#include "magnetics/system_data.h"

#include <stdlib.h>
#include <string.h>

/* The magnets of one body, as closed forms. */
typedef struct ll_own_magnets {
    const ll_scene *scene;
    const ll_body *body;
} ll_own_magnets;

static ll_status own_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                               double *psi)
{
    (void)b;
    const ll_own_magnets *own = context;
    memset(psi, 0, n * sizeof *psi);
    ll_status status = LL_OK;
    for (size_t r = 0; r < own->body->regions && !status; r++) {
        const ll_region *region = &own->body->region[r];
        const ll_part *part = ll_scene_part(own->scene, region->part);
        const ll_vec3 m =
            ll_rotate(&own->body->pose.rotation, ll_scale(region->reference_a_m, region->axis));
        status = ll_contact_add(part, m, 0, n, points_m, psi);
    }
    return status;
}

/* The axial field in each tetrahedron of the solved lone body. Nowhere did it magnetise further: the charger had done that. */
static void note_lowest(const ll_body *lone, const double *w, double *lowest_h)
{
    for (size_t t = 0; t < lone->form->mesh->tets; t++) {
        const ll_region *r = &lone->region[lone->form->mesh->owner[t]];
        const double along = ll_dot(ll_body_h(lone, t, w), r->axis);
        lowest_h[t] = !r->charged_alone ? HUGE_VAL
                      : r->charge < 0   ? fmax(0, along)
                                        : fmin(0, along);
    }
}

static ll_status solve_alone(const ll_body *body, const ll_scene *scene, double *lowest_h)
{
    ll_own_magnets own = {scene, body};
    ll_system *lone;
    ll_status status = ll_system_of_one(body, &lone);
    if (status)
        return status;
    size_t steps, newton;
    double *x = malloc(ll_system_unknowns(lone) * sizeof *x);
    status = x ? ll_system_bias(lone, own_potential, &own, x, &steps, &newton) : LL_NO_MEMORY;
    if (!status)
        note_lowest(&lone->body[0], x + lone->body[0].w, lowest_h);
    free(x);
    ll_system_free(lone);
    return status;
}

static bool was_charged_alone(const ll_body *body)
{
    bool alone = false;
    for (size_t r = 0; r < body->regions; r++)
        alone = alone || body->region[r].charged_alone;
    return alone;
}

/* Two magnets that went through the same: one calculation serves both. */
static bool same_history(const ll_body *a, const ll_body *b)
{
    if (a->form != b->form || a->regions != b->regions || !was_charged_alone(a))
        return false;
    for (size_t r = 0; r < a->regions; r++) {
        const ll_region *p = &a->region[r], *q = &b->region[r];
        if (p->charged_alone != q->charged_alone || p->charge != q->charge ||
            ll_norm(ll_sub(p->axis, q->axis)) > 1e-12 ||
            !ll_material_equal(p->material, q->material))
            return false;
    }
    return true;
}

static const ll_body *twin_before(const ll_system *system, size_t b)
{
    for (size_t a = 0; a < b; a++)
        if (same_history(&system->body[a], &system->body[b]))
            return &system->body[a];
    return NULL;
}

ll_status ll_history_recall(ll_system *system, const ll_scene *scene)
{
    for (size_t b = 0; b < system->count; b++) {
        ll_body *body = &system->body[b];
        if (!was_charged_alone(body))
            continue;
        const size_t bytes = body->form->mesh->tets * sizeof *body->lowest_h;
        const ll_body *twin = twin_before(system, b);
        body->lowest_h = malloc(bytes);
        if (!body->lowest_h)
            return LL_NO_MEMORY;
        if (twin)
            memcpy(body->lowest_h, twin->lowest_h, bytes);
        const ll_status status = twin ? LL_OK : solve_alone(body, scene, body->lowest_h);
        if (status)
            return status;
    }
    return LL_OK;
}
