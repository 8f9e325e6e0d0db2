/* line.h - a row of elements of degree p along one axis: the tensor product of two rows is a meridian, of three a block.
 * Any consistent unit of length. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_LINE_H
#define LL_ELEMENTS_LINE_H

#include "base/status.h"

/* Unknown 0 .. elements are the values at the breaks, then come degree - 1 inner ones for each element. */
typedef struct ll_line {
    int elements, degree, unknowns;
    double *at;              /* [elements + 1] breaks, rising */
    int per_element, points; /* Gauss points: of one element, and of all, element by element */
    double *point, *weight;  /* [points] */
    double *value, *slope;   /* [points][unknowns]: of every shape at every point */
} ll_line;

/* degree <= LL_DEGREE_MOST. Cleared by ll_line_clear. LL_NO_MEMORY. */
ll_status ll_line_make(int elements, const double *at, int degree, int points_per_element,
                       ll_line *out);
void ll_line_clear(ll_line *line);

/* Shape k of ll_shapes in an element is this unknown of the line. */
static inline int ll_line_unknown(const ll_line *line, int element, int k)
{
    return k < 2 ? element + k : line->elements + 1 + element * (line->degree - 1) + k - 2;
}

#endif
