/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/form_system.h"
#include "base/constants.h"
#include "base/dense.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Newton's steps need not be found better than the next one corrects; they end where what is left is far below what a degree more
 * would change. */
static const double newton_forcing = 0.03, newton_tolerance = 2e-5, linear_tolerance = 1e-7;
enum { MOST_NEWTON = 60, MOST_HALVINGS = 8 };
/* Below so many unknowns threads cost more than they save. */
static const size_t worth_threads = 30000;
/* A factor is renewed when it took more products than this to use it. */
static const size_t fair_steps = 10;
/* Of the largest answer on the way; smaller ones are not told from none. */
static const double nearly_gone = 0.01;
/* A step of length t must bring x nearer to balance by this share of t. */
static const double least_gain = 0.01;

/* ---- making ---- */

/* Whether one factor preconditions both. */
static bool are_alike(const ll_form_body *a, const ll_form_body *b)
{
    const ll_region *p = &a->region, *q = &b->region;
    return a->placed.form == b->placed.form && ll_material_equal(p->material, q->material) &&
           fabs(p->charge) == fabs(q->charge) && ll_norm(ll_cross(p->axis, q->axis)) < 1e-9;
}

static ll_status prepare(ll_form_system *s)
{
    ll_placed_form *placed = malloc((s->count + 1) * sizeof *placed);
    s->factor_of = malloc((s->count + 1) * sizeof *s->factor_of);
    s->factor = calloc(s->count + 1, sizeof *s->factor);
    s->room = calloc(s->count + 1, sizeof *s->room);
    ll_status status = placed && s->factor_of && s->factor && s->room ? LL_OK : LL_NO_MEMORY;
    for (size_t b = 0; b < s->count && !status; b++) {
        const ll_body_form *form = s->body[b].placed.form;
        placed[b] = s->body[b].placed;
        s->factor_of[b] = 0;
        while (!are_alike(&s->body[s->factor_of[b]], &s->body[b]))
            s->factor_of[b]++;
        s->room[b] = malloc((3 * form->places + form->room_size) * sizeof(double));
        status = s->room[b] ? LL_OK : LL_NO_MEMORY;
    }
    if (!status)
        status = ll_coupled_forms_new(s->count, placed, &s->forms);
    free(placed);
    return status;
}

ll_status ll_form_system_new(size_t count, ll_form_body *body, ll_form_system **out)
{
    ll_form_system *s = calloc(1, sizeof *s);
    if (!s) {
        for (size_t b = 0; b < count; b++)
            ll_form_body_clear(&body[b]);
        free(body);
        return LL_NO_MEMORY;
    }
    s->count = count;
    s->body = body;
    const ll_status status = prepare(s);
    if (status)
        ll_form_system_free(s);
    else
        *out = s;
    return status;
}

void ll_form_system_free(ll_form_system *s)
{
    if (!s)
        return;
    for (size_t b = 0; b < s->count; b++) {
        if (s->factor)
            s->body[b].placed.form->kind->free_factor(s->factor[b]);
        if (s->room)
            free(s->room[b]);
        ll_form_body_clear(&s->body[b]);
    }
    ll_coupled_forms_free(s->forms);
    free(s->body);
    free(s->factor_of);
    free(s->factor);
    free(s->room);
    free(s);
}

bool ll_form_system_is_linear(const ll_form_system *s)
{
    for (size_t b = 0; b < s->count; b++)
        if (!s->body[b].region.linear)
            return false;
    return true;
}

void ll_form_system_h(const ll_form_system *s, size_t b, const double *x, double *h, double *room)
{
    const ll_body_form *form = s->body[b].placed.form;
    form->kind->find_h(form, x + s->forms->start[b], h, room);
}

/* ---- what is missing ---- */

