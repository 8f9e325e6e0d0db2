/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything here is for one turn. */
#include "magnetics/coil_store.h"
#include "base/shelf.h"
#include "field/source.h"
#include "scene/source_key.h"

#include <stdlib.h>

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

static void sight_free(void *thing)
{
    sight *s = thing;
    ll_form_release(s->form);
    free(s->h);
    free(s->psi);
    free(s);
}

static size_t bytes_of(const void *thing)
{
    const sight *s = thing;
    return sizeof *s + s->points * (sizeof *s->h + sizeof *s->psi);
}

static ll_shelf shelf = {
    .places = 512, .bytes = (size_t)64 << 20, .bytes_of = bytes_of, .give_up = sight_free};

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

typedef struct wanted_sight {
    double key[LL_SOURCE_KEY];
    const ll_body *body;
} wanted_sight;

static bool serves(const void *thing, const void *wanted)
{
    const sight *s = thing;
    const wanted_sight *w = wanted;
    return s->form == w->body->form && ll_poses_agree(&s->pose, &w->body->pose) &&
           ll_keys_equal(s->key, w->key);
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
    wanted_sight wanted = {.body = body};
    one_turn_key(coil, wanted.key);
    sight *s;
#pragma omp critical(ll_coil_store)
    {
        s = ll_shelf_find(&shelf, serves, &wanted);
        if (s)
            give(s, coil->turns, h_per_m, psi);
    }
    if (s)
        return LL_OK;
    const ll_status status = look(coil, body, &s);
    if (status)
        return status;
    give(s, coil->turns, h_per_m, psi);
#pragma omp critical(ll_coil_store)
    ll_shelf_put(&shelf, s);
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
