/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Systems of straight-line laws that may be wanted again: the same bodies in the same places, whatever magnets and coils
 * are around them. */
#include "base/shelf.h"
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

static bool same_pose(const ll_pose *a, const ll_pose *b)
{
    double turned = 0;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            turned = fmax(turned, fabs(a->rotation.m[i][j] - b->rotation.m[i][j]));
    return turned == 0 && ll_norm(ll_sub(a->origin_m, b->origin_m)) < 1e-12;
}

/* A magnet's strength and sense are sources; what conducts answers at other frequencies than zero. */
static bool same_region(const ll_region *a, const ll_region *b)
{
    return a->part == b->part && ll_material_mu_r(a->material) == ll_material_mu_r(b->material) &&
           ll_material_conductivity_s_m(a->material) == ll_material_conductivity_s_m(b->material);
}

static bool same_body(const ll_body *a, const ll_body *b)
{
    if (a->form != b->form || a->kind != b->kind || a->linear != b->linear ||
        a->regions != b->regions || !same_pose(&a->pose, &b->pose))
        return false;
    for (size_t r = 0; r < a->regions; r++)
        if (!same_region(&a->region[r], &b->region[r]))
            return false;
    return true;
}

static bool same_system(const void *thing, const void *wanted)
{
    const ll_system *a = thing, *b = wanted;
    bool equal = a->count == b->count && a->contact_m == b->contact_m;
    for (size_t k = 0; equal && k < a->count; k++)
        equal = same_body(&a->body[k], &b->body[k]);
    return equal;
}

static size_t bytes_of(const void *thing)
{
    return ll_system_bytes(thing);
}

static void give_up(void *thing)
{
    ll_system_free(thing);
}

static ll_shelf shelf = {
    .places = 8, .bytes = (size_t)384 << 20, .bytes_of = bytes_of, .give_up = give_up};

ll_system *ll_system_from_store(const ll_system *wanted)
{
    ll_system *found = NULL;
    if (!ll_system_is_linear(wanted))
        return NULL;
#pragma omp critical(ll_system_store)
    {
        found = ll_shelf_find(&shelf, same_system, wanted);
        if (found)
            ll_system_share(found);
    }
    return found;
}

void ll_system_to_store(ll_system *s)
{
#pragma omp critical(ll_system_store)
    ll_shelf_put(&shelf, ll_system_share(s));
}
