/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "axes.h"
#include "style.h"
#include <math.h>

static const double tick_mm = 1.2, gap_mm = 1.2, label_gap_mm = 2;
/* Names that do not fit side by side lean. */
static const double lean_rad = 0.6;

/* Of an axis on the sheet; y runs downwards there. */
static double length_mm(const picture_scale *scale)
{
    return fabs(scale->to_mm - scale->from_mm);
}

/* A label of x takes some 16 mm, one of y some 9 mm of its axis. */
static size_t ticks_of(const picture_scale *scale, bool across, picture_tick *ticks)
{
    return picture_ticks(scale, length_mm(scale) / (across ? 16 : 9), ticks);
}

/* Written with the decimals that the step between the ticks needs. */
static void tick_text(const picture_scale *scale, bool across, double value, char *text,
                      size_t size)
{
    double wanted = length_mm(scale) / (across ? 16 : 9);
    double step = picture_step(scale->to - scale->from, wanted, scale->degrees);
    picture_tick_text(value, scale->log ? 0 : step, text, size);
}

/* Decides on the room to the left of the frame. */
static double widest_tick(cairo_t *cairo, const picture_scale *scale)
{
    picture_tick ticks[PICTURE_MOST_TICKS];
    char text[40];
    double widest = 0;
    size_t count = ticks_of(scale, false, ticks);
    for (size_t i = 0; i < count; i++) {
        if (!ticks[i].labelled)
            continue;
        tick_text(scale, false, ticks[i].value, text, sizeof text);
        widest = fmax(widest, picture_text_width(cairo, text, PICTURE_TICK_MM, false));
    }
    return widest;
}

double picture_axes_left(cairo_t *cairo, const picture_axes *axes)
{
    return tick_mm + gap_mm + widest_tick(cairo, &axes->y) + label_gap_mm + PICTURE_LABEL_MM;
}

/* Decides whether names lean, and on the room under the frame. */
static double widest_name(cairo_t *cairo, const picture_axes *axes)
{
    double widest = 0;
    for (size_t i = 0; axes->x_names && i < axes->name_count; i++)
        widest = fmax(widest, picture_text_width(cairo, axes->x_names[i], PICTURE_TICK_MM, false));
    return widest;
}

/* True when the names do not fit side by side. */
static bool names_lean(cairo_t *cairo, const picture_axes *axes, double width_mm)
{
    return axes->name_count > 0 &&
           widest_name(cairo, axes) + 1.5 > width_mm / (double)axes->name_count;
}

double picture_axes_below(cairo_t *cairo, const picture_axes *axes, double width_mm)
{
    double ticks = PICTURE_TICK_MM;
    if (names_lean(cairo, axes, width_mm))
        ticks = widest_name(cairo, axes) * sin(lean_rad) + PICTURE_TICK_MM;
    return tick_mm + gap_mm + ticks + (*axes->x_label ? label_gap_mm + PICTURE_LABEL_MM : 0);
}

/* One line of the grid across the panel. */
static void grid_line(cairo_t *cairo, const picture_axes *axes, bool vertical, double value)
{
    double at = picture_place(vertical ? &axes->x : &axes->y, value);
    if (vertical)
        picture_segment(cairo, at, axes->y.from_mm, at, axes->y.to_mm, PICTURE_HAIR_MM);
    else
        picture_segment(cairo, axes->x.from_mm, at, axes->x.to_mm, at, PICTURE_HAIR_MM);
}

void picture_axes_grid(cairo_t *cairo, const picture_axes *axes)
{
    picture_tick ticks[PICTURE_MOST_TICKS];
    picture_set_colour(cairo, picture_pale);
    size_t count = axes->x_names ? 0 : ticks_of(&axes->x, true, ticks);
    for (size_t i = 0; i < count; i++)
        grid_line(cairo, axes, true, ticks[i].value);
    count = ticks_of(&axes->y, false, ticks);
    for (size_t i = 0; i < count; i++)
        grid_line(cairo, axes, false, ticks[i].value);
    picture_set_colour(cairo, picture_grey);
    if (!axes->y.log && axes->y.from < 0 && axes->y.to > 0)
        grid_line(cairo, axes, false, 0);
}

