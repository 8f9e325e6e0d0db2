/* body.h - solids drawn on a sheet: filled as they are seen, or outlined where a plane cuts them.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_BODY_H
#define LL_PICTURE_BODY_H

#include "solid.h"
#include "style.h"

/* A part of the sheet that shows the world through a view: sheet = origin + scale * (across, -up). */
typedef struct picture_window {
    picture_view view;
    double origin_mm[2]; /* on the sheet, of the world's origin */
    double scale;
} picture_window;

double picture_window_x(const picture_window *window, double across_mm);
double picture_window_y(const picture_window *window, double up_mm);

picture_colour picture_fill_of(picture_stuff stuff);

/* Fills and outlines a solid as it is seen; holes that are looked through stay open. */
void picture_draw_seen(cairo_t *cairo, const picture_window *window, const picture_solid *solid);
/* Its outline alone, broken and thin, where the nearer one covers it. */
void picture_draw_hidden(cairo_t *cairo, const picture_window *window, const picture_solid *solid,
                         const picture_solid *nearer);
/* True when the solid covers the place on the sheet. */
bool picture_covers(cairo_t *cairo, const picture_window *window, const picture_solid *solid,
                    double x_mm, double y_mm);
/* Its outline where the plane at_mm cuts it; a winding gets diagonals. Returns whether there is one. */
bool picture_draw_cut(cairo_t *cairo, const picture_window *window, const picture_solid *solid,
                      double at_mm);

/* Of a magnet: an arrow from its south to its north face, or the letter of the face that is looked at. */
void picture_draw_north(cairo_t *cairo, const picture_window *window, const picture_solid *solid);

/* The letters of its faces alone, in white borders that show on every colour, where the plane at_mm cuts it. */
void picture_draw_faces(cairo_t *cairo, const picture_window *window, const picture_solid *solid,
                        double at_mm);

/* From a to b on the sheet, with a filled head at b. */
void picture_arrow(cairo_t *cairo, double ax, double ay, double bx, double by, double width_mm,
                   double head_mm);

#endif
