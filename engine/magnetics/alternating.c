/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/alternating.h"
#include "base/constants.h"
#include "base/dense.h"
#include "magnetics/coil_source.h"
#include "magnetics/krylov.h"
#include "magnetics/skin.h"
#include "magnetics/solution.h"
#include "magnetics/system_data.h"

#include <stdlib.h>
#include <string.h>

/* Of what eddy currents change, not of the whole: the change is what is solved for. */
static const double change_tolerance = 2e-4;
enum { MOST_STEPS = 200 };

/* What the frequency adds to the matrix inside one body, real and imaginary part; NULL where nothing conducts. Equal linear
 * bodies share them. The factor of `real` is that of the permeability's size, a preconditioner for both. */
typedef struct ll_lossy {
    ll_interior *real, *imag;
    bool owned;
} ll_lossy;

/* One coil's ampere. */
typedef struct ll_driven {
    double *weight; /* [n] see ll_coil_weights */
    double *drive;  /* [n] the static potential inside the bodies, whole */
    double
        *change; /* [2 n] of the unknowns at the frequency set last: real parts, imaginary parts */
} ll_driven;

struct ll_alternating {
    const ll_solution *solution;
    const ll_system *system;
    size_t n;      /* the system's unknowns */
    size_t length; /* of a change: real parts, imaginary parts */
    bool is_static;
    ll_lossy *lossy;   /* of each body */
    ll_driven *driven; /* of each coil */
};

/* ---- making ---- */

static const ll_lossy *twin_before(const ll_alternating *a, size_t b)
{
    const ll_system *s = a->system;
    for (size_t k = 0; k < b; k++)
        if (s->body[k].interior == s->body[b].interior)
            return &a->lossy[k];
    return NULL;
}

static ll_status make_lossy(ll_alternating *a, size_t b)
{
    const ll_body *body = &a->system->body[b];
    ll_lossy *own = &a->lossy[b];
    const ll_lossy *twin = twin_before(a, b);
    if (!ll_skin_conducts(body))
        return LL_OK;
    a->is_static = false;
    if (twin) {
        *own = (ll_lossy){twin->real, twin->imag, false};
        return LL_OK;
    }
    own->owned = true;
    const ll_status status = ll_interior_new(body->form->mesh, &own->real);
    return status ? status : ll_interior_new(body->form->mesh, &own->imag);
}

/* Where w is what a magnet adds to the sources, the coil's own potential belongs to the whole. */
static ll_status add_coil_inside(const ll_alternating *a, size_t coil, size_t b, double *drive)
{
    const ll_body *body = &a->system->body[b];
    const size_t nodes = body->form->mesh->nodes;
    ll_coil_source source = {a->solution->scene, a->system, coil};
    ll_vec3 *at = malloc(nodes * sizeof *at);
    double *psi = malloc(nodes * sizeof *psi);
    ll_status status = at && psi ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        ll_body_to_world(body, nodes, body->form->mesh->node_m, at);
        status = ll_coil_source_potential(&source, b, nodes, at, psi);
    }
    if (!status)
        ll_dense_add(nodes, 1, psi, drive + body->w);
    free(at);
    free(psi);
    return status;
}

static ll_status make_driven(ll_alternating *a, size_t coil)
{
    ll_driven *own = &a->driven[coil];
    own->weight = malloc((a->n + 1) * sizeof(double));
    own->drive = malloc((a->n + 1) * sizeof(double));
    own->change = calloc(a->length + 1, sizeof(double));
    if (!own->weight || !own->drive || !own->change)
        return LL_NO_MEMORY;
    ll_status status = ll_coil_answered(a->solution, coil);
    if (status)
        return status;
    memcpy(own->drive, a->solution->coil[coil].x, a->n * sizeof(double));
    status = ll_coil_weights(a->solution, coil, own->weight);
    for (size_t b = 0; b < a->system->count && !status; b++)
        if (a->system->body[b].kind == LL_REACTION && ll_skin_conducts(&a->system->body[b]))
            status = add_coil_inside(a, coil, b, own->drive);
    return status;
}

