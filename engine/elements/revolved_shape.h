/* revolved_shape.h - the form of a rod, ring or screw: where its meridian is cut, and such forms cached.
 *
 * Fields are singular at a body's edges, so breaks gather there: the smallest element is a tenth of the radius, each next one four
 * times as long, until they meet the others, at most a diameter long. Where a neighbour stands near, its own ends are
 * breaks too, with elements of sqrt(2 R gap) beside them: a mesh that does not know its neighbours is 6 % off at 0.3 mm.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_REVOLVED_SHAPE_H
#define LL_ELEMENTS_REVOLVED_SHAPE_H

#include "base/key.h"
#include "elements/revolved.h"
#include "shape/shape.h"

enum { LL_MARKS_MOST = 16 };

/* Where a neighbour ends along the own axis, or beside it: height or radius, and the length of the elements that it wants there. */
typedef struct ll_mark {
    bool is_radius;
    double at_m, beside_m;
} ll_mark;

/* Everything that a form depends on: equal wishes give the same form. */
typedef struct ll_revolved_wish {
    ll_shape shape;
    int layers; /* elements between an edge and the plain ones, 1 .. 4: 2 as a rule */
    int marks;
    ll_mark mark[LL_MARKS_MOST];
    ll_revolved_options options;
} ll_revolved_wish;

extern const ll_members ll_revolved_wish_members, ll_revolved_options_members;

/* From the cache or new: a share (ll_release). LL_BAD_VALUE for a block, LL_NO_MEMORY, LL_LIBRARY. Thread-safe. */
ll_status ll_revolved_get(const ll_revolved_wish *wish, ll_body_form **out);

#endif
