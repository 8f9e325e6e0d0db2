/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/revolved_shape.h"
#include "elements/breaks.h"
#include "elements/form_store.h"

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

/* ---- the store ---- */

static bool agree(double a, double b)
{
    return a == b || fabs(a - b) < 1e-10;
}

static bool same_shape(const ll_shape *a, const ll_shape *b)
{
    return a->kind == b->kind && agree(a->size_m.z, b->size_m.z) &&
           agree(a->radius_m, b->radius_m) && agree(a->inner_radius_m, b->inner_radius_m) &&
           agree(a->head_radius_m, b->head_radius_m) && agree(a->head_height_m, b->head_height_m);
}

static bool same_options(const ll_revolved_options *a, const ll_revolved_options *b)
{
    return a->degree == b->degree && a->harmonics == b->harmonics && a->sines == b->sines &&
           a->finer == b->finer && agree(a->clear_m, b->clear_m);
}

static bool same_wish(const void *thing, const void *wanted)
{
    const ll_revolved_wish *a = thing, *b = wanted;
    if (!same_shape(&a->shape, &b->shape) || a->layers != b->layers || a->marks != b->marks ||
        !same_options(&a->options, &b->options))
        return false;
    for (int k = 0; k < a->marks; k++)
        if (a->mark[k].is_radius != b->mark[k].is_radius ||
            !agree(a->mark[k].at_m, b->mark[k].at_m) ||
            !agree(a->mark[k].beside_m, b->mark[k].beside_m))
            return false;
    return true;
}

static ll_status make_wish(const void *wish, ll_body_form **out)
{
    return make(wish, out);
}

ll_status ll_revolved_get(const ll_revolved_wish *wish, ll_body_form **out)
{
    return ll_form_store_get(sizeof *wish, wish, same_wish, make_wish, out);
}
