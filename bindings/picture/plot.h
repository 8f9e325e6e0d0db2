/* plot.h - curves over a shared x axis, in panels one above the other: one panel for each unit, so that a Bode plot is
 * two panels, gain over phase. Plain data, whose owner keeps it alive while it is drawn.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_PLOT_H
#define LL_PICTURE_PLOT_H

#include "cairo_type.h"
#include <stdbool.h>
#include <stddef.h>

/* Values that are not finite are gaps. */
typedef struct picture_curve {
    size_t count;
    const double *x, *y;
    size_t colour, dash;
} picture_curve;

typedef struct picture_panel {
    const char *label; /* beside the y axis, with its unit */
    bool log;          /* all its values must be > 0 then, or gaps */
    bool degrees;      /* ticks at fractions of a turn */
    bool from_zero;  /* 0 is in the range, and stems rise from it; else they rise from the floor */
    double at_least; /* the least range of a linear axis; 0: whatever the data have */
    size_t count;
    const picture_curve *curves;
} picture_panel;

typedef struct picture_entry {
    const char *text;
    size_t colour, dash;
    bool plain; /* in ink: the dash alone tells */
} picture_entry;

typedef enum picture_mark { PICTURE_LINES, PICTURE_POINTS, PICTURE_STEMS } picture_mark;

typedef struct picture_plot {
    const char *title;   /* may be empty */
    const char *x_label; /* with its unit */
    bool x_log;
    size_t name_count; /* of a category axis, where x counts from 1; else 0 */
    const char *const *x_names;
    picture_mark mark;
    size_t panel_count;
    const picture_panel *panels;
    size_t entry_count; /* of the legend; 0: none */
    const picture_entry *entries;
} picture_plot;

/* Fills the sheet of that size. */
void picture_plot_draw(cairo_t *cairo, const picture_plot *plot, double width_mm, double height_mm);

#endif
