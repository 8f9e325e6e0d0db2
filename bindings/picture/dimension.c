/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "dimension.h"
#include "body.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static const double text_mm = 2.8, head_mm = 1.4, gap_mm = 0.8, over_mm = 1;

void picture_length_text(double mm, char *text, size_t size)
{
    double rounded = round(mm * 100) / 100;
    snprintf(text, size, "%s%.6g", rounded < 0 ? "\xe2\x88\x92" : "", fabs(rounded));
}

/* Heads point outwards from the middle where there is room for them, else inwards from outside. */
static void line_with_heads(cairo_t *cairo, double ax, double ay, double bx, double by)
{
    double length = hypot(bx - ax, by - ay), mx = (ax + bx) / 2, my = (ay + by) / 2;
    if (length > 3 * head_mm) {
        picture_arrow(cairo, mx, my, ax, ay, PICTURE_HAIR_MM, head_mm);
        picture_arrow(cairo, mx, my, bx, by, PICTURE_HAIR_MM, head_mm);
        return;
    }
    double ux = length > 0 ? (bx - ax) / length : 1, uy = length > 0 ? (by - ay) / length : 0;
    double out = 2.5 * head_mm;
    picture_arrow(cairo, ax - out * ux, ay - out * uy, ax, ay, PICTURE_HAIR_MM, head_mm);
    picture_arrow(cairo, bx + out * ux, by + out * uy, bx, by, PICTURE_HAIR_MM, head_mm);
    picture_segment(cairo, ax, ay, bx, by, PICTURE_HAIR_MM);
}

void picture_dimension_across(cairo_t *cairo, double x0, double x1, double y, double edge_y,
                              const char *text)
{
    double sign = y < edge_y ? -1 : 1;
    picture_set_colour(cairo, picture_ink);
    picture_segment(cairo, x0, edge_y + sign * gap_mm, x0, y + sign * over_mm, PICTURE_HAIR_MM);
    picture_segment(cairo, x1, edge_y + sign * gap_mm, x1, y + sign * over_mm, PICTURE_HAIR_MM);
    line_with_heads(cairo, x0, y, x1, y);
    if (picture_text_width(cairo, text, text_mm, false) < x1 - x0)
        picture_text(cairo, text, (x0 + x1) / 2, y - gap_mm, text_mm, (picture_anchor){0.5, 0}, 0);
}

void picture_dimension_up(cairo_t *cairo, double y0, double y1, double x, double edge_x,
                          const char *text)
{
    const double quarter_turn = acos(0);
    double sign = x < edge_x ? -1 : 1;
    picture_set_colour(cairo, picture_ink);
    picture_segment(cairo, edge_x + sign * gap_mm, y0, x + sign * over_mm, y0, PICTURE_HAIR_MM);
    picture_segment(cairo, edge_x + sign * gap_mm, y1, x + sign * over_mm, y1, PICTURE_HAIR_MM);
    line_with_heads(cairo, x, y0, x, y1);
    picture_text(cairo, text, x - gap_mm, (y0 + y1) / 2, text_mm, (picture_anchor){0.5, 0},
                 quarter_turn);
}

void picture_spread(size_t count, double *at_mm, double gap_mm_)
{
    for (int round = 0; round < 400; round++) {
        double most = 0;
        for (size_t i = 1; i < count; i++) {
            double lacking = gap_mm_ - (at_mm[i] - at_mm[i - 1]);
            if (lacking <= 0)
                continue;
            at_mm[i - 1] -= lacking / 2;
            at_mm[i] += lacking / 2;
            most = fmax(most, lacking);
        }
        if (most < 0.01)
            return;
    }
}

void picture_level_add(picture_levels *levels, double value_mm)
{
    size_t at = 0;
    while (at < levels->count && levels->value_mm[at] < value_mm)
        at++;
    bool near = (at < levels->count && levels->value_mm[at] - value_mm < 0.05) ||
                (at > 0 && value_mm - levels->value_mm[at - 1] < 0.05);
    if (near || levels->count == PICTURE_MOST_LEVELS)
        return;
    memmove(levels->value_mm + at + 1, levels->value_mm + at,
            (levels->count - at) * sizeof *levels->value_mm);
    levels->value_mm[at] = value_mm;
    levels->count++;
}

/* From the edge straight out, then slanting to the text. */
static void leader(cairo_t *cairo, double x, double y, double bent_x, double bent_y, double end_x,
                   double end_y)
{
    cairo_set_line_width(cairo, PICTURE_HAIR_MM);
    cairo_move_to(cairo, x, y);
    cairo_line_to(cairo, bent_x, bent_y);
    cairo_line_to(cairo, end_x, end_y);
    cairo_stroke(cairo);
}

void picture_levels_left(cairo_t *cairo, const picture_levels *levels, double x, double origin_mm,
                         double scale)
{
    double at[PICTURE_MOST_LEVELS];
    char text[32];
    for (size_t i = 0; i < levels->count; i++) /* rising on the sheet: downwards */
        at[i] = origin_mm - scale * levels->value_mm[levels->count - 1 - i];
    picture_spread(levels->count, at, 1.15 * text_mm);
    picture_set_colour(cairo, picture_ink);
    for (size_t i = 0; i < levels->count; i++) {
        double value = levels->value_mm[levels->count - 1 - i], y = origin_mm - scale * value;
        leader(cairo, x - gap_mm, y, x - 2.5, y, x - 5.5, at[i]);
        picture_length_text(value, text, sizeof text);
        picture_text(cairo, text, x - 6, at[i], text_mm, (picture_anchor){1, 0.5}, 0);
    }
}

void picture_levels_below(cairo_t *cairo, const picture_levels *levels, double y, double origin_mm,
                          double scale)
{
    const double quarter_turn = acos(0);
    double at[PICTURE_MOST_LEVELS];
    char text[32];
    for (size_t i = 0; i < levels->count; i++)
        at[i] = origin_mm + scale * levels->value_mm[i];
    picture_spread(levels->count, at, 1.15 * text_mm);
    picture_set_colour(cairo, picture_ink);
    for (size_t i = 0; i < levels->count; i++) {
        double x = origin_mm + scale * levels->value_mm[i];
        leader(cairo, x, y + gap_mm, x, y + 2, at[i], y + 4.5);
        picture_length_text(levels->value_mm[i], text, sizeof text);
        picture_text(cairo, text, at[i], y + 5, text_mm, (picture_anchor){1, 0.5}, quarter_turn);
    }
}
