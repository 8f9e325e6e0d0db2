/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "drawing.h"
#include "body.h"
#include "dimension.h"
#include "key.h"
#include <math.h>
#include <stdio.h>

/* Room for what stands beside the views. */
static const double left_mm = 17, middle_mm = 20, right_mm = 16, above_mm = 14, between_mm = 18,
                    below_mm = 17, string_over_mm = 4, scale_mm = 45;

enum { ABOVE, FRONT, END, VIEWS };

/* Third-angle projection: each view stands on the side from which it is looked at (ISO 5456-2). */
static const picture_view views[VIEWS] = {
    [ABOVE] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
    [FRONT] = {{1, 0, 0}, {0, 0, 1}, {0, -1, 0}},
    [END] = {{0, 1, 0}, {0, 0, 1}, {1, 0, 0}},
};

typedef struct layout {
    const picture_drawing *drawing;
    picture_range x, y, z; /* of the bodies and strings */
    picture_window window[VIEWS];
    double scale;
    double key_mm; /* where the key begins */
    size_t group_count;
    picture_group groups[PICTURE_MOST_GROUPS];
} layout;

/* Takes another reach into the range. */
static void widen(picture_range *range, double from_mm, double to_mm)
{
    range->from_mm = fmin(range->from_mm, from_mm);
    range->to_mm = fmax(range->to_mm, to_mm);
}

/* Of a range. */
static double length(picture_range range)
{
    return range.to_mm - range.from_mm;
}

/* How far everything reaches along the three axes. */
static void measure(layout *l)
{
    const picture_drawing *d = l->drawing;
    l->x = l->y = l->z = (picture_range){INFINITY, -INFINITY};
    for (size_t i = 0; i < d->count; i++) {
        picture_range x = picture_reach(&d->solids[i], ll_vec(1, 0, 0));
        picture_range y = picture_reach(&d->solids[i], ll_vec(0, 1, 0));
        picture_range z = picture_reach(&d->solids[i], ll_vec(0, 0, 1));
        widen(&l->x, x.from_mm, x.to_mm);
        widen(&l->y, y.from_mm, y.to_mm);
        widen(&l->z, z.from_mm, z.to_mm);
    }
    for (size_t i = 0; i < d->string_count; i++) {
        double half = d->strings[i].diameter_mm / 2;
        widen(&l->x, d->strings[i].x_mm - half, d->strings[i].x_mm + half);
        widen(&l->z, d->strings[i].z_mm - half, d->strings[i].z_mm + half);
    }
}

/* The next smaller scale that a ruler likes. */
static double round_scale(double most)
{
    static const double scales[] = {10,   8, 6,   5,   4,   3,   2.5, 2,    1.5,
                                    1.25, 1, 0.8, 0.6, 0.5, 0.4, 0.3, 0.25, 0.2};
    for (size_t i = 0; i < sizeof scales / sizeof *scales; i++)
        if (scales[i] <= most)
            return scales[i];
    return most;
}

/* What the views may share of the sheet's width. */
static double room_across(double width_mm)
{
    return width_mm - 2 * PICTURE_MARGIN_MM - left_mm - middle_mm - right_mm;
}

/* What stands over, between and under the views. */
static double height_beside_views(size_t groups)
{
    return 2 * PICTURE_MARGIN_MM + PICTURE_TITLE_MM + above_mm + between_mm + below_mm +
           picture_key_height(groups);
}

double picture_drawing_height(const picture_drawing *drawing, double width_mm)
{
    layout l = {.drawing = drawing};
    measure(&l);
    double scale = round_scale(room_across(width_mm) / (length(l.x) + length(l.y)));
    return height_beside_views(picture_groups(drawing->count, drawing->solids, l.groups)) +
           scale * (length(l.y) + length(l.z));
}

/* Places the views so that they share edges: above over front, end beside it. */
static void place(layout *l, double width_mm, double height_mm)
{
    l->group_count = picture_groups(l->drawing->count, l->drawing->solids, l->groups);
    l->key_mm = height_mm - PICTURE_MARGIN_MM - picture_key_height(l->group_count);
    double room = room_across(width_mm), high = height_mm - height_beside_views(l->group_count);
    double X = length(l->x), Y = length(l->y), Z = length(l->z);
    /* Rounding must not make a height that was just right too small. */
    double most = fmin(room / (X + Y), (high + 1e-6) / (Y + Z));
    double scale = l->scale = round_scale(fmax(0.05, most));
    double x = PICTURE_MARGIN_MM + left_mm + fmax(0, room - scale * (X + Y)) / 2;
    double y = PICTURE_MARGIN_MM + PICTURE_TITLE_MM + above_mm;
    double side = x + scale * X + middle_mm, lower = y + scale * Y + between_mm;
    for (int v = 0; v < VIEWS; v++)
        l->window[v] = (picture_window){.view = views[v], .scale = scale};
    l->window[ABOVE].origin_mm[0] = l->window[FRONT].origin_mm[0] = x - scale * l->x.from_mm;
    l->window[END].origin_mm[0] = side - scale * l->y.from_mm;
    l->window[ABOVE].origin_mm[1] = y + scale * l->y.to_mm;
    l->window[FRONT].origin_mm[1] = l->window[END].origin_mm[1] = lower + scale * l->z.to_mm;
}

