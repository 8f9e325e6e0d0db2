/* plot.h - curves over a shared x axis, in panels one above the other: one panel for each unit, so that a Bode plot is
 * two panels, gain over phase. Plain data, whose owner keeps it alive while it is drawn.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_PLOT_H
#define LL_PICTURE_PLOT_H

#include "cairo_type.h"
#include "panel.h"

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
