/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/system_data.h"

#include "base/dense.h"
#include "base/factor.h"
#include "base/parallel.h"
#include "elements/krylov.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_STEPS = 300 };

/* w of one batch's bodies = factorised^-1 w. */
static ll_status solve_batch_inside(const ll_system *s, const ll_batch *batch, double *y)
{
    double *w[LL_SEVERAL];
    for (size_t k = 0; k < batch->count; k++)
        w[k] = y + s->body[batch->body[k]].w;
    const size_t first = batch->body[0];
    return ll_interior_solve(s->body[first].factorised, s->work[first], batch->count, w);
}

static ll_status solve_insides(const ll_system *s, double *y)
{
    ll_status status = LL_OK;
#pragma omp parallel for schedule(dynamic)
    for (size_t k = 0; k < s->batches; k++)
        ll_keep_worse(&status, solve_batch_inside(s, &s->batch[k], y));
    return status;
}

static void add_close_of_sheaf(const ll_system *s, const ll_batch *batch, const double *change,
                               double *surface)
{
    const double *in[LL_SEVERAL];
    double *out[LL_SEVERAL];
    const ll_body *first = &s->body[batch->body[0]];
    const ll_mesh *mesh = first->form->mesh;
    for (size_t k = 0; k < batch->count; k++) {
        in[k] = change + s->body[batch->body[k]].w;
        out[k] = surface + s->body[batch->body[k]].lambda;
        if (first->kind == LL_CHARGES)
            ll_form_add_mass(first->form, in[k], out[k]);
    }
    if (first->kind != LL_CHARGES)
        ll_dense_multiply_add_several(mesh->corners, mesh->surface_nodes, 1, first->form->jump,
                                      batch->count, in, out);
}

static void add_close_neighbours(const ll_system *s, size_t b, const double *change,
                                 double *surface)
{
    for (size_t o = 0; o < s->count; o++)
        if (o != b && s->cluster_of[o] == s->cluster_of[b] && s->body[o].kind != LL_CHARGES)
            ll_coupling_add_whole(s->coupling[b * s->count + o], -1, change + s->body[o].w,
                                  surface + s->body[b].lambda);
}

void ll_system_add_close(const ll_system *s, const double *change, double *surface)
{
#pragma omp parallel for schedule(dynamic)
    for (size_t k = 0; k < s->batches; k++) {
        add_close_of_sheaf(s, &s->batch[k], change, surface);
        for (size_t i = 0; i < s->batch[k].count; i++)
            add_close_neighbours(s, s->batch[k].body[i], change, surface);
    }
}

ll_status ll_system_add_far(const ll_system *s, size_t b, const double *x, double *surface)
{
    for (size_t o = 0; o < s->count; o++) {
        if (s->cluster_of[o] == s->cluster_of[b])
            continue;
        const ll_status status = ll_coupling_add_thin(
            s->coupling[b * s->count + o], x + s->body[o].w, x + s->body[o].lambda, surface);
        if (status)
            return status;
    }
    return LL_OK;
}

typedef void (*ll_factor_use)(size_t n, const double *factor, double *x);

/* y's lambdas of one cluster += (single layer or its inverse) of t, whose parts stand where the lambdas do. */
static ll_status use_single(const ll_system *s, const ll_cluster *k, ll_factor_use use,
                            const double *t, double *y)
{
    double *in = malloc(k->corners * sizeof *in);
    if (!in)
        return LL_NO_MEMORY;
    for (size_t a = 0, r = 0; a < k->count; a++) {
        const ll_body *body = &s->body[k->body[a]];
        memcpy(in + r, t + body->lambda, body->form->mesh->corners * sizeof *in);
        r += body->form->mesh->corners;
    }
    use(k->corners, k->count == 1 ? s->body[k->body[0]].form->factor : k->factor, in);
    for (size_t a = 0, r = 0; a < k->count; a++) {
        const ll_body *body = &s->body[k->body[a]];
        ll_dense_add(body->form->mesh->corners, 1, in + r, y + body->lambda);
        r += body->form->mesh->corners;
    }
    free(in);
    return LL_OK;
}

/* The same with the inverse for lone bodies of one form; t becomes what is added. */
static void solve_batch_surface(const ll_system *s, const ll_batch *batch, double *t, double *y)
{
    double *lambda[LL_SEVERAL];
    const ll_form *form = s->body[batch->body[0]].form;
    for (size_t k = 0; k < batch->count; k++)
        lambda[k] = t + s->body[batch->body[k]].lambda;
    ll_factor_solve_several(form->mesh->corners, form->factor, batch->count, lambda);
    for (size_t k = 0; k < batch->count; k++)
        ll_dense_add(form->mesh->corners, 1, lambda[k], y + s->body[batch->body[k]].lambda);
}

