/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "raster.h"
#include "canvas.h"
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

double picture_grid_value(const picture_raster *raster, int region, double column, double row)
{
    const picture_map *map = raster->map;
    double last_column = (double)(map->columns - 1), last_row = (double)(map->rows - 1);
    if (!(column >= 0 && row >= 0 && column <= last_column && row <= last_row))
        return NAN;
    size_t c = (size_t)fmin(column, last_column - 1), r = (size_t)fmin(row, last_row - 1);
    size_t at = r * map->columns + c;
    double u = column - (double)c, v = row - (double)r;
    const size_t corner[4] = {at, at + 1, at + map->columns, at + map->columns + 1};
    const double weight[4] = {(1 - u) * (1 - v), u * (1 - v), (1 - u) * v, u * v};
    double all = 0, same = 0, same_weight = 0;
    for (int i = 0; i < 4; i++) {
        double part = weight[i] * map->value[corner[i]];
        all += part;
        if (raster->label[corner[i]] == region) {
            same += part;
            same_weight += weight[i];
        }
    }
    return same_weight > 1e-9 ? same / same_weight : all;
}

/* Where a share of the way from the left and from below lies in the world. */
static int region_of(const picture_raster *raster, double u, double v)
{
    const picture_range *across = &raster->map->across, *up = &raster->map->up;
    return picture_region_at(&raster->regions,
                             across->from_mm + u * (across->to_mm - across->from_mm),
                             up->from_mm + v * (up->to_mm - up->from_mm));
}

bool picture_raster_new(const picture_map *map, picture_box box, picture_raster *out)
{
    *out = (picture_raster){.map = map, .box = box};
    bool fine = picture_regions_new(map, &out->regions);
    out->label = calloc(map->rows * map->columns, sizeof *out->label);
    for (size_t r = 0; fine && out->label && r < map->rows; r++)
        for (size_t c = 0; c < map->columns; c++)
            out->label[r * map->columns + c] = region_of(
                out, (double)c / (double)(map->columns - 1), (double)r / (double)(map->rows - 1));
    return fine && out->label;
}

void picture_raster_clear(picture_raster *raster)
{
    picture_regions_clear(&raster->regions);
    free(raster->label);
    raster->label = NULL;
}

/* A dot of the image, in cairo's order of bytes. */
static uint32_t dot(picture_colour colour)
{
    return (uint32_t)(255 * colour.r + 0.5) << 16 | (uint32_t)(255 * colour.g + 0.5) << 8 |
           (uint32_t)(255 * colour.b + 0.5);
}

/* Fills the image line by line from above. */
static void fill_image(cairo_surface_t *image, const picture_raster *raster,
                       const picture_bands *bands)
{
    int wide = cairo_image_surface_get_width(image), high = cairo_image_surface_get_height(image);
    unsigned char *data = cairo_image_surface_get_data(image);
    size_t stride = (size_t)cairo_image_surface_get_stride(image);
    double columns = (double)(raster->map->columns - 1), rows = (double)(raster->map->rows - 1);
    for (int y = 0; y < high; y++) {
        uint32_t *line = (uint32_t *)(void *)(data + (size_t)y * stride);
        for (int x = 0; x < wide; x++) {
            double u = (x + 0.5) / wide, v = 1 - (y + 0.5) / high;
            double value =
                picture_grid_value(raster, region_of(raster, u, v), u * columns, v * rows);
            line[x] = isfinite(value)
                          ? dot(picture_band_colour(bands, picture_band_of(bands, value)))
                          : 0xffffff;
        }
    }
}

void picture_paint_bands(cairo_t *cairo, const picture_raster *raster, const picture_bands *bands)
{
    picture_box box = raster->box;
    int wide = (int)fmax(1, box.width * PICTURE_DOTS_PER_MM);
    int high = (int)fmax(1, box.height * PICTURE_DOTS_PER_MM);
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, wide, high);
    if (cairo_surface_status(image) == CAIRO_STATUS_SUCCESS) {
        cairo_surface_flush(image);
        fill_image(image, raster, bands);
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

/* True when no surface of a magnet or of steel goes through the cell. */
static bool in_one_region(const picture_raster *raster, size_t c, size_t r)
{
    const int *low = raster->label + r * raster->map->columns + c;
    const int *high = low + raster->map->columns;
    return low[0] == low[1] && low[0] == high[0] && low[0] == high[1];
}

/* Two edges that are met are joined; where all four are (a saddle), neighbours are. */
static void contour_cell(cairo_t *cairo, const picture_raster *raster, size_t c, size_t r,
                         double bound)
{
    const picture_map *map = raster->map;
    double place[4][2];
    size_t met = 0;
    for (size_t e = 0; e < 4; e++)
        met += meet_edge(map, c, r, e, bound, place[met]);
    for (size_t i = 0; i < met; i++) {
        double x = raster->box.x + raster->box.width * place[i][0] / (double)(map->columns - 1);
        double y = raster->box.y + raster->box.height * (1 - place[i][1] / (double)(map->rows - 1));
        if (i % 2 == 0)
            cairo_move_to(cairo, x, y);
        else
            cairo_line_to(cairo, x, y);
    }
}

void picture_draw_contour(cairo_t *cairo, const picture_raster *raster, double bound)
{
    for (size_t r = 0; r + 1 < raster->map->rows; r++)
        for (size_t c = 0; c + 1 < raster->map->columns; c++)
            if (in_one_region(raster, c, r))
                contour_cell(cairo, raster, c, r, bound);
    cairo_stroke(cairo);
}
