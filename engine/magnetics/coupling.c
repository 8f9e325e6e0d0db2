/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/coupling.h"
#include "base/constants.h"
#include "base/dense.h"
#include "magnetics/layers.h"

#include <stdlib.h>
#include <string.h>

/* Points stand for patches of width d at distances above this many widths: error (d / distance)^2 / 24 each. */
static const double widths_apart = 2.0;
static const double lowrank_tolerance = 1e-6;

/* Unknowns are against each other within this share of their widths, over this share of the smaller surface. */
static const double widths_against = 0.4, area_against = 0.08;

/* Area of a's unknowns that stand against b's; *close tells whether any are close at all. */
static double area_facing(const ll_body *a, const ll_body *b, bool *close)
{
    const ll_far *fa = &a->form->charge, *fb = &b->form->charge;
    double area = 0;
    for (size_t i = 0; i < fa->count; i++) {
        const ll_vec3 at = ll_to_own(&b->pose, ll_to_world(&a->pose, fa->at_m[i]));
        const double wide = sqrt(fa->weight[i]);
        double nearest = HUGE_VAL; /* in widths */
        for (size_t j = 0; j < fb->count; j++) {
            const ll_vec3 d = ll_sub(at, fb->at_m[j]);
            const double reach = wide + sqrt(fb->weight[j]);
            nearest = fmin(nearest, ll_dot(d, d) / (reach * reach));
        }
        *close = *close || nearest < widths_apart * widths_apart;
        area += nearest < widths_against * widths_against ? fa->weight[i] : 0;
    }
    return area;
}

ll_nearness ll_coupling_nearness(const ll_body *a, const ll_body *b)
{
    bool close = false;
    const double area_a = 4 * LL_PI * a->form->size_m * a->form->size_m;
    const double area_b = 4 * LL_PI * b->form->size_m * b->form->size_m;
    const double facing = area_facing(a, b, &close);
    if (facing > area_against * fmin(area_a, area_b))
        return LL_FACING;
    return close ? LL_CLOSE : LL_APART;
}

/* A point of the target in the source's frame. */
static ll_vec3 across(const ll_body *target, const ll_body *source, ll_vec3 own)
{
    return ll_to_own(&source->pose, ll_to_world(&target->pose, own));
}

static ll_status couple_close(const ll_body *target, const ll_body *source, double contact_m,
                              ll_coupling *out)
{
    const size_t rows = target->form->mesh->corners, nc = source->form->mesh->corners;
    out->columns = source->form->mesh->surface_nodes;
    out->single = malloc(rows * nc * sizeof *out->single);
    out->dbl = malloc(rows * out->columns * sizeof *out->dbl);
    if (!out->single || !out->dbl)
        return LL_NO_MEMORY;
    return ll_layers_test(target->form, &target->pose, source->form, &source->pose, contact_m,
                          out->single, out->dbl);
}

static ll_status couple_apart(const ll_body *target, const ll_body *source, ll_coupling *out)
{
    const ll_form *tf = target->form, *sf = source->form;
    const size_t rows = tf->charge.count, nc = sf->charge.count, ns = sf->dipole.count;
    ll_vec3 *at = malloc((rows + nc + ns) * sizeof *at);
    double *charge = malloc(nc * sizeof *charge);
    ll_status status = at && charge ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        const ll_cloud cloud = {nc, ns, at + rows, charge, sf->dipole.moment};
        for (size_t i = 0; i < rows; i++)
            at[i] = across(target, source, tf->charge.at_m[i]);
        memcpy(at + rows, sf->charge.at_m, nc * sizeof *at);
        memcpy(at + rows + nc, sf->dipole.at_m, ns * sizeof *at);
        for (size_t j = 0; j < nc; j++)
            charge[j] = sf->charge.weight[j] / sf->size_m;
        status = ll_lowrank_new(rows, at, &cloud, lowrank_tolerance, &out->far);
    }
    if (!status)
        for (size_t i = 0; i < rows; i++)
            ll_dense_scale(out->far.rank, tf->charge.weight[i], out->far.u + i * out->far.rank);
    free(at);
    free(charge);
    return status;
}

ll_status ll_coupling_new(const ll_body *target, const ll_body *source, int close, double contact_m,
                          ll_coupling *out)
{
    *out = (ll_coupling){.rows = target->form->mesh->corners};
    const ll_status status =
        close ? couple_close(target, source, contact_m, out) : couple_apart(target, source, out);
    if (status)
        ll_coupling_clear(out);
    return status;
}

void ll_coupling_clear(ll_coupling *coupling)
{
    free(coupling->single);
    free(coupling->dbl);
    coupling->single = coupling->dbl = NULL;
    ll_lowrank_clear(&coupling->far);
}

size_t ll_coupling_bytes(const ll_coupling *c)
{
    return sizeof(double) *
           (c->dbl ? c->rows * c->columns : c->far.rank * (c->far.rows + c->far.columns));
}

void ll_coupling_add_close(const ll_coupling *c, double factor, const double *w, double *surface)
{
    ll_dense_multiply_add(c->rows, c->columns, factor, c->dbl, w, surface);
}

static ll_status add_far(const ll_coupling *c, const ll_body *source, const double *w,
                         const double *lambda, double *surface)
{
    const size_t nc = source->form->mesh->corners, ns = source->form->mesh->surface_nodes;
    double *x = malloc((nc + ns + c->far.rank + 1) * sizeof *x);
    if (!x)
        return LL_NO_MEMORY;
    for (size_t j = 0; j < nc; j++)
        x[j] = lambda[j] * source->form->size_m;
    if (source->kind == LL_CHARGES)
        memset(x + nc, 0, ns * sizeof *x);
    else
        memcpy(x + nc, w, ns * sizeof *x);
    ll_lowrank_add(&c->far, 1, x, surface, x + nc + ns);
    free(x);
    return LL_OK;
}

ll_status ll_coupling_add(const ll_coupling *c, const ll_body *source, const double *w,
                          const double *lambda, double *surface)
{
    if (!c->dbl)
        return add_far(c, source, w, lambda, surface);
    if (source->kind != LL_CHARGES)
        ll_dense_multiply_add(c->rows, c->columns, 1, c->dbl, w, surface);
    ll_dense_multiply_add(c->rows, source->form->mesh->corners, 1, c->single, lambda, surface);
    return LL_OK;
}
