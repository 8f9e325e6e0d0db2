/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/revolved_shape.h"
#include "base/cache_kind.h"
#include "elements/breaks.h"
#include "shape/shape_key.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { RECTANGLES_MOST = 2 };

/* ---- shapes ---- */

/* The body's rectangles, lying one on the other. */
static size_t rectangles(const ll_shape *s, ll_rectangle *r)
{
    const double half = 0.5 * s->size_m.z;
    if (s->kind != LL_SCREW) {
        r[0] = (ll_rectangle){{s->inner_radius_m, s->radius_m}, {-half, half}, 0};
        return 1;
    }
    const double neck = half - s->head_height_m;
    r[0] = (ll_rectangle){{0, s->radius_m}, {-half, neck}, 0};
    r[1] = (ll_rectangle){{0, s->head_radius_m}, {neck, half}, 0};
    return 2;
}

static void find_breaks(const ll_revolved_wish *w, size_t n, const ll_rectangle *r, ll_breaks *br,
                        ll_breaks *bz)
{
    ll_turns tr = {.count = 0}, tz = {.count = 0};
    double radius = 0, height = 0;
    for (size_t k = 0; k < n; k++) {
        radius = fmax(radius, r[k].r[1] - r[k].r[0]);
        height = fmax(height, r[k].z[1] - r[k].z[0]);
    }
    const double small = fmin(radius, height);
    const double edge_r = ll_at_edge(0.42 * small, w->layers),
                 edge_z = ll_at_edge(0.8 * small, w->layers);
    for (size_t k = 0; k < n; k++)
        for (int end = 0; end < 2; end++) {
            ll_add_turn(&tr, r[k].r[end], r[k].r[end] > 0 ? edge_r : 0);
            ll_add_turn(&tz, r[k].z[end], edge_z);
        }
    for (int k = 0; k < w->marks; k++) {
        ll_turns *t = w->mark[k].is_radius ? &tr : &tz;
        if (w->mark[k].at_m > t->at[0] && w->mark[k].at_m < t->at[t->count - 1])
            ll_add_turn(t, w->mark[k].at_m, w->mark[k].beside_m);
    }
    ll_cut_between(&tr, 2 * radius, br);
    ll_cut_between(&tz, 2 * radius, bz);
}

static ll_status make(const ll_revolved_wish *w, ll_body_form **out)
{
    ll_rectangle r[RECTANGLES_MOST];
    ll_breaks br = {.count = 0}, bz = {.count = 0};
    if (w->shape.kind == LL_BLOCK || w->layers < 1 || w->layers > 4 || w->marks < 0 ||
        w->marks > LL_MARKS_MOST)
        return LL_BAD_VALUE;
    const size_t n = rectangles(&w->shape, r);
    find_breaks(w, n, r, &br, &bz);
    return ll_revolved_new(n, r, br.count, br.at, bz.count, bz.at, &w->options, out);
}

/* ---- cached ---- */

/* What is reckoned from places is snapped. */
static void add_clear(ll_key *key, const void *whole)
{
    ll_key_add(key, ll_snapped(((const ll_revolved_options *)whole)->clear_m));
}

static const ll_member of_options[] = {
    LL_MEMBER(ll_revolved_options, degree, LL_MEMBER_ENUM),
    LL_MEMBER(ll_revolved_options, harmonics, LL_MEMBER_ENUM),
    LL_MEMBER(ll_revolved_options, sines, LL_MEMBER_BOOL),
    LL_MEMBER_TOLD(ll_revolved_options, clear_m, add_clear),
    LL_MEMBER(ll_revolved_options, finer, LL_MEMBER_ENUM),
};
const ll_members ll_revolved_options_members = LL_MEMBERS(ll_revolved_options, of_options);

static void add_marks(ll_key *key, const void *whole)
{
    const ll_revolved_wish *w = whole;
    for (int k = 0; k < w->marks; k++) {
        ll_key_add(key, w->mark[k].is_radius);
        ll_key_add(key, ll_snapped(w->mark[k].at_m));
        ll_key_add(key, ll_snapped(w->mark[k].beside_m));
    }
}

static const ll_member of_wish[] = {
    LL_MEMBER_WITH(ll_revolved_wish, shape, &ll_shape_members),
    LL_MEMBER(ll_revolved_wish, layers, LL_MEMBER_ENUM),
    LL_MEMBER(ll_revolved_wish, marks, LL_MEMBER_ENUM),
    LL_MEMBER_TOLD(ll_revolved_wish, mark, add_marks),
    LL_MEMBER_WITH(ll_revolved_wish, options, &ll_revolved_options_members),
};
const ll_members ll_revolved_wish_members = LL_MEMBERS(ll_revolved_wish, of_wish);

static size_t bytes_of(const void *form)
{
    return ((const ll_body_form *)form)->bytes;
}

ll_status ll_revolved_get(const ll_revolved_wish *wish, ll_body_form **out)
{
    static const ll_cache_kind revolved = {bytes_of};
    ll_key key = {0};
    ll_status status = LL_OK;
    ll_key_add_members(&key, &ll_revolved_wish_members, wish);
    ll_body_form *form = ll_cache_find(&revolved, &key);
    if (!form) {
        status = make(wish, &form);
        form = status ? NULL : ll_cache_keep(&revolved, &key, form);
    }
    if (!status)
        *out = form;
    ll_key_clear(&key);
    return status;
}