/* Indices from the farthest to the nearest, by the nearest point of each. */
static void order_by_depth(const picture_drawing *d, const picture_view *view, size_t *order)
{
    double near[PICTURE_MOST_SOLIDS];
    for (size_t i = 0; i < d->count; i++) {
        double mine = picture_reach(&d->solids[i], view->towards).to_mm;
        size_t at = i;
        for (; at > 0 && near[at - 1] > mine; at--) {
            near[at] = near[at - 1];
            order[at] = order[at - 1];
        }
        near[at] = mine;
        order[at] = i;
    }
}

/* North and south, where no nearer magnet stands in front. */
static void draw_norths(cairo_t *cairo, const layout *l, const picture_window *window,
                        const size_t *order)
{
    const picture_drawing *d = l->drawing;
    for (size_t i = 0; i < d->count; i++) {
        const picture_solid *solid = &d->solids[order[i]];
        double x = picture_window_x(window, ll_dot(window->view.across, solid->origin_mm));
        double y = picture_window_y(window, ll_dot(window->view.up, solid->origin_mm));
        bool covered = solid->stuff != PICTURE_MAGNET;
        for (size_t k = i + 1; k < d->count && !covered; k++)
            covered = d->solids[order[k]].stuff == PICTURE_MAGNET &&
                      picture_covers(cairo, window, &d->solids[order[k]], x, y);
        if (!covered)
            picture_draw_north(cairo, window, solid);
    }
}

/* To a hundredth of a millimetre, far below what a line covers. */
static bool same_range(picture_range a, picture_range b)
{
    return fabs(a.from_mm - b.from_mm) < 0.01 && fabs(a.to_mm - b.to_mm) < 0.01;
}

/* True when a nearer solid looks just the same: the next one of a row, seen along it. */
static bool repeated(const picture_drawing *d, const picture_view *view, const size_t *order,
                     size_t i)
{
    picture_range across = picture_reach(&d->solids[order[i]], view->across);
    picture_range up = picture_reach(&d->solids[order[i]], view->up);
    for (size_t k = i + 1; k < d->count; k++)
        if (same_range(across, picture_reach(&d->solids[order[k]], view->across)) &&
            same_range(up, picture_reach(&d->solids[order[k]], view->up)))
            return true;
    return false;
}

/* What is nearer covers the rest, whose outlines then show broken. */
static void draw_solids(cairo_t *cairo, const layout *l, const picture_window *window,
                        const size_t *order)
{
    const picture_drawing *d = l->drawing;
    bool shows[PICTURE_MOST_SOLIDS];
    for (size_t i = 0; i < d->count; i++) {
        shows[i] = !repeated(d, &window->view, order, i);
        picture_draw_seen(cairo, window, &d->solids[order[i]]);
        for (size_t k = 0; k < i; k++)
            if (shows[k])
                picture_draw_hidden(cairo, window, &d->solids[order[k]], &d->solids[order[i]]);
    }
}

/* From above: lines over the whole depth. */
static void strings_above(cairo_t *cairo, const layout *l)
{
    const picture_window *window = &l->window[ABOVE];
    double top = picture_window_y(window, l->y.to_mm) - string_over_mm;
    double bottom = picture_window_y(window, l->y.from_mm) + string_over_mm;
    picture_set_colour(cairo, picture_curve_colour(1));
    for (size_t i = 0; i < l->drawing->string_count; i++) {
        const picture_string *s = &l->drawing->strings[i];
        double x = picture_window_x(window, s->x_mm);
        picture_segment(cairo, x, top, x, bottom, fmax(PICTURE_LINE_MM, l->scale * s->diameter_mm));
    }
}

