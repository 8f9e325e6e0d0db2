/* axes.h - the frame of a panel: grid, ticks and labels. Lengths in millimetres.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_AXES_H
#define LL_PICTURE_AXES_H

#include "scale.h"
#include <cairo.h>

typedef struct picture_axes {
    picture_scale x, y; /* y: from_mm is the lower end, so it is the larger */
    const char *x_label, *y_label;
    const char *const *x_names; /* of a category axis; NULL for numbers */
    size_t name_count;
    double left_mm; /* room that all panels leave to the left of their frames */
    bool x_shown;   /* the lowest panel carries the labels of x for all */
} picture_axes;

/* Room that the y axis needs to the left of the frame, its label included. */
double picture_axes_left(cairo_t *cairo, const picture_axes *axes);
/* Room under the frame of the panel that shows x. */
double picture_axes_below(cairo_t *cairo, const picture_axes *axes, double width_mm);

/* Grid lines first, to be drawn under the curves. */
void picture_axes_grid(cairo_t *cairo, const picture_axes *axes);
/* Frame, ticks and texts. */
void picture_axes_frame(cairo_t *cairo, const picture_axes *axes);

#endif
