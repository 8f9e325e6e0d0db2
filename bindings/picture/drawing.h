/* drawing.h - a pickup from above, from the bridge side and from the treble side, with its dimensions and a key: what
 * a script has described, to be held against the real thing.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_DRAWING_H
#define LL_PICTURE_DRAWING_H

#include "cairo_type.h"
#include "solid.h"

/* A string runs along y. */
typedef struct picture_string {
    const char *name;
    double x_mm, z_mm, diameter_mm;
} picture_string;

typedef struct picture_drawing {
    const char *title; /* may be empty */
    size_t count;      /* 1 to PICTURE_MOST_SOLIDS */
    const picture_solid *solids;
    size_t string_count;
    const picture_string *strings;
} picture_drawing;

enum { PICTURE_MOST_SOLIDS = 400 };

/* The height that a drawing of this width needs. */
double picture_drawing_height(const picture_drawing *drawing, double width_mm);

/* Fills the sheet, at a round scale that fits. */
void picture_drawing_draw(cairo_t *cairo, const picture_drawing *drawing, double width_mm,
                          double height_mm);

#endif
