/* What coils link of an answer, as weights of its unknowns.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/coil_cache.h"
#include "magnetics/coil_source.h"
#include "magnetics/solution_data.h"
#include "magnetics/system_data.h"

#include <stdlib.h>
#include <string.h>

/* One body's share of integral (w H_n - psi lambda) dS as weights of its w and lambda: what it adds to the linkage of the
 * source whose own H and psi these are at its test points, by reciprocity. */
void ll_linkage_weights(const ll_body *body, const ll_vec3 *h, const double *psi, double *weight)
{
    const ll_mesh *mesh = body->form->mesh;
    for (size_t i = 0; i < LL_TEST_POINTS * mesh->triangles; i++) {
        const size_t t = i / LL_TEST_POINTS, p = i % LL_TEST_POINTS;
        const double area = ll_panels_area(body->form->panels, t) / LL_TEST_POINTS;
        const ll_vec3 normal =
            ll_rotate(&body->pose.rotation, ll_panels_normal(body->form->panels, t));
        for (int k = 0; k < 3; k++) {
            const double share = area * ll_test_weight[p][k];
            if (body->kind != LL_CHARGES)
                weight[body->w + (size_t)mesh->triangle[t][k]] += share * ll_dot(h[i], normal);
            weight[body->lambda + (size_t)mesh->corner[t][k]] -= share * psi[i];
        }
    }
}

static ll_status coil_weights_of_body(const ll_solution *s, size_t b, size_t coil, double *weight)
{
    const ll_body *body = ll_system_body(s->system, b);
    const size_t n = LL_TEST_POINTS * body->form->mesh->triangles;
    ll_vec3 *at = malloc(n * sizeof *at), *h = malloc(n * sizeof *h);
    double *psi = malloc(n * sizeof *psi);
    ll_coil_source source = {s->scene, s->system, coil};
    ll_status status = at && h && psi ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        ll_body_to_world(body, n, body->form->test_m, at);
        status = ll_coil_source_potential(&source, b, n, at, psi);
    }
    if (!status)
        status = ll_coil_at_body(&s->scene->coil[coil], body, h, NULL);
    if (!status)
        ll_linkage_weights(body, h, psi, weight);
    free(at);
    free(h);
    free(psi);
    return status;
}

ll_status ll_coil_weights(const ll_solution *s, size_t coil, double *weight)
{
    ll_status status = LL_OK;
    memset(weight, 0, ll_system_unknowns(s->system) * sizeof *weight);
    for (size_t b = 0; b < ll_system_bodies(s->system) && !status; b++)
        status = coil_weights_of_body(s, b, coil, weight);
    return status;
}
