/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/breaks.h"

#include <math.h>
#include <stdbool.h>

/* Lengths of neighbouring elements towards an edge. */
static const double growth = 4;

double ll_at_edge(double plain, int layers)
{
    return plain * pow(growth, 1 - layers);
}

static void add_break(ll_breaks *b, double at)
{
    if (b->count < LL_BREAKS_MOST)
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
    const bool both = c->at_low > 0 && c->at_high > 0;
    const double span = high - low, first = (both ? 0.15 : 0.35) * span;
    const double most = fmin(c->longest, (both ? 0.4 : 0.7) * span);
    double down[8], up[8];
    const int lower = steps_from_end(fmin(c->at_low, first), most, down);
    const int upper = steps_from_end(fmin(c->at_high, first), most, up);
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

void ll_add_turn(ll_turns *t, double at, double beside)
{
    int k = 0;
    for (; k < t->count; k++) {
        const double finer = beside > 0 && t->beside[k] > 0 ? fmin(beside, t->beside[k])
                                                            : fmax(beside, t->beside[k]);
        if (fabs(t->at[k] - at) < 0.3 * finer)
            return;
    }
    if (t->count == LL_TURNS_MOST)
        return;
    for (k = t->count++; k > 0 && t->at[k - 1] > at; k--) {
        t->at[k] = t->at[k - 1];
        t->beside[k] = t->beside[k - 1];
    }
    t->at[k] = at;
    t->beside[k] = beside;
}

void ll_cut_between(const ll_turns *t, double longest, ll_breaks *b)
{
    for (int k = 0; k + 1 < t->count; k++) {
        const ll_cutting c = {t->beside[k], t->beside[k + 1], longest};
        cut(b, t->at[k], t->at[k + 1], &c);
    }
    add_break(b, t->at[t->count - 1]);
}