/* From the bridge: dots with their names above; from the treble side: one line at each height. */
static void strings_beside(cairo_t *cairo, const layout *l)
{
    const picture_window *front = &l->window[FRONT], *end = &l->window[END];
    const double pi = 3.14159265358979323846;
    picture_set_colour(cairo, picture_curve_colour(1));
    for (size_t i = 0; i < l->drawing->string_count; i++) {
        const picture_string *s = &l->drawing->strings[i];
        double x = picture_window_x(front, s->x_mm), y = picture_window_y(front, s->z_mm);
        double width = fmax(PICTURE_LINE_MM, l->scale * s->diameter_mm);
        cairo_arc(cairo, x, y, fmax(0.4, width / 2), 0, 2 * pi);
        cairo_fill(cairo);
        picture_text(cairo, s->name, x, y - fmax(0.4, width / 2) - 0.8, 2.5,
                     (picture_anchor){0.5, 0}, 0);
        picture_segment(cairo, picture_window_x(end, l->y.from_mm) - string_over_mm, y,
                        picture_window_x(end, l->y.to_mm) + string_over_mm, y, width);
    }
}

/* Strings run over what is seen from above, letters over all. */
static void draw_views(cairo_t *cairo, const layout *l)
{
    size_t order[VIEWS][PICTURE_MOST_SOLIDS];
    for (int v = 0; v < VIEWS; v++) {
        order_by_depth(l->drawing, &views[v], order[v]);
        draw_solids(cairo, l, &l->window[v], order[v]);
    }
    strings_above(cairo, l);
    for (int v = 0; v < VIEWS; v++)
        draw_norths(cairo, l, &l->window[v], order[v]);
}

/* From pole to pole, over the view from above. */
static void pole_spacing(cairo_t *cairo, const layout *l)
{
    picture_levels places = {0};
    char text[32];
    const picture_drawing *d = l->drawing;
    for (size_t i = 0; i < d->count; i++)
        if (d->solids[i].pole)
            picture_level_add(&places, d->solids[i].origin_mm.x);
    double edge = picture_window_y(&l->window[ABOVE], l->y.to_mm);
    for (size_t i = 1; i < places.count; i++) {
        picture_length_text(places.value_mm[i] - places.value_mm[i - 1], text, sizeof text);
        picture_dimension_across(cairo, picture_window_x(&l->window[ABOVE], places.value_mm[i - 1]),
                                 picture_window_x(&l->window[ABOVE], places.value_mm[i]),
                                 edge - 6.5, edge - string_over_mm, text);
    }
}

/* Width, depth and height of it all. */
static void outer_dimensions(cairo_t *cairo, const layout *l)
{
    const picture_window *above = &l->window[ABOVE], *front = &l->window[FRONT];
    double x0 = picture_window_x(front, l->x.from_mm), x1 = picture_window_x(front, l->x.to_mm);
    double low = picture_window_y(front, l->z.from_mm);
    char text[32];
    picture_length_text(length(l->x), text, sizeof text);
    picture_dimension_across(cairo, x0, x1, low + 6.5, low, text);
    picture_length_text(length(l->y), text, sizeof text);
    picture_dimension_up(cairo, picture_window_y(above, l->y.from_mm),
                         picture_window_y(above, l->y.to_mm), x1 + 7, x1, text);
    picture_length_text(length(l->z), text, sizeof text);
    picture_dimension_up(cairo, low, picture_window_y(front, l->z.to_mm), x1 + 7, x1, text);
}

/* The lowest and the highest axis: all of them would crowd. */
static void add_string_levels(const picture_drawing *d, picture_levels *z)
{
    picture_range range = {INFINITY, -INFINITY};
    for (size_t i = 0; i < d->string_count; i++)
        widen(&range, d->strings[i].z_mm, d->strings[i].z_mm);
    if (d->string_count == 0)
        return;
    picture_level_add(z, range.from_mm);
    picture_level_add(z, range.to_mm);
}

/* Heights to the left of the front view, places along the strings under the end view. */
static void draw_levels(cairo_t *cairo, const layout *l)
{
    picture_levels z = {0}, y = {0};
    const picture_drawing *d = l->drawing;
    for (size_t g = 0; g < l->group_count; g++) {
        const picture_solid *solid = &d->solids[l->groups[g].first];
        picture_range up = picture_reach(solid, ll_vec(0, 0, 1));
        picture_range along = picture_reach(solid, ll_vec(0, 1, 0));
        picture_level_add(&z, up.from_mm);
        picture_level_add(&z, up.to_mm);
        picture_level_add(&y, along.from_mm);
        picture_level_add(&y, along.to_mm);
    }
    add_string_levels(d, &z);
    picture_levels_left(cairo, &z, picture_window_x(&l->window[FRONT], l->x.from_mm),
                        l->window[FRONT].origin_mm[1], l->scale);
    picture_levels_below(cairo, &y, picture_window_y(&l->window[END], l->z.from_mm),
                         l->window[END].origin_mm[0], l->scale);
}

