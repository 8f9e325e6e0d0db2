/* breaks.h - where a row of elements is cut: fine towards edges, where fields are singular, and beside neighbours' ends, each
 * element at most four times as long as the one before. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_BREAKS_H
#define LL_ELEMENTS_BREAKS_H

#include <stddef.h>

enum { LL_BREAKS_MOST = 96, LL_TURNS_MOST = 24 };

typedef struct ll_breaks {
    size_t count;
    double at[LL_BREAKS_MOST];
} ll_breaks;

/* Places along the row in rising order, and the length of the elements that each wants beside it (0: any). */
typedef struct ll_turns {
    int count;
    double at[LL_TURNS_MOST], beside[LL_TURNS_MOST];
} ll_turns;

/* The length of an element at an edge of `layers` elements before the first plain one of length `plain`. */
double ll_at_edge(double plain, int layers);
/* Nearer to another than 0.3 of the elements that they want, it is left out; so it is when there are too many. */
void ll_add_turn(ll_turns *t, double at, double beside);
/* The breaks from the first turn to the last, no element longer than `longest`. */
void ll_cut_between(const ll_turns *t, double longest, ll_breaks *b);

#endif