/* y's lambdas += the inverse single layer of t, which is lost. */
static ll_status solve_surfaces(const ll_system *s, double *t, double *y)
{
    ll_status status = LL_OK;
#pragma omp parallel for schedule(dynamic)
    for (size_t k = 0; k < s->batches; k++)
        if (ll_system_is_alone(s, s->batch[k].body[0]))
            solve_batch_surface(s, &s->batch[k], t, y);
#pragma omp parallel for schedule(dynamic) if (s->clusters > 1)
    for (size_t k = 0; k < s->clusters; k++)
        if (s->cluster[k].count > 1)
            ll_keep_worse(&status, use_single(s, &s->cluster[k], ll_factor_solve, t, y));
    return status;
}

/* The preconditioner P solves the inside with a stand-in for the space outside and then the surface equation of each
 * cluster exactly, so that S itself is never multiplied:
 *   w' = F^-1 (A w + flux lambda),   lambda' = lambda + S^-1 ((1/2 - K)(w' - w) + far layers + further sources). */
ll_status ll_system_finish_product(const ll_system *s, const double *x, const double *sources,
                                   double *y)
{
    double *work = calloc(2 * s->unknowns, sizeof *work);
    if (!work)
        return LL_NO_MEMORY;
    double *change = work, *surface = work + s->unknowns;
    ll_status status = LL_OK;
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        for (size_t i = body->w; i < body->lambda; i++)
            change[i] = y[i] - x[i];
    }
    ll_system_add_close(s, change, surface);
#pragma omp parallel for schedule(dynamic)
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        const size_t corners = body->form->mesh->corners;
        ll_keep_worse(&status, ll_system_add_far(s, b, x, surface + body->lambda));
        if (sources)
            ll_dense_add(corners, 1, sources + body->lambda, surface + body->lambda);
        memcpy(y + body->lambda, x + body->lambda, corners * sizeof *y);
    }
    if (!status)
        status = solve_surfaces(s, surface, y);
    free(work);
    return status;
}

/* y = P^-1 A x. */
static ll_status preconditioned(void *context, const double *x, double *y)
{
    const ll_system *s = context;
#pragma omp parallel for schedule(dynamic)
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        ll_interior_multiply(body->interior, x + body->w, y + body->w);
        ll_form_add_flux(body->form, x + body->lambda, y + body->w);
    }
    const ll_status status = solve_insides(s, y);
    return status ? status : ll_system_finish_product(s, x, NULL, y);
}

ll_status ll_system_precondition(const ll_system *s, double *rhs)
{
    double *surface = calloc(s->unknowns, sizeof *surface);
    if (!surface)
        return LL_NO_MEMORY;
    ll_status status = solve_insides(s, rhs);
    if (!status)
        ll_system_add_close(s, rhs, surface);
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        const size_t nc = body->form->mesh->corners;
        ll_dense_add(nc, -1, rhs + body->lambda, surface + body->lambda);
        memset(rhs + body->lambda, 0, nc * sizeof *rhs);
    }
    if (!status)
        status = solve_surfaces(s, surface, rhs);
    free(surface);
    return status;
}

ll_status ll_system_add_single(const ll_system *s, const ll_cluster *k, const double *t, double *y)
{
    return use_single(s, k, ll_factor_multiply, t, y);
}

ll_status ll_system_add_preconditioned(const ll_system *s, const double *rhs, double tolerance,
                                       double *x, size_t *steps)
{
    double *answer = calloc(s->unknowns, sizeof *answer);
    size_t used = 0;
    ll_status status = answer ? LL_OK : LL_NO_MEMORY;
    if (!status)
        status = ll_gmres(preconditioned, (void *)s, s->unknowns, rhs, tolerance, MOST_STEPS,
                          answer, &used);
    if (!status)
        ll_dense_add(s->unknowns, 1, answer, x);
    *steps += used;
    free(answer);
    return status;
}

ll_status ll_system_add_linear(const ll_system *s, double *rhs, double tolerance, double *x,
                               size_t *steps)
{
    ll_status status;
    /* A system has one set of work space for its factors, and solutions may share a system. */
#pragma omp critical(ll_system_in_use)
    {
        status = ll_system_precondition(s, rhs);
        if (!status)
            status = ll_system_add_preconditioned(s, rhs, tolerance, x, steps);
    }
    return status;
}
