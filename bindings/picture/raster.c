/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "raster.h"
#include "canvas.h"
#include <math.h>
#include <stdint.h>

double picture_grid_value(const picture_map *map, double column, double row)
{
    double last_column = (double)(map->columns - 1), last_row = (double)(map->rows - 1);
    if (!(column >= 0 && row >= 0 && column <= last_column && row <= last_row))
        return NAN;
    size_t c = (size_t)fmin(column, last_column - 1), r = (size_t)fmin(row, last_row - 1);
    double u = column - (double)c, v = row - (double)r;
    const double *low = map->value + r * map->columns + c, *high = low + map->columns;
    return (1 - v) * ((1 - u) * low[0] + u * low[1]) + v * ((1 - u) * high[0] + u * high[1]);
}

/* A dot of the image, in cairo's order of bytes. */
static uint32_t dot(picture_colour colour)
{
    return (uint32_t)(255 * colour.r + 0.5) << 16 | (uint32_t)(255 * colour.g + 0.5) << 8 |
           (uint32_t)(255 * colour.b + 0.5);
}

/* Fills the image line by line from above. */
static void fill_image(cairo_surface_t *image, const picture_map *map, const picture_bands *bands)
{
    int wide = cairo_image_surface_get_width(image), high = cairo_image_surface_get_height(image);
    unsigned char *data = cairo_image_surface_get_data(image);
    size_t stride = (size_t)cairo_image_surface_get_stride(image);
    double last_column = (double)(map->columns - 1), last_row = (double)(map->rows - 1);
    for (int y = 0; y < high; y++) {
        uint32_t *line = (uint32_t *)(void *)(data + (size_t)y * stride);
        for (int x = 0; x < wide; x++) {
            double value = picture_grid_value(map, last_column * (x + 0.5) / wide,
                                              last_row * (1 - (y + 0.5) / high));
            line[x] = isfinite(value)
                          ? dot(picture_band_colour(bands, picture_band_of(bands, value)))
                          : 0xffffff;
        }
    }
}

void picture_paint_bands(cairo_t *cairo, const picture_map *map, const picture_bands *bands,
                         picture_box box)
{
    int wide = (int)fmax(1, box.width * PICTURE_DOTS_PER_MM);
    int high = (int)fmax(1, box.height * PICTURE_DOTS_PER_MM);
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, wide, high);
    if (cairo_surface_status(image) == CAIRO_STATUS_SUCCESS) {
        cairo_surface_flush(image);
        fill_image(image, map, bands);
        cairo_surface_mark_dirty(image);
        cairo_save(cairo);
        cairo_translate(cairo, box.x, box.y);
        cairo_scale(cairo, box.width / wide, box.height / high);
        cairo_set_source_surface(cairo, image, 0, 0);
        cairo_pattern_set_filter(cairo_get_source(cairo), CAIRO_FILTER_NEAREST);
        cairo_paint(cairo);
        cairo_restore(cairo);
    }
    cairo_surface_destroy(image);
}

/* Corners of a cell, counter-clockwise from the lower left one. */
static const size_t corner_step[4][2] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};

/* Where the bound is met on the cell's edge from corner e to the next; false when it is not. */
static bool meet_edge(const picture_map *map, size_t c, size_t r, size_t e, double bound,
                      double place[2])
{
    const size_t *from = corner_step[e], *to = corner_step[(e + 1) % 4];
    double a = map->value[(r + from[1]) * map->columns + c + from[0]] - bound;
    double b = map->value[(r + to[1]) * map->columns + c + to[0]] - bound;
    if (!isfinite(a) || !isfinite(b) || (a >= 0) == (b >= 0))
        return false;
    double t = a / (a - b);
    place[0] = (double)(c + from[0]) + t * ((double)to[0] - (double)from[0]);
    place[1] = (double)(r + from[1]) + t * ((double)to[1] - (double)from[1]);
    return true;
}

/* Two edges that are met are joined; where all four are (a saddle), neighbours are. */
static void contour_cell(cairo_t *cairo, const picture_map *map, size_t c, size_t r, double bound,
                         picture_box box)
{
    double place[4][2];
    size_t met = 0;
    for (size_t e = 0; e < 4; e++)
        met += meet_edge(map, c, r, e, bound, place[met]);
    for (size_t i = 0; i < met; i++) {
        double x = box.x + box.width * place[i][0] / (double)(map->columns - 1);
        double y = box.y + box.height * (1 - place[i][1] / (double)(map->rows - 1));
        if (i % 2 == 0)
            cairo_move_to(cairo, x, y);
        else
            cairo_line_to(cairo, x, y);
    }
}

void picture_draw_contour(cairo_t *cairo, const picture_map *map, double bound, picture_box box)
{
    for (size_t r = 0; r + 1 < map->rows; r++)
        for (size_t c = 0; c + 1 < map->columns; c++)
            contour_cell(cairo, map, c, r, bound, box);
    cairo_stroke(cairo);
}