/* y[unknowns] = sources - the left-hand sides at x. */
static ll_status find_missing(const ll_form_system *s, const double *sources, const double *x,
                              double *missing)
{
    const size_t n = s->forms->unknowns;
    memset(missing, 0, n * sizeof *missing);
#pragma omp parallel for schedule(dynamic) if (s->forms->unknowns > worth_threads)
    for (size_t b = 0; b < s->count; b++) {
        const ll_body_form *form = s->body[b].placed.form;
        double *h = s->room[b], *room = h + 3 * form->places;
        ll_form_system_h(s, b, x, h, room);
        ll_form_body_b(&s->body[b], h);
        form->kind->test_flux(form, h, missing + s->forms->start[b], room);
    }
    const ll_status status = ll_coupled_forms_add_layers(s->forms, x, missing);
    for (size_t i = 0; i < n; i++)
        missing[i] = sources[i] - missing[i];
    return status;
}

/* Sources tested on all surfaces, rhs[unknowns] overwritten. */
static ll_status test_sources(const ll_form_system *s, ll_outside_potential psi, void *context,
                              double *rhs)
{
    ll_status status = LL_OK;
    memset(rhs, 0, s->forms->unknowns * sizeof *rhs);
    for (size_t b = 0; b < s->count && !status; b++) {
        const ll_body_form *form = s->body[b].placed.form;
        ll_vec3 *at = malloc(form->surface * sizeof *at);
        double *own = malloc(form->surface * sizeof *own);
        status = at && own ? LL_OK : LL_NO_MEMORY;
        for (size_t i = 0; i < form->surface && !status; i++)
            at[i] = ll_to_world(&s->body[b].placed.pose, form->surface_m[i]);
        if (!status)
            status = psi(context, b, form->surface, at, own);
        if (!status)
            form->kind->test_surface(form, own, rhs + s->forms->start[b] + form->potentials);
        free(at);
        free(own);
    }
    return status;
}

/* ---- tangents and factors ---- */

static void set_tangents(ll_form_system *s, const double *x, bool reversible)
{
#pragma omp parallel for schedule(dynamic) if (s->forms->unknowns > worth_threads)
    for (size_t b = 0; b < s->count; b++) {
        const ll_body_form *form = s->body[b].placed.form;
        ll_form_system_h(s, b, x, s->room[b], s->room[b] + 3 * form->places);
        ll_form_body_set_tangent(&s->body[b], s->room[b], reversible);
    }
}

/* The factor of the mean tangent of all bodies like b, which is the first of them. */
static ll_status factorise_like(ll_form_system *s, size_t b)
{
    ll_body_form *form = s->body[b].placed.form;
    const size_t n = 6 * form->places;
    double *mean = calloc(n, sizeof *mean);
    size_t alike = 0;
    if (!mean)
        return LL_NO_MEMORY;
    for (size_t o = b; o < s->count; o++)
        if (s->factor_of[o] == b) {
            ll_dense_add(n, 1, s->body[o].tangent, mean);
            alike++;
        }
    ll_dense_scale(n, 1 / (double)alike, mean);
    ll_body_factor *factor;
    const ll_status status = form->kind->factorise(form, mean, &factor);
    if (!status) {
        form->kind->free_factor(s->factor[b]);
        s->factor[b] = factor;
    }
    free(mean);
    return status;
}

static ll_status factorise(ll_form_system *s)
{
    ll_status status = LL_OK;
    for (size_t b = 0; b < s->count && !status; b++)
        if (s->factor_of[b] == b)
            status = factorise_like(s, b);
    return status;
}

/* Lists of all bodies' tangents and factors, cleared by the caller. */
static ll_status list_tangents(const ll_form_system *s, ll_tangents *out)
{
    const double **tangent = malloc((s->count + 1) * sizeof *tangent);
    const ll_body_factor **factor = malloc((s->count + 1) * sizeof *factor);
    if (!tangent || !factor) {
        free(tangent);
        free(factor);
        return LL_NO_MEMORY;
    }
    for (size_t b = 0; b < s->count; b++) {
        tangent[b] = s->body[b].tangent;
        factor[b] = s->factor[s->factor_of[b]];
    }
    *out = (ll_tangents){tangent, factor};
    return LL_OK;
}

static void clear_tangents(ll_tangents *t)
{
    free((void *)t->tangent);
    free((void *)t->factor);
}

static void project(ll_form_system *s, const double *x, double load, double share)
{
#pragma omp parallel for schedule(dynamic) if (s->forms->unknowns > worth_threads)
    for (size_t b = 0; b < s->count; b++) {
        const ll_body_form *form = s->body[b].placed.form;
        if (!s->body[b].state_h)
            continue;
        ll_form_system_h(s, b, x, s->room[b], s->room[b] + 3 * form->places);
        ll_form_body_project(&s->body[b], load, share, s->room[b]);
    }
}

