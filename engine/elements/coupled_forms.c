/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/coupled_forms.h"
#include "base/dense.h"
#include "base/parallel.h"
#include "elements/krylov.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_STEPS = 200 };
/* Below so many unknowns threads cost more than they save. */
static const size_t worth_threads = 30000;

/* ---- making ---- */

static ll_status add_pair(ll_coupled_forms *c, size_t target, size_t source)
{
    const ll_placed_form *t = &c->body[target], *s = &c->body[source];
    return ll_pair_get(t->form, &t->pose, s->form, &s->pose, &c->pair[target * c->count + source]);
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
        for (size_t b = 0; b < count && !status; b++)
            status = a == b ? LL_OK : add_pair(c, a, b);
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

/* Where each body's layers start among those of all, [count + 1]. */
static size_t *start_layers(const ll_coupled_forms *c)
{
    size_t *start = malloc((c->count + 1) * sizeof *start), at = 0;
    for (size_t b = 0; start && b <= c->count; b++) {
        start[b] = at;
        at += b < c->count ? c->body[b].form->layers : 0;
    }
    return start;
}

/* y[charges] -= the potential of all other bodies, tested on body b. */
static ll_status subtract_others(const ll_coupled_forms *c, size_t b, const size_t *start,
                                 const double *layer, double *y)
{
    const size_t charges = c->body[b].form->charges;
    double *tested = calloc(charges + 1, sizeof *tested);
    ll_status status = tested ? LL_OK : LL_NO_MEMORY;
    for (size_t from = 0; from < c->count && !status; from++)
        if (from != b)
            status = ll_pair_add(&c->pair[b * c->count + from], layer + start[from], tested);
    if (!status)
        ll_dense_add(charges, -1, tested, y);
    free(tested);
    return status;
}

/* y[unknowns]: each body's tested potentials -= those of all others; its own layers and charges inside are added where `own`. */
static ll_status add_potentials(const ll_coupled_forms *c, bool own, const double *x, double *y)
{
    size_t *start = start_layers(c);
    double *layer = start ? malloc((start[c->count] + 1) * sizeof *layer) : NULL;
    ll_status status = layer ? LL_OK : LL_NO_MEMORY;
#pragma omp parallel for schedule(dynamic) if (c->unknowns > worth_threads)
    for (size_t b = 0; b < (layer ? c->count : 0); b++)
        c->body[b].form->kind->find_layers(c->body[b].form, x + c->start[b], layer + start[b]);
#pragma omp parallel for schedule(dynamic) if (c->unknowns > worth_threads)
    for (size_t b = 0; b < (layer ? c->count : 0); b++) {
        const ll_body_form *form = c->body[b].form;
        const double *from = x + c->start[b];
        double *to = y + c->start[b];
        if (own) {
            form->kind->add_charges(form, from + form->potentials, to);
            form->kind->add_own_surface(form, from, to + form->potentials);
        }
        ll_keep_worse(&status, subtract_others(c, b, start, layer, to + form->potentials));
    }
    free(start);
    free(layer);
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
