/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/coupled_forms.h"
#include "base/dense.h"
#include "elements/krylov.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_STEPS = 200 };
/* Below so many unknowns threads cost more than they save. */
static const size_t worth_threads = 30000;

/* ---- making ---- */

static ll_status add_pair(ll_coupled_forms *c, size_t a, size_t b)
{
    const ll_placed_form *p = &c->body[a], *q = &c->body[b];
    const bool near = ll_pair_is_near(p->form, &p->pose, q->form, &q->pose);
    ll_status status =
        ll_pair_get(p->form, &p->pose, q->form, &q->pose, near, &c->pair[a * c->count + b]);
    if (!status && near)
        status =
            ll_pair_get(q->form, &q->pose, p->form, &p->pose, near, &c->pair[b * c->count + a]);
    return status;
}

ll_status ll_coupled_forms_new(size_t count, const ll_placed_form *body, ll_coupled_forms **out)
{
    ll_coupled_forms *c = calloc(1, sizeof *c);
    if (!c)
        return LL_NO_MEMORY;
    c->body = malloc((count + 1) * sizeof *c->body);
    c->start = malloc((count + 1) * sizeof *c->start);
    c->pair = calloc(count * count + 1, sizeof *c->pair);
    ll_status status = c->body && c->start && c->pair ? LL_OK : LL_NO_MEMORY;
    for (size_t b = 0; b < count && !status; b++) {
        c->body[b] = body[b];
        ll_share(body[b].form);
        c->start[b] = c->unknowns;
        c->unknowns += ll_body_form_unknowns(body[b].form);
        c->count++;
    }
    if (!status)
        c->start[count] = c->unknowns;
    for (size_t a = 0; a < count; a++)
        for (size_t b = a + 1; b < count && !status; b++)
            status = add_pair(c, a, b);
    if (status)
        ll_coupled_forms_free(c);
    else
        *out = c;
    return status;
}

void ll_coupled_forms_free(ll_coupled_forms *c)
{
    if (!c)
        return;
    for (size_t k = 0; c->pair && k < c->count * c->count; k++)
        ll_release(c->pair[k].pair);
    for (size_t b = 0; b < c->count; b++)
        ll_release(c->body[b].form);
    free(c->body);
    free(c->start);
    free(c->pair);
    free(c);
}

size_t ll_coupled_forms_near_pairs(const ll_coupled_forms *c)
{
    size_t near = 0;
    for (size_t k = 0; k < c->count * c->count; k++)
        near += c->pair[k].pair && c->pair[k].pair->direct;
    return near / 2;
}

/* Shared forms and pairs count once. */
size_t ll_coupled_forms_bytes(const ll_coupled_forms *c)
{
    size_t bytes = 0;
    for (size_t b = 0; b < c->count; b++) {
        size_t before = 0;
        while (c->body[before].form != c->body[b].form)
            before++;
        bytes += before == b ? c->body[b].form->bytes : 0;
    }
    for (size_t k = 0; k < c->count * c->count; k++) {
        const ll_pair *p = c->pair[k].pair;
        size_t before = 0;
        while (c->pair[before].pair != p)
            before++;
        if (p && before == k)
            bytes += ll_pair_bytes(p);
    }
    return bytes;
}

/* ---- products ---- */

/* Layers and moments of all bodies. */
typedef struct ll_room {
    double *layer, *moment;
    size_t *layer_at, *moment_at;
} ll_room;

static void clear_room(ll_room *r)
{
    free(r->layer);
    free(r->moment);
    free(r->layer_at);
    free(r->moment_at);
}