/* ---- Newton's method ---- */

typedef struct ll_form_newton {
    ll_form_system *s;
    ll_tangents tangents;
    double *sources, *missing, *step, *spare; /* [unknowns] each */
    bool charging;                            /* some magnet follows its hysteresis */
    bool bent_steel;
    bool damped; /* steel alone: straightened magnets meet their law by projection */
} ll_form_newton;

static double length_of(const ll_form_newton *n, const double *x)
{
    return sqrt(ll_dense_dot(n->s->forms->unknowns, x, x));
}

/* How far x is from balance, by the preconditioner. */
static ll_status find_distance(const ll_form_newton *n, double *distance)
{
    memcpy(n->spare, n->missing, n->s->forms->unknowns * sizeof *n->spare);
    const ll_status status = ll_coupled_forms_precondition(n->s->forms, &n->tangents, n->spare);
    *distance = length_of(n, n->spare);
    return status;
}

/* x moves along the step as far as brings it nearer to balance, from which it is `before` away. */
static ll_status move(const ll_form_newton *n, double before, double *x, double *length)
{
    double taken = 0, after;
    ll_status status = LL_OK;
    *length = 1;
    for (int k = 0; k <= MOST_HALVINGS && !status; k++, *length /= 2) {
        ll_dense_add(n->s->forms->unknowns, *length - taken, n->step, x);
        taken = *length;
        status = find_missing(n->s, n->sources, x, n->missing);
        if (!status)
            status = find_distance(n, &after);
        if (status ||
            after <= fmax((1 - least_gain * *length) * before, newton_tolerance * length_of(n, x)))
            break;
    }
    *length = taken;
    return status;
}

static bool is_charging(const ll_form_system *s)
{
    for (size_t b = 0; b < s->count; b++)
        if (s->body[b].turns)
            return true;
    return false;
}

static bool has_bent_steel(const ll_form_system *s)
{
    for (size_t b = 0; b < s->count; b++)
        if (!s->body[b].region.linear && !s->body[b].state_h)
            return true;
    return false;
}

/* The step from x around the tangents; *length tells how much of it was taken, *steps counts products. */
static ll_status take_step(const ll_form_newton *n, double *x, double *length, size_t *steps)
{
    const size_t unknowns = n->s->forms->unknowns;
    double before = 0;
    memset(n->step, 0, unknowns * sizeof *n->step);
    ll_status status = find_missing(n->s, n->sources, x, n->missing);
    if (!status && n->damped)
        status = find_distance(n, &before);
    if (!status)
        status = ll_coupled_forms_solve(n->s->forms, &n->tangents, n->missing, newton_forcing,
                                        n->step, steps);
    if (status)
        return status;
    if (n->damped)
        return move(n, before, x, length);
    /* Beside magnets that go half the way steel must not go all of it. */
    ll_dense_add(unknowns, n->bent_steel ? 0.5 : 1, n->step, x);
    *length = 1;
    return LL_OK;
}

/* A start that is not zero, as the answer of a lower degree, tells the states too. */
static void take_states(ll_form_system *s, const double *x)
{
    for (size_t b = 0; b < s->count; b++) {
        ll_form_system_h(s, b, x, s->room[b], s->room[b] + 3 * s->body[b].placed.form->places);
        ll_form_body_set_state(&s->body[b], s->room[b]);
    }
}

static ll_status renew_factor(ll_form_newton *n)
{
    const ll_status status = factorise(n->s);
    clear_tangents(&n->tangents);
    n->tangents = (ll_tangents){NULL, NULL};
    return status ? status : list_tangents(n->s, &n->tangents);
}

/* In H/m: the load line of a sphere within its own material; a steeper curve than any in the tables may want a flatter one. Where
 * a whole rod turns over, between its recoil line of some mu0 and a flank of hundreds, that of a rod serves, and half the way. */