/* Numbers to the right of the end view, led to the bodies of the key. */
static void draw_balloons(cairo_t *cairo, const layout *l)
{
    const picture_window *end = &l->window[END];
    double at[PICTURE_MOST_GROUPS], x = picture_window_x(end, l->y.to_mm) + 11;
    size_t order[PICTURE_MOST_GROUPS] = {0};
    for (size_t g = 0; g < l->group_count; g++) { /* by height, from the top of the sheet */
        double y = picture_window_y(end, l->drawing->solids[l->groups[g].first].origin_mm.z);
        size_t i = g;
        for (; i > 0 && at[i - 1] > y; i--) {
            at[i] = at[i - 1];
            order[i] = order[i - 1];
        }
        at[i] = y;
        order[i] = g;
    }
    picture_spread(l->group_count, at, 5);
    for (size_t i = 0; i < l->group_count; i++) {
        const picture_solid *solid = &l->drawing->solids[l->groups[order[i]].first];
        /* A winding's middle is its hole: lead to the wire on the neck side. */
        picture_range along = picture_reach(solid, ll_vec(0, 1, 0));
        double y_mm = solid->prisms == 2 && solid->prism[1].hole
                          ? along.to_mm - 0.1 * (along.to_mm - along.from_mm)
                          : solid->origin_mm.y;
        double px = picture_window_x(end, y_mm), py = picture_window_y(end, solid->origin_mm.z);
        picture_set_colour(cairo, picture_ink);
        picture_segment(cairo, px, py, x, at[i], PICTURE_HAIR_MM);
        cairo_arc(cairo, px, py, 0.5, 0, 7);
        cairo_fill(cairo);
        picture_balloon(cairo, order[i] + 1, x, at[i]);
    }
}

/* Grey and small: it belongs to no body. */
static void caption(cairo_t *cairo, const char *text, double x, double y, picture_anchor anchor)
{
    picture_set_colour(cairo, picture_grey);
    picture_text(cairo, text, x, y, 2.8, anchor, 0);
}

/* What is looked at, and which side is which. */
static void draw_captions(cairo_t *cairo, const layout *l, double width_mm)
{
    const picture_window *above = &l->window[ABOVE], *front = &l->window[FRONT],
                         *end = &l->window[END];
    double x0 = picture_window_x(above, l->x.from_mm), x1 = picture_window_x(above, l->x.to_mm);
    double top = picture_window_y(above, l->y.to_mm), low = picture_window_y(above, l->y.from_mm);
    double lower = picture_window_y(front, l->z.to_mm) - 6;
    char text[64];
    caption(cairo, "neck", x0 - 3, top, (picture_anchor){1, 1});
    caption(cairo, "bridge", x0 - 3, low, (picture_anchor){1, 0});
    double under = low + string_over_mm + 1;
    if (x1 - x0 < 45) { /* no room for three */
        caption(cairo, "from above, bass to the left", x0, under, (picture_anchor){0, 1});
    } else {
        caption(cairo, "bass", x0, under, (picture_anchor){0, 1});
        caption(cairo, "from above", (x0 + x1) / 2, under, (picture_anchor){0.5, 1});
        caption(cairo, "treble", x1, under, (picture_anchor){1, 1});
    }
    caption(cairo, "from the bridge", x0, lower, (picture_anchor){0, 0});
    caption(cairo, "from the treble side", picture_window_x(end, l->y.from_mm), lower,
            (picture_anchor){0, 0});
    if (l->scale >= 1)
        snprintf(text, sizeof text, "millimetres, scale %.4g : 1", l->scale);
    else
        snprintf(text, sizeof text, "millimetres, scale 1 : %.4g", 1 / l->scale);
    caption(cairo, text, width_mm - PICTURE_MARGIN_MM, PICTURE_MARGIN_MM, (picture_anchor){1, 1});
}

void picture_drawing_draw(cairo_t *cairo, const picture_drawing *drawing, double width_mm,
                          double height_mm)
{
    layout l = {.drawing = drawing};
    measure(&l);
    place(&l, width_mm, height_mm);
    picture_set_colour(cairo, picture_ink);
    picture_fitted_text(cairo, drawing->title, PICTURE_MARGIN_MM, PICTURE_MARGIN_MM,
                        PICTURE_TITLE_MM, width_mm - 2 * PICTURE_MARGIN_MM - scale_mm, true);
    strings_beside(cairo, &l);
    draw_views(cairo, &l);
    pole_spacing(cairo, &l);
    outer_dimensions(cairo, &l);
    draw_levels(cairo, &l);
    draw_balloons(cairo, &l);
    draw_captions(cairo, &l, width_mm);
    picture_key_draw(cairo, drawing->solids, l.group_count, l.groups, PICTURE_MARGIN_MM, l.key_mm,
                     width_mm - 2 * PICTURE_MARGIN_MM);
}