/* Every panel has the ticks, the lowest their texts. */
static void x_ticks(cairo_t *cairo, const picture_axes *axes)
{
    picture_tick ticks[PICTURE_MOST_TICKS];
    char text[40];
    double y = axes->y.from_mm;
    size_t count = ticks_of(&axes->x, true, ticks);
    for (size_t i = 0; i < count; i++) {
        double at = picture_place(&axes->x, ticks[i].value);
        picture_segment(cairo, at, y, at, y + (ticks[i].labelled ? tick_mm : tick_mm / 2),
                        PICTURE_LINE_MM);
        if (!ticks[i].labelled || !axes->x_shown)
            continue;
        tick_text(&axes->x, true, ticks[i].value, text, sizeof text);
        picture_text(cairo, text, at, y + tick_mm + gap_mm, PICTURE_TICK_MM,
                     (picture_anchor){0.5, 1}, 0);
    }
}

/* A leaning name ends under its tick, so that it is clear which is which. */
static void x_names(cairo_t *cairo, const picture_axes *axes)
{
    double y = axes->y.from_mm;
    bool lean = names_lean(cairo, axes, length_mm(&axes->x));
    for (size_t i = 0; i < axes->name_count; i++) {
        double at = picture_place(&axes->x, (double)i + 1);
        picture_segment(cairo, at, y, at, y + tick_mm, PICTURE_LINE_MM);
        if (axes->x_shown)
            picture_text(cairo, axes->x_names[i], at, y + tick_mm + gap_mm, PICTURE_TICK_MM,
                         (picture_anchor){lean ? 1 : 0.5, 1}, lean ? lean_rad : 0);
    }
}

/* Small ticks between labels only on a logarithmic axis. */
static void y_ticks(cairo_t *cairo, const picture_axes *axes)
{
    picture_tick ticks[PICTURE_MOST_TICKS];
    char text[40];
    double x = axes->x.from_mm;
    size_t count = ticks_of(&axes->y, false, ticks);
    for (size_t i = 0; i < count; i++) {
        double at = picture_place(&axes->y, ticks[i].value);
        picture_segment(cairo, x - (ticks[i].labelled ? tick_mm : tick_mm / 2), at, x, at,
                        PICTURE_LINE_MM);
        if (!ticks[i].labelled)
            continue;
        tick_text(&axes->y, false, ticks[i].value, text, sizeof text);
        picture_text(cairo, text, x - tick_mm - gap_mm, at, PICTURE_TICK_MM,
                     (picture_anchor){1, 0.5}, 0);
    }
}

void picture_axes_frame(cairo_t *cairo, const picture_axes *axes)
{
    const double quarter_turn = acos(0);
    double width = length_mm(&axes->x), height = length_mm(&axes->y);
    picture_set_colour(cairo, picture_ink);
    picture_set_dash(cairo, 0);
    cairo_rectangle(cairo, axes->x.from_mm, axes->y.to_mm, width, height);
    cairo_set_line_width(cairo, PICTURE_LINE_MM);
    cairo_stroke(cairo);
    if (axes->x_names)
        x_names(cairo, axes);
    else
        x_ticks(cairo, axes);
    y_ticks(cairo, axes);
    picture_text(cairo, axes->y_label, axes->x.from_mm - axes->left_mm, axes->y.to_mm + height / 2,
                 PICTURE_LABEL_MM, (picture_anchor){0.5, 1}, quarter_turn);
    if (axes->x_shown)
        picture_text(cairo, axes->x_label, axes->x.from_mm + width / 2,
                     axes->y.from_mm + picture_axes_below(cairo, axes, width), PICTURE_LABEL_MM,
                     (picture_anchor){0.5, 0}, 0);
}