ll_status ll_alternating_new(const ll_solution *solution, ll_alternating **out)
{
    ll_alternating *a = calloc(1, sizeof *a);
    if (!a)
        return LL_NO_MEMORY;
    a->solution = solution;
    a->system = solution->system;
    a->n = ll_system_unknowns(solution->system);
    a->length = 2 * a->n;
    a->is_static = true;
    a->lossy = calloc(a->system->count + 1, sizeof *a->lossy);
    a->driven = calloc(solution->scene->coils + 1, sizeof *a->driven);
    ll_status status = a->lossy && a->driven ? LL_OK : LL_NO_MEMORY;
    for (size_t b = 0; b < a->system->count && !status; b++)
        status = make_lossy(a, b);
    for (size_t i = 0; i < solution->scene->coils && !status; i++)
        status = make_driven(a, i);
    if (status)
        ll_alternating_free(a);
    else
        *out = a;
    return status;
}

void ll_alternating_free(ll_alternating *a)
{
    if (!a)
        return;
    for (size_t b = 0; a->lossy && b < a->system->count; b++)
        if (a->lossy[b].owned) {
            ll_interior_free(a->lossy[b].real);
            ll_interior_free(a->lossy[b].imag);
        }
    for (size_t i = 0; a->driven && i < a->solution->scene->coils; i++) {
        free(a->driven[i].weight);
        free(a->driven[i].drive);
        free(a->driven[i].change);
    }
    free(a->lossy);
    free(a->driven);
    free(a);
}

/* ---- the matrix at a frequency ---- */

static void fill_part(ll_interior *interior, size_t tets, const double complex (*change)[3],
                      double (*room)[3], bool imaginary)
{
    for (size_t t = 0; t < tets; t++)
        for (int i = 0; i < 3; i++)
            room[t][i] = imaginary ? cimag(change[t][i]) : creal(change[t][i]);
    ll_interior_fill_axes(interior, (const double(*)[3])room);
}

static ll_status factorise_size(const ll_body *body, ll_interior *interior, const double (*size)[3])
{
    double *outside = calloc(body->form->mesh->nodes, sizeof *outside);
    if (!outside)
        return LL_NO_MEMORY;
    ll_body_outside(body->form, outside);
    ll_interior_fill_axes(interior, size);
    const ll_status status = ll_interior_factorise(interior, outside);
    free(outside);
    return status;
}

static ll_status set_body(ll_alternating *a, size_t b, double f_hz)
{
    const ll_body *body = &a->system->body[b];
    const ll_lossy *own = &a->lossy[b];
    const size_t tets = body->form->mesh->tets;
    double complex(*change)[3] = malloc(tets * sizeof *change);
    double(*size)[3] = malloc(tets * sizeof *size);
    const double *w = a->solution->bias.x + body->w;
    ll_status status =
        change && size && ll_skin_body(body, w, f_hz, change, size) ? LL_OK : LL_NO_MEMORY;
    if (!status)
        status = factorise_size(body, own->real, (const double(*)[3])size);
    if (!status) {
        fill_part(own->real, tets, (const double complex(*)[3])change, size, false);
        fill_part(own->imag, tets, (const double complex(*)[3])change, size, true);
    }
    free(change);
    free(size);
    return status;
}

/* ---- products ---- */

/* y[nodes] += f matrix x. */
static ll_status add_product(const ll_interior *interior, size_t nodes, double f, const double *x,
                             double *y)
{
    double *product = malloc(nodes * sizeof *product);
    if (!product)
        return LL_NO_MEMORY;
    ll_interior_multiply(interior, x, product);
    ll_dense_add(nodes, f, product, y);
    free(product);
    return LL_OK;
}

static ll_status solve_inside(const ll_alternating *a, size_t b, double *w)
{
    const ll_interior *factor = a->lossy[b].real ? a->lossy[b].real : a->system->body[b].interior;
    return ll_interior_solve(factor, a->system->work[b], w, w);
}

/* The inside half of both parts of y = P^-1 A x. */
static ll_status smooth_inside(const ll_alternating *a, size_t b, const double *x, double *y)
{
    const ll_body *body = &a->system->body[b];
    const ll_lossy *own = &a->lossy[b];
    const size_t nodes = body->form->mesh->nodes;
    ll_status status = LL_OK;
    for (int part = 0; part < 2 && !status; part++) {
        const double *mine = x + (part ? a->n : 0), *other = x + (part ? 0 : a->n);
        double *out = y + (part ? a->n : 0) + body->w;
        ll_interior_multiply(body->interior, mine + body->w, out);
        if (own->real) {
            status = add_product(own->real, nodes, 1, mine + body->w, out);
            if (!status)
                status = add_product(own->imag, nodes, part ? 1 : -1, other + body->w, out);
        }
        ll_form_add_flux(body->form, mine + body->lambda, out);
        if (!status)
            status = solve_inside(a, b, out);
    }
    return status;
}

