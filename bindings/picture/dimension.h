/* dimension.h - dimension lines and heights beside a view. Places on the sheet in millimetres; texts are given, so that
 * nothing here knows a scale.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_DIMENSION_H
#define LL_PICTURE_DIMENSION_H

#include "style.h"

/* "12.5": a length as a drawing writes it, to a hundredth. */
void picture_length_text(double mm, char *text, size_t size);

/* From x0 to x1 at height y, with lines from `edge_y` (where the body is) up to it. The text is left out where it has
 * no room. */
void picture_dimension_across(cairo_t *cairo, double x0, double x1, double y, double edge_y,
                              const char *text);
void picture_dimension_up(cairo_t *cairo, double y0, double y1, double x, double edge_x,
                          const char *text);

/* Moves the rising places apart until no two are closer than gap_mm, each as little as can be. */
void picture_spread(size_t count, double *at_mm, double gap_mm);

enum { PICTURE_MOST_LEVELS = 24 };
/* Values read off an edge: short texts beside it, each led to its place. */
typedef struct picture_levels {
    size_t count;
    double value_mm[PICTURE_MOST_LEVELS]; /* rising; written out */
} picture_levels;

/* Adds a value unless one within 0.05 mm is there, or there is no room. */
void picture_level_add(picture_levels *levels, double value_mm);

/* To the left of x: `place` of value v is origin_mm - scale * v. */
void picture_levels_left(cairo_t *cairo, const picture_levels *levels, double x, double origin_mm,
                         double scale);
/* Below y: `place` of value v is origin_mm + scale * v. */
void picture_levels_below(cairo_t *cairo, const picture_levels *levels, double y, double origin_mm,
                          double scale);

#endif
