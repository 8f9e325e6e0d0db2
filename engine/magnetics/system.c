/* A system is made in this order, each step needing more memory than the one before: bodies with their forms, the tangent of each law and
 * its sparse factor, clusters of bodies that face each other, couplings, and the dense factors of clusters.
 * 
 * The blocks, by the equations in system.h: inside each body the tangent and the flux of lambda; on its surface its own operators
 * 1/2 - K and S (form.h), and K and S of every other body (coupling.h). The preconditioner takes the inside and the surface of
 * a body, or of a cluster, as if nothing else were there; GMRES brings the rest.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/system_data.h"

#include "base/cache_kind.h"
#include "base/constants.h"
#include "base/factor.h"
#include "base/parallel.h"

#include <stdlib.h>
#include <string.h>

/* Steel nearer than usual_join_m is one piece; a magnet that touches steel keeps this much air, as paint and roughness do. */
static const double usual_join_m = 2e-6, usual_contact_m = 0.02e-3;

size_t ll_system_bodies(const ll_system *system)
{
    return system->count;
}

const ll_body *ll_system_body(const ll_system *system, size_t b)
{
    return &system->body[b];
}

double ll_system_contact_m(const ll_system *system)
{
    return system->contact_m;
}

size_t ll_system_unknowns(const ll_system *system)
{
    return system->unknowns;
}

static void system_free(void *thing)
{
    ll_system *s = thing;
    for (size_t b = 0; b < s->count; b++) {
        ll_interior_work_free(s->work ? s->work[b] : NULL);
        ll_body_clear(&s->body[b]);
    }
    for (size_t k = 0; s->coupling && k < s->count * s->count; k++)
        ll_release(s->coupling[k]);
    for (size_t c = 0; c < s->clusters; c++) {
        free(s->cluster[c].body);
        free(s->cluster[c].factor);
    }
    free(s->body);
    free(s->work);
    free(s->coupling);
    free(s->nearness);
    free(s->cluster_of);
    free(s->batch);
    free(s->cluster);
    free(s);
}

ll_system *ll_system_share(ll_system *s)
{
    return ll_share(s);
}

void ll_system_free(ll_system *s)
{
    ll_release(s);
}

static ll_system *new_system(void)
{
    ll_system *s = calloc(1, sizeof *s);
    if (!s)
        return NULL;
    ll_shared_begin(&s->shared, system_free);
    s->serial = ll_cache_serial();
    return s;
}

size_t ll_system_bytes(const ll_system *s)
{
    size_t bytes = s->unknowns * sizeof(double);
    for (size_t b = 0; b < s->count; b++)
        bytes += s->body[b].form->bytes;
    for (size_t k = 0; k < s->count * s->count; k++)
        bytes += s->coupling[k] ? ll_coupling_bytes(s->coupling[k]) : 0;
    for (size_t c = 0; c < s->clusters; c++)
        if (s->cluster[c].factor)
            bytes += s->cluster[c].corners * s->cluster[c].corners * sizeof(double);
    return bytes;
}

/* ---- bodies ---- */

const ll_body *ll_system_body_of(const ll_system *s, size_t part, size_t *region)
{
    for (size_t b = 0; b < s->count; b++)
        for (size_t r = 0; r < s->body[b].regions; r++)
            if (s->body[b].region[r].part == part) {
                *region = r;
                return &s->body[b];
            }
    return NULL;
}

/* Where each body's unknowns stand, and room to solve its inside. */
static ll_status number_unknowns(ll_system *s)
{
    s->work = calloc(s->count + 1, sizeof *s->work);
    for (size_t b = 0; s->work && b < s->count; b++) {
        ll_body *body = &s->body[b];
        body->w = s->unknowns;
        /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference): a body that was found has a form */
        body->lambda = body->w + body->form->mesh->nodes;
        s->unknowns = body->lambda + body->form->mesh->corners;
        s->work[b] = ll_interior_work_new();
        if (!s->work[b])
            return LL_NO_MEMORY;
    }
    return s->work ? LL_OK : LL_NO_MEMORY;
}

