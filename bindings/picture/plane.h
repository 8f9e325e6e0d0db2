/* plane.h - what a map shows: a field in a plane, and the bodies that the plane cuts. Plain data. Lengths in millimetres.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_PLANE_H
#define LL_PICTURE_PLANE_H

#include "solid.h"

typedef struct picture_map {
    const char *title, *caption; /* may be empty */
    const char *across_label, *up_label, *unit;
    picture_view view;
    double at_mm; /* of the plane, along the view's `towards` */
    picture_range across, up;
    /* The grid, which reaches to all four edges: rows from below, columns from the left. */
    size_t columns, rows; /* 2 or more of each */
    const double *value;  /* rows * columns; NAN where there is none */
    bool is_signed;
    const double (*direction)[3]; /* across, up, towards; NULL for none */
    size_t count;
    const picture_solid *solids;
} picture_map;

#endif
