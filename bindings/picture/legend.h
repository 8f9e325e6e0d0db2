/* legend.h - what each colour and dash stands for, in lines above the panels, where it covers nothing.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_LEGEND_H
#define LL_PICTURE_LEGEND_H

#include "cairo_type.h"
#include "panel.h"

/* Height of the lines that the entries need within the width; 0 without entries. */
double picture_legend_height(cairo_t *cairo, size_t count, const picture_entry *entries,
                             double width_mm);
void picture_legend_draw(cairo_t *cairo, size_t count, const picture_entry *entries, double x_mm,
                         double y_mm, double width_mm);

#endif
