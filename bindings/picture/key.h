/* key.h - the list under a drawing: a number, a colour, a name and a description for each kind of body. Bodies that
 * stand in a row, alike but for their place, share a line.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_KEY_H
#define LL_PICTURE_KEY_H

#include "cairo_type.h"
#include "solid.h"

enum { PICTURE_MOST_GROUPS = 16 };

/* Solids first to last of a line. */
typedef struct picture_group {
    size_t first, last;
} picture_group;

/* Those beyond the last line share it. */
size_t picture_groups(size_t count, const picture_solid *solids,
                      picture_group groups[PICTURE_MOST_GROUPS]);

double picture_key_height(size_t groups);
void picture_key_draw(cairo_t *cairo, const picture_solid *solids, size_t count,
                      const picture_group *groups, double x_mm, double y_mm, double width_mm);

/* The number in its circle. */
void picture_balloon(cairo_t *cairo, size_t number, double x_mm, double y_mm);

#endif