static ll_status apply(void *context, const double *x, double *y)
{
    const ll_alternating *a = context;
    ll_status status = LL_OK;
#pragma omp parallel for schedule(dynamic)
    for (size_t b = 0; b < a->system->count; b++)
        ll_keep_worse(&status, smooth_inside(a, b, x, y));
    for (int part = 0; part < 2 && !status; part++)
        status = ll_system_finish_product(a->system, x + part * a->n, NULL, y + part * a->n);
    return status;
}

/* P^-1 of the right-hand side: minus what the frequency changes of the matrix, times the static answer. zero[n] is zeros. */
static ll_status find_rhs(const ll_alternating *a, const ll_driven *d, const double *zero,
                          double *rhs)
{
    ll_status status = LL_OK;
    memset(rhs, 0, 2 * a->n * sizeof *rhs);
    for (size_t b = 0; b < a->system->count && !status; b++) {
        const ll_body *body = &a->system->body[b];
        const ll_lossy *own = &a->lossy[b];
        for (int part = 0; part < 2 && own->real && !status; part++) {
            double *out = rhs + (part ? a->n : 0) + body->w;
            status = add_product(part ? own->imag : own->real, body->form->mesh->nodes, -1,
                                 d->drive + body->w, out);
            if (!status)
                status = solve_inside(a, b, out);
        }
    }
    for (int part = 0; part < 2 && !status; part++)
        status = ll_system_finish_product(a->system, zero, NULL, rhs + part * a->n);
    return status;
}

static ll_status solve_coil(const ll_alternating *a, ll_driven *d)
{
    double *rhs = malloc((2 * a->n + 1) * sizeof *rhs), *zero = calloc(a->n + 1, sizeof *zero);
    size_t steps;
    ll_status status = rhs && zero ? find_rhs(a, d, zero, rhs) : LL_NO_MEMORY;
    if (!status)
        status = ll_gmres(apply, (void *)a, 2 * a->n, rhs, change_tolerance, MOST_STEPS, d->change,
                          &steps);
    free(rhs);
    free(zero);
    return status;
}

ll_status ll_alternating_set(ll_alternating *a, double f_hz)
{
    if (!(f_hz > 0) || !isfinite(f_hz))
        return LL_BAD_VALUE;
    ll_status status = LL_OK;
    if (a->is_static)
        return LL_OK;
    for (size_t b = 0; b < a->system->count && !status; b++)
        if (a->lossy[b].owned)
            status = set_body(a, b, f_hz);
            /* A system has one set of work space for its factors, and solutions may share a system. */
#pragma omp critical(ll_system_in_use)
    for (size_t i = 0; i < a->solution->scene->coils && !status; i++)
        status = solve_coil(a, &a->driven[i]);
    return status;
}

/* ---- readings ---- */

struct ll_alternating_state {
    double change[1]; /* as in ll_driven */
};

ll_status ll_alternating_keep(const ll_alternating *a, size_t coil, ll_alternating_state **out)
{
    const size_t bytes = a->length * sizeof(double);
    double *copy = malloc(bytes + sizeof *copy);
    if (!copy)
        return LL_NO_MEMORY;
    memcpy(copy, a->driven[coil].change, bytes);
    *out = (ll_alternating_state *)copy;
    return LL_OK;
}

double complex ll_alternating_inductance(const ll_alternating *a, size_t i,
                                         const ll_alternating_state *state)
{
    const double *weight = a->driven[i].weight;
    return LL_MU0 * (ll_dense_dot(a->n, weight, state->change) +
                     I * ll_dense_dot(a->n, weight, state->change + a->n));
}

static ll_status field_of(const ll_alternating *a, const double *x, size_t n,
                          const ll_vec3 *points_m, ll_vec3 *h)
{
    double *densities = ll_system_densities(a->system, x);
    if (!densities)
        return LL_NO_MEMORY;
    memset(h, 0, n * sizeof *h);
    ll_system_field(a->system, densities, n, points_m, h);
    free(densities);
    return LL_OK;
}

ll_status ll_alternating_coil_h(const ll_alternating *a, const ll_alternating_state *state,
                                size_t n, const ll_vec3 *points_m, ll_vec3 *real_per_m,
                                ll_vec3 *imag_per_m)
{
    const ll_status status = field_of(a, state->change, n, points_m, real_per_m);
    return status ? status : field_of(a, state->change + a->n, n, points_m, imag_per_m);
}
