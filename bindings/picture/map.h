/* map.h - a field in a plane: bands of colour, contours, arrows of its direction, and the bodies that the plane cuts.
 * Plain data, whose owner keeps it alive while it is drawn. Lengths in millimetres.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_MAP_H
#define LL_PICTURE_MAP_H

#include "cairo_type.h"
#include "plane.h"

/* The height that a map of this width needs for one scale in both directions. */
double picture_map_height(const picture_map *map, double width_mm);

/* Fills the sheet. */
void picture_map_draw(cairo_t *cairo, const picture_map *map, double width_mm, double height_mm);

#endif