static ll_status make_room(const ll_coupled_forms *c, ll_room *r)
{
    size_t layers = 0, moments = 0;
    *r = (ll_room){.layer_at = malloc((c->count + 1) * sizeof(size_t)),
                   .moment_at = malloc((c->count + 1) * sizeof(size_t))};
    for (size_t b = 0; r->layer_at && r->moment_at && b < c->count; b++) {
        r->layer_at[b] = layers;
        r->moment_at[b] = moments;
        layers += c->body[b].form->layers;
        moments += c->body[b].form->moments;
    }
    r->layer = malloc((layers + 1) * sizeof *r->layer);
    r->moment = malloc((moments + 1) * sizeof *r->moment);
    if (r->layer && r->moment && r->layer_at && r->moment_at)
        return LL_OK;
    clear_room(r);
    return LL_NO_MEMORY;
}

/* psi[moments] of body b's grid += what a distant body makes there; the pair stands with the lower one as its target. */
static void add_far(const ll_coupled_forms *c, size_t b, size_t from, const double *moment,
                    double *psi)
{
    const size_t low = b < from ? b : from, high = b < from ? from : b;
    ll_pair_add_far(c->pair[low * c->count + high].pair, b < from, moment, psi);
}

static bool is_direct(const ll_coupled_forms *c, size_t b, size_t from)
{
    const ll_pair *p = c->pair[b * c->count + from].pair;
    return p && p->direct;
}

/* y[charges] -= the potential of all other bodies, tested on body b. */
static ll_status subtract_others(const ll_coupled_forms *c, size_t b, const ll_room *r, double *y)
{
    const ll_body_form *form = c->body[b].form;
    double *psi = calloc(form->moments + form->charges + 1, sizeof *psi);
    if (!psi)
        return LL_NO_MEMORY;
    double *tested = psi + form->moments;
    ll_status status = LL_OK;
    for (size_t from = 0; from < c->count && !status; from++) {
        if (from == b)
            continue;
        if (is_direct(c, b, from))
            status =
                ll_pair_add(&c->pair[b * c->count + from], r->layer + r->layer_at[from], tested);
        else
            add_far(c, b, from, r->moment + r->moment_at[from], psi);
    }
    form->kind->test_moments(form, psi, tested);
    ll_dense_add(form->charges, -1, tested, y);
    free(psi);
    return status;
}

/* y[unknowns]: each body's tested potentials -= those of all others; its own layers and charges inside are added where `own`. */
static ll_status add_potentials(const ll_coupled_forms *c, bool own, const double *x, double *y)
{
    ll_room r;
    ll_status status = make_room(c, &r);
    if (status)
        return status;
#pragma omp parallel for schedule(dynamic) if (c->unknowns > worth_threads)
    for (size_t b = 0; b < c->count; b++) {
        const ll_body_form *form = c->body[b].form;
        form->kind->find_layers(form, x + c->start[b], r.layer + r.layer_at[b]);
        form->kind->find_moments(form, r.layer + r.layer_at[b], r.moment + r.moment_at[b]);
    }
#pragma omp parallel for schedule(dynamic) if (c->unknowns > worth_threads)
    for (size_t b = 0; b < c->count; b++) {
        const ll_body_form *form = c->body[b].form;
        const double *from = x + c->start[b];
        double *to = y + c->start[b];
        if (own) {
            form->kind->add_charges(form, from + form->potentials, to);
            form->kind->add_own_surface(form, from, to + form->potentials);
        }
        const ll_status mine = subtract_others(c, b, &r, to + form->potentials);
        if (mine) {
#pragma omp critical(ll_coupled_forms_status)
            status = mine;
        }
    }
    clear_room(&r);
    return status;
}

ll_status ll_coupled_forms_add_layers(const ll_coupled_forms *c, const double *x, double *y)
{
    return add_potentials(c, true, x, y);
}

/* In place: h[3][n] becomes the tangent times h. */
static void multiply_tangent(size_t n, const double *t, double *h)
{
    for (size_t i = 0; i < n; i++) {
        const double x = h[i], y = h[n + i], z = h[2 * n + i];
        h[i] = t[i] * x + t[5 * n + i] * y + t[4 * n + i] * z;
        h[n + i] = t[5 * n + i] * x + t[n + i] * y + t[3 * n + i] * z;
        h[2 * n + i] = t[4 * n + i] * x + t[3 * n + i] * y + t[2 * n + i] * z;
    }
}

