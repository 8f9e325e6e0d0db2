/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/coupling_store.h"

#include <stdlib.h>
#include <string.h>

/* Thin couplings that may be wanted again, most recent first. */
enum { SHELVES = 512 };
static ll_coupling *shelf[SHELVES];
static const size_t store_bytes = (size_t)192 << 20;

static bool same_key(const ll_coupling_key *a, const ll_coupling_key *b)
{
    return a->target == b->target && a->source == b->source && a->nearness == b->nearness &&
           a->charges_only == b->charges_only && fabs(a->contact_m - b->contact_m) < 1e-12 &&
           ll_poses_agree(&a->source_in_target, &b->source_in_target);
}

static void to_front(size_t place, ll_coupling *c)
{
    memmove(shelf + 1, shelf, place * sizeof *shelf);
    shelf[0] = c;
}

static ll_coupling *take(const ll_coupling_key *key)
{
    for (size_t k = 0; k < SHELVES && shelf[k]; k++)
        if (same_key(&shelf[k]->key, key)) {
            ll_coupling *found = shelf[k];
            to_front(k, found);
            found->users++;
            return found;
        }
    return NULL;
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
static void give_up(ll_coupling *c)
{
    if (c && --c->users == 0)
        coupling_free(c);
}

/* Puts a coupling in front, or finds that another thread has put its equal there: then that one is returned. */
static ll_coupling *put(ll_coupling *c)
{
    ll_coupling *other = take(&c->key);
    if (other) {
        give_up(c);
        return other;
    }
    give_up(shelf[SHELVES - 1]);
    shelf[SHELVES - 1] = NULL;
    to_front(SHELVES - 1, c);
    c->users++;
    size_t bytes = 0, kept = 0;
    for (size_t k = 0; k < SHELVES && shelf[k]; k++) {
        ll_coupling *old = shelf[k];
        shelf[k] = NULL;
        bytes += ll_coupling_bytes(old);
        if (bytes <= store_bytes)
            shelf[kept++] = old;
        else
            give_up(old);
    }
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

ll_status ll_coupling_get(const ll_body *target, const ll_body *source, ll_nearness nearness,
                          double contact_m, ll_coupling **out)
{
    const ll_coupling_key key = {.target = target->form,
                                 .source = source->form,
                                 .source_in_target = between(&target->pose, &source->pose),
                                 .nearness = nearness,
                                 .charges_only =
                                     source->kind == LL_CHARGES && nearness != LL_FACING,
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
