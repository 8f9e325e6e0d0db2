/* raster.h - the grid of a map between its points: what is painted and what contours follow.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_RASTER_H
#define LL_PICTURE_RASTER_H

#include "bands.h"
#include "map.h"

/* A box on the sheet. */
typedef struct picture_box {
    double x, y, width, height;
} picture_box;

/* The value at a place in grid steps from the lower left corner, bilinear; NAN outside or beside a gap. */
double picture_grid_value(const picture_map *map, double column, double row);

/* Paints the bands into the box. */
void picture_paint_bands(cairo_t *cairo, const picture_map *map, const picture_bands *bands,
                         picture_box box);

/* Draws the lines on which the value is `bound`, by marching squares. */
void picture_draw_contour(cairo_t *cairo, const picture_map *map, double bound, picture_box box);

#endif
