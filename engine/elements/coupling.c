/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/coupling.h"
#include "base/cache_kind.h"
#include "base/constants.h"
#include "base/dense.h"
#include "base/pose_key.h"
#include "elements/form_layers.h"

#include <stdlib.h>
#include <string.h>

/* Points stand for patches of width d at distances above this many widths: error (d / distance)^2 / 24 each. */
static const double widths_apart = 2.0;
/* Of the norm: of points, whose rank grows slowly; of closed forms, which test three points a triangle. */
static const double apart_tolerance = 1e-6, close_tolerance = 1e-5;

/* Unknowns are against each other within this share of their widths, over this share of the smaller surface. */
static const double widths_against = 0.4, area_against = 0.08;

/* Area of a's unknowns that stand against b's; *close tells whether any are close at all. */
static double area_facing(const ll_placed *a, const ll_placed *b, bool *close)
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

ll_nearness ll_coupling_nearness(const ll_placed *a, const ll_placed *b)
{
    bool close = false;
    const double area_a = 4 * LL_PI * a->form->size_m * a->form->size_m;
    const double area_b = 4 * LL_PI * b->form->size_m * b->form->size_m;
    const double facing = area_facing(a, b, &close);
    if (facing > area_against * fmin(area_a, area_b))
        return LL_FACING;
    return close ? LL_CLOSE : LL_APART;
}

static size_t corners(const ll_form *form)
{
    return form->mesh->corners;
}

/* The columns of a thin matrix. */
static size_t columns_of(const ll_coupling_key *k)
{
    return corners(k->source) + (k->charges_only ? 0 : k->source->mesh->surface_nodes);
}

static ll_status test_layers(const ll_coupling_key *k, double **single, double **dbl)
{
    static const ll_pose in_place = {{{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}, {0, 0, 0}};
    const size_t rows = corners(k->target);
    *single = malloc(rows * corners(k->source) * sizeof **single);
    *dbl = malloc(rows * k->source->mesh->surface_nodes * sizeof **dbl);
    if (!*single || !*dbl)
        return LL_NO_MEMORY;
    return ll_layers_test(k->target, &in_place, k->source, &k->source_in_target, k->contact_m,
                          *single, *dbl);
}

/* Rows without the weights of their unknowns, so that small unknowns count as much as large ones; charges in units of the
 * source's size. */
static void put_together(const ll_coupling_key *k, const double *single, const double *dbl,
                         double *whole)
{
    const size_t nc = corners(k->source), columns = columns_of(k), ns = columns - nc;
    for (size_t i = 0; i < corners(k->target); i++) {
        const double f = 1 / k->target->charge.weight[i];
        for (size_t j = 0; j < nc; j++)
            whole[i * columns + j] = f / k->source->size_m * single[i * nc + j];
        for (size_t j = 0; j < ns; j++)
            whole[i * columns + nc + j] = f * dbl[i * ns + j];
    }
}

static ll_status couple_close(ll_coupling *c)
{
    const ll_coupling_key *k = &c->key;
    const size_t rows = corners(k->target), columns = columns_of(k);
    double *single = NULL, *dbl = NULL, *whole = malloc(rows * columns * sizeof *whole);
    ll_status status = whole ? test_layers(k, &single, &dbl) : LL_NO_MEMORY;
    if (!status) {
        put_together(k, single, dbl, whole);
        status = ll_lowrank_of_matrix(rows, columns, whole, close_tolerance, &c->thin);
    }
    free(single);
    free(dbl);
    free(whole);
    return status;
}

static ll_status couple_apart(ll_coupling *c)
{
    const ll_form *tf = c->key.target, *sf = c->key.source;
    const size_t rows = tf->charge.count, nc = sf->charge.count,
                 ns = c->key.charges_only ? 0 : sf->dipole.count;
    ll_vec3 *at = malloc((rows + nc + ns) * sizeof *at);
    double *charge = malloc(nc * sizeof *charge);
    ll_status status = at && charge ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        const ll_cloud cloud = {nc, ns, at + rows, charge, sf->dipole.moment};
        for (size_t i = 0; i < rows; i++)
            at[i] = ll_to_own(&c->key.source_in_target, tf->charge.at_m[i]);
        memcpy(at + rows, sf->charge.at_m, nc * sizeof *at);
        memcpy(at + rows + nc, sf->dipole.at_m, ns * sizeof *at);
        for (size_t j = 0; j < nc; j++)
            charge[j] = sf->charge.weight[j] / sf->size_m;
        status = ll_lowrank_new(rows, at, &cloud, apart_tolerance, &c->thin);
    }
    free(at);
    free(charge);
    return status;
}