/* Laws and mesh of one body without its history or neighbours: for what a magnet went through before it was built in. */
static ll_status add_copy(ll_system *s, const ll_body *from)
{
    ll_region *region = malloc(from->regions * sizeof *region);
    s->body = calloc(1, sizeof *s->body);
    if (!region || !s->body) {
        free(region);
        return LL_NO_MEMORY;
    }
    memcpy(region, from->region, from->regions * sizeof *region);
    for (size_t r = 0; r < from->regions; r++)
        region[r].material = ll_material_share(region[r].material);
    s->count = 1;
    *s->body = (ll_body){.regions = from->regions,
                         .region = region,
                         .pose = from->pose,
                         .form = ll_share(from->form),
                         .kind = from->kind,
                         .linear = from->linear};
    return number_unknowns(s);
}

/* Whether the tangents are the same where the law is straight, and much alike where it bends. */
static bool are_alike(const ll_region *a, const ll_region *b, bool linear)
{
    if (linear)
        return ll_material_mu_r(a->material) == ll_material_mu_r(b->material);
    return ll_material_equal(a->material, b->material) && fabs(a->charge) == fabs(b->charge);
}

/* Two bodies of which one factor preconditions both. */
static bool are_twins(const ll_body *a, const ll_body *b)
{
    if (a->form != b->form || a->linear != b->linear || a->kind != b->kind)
        return false;
    for (size_t r = 0; r < a->regions; r++)
        if (!are_alike(&a->region[r], &b->region[r], a->linear))
            return false;
    return true;
}

/* Six like rods have one factor between them. */
static const ll_body *twin_before(const ll_system *s, size_t b)
{
    for (size_t a = 0; a < b; a++)
        if (are_twins(&s->body[a], &s->body[b]))
            return &s->body[a];
    return NULL;
}

/* The tangent of each law at zero field: what a straight law keeps for ever, and where Newton's method starts. */
static ll_status add_interiors(ll_system *s)
{
    for (size_t b = 0; b < s->count; b++) {
        ll_body *body = &s->body[b];
        const ll_body *twin = twin_before(s, b);
        if (twin && body->linear)
            body->interior = twin->interior;
        else {
            /* Bent laws are factorised where Newton's method starts. */
            const ll_status status = ll_body_tangent(body, NULL, false, body->linear);
            if (status)
                return status;
        }
        body->factorised = twin ? twin->factorised : body->interior;
    }
    return LL_OK;
}

/* ---- clusters and couplings ---- */

/* All of b's cluster into a's. */
static void join(ll_system *s, size_t a, size_t b)
{
    const size_t from = s->cluster_of[b], to = s->cluster_of[a];
    for (size_t k = 0; k < s->count; k++)
        if (s->cluster_of[k] == from)
            s->cluster_of[k] = to;
}

/* What elements know of a body. */
static ll_placed placed(const ll_body *body)
{
    return (ll_placed){body->form, body->pose, body->kind == LL_CHARGES};
}

/* Bodies that lie against each other exchange charges that nearly cancel: eliminated one body at a time the preconditioner would never
 * settle, so that they are factorised together. Facing is passed on: a row of bars in contact is one cluster. */
