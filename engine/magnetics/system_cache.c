/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Systems of straight-line laws that may be wanted again: the same bodies in the same places, whatever magnets and coils
 * are around them. */
#include "base/cache_kind.h"
#include "base/pose_key.h"
#include "magnetics/system_data.h"

bool ll_system_is_linear(const ll_system *s)
{
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        if (!body->linear)
            return false;
        /* Magnets pressed into steel bring their remanence along. */
        for (size_t r = 0; r < body->regions; r++)
            if (body->kind == LL_TOTAL && ll_material_kind(body->region[r].material) == LL_MAGNET)
                return false;
    }
    return s->count > 0;
}

/* A magnet's strength and sense are sources; what conducts is asked of the scene, at a frequency. */
static void add_body(ll_key *key, const ll_body *body)
{
    ll_key_add(key, (double)body->form->serial);
    ll_key_add(key, body->kind);
    ll_key_add_members(key, &ll_pose_members, &body->pose);
    for (size_t r = 0; r < body->regions; r++) {
        ll_key_add(key, (double)body->region[r].part);
        ll_key_add(key, ll_material_mu_r(body->region[r].material));
    }
}

static ll_key key_of(const ll_system *s)
{
    ll_key key = {0};
    ll_key_add(&key, s->contact_m);
    for (size_t b = 0; b < s->count; b++)
        add_body(&key, &s->body[b]);
    return key;
}

static size_t bytes_of(const void *thing)
{
    return ll_system_bytes(thing);
}

static const ll_cache_kind systems = {bytes_of};

ll_system *ll_system_cached(const ll_system *wanted)
{
    if (!ll_system_is_linear(wanted))
        return NULL;
    ll_key key = key_of(wanted);
    ll_system *found = ll_cache_find(&systems, &key);
    ll_key_clear(&key);
    return found;
}

ll_system *ll_system_to_cache(ll_system *s)
{
    ll_key key = key_of(s);
    s = ll_cache_keep(&systems, &key, s);
    ll_key_clear(&key);
    return s;
}
