/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "legend.h"
#include "style.h"

static const double sample_mm = 7, gap_mm = 1.5, between_mm = 5, line_mm = 5;

/* Goes through the entries as they are laid out and draws them when told to; returns the number of lines. */
static size_t lay_out(cairo_t *cairo, size_t count, const picture_entry *entries, double x_mm,
                      double y_mm, double width_mm, bool draw)
{
    double x = x_mm;
    size_t lines = count > 0;
    for (size_t i = 0; i < count; i++) {
        double width =
            sample_mm + gap_mm + picture_text_width(cairo, entries[i].text, PICTURE_TICK_MM, false);
        if (x > x_mm && x + width > x_mm + width_mm) {
            x = x_mm;
            lines++;
        }
        double y = y_mm + ((double)lines - 0.5) * line_mm;
        if (draw) {
            picture_set_colour(cairo, entries[i].plain ? picture_ink
                                                       : picture_curve_colour(entries[i].colour));
            picture_set_dash(cairo, entries[i].dash);
            picture_segment(cairo, x, y, x + sample_mm, y, 1.6 * PICTURE_CURVE_MM);
            picture_set_dash(cairo, 0);
            picture_set_colour(cairo, picture_ink);
            picture_fitted_text(cairo, entries[i].text, x + sample_mm + gap_mm,
                                y - PICTURE_TICK_MM * 0.36, PICTURE_TICK_MM,
                                x_mm + width_mm - x - sample_mm - gap_mm, false);
        }
        x += width + between_mm;
    }
    return lines;
}

double picture_legend_height(cairo_t *cairo, size_t count, const picture_entry *entries,
                             double width_mm)
{
    return line_mm * (double)lay_out(cairo, count, entries, 0, 0, width_mm, false);
}

void picture_legend_draw(cairo_t *cairo, size_t count, const picture_entry *entries, double x_mm,
                         double y_mm, double width_mm)
{
    lay_out(cairo, count, entries, x_mm, y_mm, width_mm, true);
}