static double load_for(const ll_form_newton *n, size_t count)
{
    static const double of_rods[] = {20, 10, 40};
    const size_t flatter = count / 10;
    return LL_MU0 * (n->charging ? of_rods[flatter / 2 % 3] : 2 / (double)(1 + flatter));
}

static ll_status iterate(ll_form_newton *n, double *x, size_t *steps, size_t *count)
{
    ll_status status = LL_OK;
    const double share = n->charging ? 0.5 : 1;
    double largest = 0;
    for (*count = 0; !status; ++*count) {
        double length;
        const size_t steps_before = *steps;
        if (*count == MOST_NEWTON)
            return LL_NO_CONVERGENCE;
        status = take_step(n, x, &length, steps);
        if (status)
            break;
        const double moved = length_of(n, n->step), size = length_of(n, x);
        if (!isfinite(moved))
            return LL_NO_CONVERGENCE;
        /* Charge that is nearly gone has no size of its own: what counts is what it was taken from. */
        largest = fmax(largest, n->charging ? nearly_gone * size : 0);
        if (moved == 0 || (length == 1 && moved < newton_tolerance * share * fmax(size, largest)))
            break;
        project(n->s, x, load_for(n, *count), share);
        set_tangents(n->s, x, false);
        if (*steps - steps_before > fair_steps)
            status = renew_factor(n);
    }
    return status;
}

/* Straight laws: one solve arrives. */
static ll_status solve_straight(const ll_form_newton *n, double *x, size_t *steps)
{
    const ll_status status = find_missing(n->s, n->sources, x, n->missing);
    return status ? status
                  : ll_coupled_forms_solve(n->s->forms, &n->tangents, n->missing, linear_tolerance,
                                           x, steps);
}

static ll_status find_bias(ll_form_newton *n, ll_outside_potential psi, void *context, double *x,
                           size_t *steps, size_t *count)
{
    ll_status status = test_sources(n->s, psi, context, n->sources);
    if (length_of(n, x) > 0)
        take_states(n->s, x);
    set_tangents(n->s, x, false);
    if (!status)
        status = renew_factor(n);
    if (!status)
        status = ll_form_system_is_linear(n->s) ? solve_straight(n, x, steps)
                                                : iterate(n, x, steps, count);
    return status;
}

ll_status ll_form_system_bias(ll_form_system *s, ll_outside_potential psi, void *context, double *x,
                              size_t *steps, size_t *count)
{
    const size_t unknowns = s->forms->unknowns;
    *steps = *count = 0;
    double *room = calloc(4 * unknowns + 1, sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    ll_form_newton n = {.s = s,
                        .sources = room,
                        .missing = room + unknowns,
                        .step = room + 2 * unknowns,
                        .spare = room + 3 * unknowns,
                        .charging = is_charging(s),
                        .bent_steel = has_bent_steel(s)};
    n.damped = n.bent_steel && !n.charging;
    const ll_status status = find_bias(&n, psi, context, x, steps, count);
    clear_tangents(&n.tangents);
    free(room);
    return status;
}

ll_status ll_form_system_reverse(ll_form_system *s, const double *x)
{
    set_tangents(s, x, true);
    return factorise(s);
}

void ll_form_system_settle(ll_form_system *s)
{
    for (size_t b = 0; s->room && b < s->count; b++) {
        free(s->room[b]);
        free(s->body[b].tangent);
        s->body[b].tangent = NULL;
    }
    free(s->room);
    s->room = NULL;
}

ll_status ll_form_system_small_source(const ll_form_system *s, ll_outside_potential psi,
                                      void *context, double tolerance, double *x, size_t *steps)
{
    ll_tangents tangents;
    ll_status status = list_tangents(s, &tangents);
    if (status)
        return status;
    const ll_tangents met = {s->room ? tangents.tangent : NULL, tangents.factor};
    double *rhs = malloc((s->forms->unknowns + 1) * sizeof *rhs);
    memset(x, 0, s->forms->unknowns * sizeof *x);
    status = rhs ? test_sources(s, psi, context, rhs) : LL_NO_MEMORY;
    *steps = 0;
    if (!status)
        status = ll_coupled_forms_solve(s->forms, &met, rhs, tolerance, x, steps);
    free(rhs);
    clear_tangents(&tangents);
    return status;
}
