/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The field of all bodies' layers. */
#include "magnetics/system_data.h"

#include <stdlib.h>

size_t ll_system_densities_size(const ll_system *s)
{
    size_t panels = 0;
    for (size_t b = 0; b < s->count; b++)
        panels += s->body[b].form->mesh->triangles;
    return 6 * panels;
}

double *ll_system_densities(const ll_system *s, const double *x)
{
    double *out = malloc((ll_system_densities_size(s) + 1) * sizeof *out), *next = out;
    for (size_t b = 0; out && b < s->count; b++) {
        const ll_body *body = &s->body[b];
        const size_t n = 3 * body->form->mesh->triangles;
        const int *corner = &body->form->mesh->corner[0][0];
        const int *node = &body->form->mesh->triangle[0][0];
        for (size_t k = 0; k < n; k++) {
            next[k] = x[body->lambda + (size_t)corner[k]];
            next[n + k] = body->kind == LL_CHARGES ? 0 : x[body->w + (size_t)node[k]];
        }
        next += 2 * n;
    }
    return out;
}

/* The same for some points, and room for 2 n vectors. */
static void field_at(const ll_system *s, const double *densities, size_t n, const ll_vec3 *points_m,
                     ll_vec3 *own, ll_vec3 *h_a_m)
{
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        const size_t panels = 3 * body->form->mesh->triangles;
        for (size_t i = 0; i < n; i++) {
            own[i] = ll_to_own(&body->pose, points_m[i]);
            own[n + i] = ll_vec(0, 0, 0);
        }
        ll_panels_field(body->form->panels, densities, densities + panels, n, own, own + n);
        for (size_t i = 0; i < n; i++)
            h_a_m[i] = ll_add(h_a_m[i], ll_rotate(&body->pose.rotation, own[n + i]));
        densities += 2 * panels;
    }
}

void ll_system_field(const ll_system *s, const double *densities, size_t n, const ll_vec3 *points_m,
                     ll_vec3 *h_a_m)
{
    enum { TOGETHER = 32 };
#pragma omp parallel for schedule(dynamic) if (n > TOGETHER)
    for (size_t first = 0; first < n; first += TOGETHER) {
        const size_t left = n - first, count = left < TOGETHER ? left : TOGETHER;
        ll_vec3 own[2 * TOGETHER];
        field_at(s, densities, count, points_m + first, own, h_a_m + first);
    }
}
