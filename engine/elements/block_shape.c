/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/block_shape.h"
#include "base/cache_kind.h"
#include "elements/breaks.h"

#include <math.h>

/* The element at an edge, of half the least thickness - where fields are all but infinite, or dull - and of half the edge that is
 * cut. */
static const double of_thickness = 0.4, of_dull_edge = 0.75, of_edge = 0.03;
/* The longest element, of half an edge that is long or not. */
static const double longest_of_long = 0.45, longest_of_short = 0.75;
static const double long_edge = 8; /* of half the least thickness */

static double half_edge(ll_vec3 size, int axis)
{
    return 0.5 * (axis == 0 ? size.x : axis == 1 ? size.y : size.z);
}

/* Half the edges in rising order. */
typedef struct halves {
    double thin, middle;
} halves;

static halves sort_halves(ll_vec3 size)
{
    const double a = half_edge(size, 0), b = half_edge(size, 1), c = half_edge(size, 2);
    const double least = fmin(a, fmin(b, c)), most = fmax(a, fmax(b, c));
    return (halves){least, a + b + c - least - most};
}

/* Lines nearer to another than this share of the element at the edge are one. */
static const double same_line = 0.5;

static bool is_new(const ll_turns *t, double at, double apart)
{
    for (int k = 0; k < t->count; k++)
        if (fabs(t->at[k] - at) < apart)
            return false;
    return true;
}

static void cut_axis(const ll_block_wish *w, int axis, ll_breaks *out)
{
    const double half = half_edge(w->size_m, axis);
    const halves h = sort_halves(w->size_m);
    const double share = half > long_edge * h.thin ? longest_of_long : longest_of_short;
    /* Through what is thin or hardly magnetic w is a parabola but for its very edges. */
    const bool uncut =
        half == h.thin && (w->layers == 0 || of_thickness * h.thin < of_edge * h.middle);
    const bool soft = w->layers > 0;
    const double plain = fmax((soft ? of_thickness : of_dull_edge) * h.thin, of_edge * half);
    ll_turns turns = {.count = 0};
    ll_add_turn(&turns, 0, 0);
    ll_add_turn(&turns, half, uncut ? 0 : ll_at_edge(plain, soft ? w->layers : 1));
    for (int k = 0; k < w->marks; k++)
        if (w->mark[k].axis == axis && is_new(&turns, w->mark[k].at_m, same_line * plain))
            ll_add_turn(&turns, w->mark[k].at_m, w->mark[k].beside_m);
    out->count = 0;
    ll_cut_between(&turns, (uncut ? 1 : share) * half, out);
}

void ll_block_add_mark(ll_block_wish *wish, int axis, double at_m, double beside_m)
{
    const double at = fabs(at_m);
    for (int k = 0; k < wish->marks; k++)
        if (wish->mark[k].axis == axis && fabs(wish->mark[k].at_m - at) < 1e-9)
            return;
    if (at < half_edge(wish->size_m, axis) && wish->marks < LL_BLOCK_MARKS_MOST)
        wish->mark[wish->marks++] = (ll_block_mark){axis, at, beside_m};
}

static ll_status make_block(const ll_block_wish *w, ll_body_form **out)
{
    ll_breaks cut[3];
    if (w->layers < 0 || w->layers > 4 || w->marks < 0 || w->marks > LL_BLOCK_MARKS_MOST)
        return LL_BAD_VALUE;
    ll_block_options o = {.degree = w->degree, .finer = w->finer};
    for (int k = 0; k < 3; k++) {
        if (!(half_edge(w->size_m, k) > 0))
            return LL_BAD_VALUE;
        cut_axis(w, k, &cut[k]);
        o.elements[k] = (int)cut[k].count - 1;
        o.at_m[k] = cut[k].at;
    }
    return ll_block_new(&o, out);
}

/* ---- cached ---- */

/* Neighbours' lines are reckoned from places, so they are snapped. */
static void add_marks(ll_key *key, const void *whole)
{
    const ll_block_wish *w = whole;
    for (int k = 0; k < w->marks; k++) {
        ll_key_add(key, w->mark[k].axis);
        ll_key_add(key, ll_snapped(w->mark[k].at_m));
        ll_key_add(key, ll_snapped(w->mark[k].beside_m));
    }
}

static const ll_member members[] = {
    LL_MEMBER(ll_block_wish, size_m, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_block_wish, degree, LL_MEMBER_ENUM),
    LL_MEMBER(ll_block_wish, finer, LL_MEMBER_ENUM),
    LL_MEMBER(ll_block_wish, layers, LL_MEMBER_ENUM),
    LL_MEMBER(ll_block_wish, marks, LL_MEMBER_ENUM),
    LL_MEMBER_TOLD(ll_block_wish, mark, add_marks),
};
const ll_members ll_block_wish_members = LL_MEMBERS(ll_block_wish, members);

static size_t bytes_of(const void *form)
{
    return ((const ll_body_form *)form)->bytes;
}

ll_status ll_block_get(const ll_block_wish *wish, ll_body_form **out)
{
    static const ll_cache_kind blocks = {bytes_of};
    ll_key key = {0};
    ll_status status = LL_OK;
    ll_key_add_members(&key, &ll_block_wish_members, wish);
    ll_body_form *form = ll_cache_find(&blocks, &key);
    if (!form) {
        status = make_block(wish, &form);
        form = status ? NULL : ll_cache_keep(&blocks, &key, form);
    }
    if (!status)
        *out = form;
    ll_key_clear(&key);
    return status;
}
