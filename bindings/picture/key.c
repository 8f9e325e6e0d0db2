/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "key.h"
#include "body.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static const double line_mm = 5.2, radius_mm = 2.1, pi = 3.14159265358979323846;

/* "pole 1" and "pole 2" are, "bridge bar" and "neck bar" are not. */
static bool names_alike(const char *a, const char *b)
{
    static const char digits[] = "0123456789";
    size_t n = strcspn(a, digits);
    return n == strcspn(b, digits) && strncmp(a, b, n) == 0 && a[n] && b[n] &&
           strspn(a + n, digits) == strlen(a + n) && strspn(b + n, digits) == strlen(b + n);
}

size_t picture_groups(size_t solid_count, const picture_solid *solids,
                      picture_group groups[PICTURE_MOST_GROUPS])
{
    size_t count = 0;
    for (size_t i = 0; i < solid_count; i++) {
        const picture_solid *solid = &solids[i];
        bool alike = count > 0 && strcmp(solids[i - 1].words, solid->words) == 0 &&
                     names_alike(solids[i - 1].name, solid->name);
        if (count > 0 && (alike || count == PICTURE_MOST_GROUPS))
            groups[count - 1].last = i;
        else
            groups[count++] = (picture_group){i, i};
    }
    return count;
}

double picture_key_height(size_t groups)
{
    return line_mm * (double)groups;
}

void picture_balloon(cairo_t *cairo, size_t number, double x_mm, double y_mm)
{
    char text[24];
    snprintf(text, sizeof text, "%zu", number);
    cairo_new_path(cairo);
    cairo_arc(cairo, x_mm, y_mm, radius_mm, 0, 2 * pi);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_fill_preserve(cairo);
    picture_set_colour(cairo, picture_ink);
    cairo_set_line_width(cairo, PICTURE_LINE_MM);
    cairo_stroke(cairo);
    picture_text(cairo, text, x_mm, y_mm, 2.6, (picture_anchor){0.5, 0.5}, 0);
}

/* "pole 1 to pole 6: rod 5 x 18, steel 1018". */
static void line_text(const picture_solid *solids, picture_group group, char *text, size_t size)
{
    const picture_solid *first = &solids[group.first], *last = &solids[group.last];
    if (strcmp(first->words, last->words) != 0)
        snprintf(text, size, "%s to %s: others", first->name, last->name);
    else if (group.first == group.last)
        snprintf(text, size, "%s: %s", first->name, first->words);
    else
        snprintf(text, size, "%s to %s: %s", first->name, last->name, first->words);
}

void picture_key_draw(cairo_t *cairo, const picture_solid *solids, size_t count,
                      const picture_group *groups, double x_mm, double y_mm, double width_mm)
{
    char text[400];
    for (size_t i = 0; i < count; i++) {
        double y = y_mm + ((double)i + 0.5) * line_mm, indent = 2 * radius_mm + 9;
        picture_balloon(cairo, i + 1, x_mm + radius_mm, y);
        cairo_rectangle(cairo, x_mm + 2 * radius_mm + 1.5, y - 1.5, 5.5, 3);
        picture_set_colour(cairo, picture_fill_of(solids[groups[i].first].stuff));
        cairo_fill_preserve(cairo);
        picture_set_colour(cairo, picture_ink);
        cairo_set_line_width(cairo, PICTURE_LINE_MM);
        cairo_stroke(cairo);
        line_text(solids, groups[i], text, sizeof text);
        double width = picture_text_width(cairo, text, PICTURE_TICK_MM, false);
        double size = PICTURE_TICK_MM * fmin(1, (width_mm - indent) / width);
        picture_text(cairo, text, x_mm + indent, y, size, (picture_anchor){0, 0.5}, 0);
    }
}
