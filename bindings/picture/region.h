/* region.h - which magnet or steel a place of a map lies in. The field jumps at their surfaces, and nothing that is drawn
 * may be a mean of both sides.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_REGION_H
#define LL_PICTURE_REGION_H

#include "plane.h"

typedef struct picture_region {
    picture_outline outline[2]; /* of the two prisms; none where the plane does not cut them */
    bool hole;                  /* the second one is taken out */
    picture_range across, up;
} picture_region;

typedef struct picture_regions {
    size_t count;
    picture_region *region;
} picture_regions;

/* Those that the map's plane cuts. False when memory is short; cleared by picture_regions_clear either way. */
bool picture_regions_new(const picture_map *map, picture_regions *out);
void picture_regions_clear(picture_regions *regions);

/* 0 outside of all, else one more than the index. */
int picture_region_at(const picture_regions *regions, double across_mm, double up_mm);

#endif
