/* panel.h - what a plot is made of: curves, panels, entries of the legend. Plain data, whose owner keeps it alive while it is drawn.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_PANEL_H
#define LL_PICTURE_PANEL_H

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

#endif