static ll_status fill(ll_coupling *c)
{
    if (c->key.nearness == LL_FACING)
        return test_layers(&c->key, &c->single, &c->dbl);
    const ll_status status = c->key.nearness == LL_CLOSE ? couple_close(c) : couple_apart(c);
    for (size_t k = 0; k < c->thin.rank && !status; k++)
        for (size_t i = 0; i < c->thin.rows; i++)
            c->thin.u[k * c->thin.rows + i] *= c->key.target->charge.weight[i];
    return status;
}

/* ---- cached ---- */

static void add_target(ll_key *key, const void *whole)
{
    ll_key_add(key, (double)((const ll_coupling_key *)whole)->target->serial);
}

static void add_source(ll_key *key, const void *whole)
{
    ll_key_add(key, (double)((const ll_coupling_key *)whole)->source->serial);
}

static const ll_member members[] = {
    LL_MEMBER_TOLD(ll_coupling_key, target, add_target),
    LL_MEMBER_TOLD(ll_coupling_key, source, add_source),
    LL_MEMBER_WITH(ll_coupling_key, source_in_target, &ll_pose_members),
    LL_MEMBER(ll_coupling_key, nearness, LL_MEMBER_ENUM),
    LL_MEMBER(ll_coupling_key, charges_only, LL_MEMBER_BOOL),
    LL_MEMBER(ll_coupling_key, contact_m, LL_MEMBER_NUMBERS),
};
const ll_members ll_coupling_members = LL_MEMBERS(ll_coupling_key, members);

static void coupling_free(void *thing)
{
    ll_coupling *c = thing;
    ll_release(c->key.target);
    ll_release(c->key.source);
    free(c->single);
    free(c->dbl);
    ll_lowrank_clear(&c->thin);
    free(c);
}

static ll_status make(const ll_coupling_key *key, ll_coupling **out)
{
    ll_coupling *c = calloc(1, sizeof *c);
    if (!c)
        return LL_NO_MEMORY;
    ll_shared_begin(&c->shared, coupling_free);
    c->key = *key;
    ll_share(key->target);
    ll_share(key->source);
    const ll_status status = fill(c);
    if (status)
        ll_release(c);
    else
        *out = c;
    return status;
}

static size_t bytes_of(const void *thing)
{
    return ll_coupling_bytes(thing);
}

ll_status ll_coupling_get(const ll_placed *target, const ll_placed *source, ll_nearness nearness,
                          double contact_m, ll_coupling **out)
{
    static const ll_cache_kind couplings = {bytes_of};
    const ll_coupling_key terms = {.target = target->form,
                                   .source = source->form,
                                   .source_in_target =
                                       ll_pose_seen_from(&target->pose, &source->pose),
                                   .nearness = nearness,
                                   .charges_only = source->charges_only && nearness != LL_FACING,
                                   .contact_m = nearness == LL_APART ? 0 : contact_m};
    if (nearness == LL_FACING)
        return make(&terms, out);
    ll_key key = {0};
    ll_key_add_members(&key, &ll_coupling_members, &terms);
    ll_coupling *found = ll_cache_find(&couplings, &key);
    ll_status status = LL_OK;
    if (!found) {
        status = make(&terms, &found);
        found = status ? NULL : ll_cache_keep(&couplings, &key, found);
    }
    if (!status)
        *out = found;
    ll_key_clear(&key);
    return status;
}

size_t ll_coupling_bytes(const ll_coupling *c)
{
    const size_t whole =
        corners(c->key.target) * (corners(c->key.source) + c->key.source->mesh->surface_nodes);
    return sizeof(double) * (c->dbl ? whole : c->thin.rank * (c->thin.rows + c->thin.columns));
}

void ll_coupling_add_whole(const ll_coupling *c, double factor, const double *w, double *surface)
{
    ll_dense_multiply_add(corners(c->key.target), c->key.source->mesh->surface_nodes, factor,
                          c->dbl, w, surface);
}

ll_status ll_coupling_add_thin(const ll_coupling *c, const double *w, const double *lambda,
                               double *surface)
{
    const size_t nc = corners(c->key.source), n = c->thin.columns;
    double *x = malloc((n + 1) * sizeof *x);
    if (!x)
        return LL_NO_MEMORY;
    for (size_t j = 0; j < nc; j++)
        x[j] = lambda[j] * c->key.source->size_m;
    memcpy(x + nc, w, (n - nc) * sizeof *x);
    ll_lowrank_add(&c->thin, 1, x, surface);
    free(x);
    return LL_OK;
}
