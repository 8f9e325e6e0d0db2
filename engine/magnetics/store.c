/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Systems of straight-line laws that may be wanted again: the same bodies in the same places, whatever magnets and coils
 * are around them. */
#include "magnetics/system_data.h"

#include <string.h>

enum { SHELVES = 8 };
static ll_system *shelf[SHELVES];
static const size_t store_bytes = (size_t)384 << 20;

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

static bool same_system(const ll_system *a, const ll_system *b)
{
    bool equal = a->count == b->count && a->contact_m == b->contact_m;
    for (size_t k = 0; equal && k < a->count; k++)
        equal = same_body(&a->body[k], &b->body[k]);
    return equal;
}

static void to_front(size_t place, ll_system *s)
{
    memmove(shelf + 1, shelf, place * sizeof *shelf);
    shelf[0] = s;
}

ll_system *ll_system_from_store(const ll_system *wanted)
{
    ll_system *found = NULL;
    if (!ll_system_is_linear(wanted))
        return NULL;
#pragma omp critical(ll_system_store)
    for (size_t k = 0; k < SHELVES && shelf[k] && !found; k++)
        if (same_system(shelf[k], wanted)) {
            found = ll_system_share(shelf[k]);
            to_front(k, found);
        }
    return found;
}

/* Gives up what no longer fits behind the front. */
static void trim(void)
{
    size_t bytes = 0, kept = 0;
    for (size_t k = 0; k < SHELVES && shelf[k]; k++) {
        ll_system *s = shelf[k];
        shelf[k] = NULL;
        bytes += ll_system_bytes(s);
        if (bytes <= store_bytes)
            shelf[kept++] = s;
        else
            ll_system_free(s);
    }
}

void ll_system_to_store(ll_system *s)
{
#pragma omp critical(ll_system_store)
    {
        ll_system_free(shelf[SHELVES - 1]);
        to_front(SHELVES - 1, ll_system_share(s));
        trim();
    }
}