static ll_status add_inside(const ll_body_form *form, const double *tangent, const double *x,
                            double *y)
{
    double *h = malloc((3 * form->places + form->room_size) * sizeof *h);
    if (!h)
        return LL_NO_MEMORY;
    double *room = h + 3 * form->places;
    form->kind->find_h(form, x, h, room);
    multiply_tangent(form->places, tangent, h);
    form->kind->test_flux(form, h, y, room);
    free(h);
    return LL_OK;
}

ll_status ll_coupled_forms_product(const ll_coupled_forms *c, const ll_tangents *t, const double *x,
                                   double *y)
{
    memset(y, 0, c->unknowns * sizeof *y);
    ll_status status = LL_OK;
#pragma omp parallel for schedule(dynamic) if (c->unknowns > worth_threads)
    for (size_t b = 0; b < c->count; b++) {
        const ll_status mine =
            add_inside(c->body[b].form, t->tangent[b], x + c->start[b], y + c->start[b]);
        if (mine) {
#pragma omp critical(ll_coupled_forms_status)
            status = mine;
        }
    }
    return status ? status : ll_coupled_forms_add_layers(c, x, y);
}

/* ---- solving ---- */

/* All bodies that share the factor of body b, which is the first of them. */
static ll_status solve_like(const ll_coupled_forms *c, const ll_tangents *t, size_t b, double *x)
{
    const ll_body_form *form = c->body[b].form;
    double **own = malloc(c->count * sizeof *own);
    size_t count = 0;
    if (!own)
        return LL_NO_MEMORY;
    for (size_t o = b; o < c->count; o++)
        if (t->factor[o] == t->factor[b])
            own[count++] = x + c->start[o];
    const ll_status status = form->kind->solve(form, t->factor[b], count, own);
    free(own);
    return status;
}

ll_status ll_coupled_forms_precondition(const ll_coupled_forms *c, const ll_tangents *t, double *x)
{
    ll_status status = LL_OK;
    for (size_t b = 0; b < c->count && !status; b++) {
        size_t first = 0;
        while (t->factor[first] != t->factor[b])
            first++;
        if (first == b)
            status = solve_like(c, t, b, x);
    }
    return status;
}

typedef struct ll_linear {
    const ll_coupled_forms *forms;
    const ll_tangents *tangents;
} ll_linear;

/* With the factors' own laws a body's equations solved are its unknowns: what remains of a product is what others do to it. */
static ll_status product_of_others(const ll_linear *l, const double *x, double *y)
{
    memset(y, 0, l->forms->unknowns * sizeof *y);
    ll_status status = add_potentials(l->forms, false, x, y);
    if (!status)
        status = ll_coupled_forms_precondition(l->forms, l->tangents, y);
    ll_dense_add(l->forms->unknowns, 1, x, y);
    return status;
}

static ll_status preconditioned_product(void *context, const double *x, double *y)
{
    const ll_linear *l = context;
    if (!l->tangents->tangent)
        return product_of_others(l, x, y);
    const ll_status status = ll_coupled_forms_product(l->forms, l->tangents, x, y);
    return status ? status : ll_coupled_forms_precondition(l->forms, l->tangents, y);
}

ll_status ll_coupled_forms_solve(const ll_coupled_forms *c, const ll_tangents *t, const double *rhs,
                                 double tolerance, double *x, size_t *steps)
{
    ll_linear l = {c, t};
    double *room = calloc(2 * c->unknowns + 1, sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    double *change = room + c->unknowns;
    size_t taken = 0;
    memcpy(room, rhs, c->unknowns * sizeof *room);
    ll_status status = ll_coupled_forms_precondition(c, t, room);
    if (!status)
        status = ll_gmres(preconditioned_product, &l, c->unknowns, room, tolerance, MOST_STEPS,
                          change, &taken);
    *steps += taken;
    if (!status)
        ll_dense_add(c->unknowns, 1, change, x);
    free(room);
    return status;
}