static ll_status find_clusters(ll_system *s)
{
    s->cluster_of = malloc((s->count + 1) * sizeof *s->cluster_of);
    s->cluster = calloc(s->count + 1, sizeof *s->cluster);
    s->nearness = calloc(s->count * s->count + 1, sizeof *s->nearness);
    s->coupling = calloc(s->count * s->count + 1, sizeof *s->coupling);
    if (!s->cluster_of || !s->cluster || !s->nearness || !s->coupling)
        return LL_NO_MEMORY;
    for (size_t b = 0; b < s->count; b++)
        s->cluster_of[b] = b;
    for (size_t a = 0; a < s->count; a++)
        for (size_t b = a + 1; b < s->count; b++) {
            const ll_placed at_a = placed(&s->body[a]), at_b = placed(&s->body[b]);
            const ll_nearness near = ll_coupling_nearness(&at_a, &at_b);
            s->nearness[a * s->count + b] = s->nearness[b * s->count + a] = near;
            if (near == LL_FACING && s->cluster_of[a] != s->cluster_of[b])
                join(s, a, b);
        }
    for (size_t head = 0; head < s->count; head++) {
        ll_cluster *c = &s->cluster[s->clusters];
        c->body = calloc(s->count, sizeof *c->body);
        if (!c->body)
            return LL_NO_MEMORY;
        for (size_t b = 0; b < s->count; b++)
            if (s->cluster_of[b] == head) {
                c->body[c->count++] = b;
                c->corners += s->body[b].form->mesh->corners;
            }
        if (c->count)
            s->clusters++;
        else
            free(c->body), c->body = NULL;
    }
    return LL_OK;
}

/* The same matrix serves both only where it is the same and nobody else is in the cluster. */
static bool can_join(const ll_system *s, const ll_batch *batch, size_t b)
{
    const ll_body *first = &s->body[batch->body[0]], *body = &s->body[b];
    return batch->count < LL_SEVERAL && first->form == body->form &&
           first->factorised == body->factorised && ll_system_is_alone(s, batch->body[0]) &&
           ll_system_is_alone(s, b);
}

/* Bodies whose inside and surface matrices are the same go through them together, three vectors for little more than the price of one. */
static ll_status find_batches(ll_system *s)
{
    s->batch = calloc(s->count + 1, sizeof *s->batch);
    if (!s->batch)
        return LL_NO_MEMORY;
    for (size_t b = 0; b < s->count; b++) {
        size_t k = 0;
        while (k < s->batches && !can_join(s, &s->batch[k], b))
            k++;
        s->batch[k].body[s->batch[k].count++] = b;
        s->batches = k == s->batches ? k + 1 : s->batches;
    }
    return LL_OK;
}

/* Bodies of one cluster, whose factorisation wants every block, are coupled by whole matrices, however they stand. */
static ll_nearness treatment(const ll_system *s, size_t t, size_t o)
{
    return s->cluster_of[t] == s->cluster_of[o] ? LL_FACING : s->nearness[t * s->count + o];
}

static ll_status add_coupling(ll_system *s, size_t k)
{
    const size_t t = k / s->count, o = k % s->count;
    const ll_placed target = placed(&s->body[t]), source = placed(&s->body[o]);
    return ll_coupling_get(&target, &source, treatment(s, t, o), s->contact_m, &s->coupling[k]);
}

/* Closed forms use all threads by themselves; point couplings are made side by side. */
static ll_status add_couplings(ll_system *s)
{
    ll_status status = LL_OK;
    const size_t pairs = s->count * s->count;
#pragma omp parallel for schedule(dynamic)
    for (size_t k = 0; k < pairs; k++) {
        const size_t t = k / s->count, o = k % s->count;
        if (t != o && treatment(s, t, o) == LL_APART)
            ll_keep_worse(&status, add_coupling(s, k));
    }
    for (size_t k = 0; k < pairs && !status; k++) {
        const size_t t = k / s->count, o = k % s->count;
        if (t != o && treatment(s, t, o) != LL_APART)
            status = add_coupling(s, k);
    }
    return status;
}

/* The block of the cluster's single layer for two of its bodies, which start at rows r and c. */
static void copy_block(const ll_system *s, const ll_cluster *k, size_t t, size_t o, size_t r,
                       size_t c)
{
    const size_t rows = s->body[t].form->mesh->corners, columns = s->body[o].form->mesh->corners;
    const double *block = t == o ? s->body[t].form->single : s->coupling[t * s->count + o]->single;
    for (size_t i = 0; i < rows; i++)
        for (size_t j = 0; j < columns; j++) {
            /* The outer rule is not quite symmetric between two bodies: each gives half. */
            k->factor[(r + i) * k->corners + c + j] += 0.5 * block[i * columns + j];
            k->factor[(c + j) * k->corners + r + i] += 0.5 * block[i * columns + j];
        }
}

