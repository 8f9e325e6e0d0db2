/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "style.h"
#include "font.h"
#include "text.h"
#include <stdio.h>

const picture_colour picture_ink = {0.13, 0.13, 0.15}, picture_grey = {0.45, 0.45, 0.48},
                     picture_pale = {0.87, 0.87, 0.88};

enum { TEXT_ROOM = 256 };

/* Height of capitals over the size of letters, in common sans serifs. */
static const double capital_share = 0.72;

picture_colour picture_curve_colour(size_t i)
{
    static const picture_colour colours[PICTURE_COLOURS] = {
        {0, 0.447, 0.698},     /* blue */
        {0.835, 0.369, 0},     /* vermillion */
        {0, 0.620, 0.451},     /* bluish green */
        {0.800, 0.475, 0.655}, /* reddish purple */
        {0.902, 0.624, 0},     /* orange */
        {0.337, 0.706, 0.914}, /* sky blue */
        {0, 0, 0},
    };
    return colours[i % PICTURE_COLOURS];
}

void picture_set_dash(cairo_t *cairo, size_t i)
{
    static const double dashes[PICTURE_DASHES][4] = {
        {0}, {2.2, 1.1}, {0.7, 0.9}, {3, 0.9, 0.7, 0.9}};
    static const int counts[PICTURE_DASHES] = {0, 2, 2, 4};
    cairo_set_dash(cairo, dashes[i % PICTURE_DASHES], counts[i % PICTURE_DASHES], 0);
}

void picture_set_colour(cairo_t *cairo, picture_colour colour)
{
    cairo_set_source_rgb(cairo, colour.r, colour.g, colour.b);
}

/* A copy fit to be drawn; what is longer than any sheet is cut. */
static void copy_clean(const char *text, char clean[TEXT_ROOM])
{
    snprintf(clean, TEXT_ROOM, "%s", text);
    picture_clean(clean);
}

double picture_text_width(cairo_t *cairo, const char *text, double size_mm, bool bold)
{
    cairo_text_extents_t extents;
    char clean[TEXT_ROOM];
    copy_clean(text, clean);
    picture_select_font(cairo, bold);
    cairo_set_font_size(cairo, size_mm);
    cairo_text_extents(cairo, clean, &extents);
    return extents.x_advance;
}

/* The text's left end of its baseline goes to the place that the anchor says. */
static void draw_text(cairo_t *cairo, const char *text, double x_mm, double y_mm, double size_mm,
                      picture_anchor anchor, double turn_rad, bool bold)
{
    double width = picture_text_width(cairo, text, size_mm, bold);
    char clean[TEXT_ROOM];
    cairo_save(cairo);
    cairo_translate(cairo, x_mm, y_mm);
    cairo_rotate(cairo, -turn_rad);
    cairo_move_to(cairo, -anchor.x * width, anchor.y * capital_share * size_mm);
    copy_clean(text, clean);
    cairo_show_text(cairo, clean);
    cairo_new_path(cairo);
    cairo_restore(cairo);
}

void picture_text(cairo_t *cairo, const char *text, double x_mm, double y_mm, double size_mm,
                  picture_anchor anchor, double turn_rad)
{
    draw_text(cairo, text, x_mm, y_mm, size_mm, anchor, turn_rad, false);
}

void picture_bold_text(cairo_t *cairo, const char *text, double x_mm, double y_mm, double size_mm,
                       picture_anchor anchor)
{
    draw_text(cairo, text, x_mm, y_mm, size_mm, anchor, 0, true);
}

void picture_fitted_text(cairo_t *cairo, const char *text, double x_mm, double y_mm, double size_mm,
                         double room_mm, bool bold)
{
    double width = picture_text_width(cairo, text, size_mm, bold);
    double size = width > room_mm ? size_mm * room_mm / width : size_mm;
    draw_text(cairo, text, x_mm, y_mm, size, (picture_anchor){0, 1}, 0, bold);
}

void picture_text_border(cairo_t *cairo, const char *text, double x_mm, double y_mm, double size_mm,
                         picture_anchor anchor)
{
    double width = picture_text_width(cairo, text, size_mm, true);
    cairo_new_path(cairo);
    cairo_move_to(cairo, x_mm - anchor.x * width, y_mm + anchor.y * capital_share * size_mm);
    cairo_text_path(cairo, text);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_width(cairo, 0.35 * size_mm);
    cairo_stroke(cairo);
}

void picture_segment(cairo_t *cairo, double x0, double y0, double x1, double y1, double width_mm)
{
    cairo_set_line_width(cairo, width_mm);
    cairo_move_to(cairo, x0, y0);
    cairo_line_to(cairo, x1, y1);
    cairo_stroke(cairo);
}
