/* raster.h - the grid of a map between its points: what is painted and what contours follow.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_RASTER_H
#define LL_PICTURE_RASTER_H

#include "bands.h"
#include "plane.h"
#include "region.h"

/* A box on the sheet. */
typedef struct picture_box {
    double x, y, width, height;
} picture_box;

typedef struct picture_raster {
    const picture_map *map;
    picture_box box; /* of the field on the sheet */
    picture_regions regions;
    int *label; /* the region of each point of the grid */
} picture_raster;

/* False when memory is short. Cleared by picture_raster_clear either way. */
bool picture_raster_new(const picture_map *map, picture_box box, picture_raster *out);
void picture_raster_clear(picture_raster *raster);

/* The value at a place in grid steps from the lower left corner, bilinear among the points of the grid around it that
 * lie in the same region, if there are any; NAN outside of the grid or beside a gap. */
double picture_grid_value(const picture_raster *raster, int region, double column, double row);

/* Paints the bands, sharp at the surfaces of magnets and steel. */
void picture_paint_bands(cairo_t *cairo, const picture_raster *raster, const picture_bands *bands);

/* Draws the lines on which the value is `bound`, by marching squares; no line between two regions, where there is a
 * jump and no such place. */
void picture_draw_contour(cairo_t *cairo, const picture_raster *raster, double bound);

#endif
