/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "map.h"
#include "axes.h"
#include "bands.h"
#include "body.h"
#include "raster.h"
#include <math.h>

/* Room beside the field: the axis to its left, the scale of colours to its right, the axis of x under it. */
static const double left_mm = 18, right_mm = 24, below_mm = 12, bar_mm = 5, band_mm = 6;
/* Arrows: their length, and how far they stand apart. */
static const double arrow_mm = 3, spacing_mm = 5.5;

/* Of a range. */
static double span(picture_range range)
{
    return range.to_mm - range.from_mm;
}

/* Room for the title and the caption, where there are any. */
static double above_mm(const picture_map *map)
{
    return PICTURE_MARGIN_MM + (*map->title ? PICTURE_TITLE_MM + 2 : 0) +
           (*map->caption ? PICTURE_TICK_MM + 2.5 : 0);
}

double picture_map_height(const picture_map *map, double width_mm)
{
    double room = width_mm - left_mm - right_mm;
    return room * span(map->up) / span(map->across) + above_mm(map) + below_mm;
}

/* The largest box of the map's shape in the room that is left, from its upper left corner. */
static picture_box field_box(const picture_map *map, double width_mm, double height_mm)
{
    double wide = width_mm - left_mm - right_mm, high = height_mm - above_mm(map) - below_mm;
    double scale = fmin(wide / span(map->across), fmax(high, 5) / span(map->up));
    return (picture_box){left_mm, above_mm(map), scale * span(map->across), scale * span(map->up)};
}

/* Title, and what is shown. */
static void draw_head(cairo_t *cairo, const picture_map *map, double width_mm)
{
    double y = PICTURE_MARGIN_MM, room = width_mm - 2 * PICTURE_MARGIN_MM;
    picture_set_colour(cairo, picture_ink);
    if (*map->title) {
        picture_fitted_text(cairo, map->title, PICTURE_MARGIN_MM, y, PICTURE_TITLE_MM, room, true);
        y += PICTURE_TITLE_MM + 2;
    }
    picture_set_colour(cairo, picture_grey);
    picture_fitted_text(cairo, map->caption, PICTURE_MARGIN_MM, y, PICTURE_TICK_MM, room, false);
}

/* An arrow along the field's part in the plane; a ring where the field goes mostly through the plane. */
static void draw_direction(cairo_t *cairo, const double direction[3], double x, double y)
{
    const double pi = 3.14159265358979323846;
    double flat = hypot(direction[0], direction[1]);
    double whole = hypot(flat, direction[2]);
    if (!(whole > 0) || !isfinite(whole))
        return;
    if (flat < 0.2 * whole) {
        cairo_arc(cairo, x, y, 0.5, 0, 2 * pi);
        cairo_set_line_width(cairo, PICTURE_LINE_MM);
        cairo_stroke(cairo);
        return;
    }
    double dx = arrow_mm / 2 * direction[0] / flat, dy = -arrow_mm / 2 * direction[1] / flat;
    picture_arrow(cairo, x - dx, y - dy, x + dx, y + dy, PICTURE_LINE_MM, 1.2);
}

/* At the grid's own points, where the field was computed: every so many of them. */
static void draw_arrows(cairo_t *cairo, const picture_map *map, const picture_bands *bands,
                        picture_box box)
{
    double step_mm = box.width / (double)(map->columns - 1);
    size_t every = (size_t)fmax(1, ceil(spacing_mm / step_mm - 1e-9));
    for (size_t r = every / 2; r < map->rows; r += every)
        for (size_t c = every / 2; c < map->columns; c += every) {
            size_t i = r * map->columns + c;
            picture_colour under =
                picture_band_colour(bands, picture_band_of(bands, map->value[i]));
            if (picture_is_dark(under))
                cairo_set_source_rgb(cairo, 1, 1, 1);
            else
                picture_set_colour(cairo, picture_ink);
            draw_direction(cairo, map->direction[i],
                           box.x + box.width * (double)c / (double)(map->columns - 1),
                           box.y + box.height * (1 - (double)r / (double)(map->rows - 1)));
        }
}

