/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/system_data.h"

#include "base/dense.h"

#include <stdlib.h>
#include <string.h>

static const double bias_tolerance = 1e-7;

/* Right-hand side of the bias sources; magnets keep the potential of the sources for their law. */
static ll_status add_sources(ll_system *s, ll_source_potential psi, void *context, double *rhs)
{
    ll_status status = LL_OK;
    for (size_t b = 0; b < s->count && !status; b++) {
        ll_body *body = &s->body[b];
        const size_t n = body->form->mesh->nodes;
        if (body->kind == LL_TOTAL) {
            status = ll_system_source_on_surface(s, b, psi, context, rhs);
            continue;
        }
        ll_vec3 *at = malloc(n * sizeof *at);
        free(body->psi);
        body->psi = malloc(n * sizeof *body->psi);
        status = at && body->psi ? LL_OK : LL_NO_MEMORY;
        if (!status) {
            ll_body_to_world(body, n, body->form->mesh->node_m, at);
            status = psi(context, b, n, at, body->psi);
        }
        free(at);
    }
    return status;
}

/* Each Newton equation is solved this well, the last ones better as they no longer move the working point. */
static const double newton_forcing = 1e-3, first_forcing = 1e-4, newton_tolerance = 1e-6;
enum { MOST_NEWTON = 60, MOST_HALVINGS = 8 };
/* A factorisation is renewed when it took more products than this to use it. */
static const size_t fair_steps = 8;

/* missing[unknowns] = sources - the left-hand sides at x: what a step must still bring about. */
static ll_status find_missing(const ll_system *s, const double *sources, const double *x,
                              double *missing)
{
    double *flux = calloc(s->unknowns, sizeof *flux),
           *surface = calloc(s->unknowns, sizeof *surface);
    ll_status status = flux && surface ? LL_OK : LL_NO_MEMORY;
#pragma omp parallel for schedule(dynamic)
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        if (status)
            continue;
        ll_body_residual(body, x + body->w, missing + body->w);
        ll_form_add_flux(body->form, x + body->lambda, flux + body->w);
        /* add_far gives what the other bodies add, which stands on the left with a minus. */
        ll_system_add_close(s, b, x, surface + body->lambda);
        ll_dense_scale(body->form->mesh->corners, -1, surface + body->lambda);
        ll_keep_worse(&status, ll_system_add_far(s, b, x, surface + body->lambda));
    }
    for (size_t k = 0; k < s->clusters && !status; k++)
        status = ll_system_add_single(s, &s->cluster[k], x, surface);
    for (size_t b = 0; b < s->count && !status; b++) {
        const ll_body *body = &s->body[b];
        for (size_t i = body->w; i < body->lambda; i++)
            missing[i] = sources[i] - missing[i] - flux[i];
        for (size_t i = body->lambda; i < body->lambda + body->form->mesh->corners; i++)
            missing[i] = sources[i] + surface[i];
    }
    free(flux);
    free(surface);
    return status;
}

/* How far the inside equations are from balance along a step: the slope of the energy, which the full step brings to
 * zero where the law is straight. */
static double slope_along(const ll_system *s, const double *step, const double *missing)
{
    double sum = 0;
    for (size_t b = 0; b < s->count; b++)
        sum +=
            ll_dense_dot(s->body[b].form->mesh->nodes, step + s->body[b].w, missing + s->body[b].w);
    return sum;
}

/* x moves along the step as far as lowers the slope, which is `before` at its start; *length tells how far. */
static ll_status move(const ll_system *s, const double *sources, const double *step, double before,
                      double *x, double *missing, double *length)
{
    double taken = 0;
    ll_status status = LL_OK;
    *length = 1;
    for (int k = 0; k <= MOST_HALVINGS && !status; k++, *length /= 2) {
        ll_dense_add(s->unknowns, *length - taken, step, x);
        taken = *length;
        status = find_missing(s, sources, x, missing);
        if (fabs(slope_along(s, step, missing)) <= (1 - 0.3 * *length) * before)
            break;
    }
    *length = taken;
    return status;
}

static ll_status set_tangents(ll_system *s, const double *x, bool reversible, bool factorise)
{
    ll_status status = LL_OK;
#pragma omp parallel for schedule(dynamic)
    for (size_t b = 0; b < s->count; b++)
        if (!s->body[b].linear)
            ll_keep_worse(&status,
                          ll_body_tangent(&s->body[b], x + s->body[b].w, reversible, factorise));
    return status;
}

static bool all_linear(const ll_system *s)
{
    for (size_t b = 0; b < s->count; b++)
        if (!s->body[b].linear)
            return false;
    return true;
}

typedef struct ll_newton_room {
    double *sources, *missing, *step;
} ll_newton_room;

static ll_status newton(ll_system *s, const ll_newton_room *room, double *x, size_t *steps,
                        size_t *count)
{
    const size_t n = s->unknowns;
    const bool linear = all_linear(s);
    ll_status status = find_missing(s, room->sources, x, room->missing);
    for (*count = 0; !status; ++*count) {
        double length;
        const size_t steps_before = *steps;
        if (*count == MOST_NEWTON)
            return LL_NO_CONVERGENCE;
        const double forcing = linear ? bias_tolerance : *count ? newton_forcing : first_forcing;
        memset(room->step, 0, n * sizeof *room->step);
        memcpy(room->sources + n, room->missing, n * sizeof *room->missing);
        status = ll_system_add_linear(s, room->sources + n, forcing, room->step, steps);
        /* The first step brings the surface equations into balance, whatever it does inside. */
        const double before = *count ? fabs(slope_along(s, room->step, room->missing)) : HUGE_VAL;
        if (!status)
            status = move(s, room->sources, room->step, before, x, room->missing, &length);
        if (status || linear)
            break;
        const double moved = ll_dense_dot(n, room->step, room->step);
        /* Without any source there is nothing to find. */
        if (moved == 0)
            break;
        const double change = sqrt(moved / ll_dense_dot(n, x, x));
        if (!isfinite(change))
            return LL_NO_CONVERGENCE;
        if (length == 1 && change < newton_tolerance)
            break;
        status = set_tangents(s, x, false, *steps - steps_before > fair_steps);
    }
    return status;
}

ll_status ll_system_bias(ll_system *s, ll_source_potential psi, void *context, double *x,
                         size_t *steps, size_t *count)
{
    *steps = *count = 0;
    memset(x, 0, s->unknowns * sizeof *x);
    if (s->count == 0)
        return LL_OK;
    double *room = calloc(4 * s->unknowns, sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    const ll_newton_room r = {room, room + 2 * s->unknowns, room + 3 * s->unknowns};
    ll_status status = add_sources(s, psi, context, r.sources);
    if (!status)
        status = set_tangents(s, x, false, true);
    if (!status)
        status = newton(s, &r, x, steps, count);
    if (!status)
        status = set_tangents(s, x, true, true);
    free(room);
    return status;
}
