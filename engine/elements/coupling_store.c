/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/coupling_store.h"
#include "base/shelf.h"

#include <stdlib.h>

static bool has_key(const void *thing, const void *wanted)
{
    const ll_coupling_key *a = &((const ll_coupling *)thing)->key, *b = wanted;
    return a->target == b->target && a->source == b->source && a->nearness == b->nearness &&
           a->charges_only == b->charges_only && fabs(a->contact_m - b->contact_m) < 1e-12 &&
           ll_poses_agree(&a->source_in_target, &b->source_in_target);
}

static void coupling_free(ll_coupling *c)
{
    ll_form_release(c->key.target);
    ll_form_release(c->key.source);
    free(c->single);
    free(c->dbl);
    ll_lowrank_clear(&c->thin);
    free(c);
}

/* Gives up one share; the caller holds the store. */
static void give_up(void *thing)
{
    ll_coupling *c = thing;
    if (c && --c->users == 0)
        coupling_free(c);
}

static size_t bytes_of(const void *thing)
{
    return ll_coupling_bytes(thing);
}

/* Thin couplings that may be wanted again. */
static ll_shelf shelf = {
    .places = 512, .bytes = (size_t)192 << 20, .bytes_of = bytes_of, .give_up = give_up};

static ll_coupling *take(const ll_coupling_key *key)
{
    ll_coupling *found = ll_shelf_find(&shelf, has_key, key);
    if (found)
        found->users++;
    return found;
}

/* Puts a coupling in front, or finds that another thread has put its equal there: then that one is returned. */
static ll_coupling *put(ll_coupling *c)
{
    ll_coupling *other = take(&c->key);
    if (other) {
        give_up(c);
        return other;
    }
    c->users++;
    ll_shelf_put(&shelf, c);
    return c; /* NOLINT(clang-analyzer-unix.Malloc): the caller has a share of its own */
}

static ll_pose between(const ll_pose *target, const ll_pose *source)
{
    ll_pose p = {.origin_m = ll_to_own(target, source->origin_m)};
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            for (int k = 0; k < 3; k++)
                p.rotation.m[i][j] += target->rotation.m[k][i] * source->rotation.m[k][j];
    return p;
}

/* Takes the key's forms over. */
static ll_status make(const ll_coupling_key *key, ll_coupling **out)
{
    ll_coupling *c = calloc(1, sizeof *c);
    if (!c)
        return LL_NO_MEMORY;
    c->key = *key;
    ll_form_share(key->target);
    ll_form_share(key->source);
    c->users = 1;
    const ll_status status = ll_coupling_make(c);
    if (status)
        coupling_free(c);
    else
        *out = c;
    return status;
}

ll_status ll_coupling_get(const ll_placed *target, const ll_placed *source, ll_nearness nearness,
                          double contact_m, ll_coupling **out)
{
    const ll_coupling_key key = {.target = target->form,
                                 .source = source->form,
                                 .source_in_target = between(&target->pose, &source->pose),
                                 .nearness = nearness,
                                 .charges_only = source->charges_only && nearness != LL_FACING,
                                 .contact_m = nearness == LL_APART ? 0 : contact_m};
    ll_coupling *found;
#pragma omp critical(ll_coupling_store)
    found = take(&key);
    if (found) {
        *out = found;
        return LL_OK;
    }
    const ll_status status = make(&key, &found);
    /* Whole matrices are large, and the cluster that wants them keeps only half of each. */
    if (!status && nearness != LL_FACING) {
#pragma omp critical(ll_coupling_store)
        found = put(found);
    }
    if (!status)
        *out = found;
    return status;
}

void ll_coupling_release(ll_coupling *c)
{
#pragma omp critical(ll_coupling_store)
    give_up(c);
}
