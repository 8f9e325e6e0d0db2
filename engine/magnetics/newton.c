/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/system_data.h"

#include "base/constants.h"
#include "base/dense.h"
#include "base/parallel.h"

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

/* Each Newton equation is solved this well. */
static const double newton_forcing = 1e-3, newton_tolerance = 1e-5;
enum { MOST_NEWTON = 60, MOST_HALVINGS = 8 };
/* A factorisation is renewed when it took more products than this to use it. */
static const size_t fair_steps = 8;
/* A step of length t must bring x nearer to balance by this share of t. */
static const double least_gain = 0.01;

/* missing[unknowns] = sources - the left-hand sides at x: what a step must still bring about. First inside, by the laws. */
static void find_missing_inside(const ll_system *s, const double *sources, const double *x,
                                double *missing)
{
#pragma omp parallel for schedule(dynamic)
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        ll_body_residual(body, x + body->w, missing + body->w);
        ll_form_add_flux(body->form, x + body->lambda, missing + body->w);
        for (size_t i = body->w; i < body->lambda; i++)
            missing[i] = sources[i] - missing[i];
    }
}

/* Then on the surfaces, by geometry alone. */
static ll_status find_missing_outside(const ll_system *s, const double *sources, const double *x,
                                      double *missing)
{
    double *surface = calloc(s->unknowns, sizeof *surface);
    if (!surface)
        return LL_NO_MEMORY;
    ll_status status = LL_OK;
    ll_system_add_close(s, x, surface);
#pragma omp parallel for schedule(dynamic)
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        /* add_far gives what the other bodies add, which stands on the left with a minus. */
        ll_dense_scale(body->form->mesh->corners, -1, surface + body->lambda);
        ll_keep_worse(&status, ll_system_add_far(s, b, x, surface + body->lambda));
    }
#pragma omp parallel for schedule(dynamic) if (s->clusters > 1)
    for (size_t k = 0; k < s->clusters; k++)
        ll_keep_worse(&status, ll_system_add_single(s, &s->cluster[k], x, surface));
    for (size_t b = 0; b < s->count && !status; b++) {
        const ll_body *body = &s->body[b];
        for (size_t i = body->lambda; i < body->lambda + body->form->mesh->corners; i++)
            missing[i] = sources[i] + surface[i];
    }
    free(surface);
    return status;
}

static ll_status find_missing(const ll_system *s, const double *sources, const double *x,
                              double *missing)
{
    find_missing_inside(s, sources, x, missing);
    return find_missing_outside(s, sources, x, missing);
}

typedef struct ll_newton_room {
    double *sources, *missing, *step, *spare; /* [unknowns] each */
} ll_newton_room;

/* How far x is from balance: the length of P^-1 missing, which is left in `spare`, about that of the step still to go. Each
 * Newton step is found to a given share of this length, which therefore falls along it at first. */
static ll_status find_distance(const ll_system *s, const ll_newton_room *room, double *distance)
{
    memcpy(room->spare, room->missing, s->unknowns * sizeof *room->spare);
    const ll_status status = ll_system_precondition(s, room->spare);
    *distance = sqrt(ll_dense_dot(s->unknowns, room->spare, room->spare));
    return status;
}

/* x moves along the step as far as brings it nearer to balance, from which it is `before` away at its start, or so near
 * that rounding may hide the gain; *length tells how far. */
static ll_status move(const ll_system *s, const ll_newton_room *room, double before, double *x,
                      double *length)
{
    double taken = 0, after;
    ll_status status = LL_OK;
    *length = 1;
    for (int k = 0; k <= MOST_HALVINGS && !status; k++, *length /= 2) {
        ll_dense_add(s->unknowns, *length - taken, room->step, x);
        taken = *length;
        status = find_missing(s, room->sources, x, room->missing);
        if (!status)
            status = find_distance(s, room, &after);
        const double near = newton_tolerance * sqrt(ll_dense_dot(s->unknowns, x, x));
        if (status || after <= fmax((1 - least_gain * *length) * before, near))
            break;
    }
    *length = taken;
    return status;
}

/* Where the straightened laws of bent magnets are taken next. The load line is at first that of a sphere within its own material,
 * which suits a piece of magnet among its neighbours; steeper curves than any in the tables may want a flatter one. */
static ll_status project(ll_system *s, const double *x, size_t count)
{
    const size_t trials = 1 + count / 10;
    const double load = 2 * LL_MU0 / (double)trials;
    ll_status status = LL_OK;
#pragma omp parallel for schedule(dynamic)
    for (size_t b = 0; b < s->count; b++)
        ll_keep_worse(&status, ll_body_project(&s->body[b], load, x + s->body[b].w));
    return status;
}

static bool has_states(const ll_system *s)
{
    for (size_t b = 0; b < s->count; b++)
        if (s->body[b].state_h)
            return true;
    return false;
}

static ll_status set_tangents(ll_system *s, const double *x, bool reversible, bool factorise)
{
    ll_status status = LL_OK;
#pragma omp parallel for schedule(dynamic)
    for (size_t b = 0; b < s->count; b++) {
        ll_body *body = &s->body[b];
        if (!body->linear)
            ll_keep_worse(&status,
                          ll_body_tangent(body, x + body->w, reversible,
                                          factorise && body->factorised == body->interior));
    }
    return status;
}

static bool all_linear(const ll_system *s)
{
    for (size_t b = 0; b < s->count; b++)
        if (!s->body[b].linear)
            return false;
    return true;
}

/* The step from x with the tangents as they are, and how far x is from balance. */
static ll_status find_step(const ll_system *s, const ll_newton_room *room, double forcing,
                           double *before, size_t *steps)
{
    memset(room->step, 0, s->unknowns * sizeof *room->step);
    const ll_status status = find_distance(s, room, before);
    return status ? status
                  : ll_system_add_preconditioned(s, room->spare, forcing, room->step, steps);
}

static ll_status newton(ll_system *s, const ll_newton_room *room, double *x, size_t *steps,
                        size_t *count)
{
    const size_t n = s->unknowns;
    ll_status status = find_missing(s, room->sources, x, room->missing);
    for (*count = 0; !status; ++*count) {
        double length, before;
        const size_t steps_before = *steps;
        if (*count == MOST_NEWTON)
            return LL_NO_CONVERGENCE;
        status = find_step(s, room, newton_forcing, &before, steps);
        if (!status)
            status = move(s, room, before, x, &length);
        if (status)
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
        status = project(s, x, *count);
        if (!status)
            status = set_tangents(s, x, false, *steps - steps_before > fair_steps);
        /* With the true laws nothing has changed since the step; straightened ones have moved. */
        if (!status && has_states(s))
            find_missing_inside(s, room->sources, x, room->missing);
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
    const ll_newton_room r = {room, room + s->unknowns, room + 2 * s->unknowns,
                              room + 3 * s->unknowns};
    ll_status status = add_sources(s, psi, context, r.sources);
    if (!status)
        status = project(s, x, 0);
    if (!status)
        status = set_tangents(s, x, false, true);
    if (!status && !all_linear(s))
        status = newton(s, &r, x, steps, count);
    else if (!status) { /* straight laws: the first step arrives */
        status = find_missing(s, r.sources, x, r.missing);
        if (!status)
            status = ll_system_add_linear(s, r.missing, bias_tolerance, x, steps);
    }
    if (!status)
        status = set_tangents(s, x, true, true);
    free(room);
    return status;
}
