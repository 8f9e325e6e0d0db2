/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plot.h"
#include "axes.h"
#include "curves.h"
#include "legend.h"
#include "style.h"
#include <math.h>

static const double between_panels_mm = 4, after_title_mm = 2.5;

typedef struct extent {
    double low, high;
} extent;

/* Takes a value in, unless it is a gap or has no logarithm. */
static void widen(extent *e, double value, bool log)
{
    if (!isfinite(value) || (log && value <= 0))
        return;
    e->low = fmin(e->low, value);
    e->high = fmax(e->high, value);
}

/* Of x over all panels, or of y in one; without any value it is 1 to 10, fit for any scale. */
static extent extent_of(const picture_panel *panels, size_t count, bool of_x, bool log)
{
    extent e = {INFINITY, -INFINITY};
    for (size_t p = 0; p < count; p++)
        for (size_t c = 0; c < panels[p].count; c++) {
            const picture_curve *curve = &panels[p].curves[c];
            for (size_t i = 0; i < curve->count; i++)
                widen(&e, of_x ? curve->x[i] : curve->y[i], log);
        }
    return e.low <= e.high ? e : (extent){1, 10};
}

/* Round values above and below the data; what hardly changes is not blown up to fill the panel. */
static picture_scale y_scale(const picture_panel *panel)
{
    picture_scale scale = {.log = panel->log, .degrees = panel->degrees};
    extent e = extent_of(panel, 1, false, panel->log);
    if (panel->from_zero && !panel->log) {
        e.low = fmin(e.low, 0);
        e.high = fmax(e.high, 0);
    }
    double lacking = panel->log ? 0 : panel->at_least - (e.high - e.low);
    if (lacking > 0) {
        e.low -= lacking / 2;
        e.high += lacking / 2;
    }
    picture_scale_fit(&scale, e.low, e.high);
    return scale;
}

/* The x axis ends where the data do. */
static picture_scale x_scale(const picture_plot *plot)
{
    extent e = extent_of(plot->panels, plot->panel_count, true, plot->x_log);
    picture_scale scale = {.log = plot->x_log};
    if (plot->name_count > 0) {
        scale.from = 0.5;
        scale.to = (double)plot->name_count + 0.5;
    } else if (plot->mark != PICTURE_LINES || e.low >= e.high) {
        picture_scale_fit(&scale, e.low, e.high);
    } else {
        scale.from = e.low;
        scale.to = e.high;
    }
    return scale;
}

/* Title and legend from the top; returns where the panels begin. */
static double draw_head(cairo_t *cairo, const picture_plot *plot, double width_mm)
{
    double y = PICTURE_MARGIN_MM, room = width_mm - 2 * PICTURE_MARGIN_MM;
    picture_set_colour(cairo, picture_ink);
    if (*plot->title) {
        picture_fitted_text(cairo, plot->title, PICTURE_MARGIN_MM, y, PICTURE_TITLE_MM, room, true);
        y += PICTURE_TITLE_MM + after_title_mm;
    }
    double legend = picture_legend_height(cairo, plot->entry_count, plot->entries, room);
    picture_legend_draw(cairo, plot->entry_count, plot->entries, PICTURE_MARGIN_MM, y, room);
    return y + legend + (plot->entry_count ? 1 : 0.5) * PICTURE_TICK_MM;
}

/* Panel i over the shared x; only the lowest shows its labels. */
static picture_axes axes_of(const picture_plot *plot, size_t i, picture_scale x)
{
    const picture_panel *panel = &plot->panels[i];
    return (picture_axes){.x = x,
                          .y = y_scale(panel),
                          .x_label = plot->x_label,
                          .y_label = panel->label,
                          .x_names = plot->name_count ? plot->x_names : NULL,
                          .name_count = plot->name_count,
                          .x_shown = i + 1 == plot->panel_count};
}

void picture_plot_draw(cairo_t *cairo, const picture_plot *plot, double width_mm, double height_mm)
{
    picture_scale x = x_scale(plot);
    double top = draw_head(cairo, plot, width_mm), left = 0;
    double bottom = height_mm - PICTURE_MARGIN_MM;
    double gaps = between_panels_mm * ((double)plot->panel_count - 1);
    /* A panel's height decides on its ticks, and they on its left margin: begin with a guess at what is below. */
    double height = (bottom - top - gaps - 12) / (double)plot->panel_count;
    for (size_t i = 0; i < plot->panel_count; i++) {
        picture_axes axes = axes_of(plot, i, x);
        axes.y.from_mm = height;
        left = fmax(left, picture_axes_left(cairo, &axes));
    }
    x.from_mm = PICTURE_MARGIN_MM + left;
    x.to_mm = width_mm - PICTURE_MARGIN_MM - 2 * PICTURE_TICK_MM;
    picture_axes lowest = axes_of(plot, plot->panel_count - 1, x);
    bottom -= picture_axes_below(cairo, &lowest, x.to_mm - x.from_mm);
    height = (bottom - top - gaps) / (double)plot->panel_count;
    for (size_t i = 0; i < plot->panel_count; i++) {
        picture_axes axes = axes_of(plot, i, x);
        axes.left_mm = left;
        axes.y.to_mm = top + (double)i * (height + between_panels_mm);
        axes.y.from_mm = axes.y.to_mm + height;
        const picture_panel *panel = &plot->panels[i];
        picture_axes_grid(cairo, &axes); /* under the curves, the frame over them */
        for (size_t c = 0; c < panel->count; c++)
            picture_curve_draw(cairo, &axes, &panel->curves[c], plot->mark, panel->from_zero, c,
                               panel->count);
        picture_axes_frame(cairo, &axes);
    }
}
