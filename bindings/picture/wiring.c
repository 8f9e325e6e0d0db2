/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "wiring.h"
#include "style.h"

/* Places on a sheet of 160 mm, scaled as a whole. */
enum { WIDTH = 160, TOP = 22, HOT = 36, GROUND = 67, FORK = 58, JOINT = 112, INPUT = 134 };
static const picture_anchor middle = {0.5, 0.5}, left = {0, 0.5};

static void wire(cairo_t *cairo, double x0, double y0, double x1, double y1)
{
    picture_segment(cairo, x0, y0, x1, y1, PICTURE_CURVE_MM);
}

static void dot(cairo_t *cairo, double x, double y)
{
    cairo_arc(cairo, x, y, 0.9, 0, 6.2831853);
    cairo_fill(cairo);
}

static void box(cairo_t *cairo, double x, double y, double width, double height)
{
    cairo_rectangle(cairo, x, y, width, height);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_fill_preserve(cairo);
    picture_set_colour(cairo, picture_ink);
    cairo_set_line_width(cairo, PICTURE_LINE_MM * 1.6);
    cairo_stroke(cairo);
}

static void label(cairo_t *cairo, const char *text, double x, double y, picture_anchor anchor)
{
    picture_text(cairo, text, x, y, PICTURE_TICK_MM, anchor, 0);
}

static void draw_player(cairo_t *cairo)
{
    box(cairo, 6, HOT - 8, 32, GROUND - HOT + 16);
    picture_bold_text(cairo, "player", 22, (HOT + GROUND) / 2.0, PICTURE_LABEL_MM, middle);
    label(cairo, "left, hot", 22, HOT, middle);
    label(cairo, "ground", 22, GROUND, middle);
    wire(cairo, 38, HOT, INPUT, HOT);
    wire(cairo, 38, GROUND, INPUT, GROUND);
}

static void draw_recorder(cairo_t *cairo)
{
    box(cairo, INPUT, TOP - 6, 22, GROUND - TOP + 14);
    picture_bold_text(cairo, "recorder", INPUT + 11, (HOT + GROUND) / 2.0, PICTURE_LABEL_MM,
                      middle);
    label(cairo, "input 1", INPUT + 2, HOT, left);
    label(cairo, "ground", INPUT + 2, GROUND, left);
    label(cairo, "input 2", INPUT + 2, TOP, left);
    wire(cairo, FORK, HOT, FORK, TOP);
    wire(cairo, FORK, TOP, INPUT, TOP);
    dot(cairo, FORK, HOT);
}

static void draw_resistor(cairo_t *cairo, const picture_wiring *w)
{
    box(cairo, 72, HOT - 4, 26, 8);
    label(cairo, w->resistor, 85, HOT, middle);
    if (!w->shorted)
        return;
    picture_set_colour(cairo, picture_curve_colour(1));
    wire(cairo, 68, HOT, 68, HOT + 10);
    wire(cairo, 68, HOT + 10, 102, HOT + 10);
    wire(cairo, 102, HOT + 10, 102, HOT);
    label(cairo, "wire across it", 85, HOT + 12.5, middle);
    picture_set_colour(cairo, picture_ink);
}

static void draw_load(cairo_t *cairo, const picture_wiring *w)
{
    wire(cairo, JOINT, HOT, JOINT, GROUND);
    dot(cairo, JOINT, HOT);
    dot(cairo, JOINT, GROUND);
    box(cairo, JOINT - 13, HOT + 11, 26, 11);
    picture_bold_text(cairo, w->load, JOINT, HOT + 16.5, PICTURE_LABEL_MM, middle);
}

static void draw_cautions(cairo_t *cairo)
{
    picture_set_colour(cairo, picture_grey);
    label(cairo, "Phantom power off. No headphones, no loudspeaker.", WIDTH / 2.0, GROUND + 12,
          middle);
    label(cairo, "Nothing on the mains but the computer and its card.", WIDTH / 2.0, GROUND + 17,
          middle);
    picture_set_colour(cairo, picture_ink);
}

void picture_draw_wiring(cairo_t *cairo, const picture_wiring *w, double width_mm, double height_mm)
{
    (void)height_mm;
    cairo_save(cairo);
    cairo_scale(cairo, width_mm / WIDTH, width_mm / WIDTH);
    picture_set_colour(cairo, picture_ink);
    picture_fitted_text(cairo, w->title, PICTURE_MARGIN_MM, PICTURE_MARGIN_MM, PICTURE_TITLE_MM,
                        WIDTH - 2 * PICTURE_MARGIN_MM, true);
    draw_player(cairo);
    draw_recorder(cairo);
    draw_load(cairo, w);
    draw_resistor(cairo, w);
    draw_cautions(cairo);
    cairo_restore(cairo);
}