/* One band over the other, the bounds written between them. */
static void draw_scale(cairo_t *cairo, const picture_map *map, const picture_bands *bands,
                       picture_box box)
{
    char text[40];
    double x = box.x + box.width + 5;
    double high = fmin(band_mm, (box.height - 5) / (double)(bands->bounds + 1));
    double bottom = box.y + box.height;
    double letters = fmin(PICTURE_TICK_MM, 0.95 * high);
    for (size_t i = 0; i <= bands->bounds; i++) {
        double y = bottom - (double)(i + 1) * high;
        cairo_rectangle(cairo, x, y, bar_mm, high);
        picture_set_colour(cairo, picture_band_colour(bands, i));
        cairo_fill_preserve(cairo);
        picture_set_colour(cairo, picture_ink);
        cairo_set_line_width(cairo, PICTURE_HAIR_MM);
        cairo_stroke(cairo);
        if (i == bands->bounds)
            break;
        picture_segment(cairo, x + bar_mm, y, x + bar_mm + 1, y, PICTURE_LINE_MM);
        double step = fmin(1, fabs(bands->bound[i]));
        picture_tick_text(bands->bound[i], step, text, sizeof text);
        picture_text(cairo, text, x + bar_mm + 1.8, y, letters, (picture_anchor){0, 0.5}, 0);
    }
    picture_text(cairo, map->unit, x, bottom - (double)(bands->bounds + 1) * high - 1.5,
                 PICTURE_TICK_MM, (picture_anchor){0, 0}, 0);
}

/* Both axes in the same scale, ending where the grid does. */
static picture_axes axes_of(const picture_map *map, picture_box box)
{
    return (picture_axes){
        .x = {.from = map->across.from_mm,
              .to = map->across.to_mm,
              .from_mm = box.x,
              .to_mm = box.x + box.width},
        .y = {.from = map->up.from_mm,
              .to = map->up.to_mm,
              .from_mm = box.y + box.height,
              .to_mm = box.y},
        .x_label = map->across_label,
        .y_label = map->up_label,
        .left_mm = left_mm - PICTURE_MARGIN_MM,
        .x_shown = true,
    };
}

void picture_map_draw(cairo_t *cairo, const picture_map *map, double width_mm, double height_mm)
{
    picture_bands bands = picture_bands_for(map->rows * map->columns, map->value, map->is_signed);
    picture_box box = field_box(map, width_mm, height_mm);
    /* The view in which bodies fall on the field that was computed around them. */
    double scale = box.width / span(map->across);
    picture_window window = {
        map->view, {box.x - scale * map->across.from_mm, box.y + scale * map->up.to_mm}, scale};
    picture_axes axes = axes_of(map, box);
    draw_head(cairo, map, width_mm);
    cairo_save(cairo);
    cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
    cairo_clip(cairo);
    picture_raster raster;
    if (picture_raster_new(map, box, &raster)) {
        picture_paint_bands(cairo, &raster, &bands);
        /* Along the bounds of the bands: contours still tell them apart on a grey copy. */
        cairo_set_source_rgba(cairo, picture_ink.r, picture_ink.g, picture_ink.b, 0.45);
        cairo_set_line_width(cairo, PICTURE_HAIR_MM);
        for (size_t i = 0; i < bands.bounds; i++)
            picture_draw_contour(cairo, &raster, bands.bound[i]);
    }
    picture_raster_clear(&raster);
    if (map->direction)
        draw_arrows(cairo, map, &bands, box);
    /* Only what the plane cuts: what lies before or behind it is not in the field that is shown. */
    for (size_t i = 0; i < map->count; i++)
        if (picture_draw_cut(cairo, &window, &map->solids[i], map->at_mm))
            picture_draw_faces(cairo, &window, &map->solids[i], map->at_mm);
    cairo_restore(cairo);
    picture_axes_frame(cairo, &axes);
    draw_scale(cairo, map, &bands, box);
}
