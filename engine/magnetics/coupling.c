/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/coupling.h"
#include "base/dense.h"

#include <stdlib.h>
#include <string.h>

/* Points stand for patches of width d at distances above this many widths: error (d / distance)^2 / 24 each. */
static const double widths_apart = 2.0;
static const double lowrank_tolerance = 1e-6;

int ll_coupling_is_close(const ll_body *a, const ll_body *b)
{
    const ll_far *fa = &a->form->charge, *fb = &b->form->charge;
    for (size_t i = 0; i < fa->count; i++) {
        const ll_vec3 at = ll_to_own(&b->pose, ll_to_world(&a->pose, fa->at_m[i]));
        const double wide = sqrt(fa->weight[i]);
        for (size_t j = 0; j < fb->count; j++) {
            const ll_vec3 d = ll_sub(at, fb->at_m[j]);
            const double reach = widths_apart * (wide + sqrt(fb->weight[j]));
            if (ll_dot(d, d) < reach * reach)
                return 1;
        }
    }
    return 0;
}

/* A point of the target in the source's frame. */
static ll_vec3 across(const ll_body *target, const ll_body *source, ll_vec3 own)
{
    return ll_to_own(&source->pose, ll_to_world(&target->pose, own));
}

static ll_status couple_close(const ll_body *target, const ll_body *source, double contact_m,
                              ll_coupling *out)
{
    const size_t rows = target->form->mesh->corners, nc = source->form->mesh->corners,
                 ns = source->form->mesh->surface_nodes;
    const size_t points = LL_TEST_POINTS * target->form->mesh->triangles;
    out->columns = ns;
    ll_vec3 *test_m = malloc(points * sizeof *test_m);
    out->single = malloc(rows * nc * sizeof *out->single);
    out->dbl = malloc(rows * ns * sizeof *out->dbl);
    ll_status status = test_m && out->single && out->dbl ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        for (size_t p = 0; p < points; p++)
            test_m[p] = across(target, source, target->form->test_m[p]);
        status =
            ll_form_couple(target->form, test_m, source->form, contact_m, out->single, out->dbl);
    }
    free(test_m);
    return status;
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

ll_status ll_coupling_add_far(const ll_coupling *c, const ll_body *source, const double *w,
                              const double *lambda, double *surface)
{
    const size_t nc = source->form->mesh->corners, ns = source->form->mesh->surface_nodes;
    double *x = malloc((nc + ns + c->far.rank + 1) * sizeof *x);
    if (!x)
        return LL_NO_MEMORY;
    for (size_t j = 0; j < nc; j++)
        x[j] = lambda[j] * source->form->size_m;
    memcpy(x + nc, w, ns * sizeof *x);
    ll_lowrank_add(&c->far, 1, x, surface, x + nc + ns);
    free(x);
    return LL_OK;
}