static ll_status factorise_cluster(ll_system *s, ll_cluster *k)
{
    if (k->count < 2)
        return LL_OK;
    k->factor = calloc(k->corners * k->corners, sizeof *k->factor);
    if (!k->factor)
        return LL_NO_MEMORY;
    for (size_t a = 0, r = 0; a < k->count; a++) {
        for (size_t b = 0, c = 0; b < k->count; b++) {
            copy_block(s, k, k->body[a], k->body[b], r, c);
            c += s->body[k->body[b]].form->mesh->corners;
        }
        r += s->body[k->body[a]].form->mesh->corners;
    }
    for (size_t a = 0; a < k->count; a++)
        for (size_t b = 0; b < k->count; b++) {
            ll_coupling *c = s->coupling[k->body[a] * s->count + k->body[b]];
            if (c) {
                free(c->single);
                c->single = NULL;
            }
        }
    return ll_factorise(k->corners, k->factor);
}

/* ---- making ---- */

/* Looked at between the steps, each of which needs more than the one before. What is kept of earlier work has the room that is
 * left. */
static ll_status within(const ll_system *s, size_t limit_bytes)
{
    const size_t bytes = ll_system_bytes(s);
    if (!limit_bytes)
        return LL_OK;
    if (bytes > limit_bytes)
        return LL_TOO_BIG;
    ll_cache_shrink(limit_bytes - bytes);
    return LL_OK;
}

/* All that the bodies' shapes, places and permeabilities decide. */
static ll_status build(ll_system *s, size_t limit)
{
    ll_status status = add_interiors(s);
    if (!status)
        status = find_clusters(s);
    if (!status)
        status = find_batches(s);
    if (!status)
        status = within(s, limit);
    if (!status)
        status = add_couplings(s);
    for (size_t k = 0; k < s->clusters && !status; k++) {
        status = within(s, limit);
        if (!status)
            status = factorise_cluster(s, &s->cluster[k]);
    }
    return status ? status : within(s, limit);
}

static double contact_of(const ll_solve_options *options)
{
    return options && options->contact_gap_m > 0 ? options->contact_gap_m : usual_contact_m;
}

ll_status ll_system_of_none(const ll_solve_options *options, ll_system **out)
{
    ll_system *s = new_system();
    if (!s)
        return LL_NO_MEMORY;
    s->contact_m = contact_of(options);
    *out = s;
    return LL_OK;
}

ll_status ll_system_get(const ll_scene *scene, const ll_solve_options *options, ll_system **out,
                        bool *met_before)
{
    ll_system *s = new_system();
    if (!s)
        return LL_NO_MEMORY;
    const double fineness = options && options->fineness > 0 ? options->fineness : 1;
    const double given = options ? options->contact_gap_m : 0;
    s->contact_m = contact_of(options);
    /* Forms come from the cache when equal pieces were met before. */
    ll_status status =
        ll_bodies_find(scene, fineness, given > 0 ? -1e-6 : usual_join_m, &s->body, &s->count);
    if (!status)
        status = number_unknowns(s);
    ll_system *cached = status ? NULL : ll_system_cached(s);
    *met_before = cached != NULL;
    if (cached) {
        ll_system_free(s);
        *out = cached;
        return LL_OK;
    }
    if (!status)
        status = build(s, options ? options->memory_limit_bytes : 0);
    if (status) {
        ll_system_free(s);
        return status;
    }
    if (ll_system_is_linear(s))
        s = ll_system_to_cache(s);
    *out = s;
    return LL_OK;
}

ll_status ll_system_of_one(const ll_body *body, ll_system **out)
{
    ll_system *s = new_system();
    if (!s)
        return LL_NO_MEMORY;
    ll_status status = add_copy(s, body);
    if (!status)
        status = build(s, 0);
    if (status)
        ll_system_free(s);
    else
        *out = s;
    return status;
}
