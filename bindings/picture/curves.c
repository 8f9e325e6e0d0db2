/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "curves.h"
#include "style.h"
#include <math.h>

/* A curve of few points shows them: between them it is only a line drawn by hand. */
enum { FEW = 30 };
static const double point_mm = 0.75, stem_mm = 1.1;
static const double pi = 3.14159265358979323846;

/* False for a gap. */
static bool place(const picture_axes *axes, const picture_curve *curve, size_t i, double *x,
                  double *y)
{
    *x = picture_place(&axes->x, curve->x[i]);
    *y = picture_place(&axes->y, curve->y[i]);
    return isfinite(*x) && isfinite(*y);
}

/* The pen is lifted at gaps, so that none is bridged. */
static void draw_line(cairo_t *cairo, const picture_axes *axes, const picture_curve *curve)
{
    bool pen_down = false;
    double x, y;
    for (size_t i = 0; i < curve->count; i++) {
        if (!place(axes, curve, i, &x, &y)) {
            pen_down = false;
            continue;
        }
        if (pen_down)
            cairo_line_to(cairo, x, y);
        else
            cairo_move_to(cairo, x, y);
        pen_down = true;
    }
    picture_set_dash(cairo, curve->dash);
    cairo_set_line_width(cairo, PICTURE_CURVE_MM);
    cairo_stroke(cairo);
    picture_set_dash(cairo, 0);
}

/* A disc for each value. */
static void draw_points(cairo_t *cairo, const picture_axes *axes, const picture_curve *curve)
{
    double x, y;
    for (size_t i = 0; i < curve->count; i++)
        if (place(axes, curve, i, &x, &y)) {
            cairo_arc(cairo, x, y, point_mm, 0, 2 * pi);
            cairo_fill(cairo);
        }
}

/* Stems get thinner where there are many, so that none hides another. */
static void draw_stems(cairo_t *cairo, const picture_axes *axes, const picture_curve *curve,
                       double base, double shift, size_t among)
{
    double room = fabs(axes->x.to_mm - axes->x.from_mm) / (double)(curve->count * among);
    double thick = axes->x_names ? 0.6 * room : fmin(stem_mm, 0.6 * room);
    double x, y;
    /* A logarithmic axis crowds them at one end. */
    thick = fmax(axes->x.log ? fmin(thick, 0.6) : thick, 0.15);
    for (size_t i = 0; i < curve->count; i++)
        if (place(axes, curve, i, &x, &y)) {
            cairo_rectangle(cairo, x - thick / 2 + shift * thick, fmin(y, base), thick,
                            fabs(y - base));
            cairo_fill(cairo);
        }
}

void picture_curve_draw(cairo_t *cairo, const picture_axes *axes, const picture_curve *curve,
                        picture_mark mark, bool from_zero, size_t beside, size_t among)
{
    cairo_save(cairo);
    cairo_rectangle(cairo, axes->x.from_mm - point_mm, axes->y.to_mm - point_mm,
                    axes->x.to_mm - axes->x.from_mm + 2 * point_mm,
                    axes->y.from_mm - axes->y.to_mm + 2 * point_mm);
    cairo_clip(cairo);
    picture_set_colour(cairo, picture_curve_colour(curve->colour));
    cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
    if (mark == PICTURE_STEMS)
        draw_stems(cairo, axes, curve,
                   from_zero && !axes->y.log ? picture_place(&axes->y, 0) : axes->y.from_mm,
                   (double)beside - ((double)among - 1) / 2, among);
    if (mark == PICTURE_LINES)
        draw_line(cairo, axes, curve);
    if (mark == PICTURE_POINTS || (mark == PICTURE_LINES && curve->count <= FEW))
        draw_points(cairo, axes, curve);
    cairo_restore(cairo);
}
