/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything that is kept here is for one turn. */
#include "magnetics/coil_cache.h"
#include "base/cache_kind.h"
#include "base/pose_key.h"
#include "field/source.h"
#include "scene/source_key.h"

#include <stdlib.h>

static void add_one_turn(ll_key *key, const ll_coil *coil)
{
    ll_coil one = *coil;
    one.turns = 1;
    ll_key_add_coil(key, &one);
}

/* ---- at bodies ---- */

typedef struct sight {
    ll_shared shared;
    size_t points;
    ll_vec3 *h; /* [points] */
    double *psi;
} sight;

static void sight_free(void *thing)
{
    sight *s = thing;
    free(s->h);
    free(s->psi);
    free(s);
}

static size_t bytes_of_sight(const void *thing)
{
    const sight *s = thing;
    return sizeof *s + s->points * (sizeof *s->h + sizeof *s->psi);
}

static ll_status look(const ll_coil *coil, const ll_body *body, sight **out)
{
    sight *s = calloc(1, sizeof *s);
    if (!s)
        return LL_NO_MEMORY;
    ll_shared_begin(&s->shared, sight_free);
    s->points = LL_TEST_POINTS * body->form->mesh->triangles;
    s->h = malloc((s->points + 1) * sizeof *s->h);
    s->psi = malloc((s->points + 1) * sizeof *s->psi);
    ll_vec3 *at = malloc((s->points + 1) * sizeof *at);
    ll_status status = s->h && s->psi && at ? LL_OK : LL_NO_MEMORY;
    for (size_t i = 0; i < s->points && !status; i++)
        at[i] = ll_to_world(&body->pose, body->form->test_m[i]);
    if (!status)
        status = ll_coil_h_and_potential(&coil->shape, &coil->pose, 1, s->points, at, s->h, s->psi);
    free(at);
    if (status)
        ll_release(s);
    else
        *out = s;
    return status;
}

ll_status ll_coil_at_body(const ll_coil *coil, const ll_body *body, ll_vec3 *h_per_m, double *psi)
{
    static const ll_cache_kind sights = {bytes_of_sight};
    ll_key key = {0};
    add_one_turn(&key, coil);
    ll_key_add(&key, (double)body->form->serial);
    ll_key_add_members(&key, &ll_pose_members, &body->pose);
    sight *s = ll_cache_find(&sights, &key);
    ll_status status = LL_OK;
    if (!s) {
        status = look(coil, body, &s);
        s = status ? NULL : ll_cache_keep(&sights, &key, s);
    }
    for (size_t i = 0; !status && h_per_m && i < s->points; i++)
        h_per_m[i] = ll_scale(coil->turns, s->h[i]);
    for (size_t i = 0; !status && psi && i < s->points; i++)
        psi[i] = coil->turns * s->psi[i];
    ll_release(s);
    ll_key_clear(&key);
    return status;
}

/* ---- in air ---- */

typedef struct linked_pair {
    ll_shared shared;
    double l_h;
} linked_pair;

static size_t bytes_of_pair(const void *thing)
{
    (void)thing;
    return sizeof(linked_pair);
}

static ll_status link_pair(const ll_coil *a, const ll_coil *b, linked_pair **out)
{
    linked_pair *pair = malloc(sizeof *pair);
    if (!pair)
        return LL_NO_MEMORY;
    ll_shared_begin(&pair->shared, free);
    const ll_status status =
        ll_coil_inductance(&a->shape, &a->pose, 1, &b->shape, &b->pose, 1, &pair->l_h);
    if (status)
        ll_release(pair);
    else
        *out = pair;
    return status;
}

ll_status ll_coils_in_air(const ll_coil *a, const ll_coil *b, double *l_h)
{
    static const ll_cache_kind pairs = {bytes_of_pair};
    ll_key key = {0};
    add_one_turn(&key, a);
    add_one_turn(&key, b);
    linked_pair *pair = ll_cache_find(&pairs, &key);
    ll_status status = LL_OK;
    if (!pair) {
        status = link_pair(a, b, &pair);
        pair = status ? NULL : ll_cache_keep(&pairs, &key, pair);
    }
    if (!status)
        *l_h = a->turns * b->turns * pair->l_h;
    ll_release(pair);
    ll_key_clear(&key);
    return status;
}
