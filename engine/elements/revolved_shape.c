/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/revolved_shape.h"
#include "base/shelf.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { BREAKS_MOST = 96, RECTANGLES_MOST = 2 };

/* Lengths of neighbouring elements towards an edge. */
static const double growth = 4;

/* ---- breaks ---- */

typedef struct ll_breaks {
    size_t count;
    double at[BREAKS_MOST];
} ll_breaks;

static void add_break(ll_breaks *b, double at)
{
    if (b->count < BREAKS_MOST)
        b->at[b->count++] = at;
}

/* How an interval is cut: the length of the elements at its fine ends (0: not fine), and of the longest. */
typedef struct ll_cutting {
    double at_low, at_high, longest;
} ll_cutting;

/* Distances from a fine end: first, first * growth, ... below `most`; returns how many. */
static int steps_from_end(double first, double most, double *step)
{
    int n = 0;
    for (double d = first; first > 0 && d < most && n < 8; d *= growth)
        step[n++] = d;
    return n;
}

/* The breaks of one interval but its last. */
static void cut(ll_breaks *b, double low, double high, const ll_cutting *c)
{
    const double span = high - low, both = c->at_low > 0 && c->at_high > 0 ? 0.4 : 0.7;
    const double most = fmin(c->longest, both * span);
    double down[8], up[8];
    const int lower = steps_from_end(fmin(c->at_low, 0.15 * span), most, down);
    const int upper = steps_from_end(fmin(c->at_high, 0.15 * span), most, up);
    const double from = low + (lower ? down[lower - 1] : 0);
    const double to = high - (upper ? up[upper - 1] : 0);
    const int middle = (int)ceil((to - from) / c->longest - 1e-9);
    add_break(b, low);
    for (int k = 0; k < lower; k++)
        add_break(b, low + down[k]);
    for (int k = 1; k < middle; k++)
        add_break(b, from + (to - from) * k / middle);
    for (int k = upper; k-- > 0;)
        add_break(b, high - up[k]);
}

/* The heights and radii where the outline turns, or a neighbour ends. */
typedef struct ll_turns {
    int count;
    double at[LL_MARKS_MOST + 4], beside[LL_MARKS_MOST + 4];
} ll_turns;

/* Turns nearer than this share of the elements that they want are one. */
static void add_turn(ll_turns *t, double at, double beside)
{
    int k = 0;
    for (; k < t->count; k++)
        if (fabs(t->at[k] - at) < 0.3 * fmin(beside, t->beside[k]))
            return;
    for (k = t->count++; k > 0 && t->at[k - 1] > at; k--) {
        t->at[k] = t->at[k - 1];
        t->beside[k] = t->beside[k - 1];
    }
    t->at[k] = at;
    t->beside[k] = beside;
}

static void cut_between(const ll_turns *t, double longest, ll_breaks *b)
{
    for (int k = 0; k + 1 < t->count; k++) {
        const ll_cutting c = {t->beside[k], t->beside[k + 1], longest};
        cut(b, t->at[k], t->at[k + 1], &c);
    }
    add_break(b, t->at[t->count - 1]);
}

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

/* The length of an element at an edge of `layers` elements before the first plain one of length `plain`. */
static double at_edge(double plain, int layers)
{
    return plain * pow(growth, 1 - layers);
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
    const double edge_r = at_edge(0.42 * small, w->layers),
                 edge_z = at_edge(0.8 * small, w->layers);
    for (size_t k = 0; k < n; k++)
        for (int end = 0; end < 2; end++) {
            add_turn(&tr, r[k].r[end], r[k].r[end] > 0 ? edge_r : 0);
            add_turn(&tz, r[k].z[end], edge_z);
        }
    for (int k = 0; k < w->marks; k++)
        if (w->mark[k].z_m > tz.at[0] && w->mark[k].z_m < tz.at[tz.count - 1])
            add_turn(&tz, w->mark[k].z_m, w->mark[k].beside_m);
    cut_between(&tr, 2 * radius, br);
    cut_between(&tz, 2 * radius, bz);
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

typedef struct ll_stored_form {
    ll_revolved_wish wish;
    ll_body_form *form;
} ll_stored_form;

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

static bool serves(const void *thing, const void *wanted)
{
    const ll_revolved_wish *a = &((const ll_stored_form *)thing)->wish, *b = wanted;
    if (!same_shape(&a->shape, &b->shape) || a->layers != b->layers || a->marks != b->marks ||
        !same_options(&a->options, &b->options))
        return false;
    for (int k = 0; k < a->marks; k++)
        if (!agree(a->mark[k].z_m, b->mark[k].z_m) ||
            !agree(a->mark[k].beside_m, b->mark[k].beside_m))
            return false;
    return true;
}

static size_t bytes_of(const void *thing)
{
    return ((const ll_stored_form *)thing)->form->bytes;
}

static void give_up(void *thing)
{
    ll_stored_form *stored = thing;
    ll_body_form_release(stored->form);
    free(stored);
}

static ll_shelf shelf = {
    .places = 64, .bytes = (size_t)64 << 20, .bytes_of = bytes_of, .give_up = give_up};

static ll_body_form *from_store(const ll_revolved_wish *wish)
{
    ll_body_form *form = NULL;
#pragma omp critical(ll_revolved_store)
    {
        const ll_stored_form *found = ll_shelf_find(&shelf, serves, wish);
        if (found)
            form = ll_body_form_share(found->form);
    }
    return form;
}

ll_status ll_revolved_get(const ll_revolved_wish *wish, ll_body_form **out)
{
    ll_body_form *form = from_store(wish);
    if (form) {
        *out = form;
        return LL_OK;
    }
    ll_status status = make(wish, &form);
    if (status)
        return status;
    ll_stored_form *stored = malloc(sizeof *stored);
    if (!stored) {
        ll_body_form_release(form);
        return LL_NO_MEMORY;
    }
    *stored = (ll_stored_form){*wish, ll_body_form_share(form)};
#pragma omp critical(ll_revolved_store)
    ll_shelf_put(&shelf, stored);
    *out = form;
    return LL_OK;
}
