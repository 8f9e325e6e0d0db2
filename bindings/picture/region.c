/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "region.h"
#include <stdlib.h>

/* Takes the outline's extent into the ranges. */
static void widen(const picture_outline *outline, picture_range *across, picture_range *up)
{
    for (size_t i = 0; i < outline->corners; i++) {
        across->from_mm = fmin(across->from_mm, outline->corner_mm[i][0]);
        across->to_mm = fmax(across->to_mm, outline->corner_mm[i][0]);
        up->from_mm = fmin(up->from_mm, outline->corner_mm[i][1]);
        up->to_mm = fmax(up->to_mm, outline->corner_mm[i][1]);
    }
}

/* Windings and other metals let the field through as it is. */
static bool jumps_at(const picture_solid *solid)
{
    return solid->stuff == PICTURE_MAGNET || solid->stuff == PICTURE_STEEL;
}

bool picture_regions_new(const picture_map *map, picture_regions *out)
{
    out->count = 0;
    out->region = calloc(map->count + 1, sizeof *out->region);
    for (size_t s = 0; out->region && s < map->count; s++) {
        const picture_solid *solid = &map->solids[s];
        picture_region *region = &out->region[out->count];
        *region = (picture_region){.across = {INFINITY, -INFINITY}, .up = {INFINITY, -INFINITY}};
        for (size_t i = 0; jumps_at(solid) && i < solid->prisms; i++) {
            picture_cut(solid, i, &map->view, map->at_mm, &region->outline[i]);
            region->hole = solid->prism[i].hole;
            widen(&region->outline[i], &region->across, &region->up);
        }
        out->count += region->across.from_mm < region->across.to_mm;
    }
    return out->region != NULL;
}

void picture_regions_clear(picture_regions *regions)
{
    free(regions->region);
    *regions = (picture_regions){0};
}

/* In the first prism and not in its hole, or in either of two. */
static bool within(const picture_region *region, double across_mm, double up_mm)
{
    if (across_mm < region->across.from_mm || across_mm > region->across.to_mm ||
        up_mm < region->up.from_mm || up_mm > region->up.to_mm)
        return false;
    bool first = picture_within(&region->outline[0], across_mm, up_mm);
    bool second = picture_within(&region->outline[1], across_mm, up_mm);
    return region->hole ? first && !second : first || second;
}

int picture_region_at(const picture_regions *regions, double across_mm, double up_mm)
{
    for (size_t i = 0; i < regions->count; i++)
        if (within(&regions->region[i], across_mm, up_mm))
            return (int)i + 1;
    return 0;
}
