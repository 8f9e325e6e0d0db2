/* style.h - what all pictures have in common: colours, letters, lines. Lengths in millimetres.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_STYLE_H
#define LL_PICTURE_STYLE_H

#include <cairo.h>
#include <stdbool.h>
#include <stddef.h>

typedef struct picture_colour {
    double r, g, b;
} picture_colour;

extern const picture_colour picture_ink, picture_grey, picture_pale;

/* Colour of the i-th curve; told apart with every common kind of colour blindness (Okabe and Ito 2008, Color
 * Universal Design). Begins anew after PICTURE_COLOURS. */
enum { PICTURE_COLOURS = 7 };
picture_colour picture_curve_colour(size_t i);
/* The i-th way of breaking a line; 0 is unbroken. */
enum { PICTURE_DASHES = 4 };
void picture_set_dash(cairo_t *cairo, size_t i);

#define PICTURE_TITLE_MM 4.2
#define PICTURE_LABEL_MM 3.4
#define PICTURE_TICK_MM 3.1
#define PICTURE_MARGIN_MM 3.5
#define PICTURE_HAIR_MM 0.12
#define PICTURE_LINE_MM 0.25
#define PICTURE_CURVE_MM 0.55

void picture_set_colour(cairo_t *cairo, picture_colour colour);

/* Width of a text at this size of letters. */
double picture_text_width(cairo_t *cairo, const char *text, double size_mm, bool bold);

/* Which point of the text stands at the place: 0 its left end or its bottom, 1 its right end or the top of its
 * capitals, 0.5 the middle. */
typedef struct picture_anchor {
    double x, y;
} picture_anchor;

/* Draws in the current colour, turned counter-clockwise by turn_rad about the place. */
void picture_text(cairo_t *cairo, const char *text, double x_mm, double y_mm, double size_mm,
                  picture_anchor anchor, double turn_rad);
void picture_bold_text(cairo_t *cairo, const char *text, double x_mm, double y_mm, double size_mm,
                       picture_anchor anchor);
/* From x to the right, its top at y; in smaller letters where it is longer than the room, rather than cut. */
void picture_fitted_text(cairo_t *cairo, const char *text, double x_mm, double y_mm, double size_mm,
                         double room_mm, bool bold);

/* A white border for a bold text that is to be drawn over it. */
void picture_text_border(cairo_t *cairo, const char *text, double x_mm, double y_mm, double size_mm,
                         picture_anchor anchor);

void picture_segment(cairo_t *cairo, double x0, double y0, double x1, double y1, double width_mm);

#endif
