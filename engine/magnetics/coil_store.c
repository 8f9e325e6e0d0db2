/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything here is for one turn. Most recent first; the last is given up when there is no more room. */
#include "magnetics/coil_store.h"
#include "field/source.h"
#include "magnetics/source_key.h"

#include <stdlib.h>
#include <string.h>

static void one_turn_key(const ll_coil *coil, double key[LL_SOURCE_KEY])
{
    ll_coil one = *coil;
    one.turns = 1;
    ll_coil_key(&one, key);
}

/* ---- at bodies ---- */

typedef struct sight {
    double key[LL_SOURCE_KEY];
    const ll_form *form; /* a share of it */
    ll_pose pose;
    size_t points;
    ll_vec3 *h; /* [points] */
    double *psi;
} sight;

enum { SHELVES = 512 };
static sight *shelf[SHELVES];
static const size_t store_bytes = (size_t)64 << 20;

static void sight_free(sight *s)
{
    if (!s)
        return;
    ll_form_release(s->form);
    free(s->h);
    free(s->psi);
    free(s);
}

static size_t bytes_of(const sight *s)
{
    return sizeof *s + s->points * (sizeof *s->h + sizeof *s->psi);
}

static ll_status look(const ll_coil *coil, const ll_body *body, sight **out)
{
    sight *s = calloc(1, sizeof *s);
    if (!s)
        return LL_NO_MEMORY;
    one_turn_key(coil, s->key);
    s->form = body->form;
    ll_form_share(s->form);
    s->pose = body->pose;
    s->points = LL_TEST_POINTS * s->form->mesh->triangles;
    s->h = malloc((s->points + 1) * sizeof *s->h);
    s->psi = malloc((s->points + 1) * sizeof *s->psi);
    ll_vec3 *at = malloc((s->points + 1) * sizeof *at);
    ll_status status = s->h && s->psi && at ? LL_OK : LL_NO_MEMORY;
    for (size_t i = 0; i < s->points && !status; i++)
        at[i] = ll_to_world(&body->pose, s->form->test_m[i]);
    if (!status)
        status = ll_coil_h_and_potential(&coil->shape, &coil->pose, 1, s->points, at, s->h, s->psi);
    free(at);
    if (status)
        sight_free(s);
    else
        *out = s;
    return status;
}

static void to_front(size_t place, sight *s)
{
    memmove(shelf + 1, shelf, place * sizeof *shelf);
    shelf[0] = s;
}

static bool serves(const sight *s, const double *key, const ll_body *body)
{
    return s->form == body->form && ll_poses_agree(&s->pose, &body->pose) &&
           ll_keys_equal(s->key, key);
}

static void put(sight *s)
{
    sight_free(shelf[SHELVES - 1]);
    to_front(SHELVES - 1, s);
    size_t bytes = 0, kept = 0;
    for (size_t k = 0; k < SHELVES && shelf[k]; k++) {
        sight *old = shelf[k];
        shelf[k] = NULL;
        bytes += bytes_of(old);
        if (bytes <= store_bytes)
            shelf[kept++] = old;
        else
            sight_free(old);
    }
}

static void give(const sight *s, double turns, ll_vec3 *h_per_m, double *psi)
{
    for (size_t i = 0; h_per_m && i < s->points; i++)
        h_per_m[i] = ll_scale(turns, s->h[i]);
    for (size_t i = 0; psi && i < s->points; i++)
        psi[i] = turns * s->psi[i];
}

ll_status ll_coil_at_body(const ll_coil *coil, const ll_body *body, ll_vec3 *h_per_m, double *psi)
{
    double key[LL_SOURCE_KEY];
    bool found = false;
    one_turn_key(coil, key);
#pragma omp critical(ll_coil_store)
    for (size_t k = 0; k < SHELVES && shelf[k] && !found; k++)
        if (serves(shelf[k], key, body)) {
            found = true;
            to_front(k, shelf[k]);
            give(shelf[0], coil->turns, h_per_m, psi);
        }
    if (found)
        return LL_OK;
    sight *s;
    const ll_status status = look(coil, body, &s);
    if (status)
        return status;
    give(s, coil->turns, h_per_m, psi);
#pragma omp critical(ll_coil_store)
    put(s);
    return LL_OK;
}

/* ---- in air ---- */

typedef struct linked_pair {
    double a[LL_SOURCE_KEY], b[LL_SOURCE_KEY], l_h;
} linked_pair;

enum { PAIRS = 64 };
static linked_pair pair[PAIRS];
static size_t pairs;

ll_status ll_coils_in_air(const ll_coil *a, const ll_coil *b, double *l_h)
{
    linked_pair wanted;
    bool found = false;
    one_turn_key(a, wanted.a);
    one_turn_key(b, wanted.b);
#pragma omp critical(ll_coil_store)
    for (size_t k = 0; k < PAIRS && k < pairs && !found; k++)
        if (ll_keys_equal(pair[k].a, wanted.a) && ll_keys_equal(pair[k].b, wanted.b)) {
            wanted = pair[k];
            found = true;
        }
    if (!found) {
        const ll_status status =
            ll_coil_inductance(&a->shape, &a->pose, 1, &b->shape, &b->pose, 1, &wanted.l_h);
        if (status)
            return status;
#pragma omp critical(ll_coil_store)
        pair[pairs++ % PAIRS] = wanted;
    }
    *l_h = a->turns * b->turns * wanted.l_h;
    return LL_OK;
}
