/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The answer to a small source, and those that are kept. */
#include "magnetics/system_data.h"

#include "base/cache_kind.h"
#include "base/dense.h"

#include <stdlib.h>
#include <string.h>

void ll_body_to_world(const ll_body *body, size_t n, const ll_vec3 *own, ll_vec3 *world)
{
    for (size_t i = 0; i < n; i++)
        world[i] = ll_to_world(&body->pose, own[i]);
}

ll_status ll_system_source_on_surface(const ll_system *s, size_t b, ll_source_potential psi,
                                      void *context, double *rhs)
{
    const ll_body *body = &s->body[b];
    const size_t n = LL_TEST_POINTS * body->form->mesh->triangles;
    ll_vec3 *at = malloc(n * sizeof *at);
    double *f = malloc(n * sizeof *f);
    ll_status status = at && f ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        ll_body_to_world(body, n, body->form->test_m, at);
        status = psi(context, b, n, at, f);
    }
    if (!status)
        ll_form_test(body->form, f, rhs + body->lambda);
    free(at);
    free(f);
    return status;
}

/* A magnet of reversible susceptibility chi is driven by -chi grad psi inside. */
static ll_status source_inside(const ll_body *body, size_t b, ll_source_potential psi,
                               void *context, double *rhs)
{
    const double mu = ll_material_mu_r(body->region[0].material);
    const size_t n = body->form->mesh->nodes;
    ll_vec3 *at = malloc(n * sizeof *at);
    double *f = malloc(n * sizeof *f);
    ll_status status = at && f ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        ll_body_to_world(body, n, body->form->mesh->node_m, at);
        status = psi(context, b, n, at, f);
    }
    if (!status) {
        ll_interior_multiply(body->interior, f, rhs + body->w);
        /* The matrix holds chi or mu. */
        ll_dense_scale(n, body->kind == LL_CHARGES ? -1 : -(mu - 1) / mu, rhs + body->w);
    }
    free(at);
    free(f);
    return status;
}

ll_status ll_system_source(const ll_system *s, size_t b, ll_source_potential psi, void *context,
                           double *rhs)
{
    return s->body[b].kind == LL_TOTAL ? ll_system_source_on_surface(s, b, psi, context, rhs)
                                       : source_inside(&s->body[b], b, psi, context, rhs);
}

ll_status ll_system_small_source(const ll_system *s, ll_source_potential psi, void *context,
                                 double tolerance, double *x, size_t *steps)
{
    *steps = 0;
    memset(x, 0, s->unknowns * sizeof *x);
    if (s->count == 0)
        return LL_OK;
    double *rhs = calloc(s->unknowns, sizeof *rhs);
    if (!rhs)
        return LL_NO_MEMORY;
    ll_status status = LL_OK;
    for (size_t b = 0; b < s->count && !status; b++)
        status = ll_system_source(s, b, psi, context, rhs);
    if (!status)
        status = ll_system_add_linear(s, rhs, tolerance, x, steps);
    free(rhs);
    return status;
}

/* ---- cached answers ---- */

typedef struct cached_answer {
    ll_shared shared;
    size_t n;
    double x[];
} cached_answer;

static size_t bytes_of(const void *thing)
{
    return sizeof(cached_answer) + ((const cached_answer *)thing)->n * sizeof(double);
}

ll_status ll_system_cached_small_source(ll_system *s, const ll_key *source, ll_source_potential psi,
                                        void *context, double tolerance, double *x, size_t *steps)
{
    static const ll_cache_kind answers = {bytes_of};
    ll_key key = {0};
    ll_key_add(&key, (double)s->serial);
    ll_key_add_key(&key, source);
    cached_answer *cached = ll_cache_find(&answers, &key);
    ll_status status = LL_OK;
    *steps = 0;
    if (cached) {
        memcpy(x, cached->x, s->unknowns * sizeof *x);
    } else {
        status = ll_system_small_source(s, psi, context, tolerance, x, steps);
        cached = status ? NULL : malloc(sizeof *cached + s->unknowns * sizeof *x);
        if (cached) { /* else it is found anew the next time */
            ll_shared_begin(&cached->shared, free);
            cached->n = s->unknowns;
            memcpy(cached->x, x, s->unknowns * sizeof *x);
            cached = ll_cache_keep(&answers, &key, cached);
        }
    }
    ll_release(cached);
    ll_key_clear(&key);
    return status;
}
