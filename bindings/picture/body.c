/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "body.h"

double picture_window_x(const picture_window *window, double across_mm)
{
    return window->origin_mm[0] + window->scale * across_mm;
}

double picture_window_y(const picture_window *window, double up_mm)
{
    return window->origin_mm[1] - window->scale * up_mm;
}

/* Pale, so that lines and letters stand out: blue magnets, grey steel, yellow for other metals, a copper winding. */
picture_colour picture_fill_of(picture_stuff stuff)
{
    static const picture_colour fills[PICTURE_STUFFS] = {
        [PICTURE_MAGNET] = {0.70, 0.84, 0.95},
        [PICTURE_STEEL] = {0.78, 0.79, 0.81},
        [PICTURE_METAL] = {0.95, 0.91, 0.68},
        [PICTURE_WINDING] = {0.94, 0.80, 0.68},
    };
    return fills[stuff];
}

/* Appends the closed outline to the path. */
static void add_path(cairo_t *cairo, const picture_window *window, const picture_outline *outline)
{
    for (size_t i = 0; i < outline->corners; i++)
        cairo_line_to(cairo, picture_window_x(window, outline->corner_mm[i][0]),
                      picture_window_y(window, outline->corner_mm[i][1]));
    if (outline->corners > 0)
        cairo_close_path(cairo);
}

/* Every prism as it is seen; a hole only where one looks through it. */
static void add_seen(cairo_t *cairo, const picture_window *window, const picture_solid *solid)
{
    picture_outline outline;
    for (size_t i = 0; i < solid->prisms; i++) {
        if (solid->prism[i].hole && !picture_looked_through(solid, i, &window->view))
            continue;
        picture_seen(solid, i, &window->view, &outline);
        cairo_new_sub_path(cairo);
        add_path(cairo, window, &outline);
    }
}

/* Rings and windings. */
static bool has_hole(const picture_solid *solid)
{
    return solid->prisms == 2 && solid->prism[1].hole;
}

/* Leaves the path of what is seen, and the rule by which a hole in it stays open. */
static void begin_seen(cairo_t *cairo, const picture_window *window, const picture_solid *solid)
{
    cairo_new_path(cairo);
    cairo_set_fill_rule(cairo,
                        has_hole(solid) ? CAIRO_FILL_RULE_EVEN_ODD : CAIRO_FILL_RULE_WINDING);
    add_seen(cairo, window, solid);
}

void picture_draw_seen(cairo_t *cairo, const picture_window *window, const picture_solid *solid)
{
    picture_colour fill = picture_fill_of(solid->stuff);
    begin_seen(cairo, window, solid);
    /* Covers as if of glass: what they hide is what one wants to see. */
    cairo_set_source_rgba(cairo, fill.r, fill.g, fill.b, solid->stuff == PICTURE_METAL ? 0.4 : 1);
    cairo_fill_preserve(cairo);
    picture_set_colour(cairo, picture_ink);
    cairo_set_line_width(cairo, PICTURE_LINE_MM);
    cairo_stroke(cairo);
}

bool picture_covers(cairo_t *cairo, const picture_window *window, const picture_solid *solid,
                    double x_mm, double y_mm)
{
    begin_seen(cairo, window, solid);
    bool inside = cairo_in_fill(cairo, x_mm, y_mm);
    cairo_new_path(cairo);
    return inside;
}

void picture_draw_hidden(cairo_t *cairo, const picture_window *window, const picture_solid *solid,
                         const picture_solid *nearer)
{
    static const double dash[] = {1.2, 0.8};
    cairo_save(cairo);
    begin_seen(cairo, window, nearer);
    cairo_clip(cairo);
    begin_seen(cairo, window, solid);
    picture_set_colour(cairo, picture_grey);
    cairo_set_dash(cairo, dash, 2, 0);
    cairo_set_line_width(cairo, PICTURE_HAIR_MM);
    cairo_stroke(cairo);
    cairo_restore(cairo);
}

/* Corner to corner of the path's box, within the path: how a drawing marks a winding that is cut. */
static void draw_diagonals(cairo_t *cairo)
{
    double x0, y0, x1, y1;
    cairo_save(cairo);
    cairo_path_extents(cairo, &x0, &y0, &x1, &y1);
    cairo_clip(cairo);
    picture_segment(cairo, x0, y0, x1, y1, PICTURE_HAIR_MM);
    picture_segment(cairo, x0, y1, x1, y0, PICTURE_HAIR_MM);
    cairo_restore(cairo);
}

/* What is left of the first outline beside the second, where the hole goes right through it: two pieces. Diagonals
 * then belong to each piece. */
static void draw_winding_cut(cairo_t *cairo, const picture_window *window,
                             const picture_outline *whole, const picture_outline *hole)
{
    double from = INFINITY, to = -INFINITY, low, high, x0, x1;
    for (size_t i = 0; i < hole->corners; i++) {
        from = fmin(from, picture_window_x(window, hole->corner_mm[i][0]));
        to = fmax(to, picture_window_x(window, hole->corner_mm[i][0]));
    }
    add_path(cairo, window, whole);
    cairo_path_extents(cairo, &x0, &low, &x1, &high);
    cairo_new_path(cairo);
    const double sides[2][2] = {{x0, from}, {to, x1}};
    for (int side = 0; side < 2; side++)
        if (sides[side][1] > sides[side][0]) {
            cairo_rectangle(cairo, sides[side][0], low, sides[side][1] - sides[side][0],
                            high - low);
            draw_diagonals(cairo);
        }
}

bool picture_draw_cut(cairo_t *cairo, const picture_window *window, const picture_solid *solid,
                      double at_mm)
{
    picture_outline outline[2] = {{0}, {0}};
    for (size_t i = 0; i < solid->prisms; i++)
        picture_cut(solid, i, &window->view, at_mm, &outline[i]);
    if (outline[0].corners + outline[1].corners < 3)
        return false;
    picture_set_colour(cairo, picture_ink);
    bool through = has_hole(solid) && outline[1].corners > 2 &&
                   !picture_looked_through(solid, 1, &window->view);
    if (solid->stuff == PICTURE_WINDING && through)
        draw_winding_cut(cairo, window, &outline[0], &outline[1]);
    for (size_t i = 0; i < solid->prisms; i++) {
        cairo_new_sub_path(cairo);
        add_path(cairo, window, &outline[i]);
    }
    cairo_set_source_rgb(cairo, 1, 1, 1); /* a white border shows on every colour */
    cairo_set_line_width(cairo, 3.2 * PICTURE_LINE_MM);
    cairo_stroke_preserve(cairo);
    picture_set_colour(cairo, picture_ink);
    cairo_set_line_width(cairo, 1.4 * PICTURE_LINE_MM);
    cairo_stroke(cairo);
    return true;
}

void picture_arrow(cairo_t *cairo, double ax, double ay, double bx, double by, double width_mm,
                   double head_mm)
{
    double length = hypot(bx - ax, by - ay);
    if (length <= 0)
        return;
    double ux = (bx - ax) / length, uy = (by - ay) / length;
    double nx = bx - head_mm * ux, ny = by - head_mm * uy, half = 0.35 * head_mm;
    picture_segment(cairo, ax, ay, nx, ny, width_mm);
    cairo_move_to(cairo, bx, by);
    cairo_line_to(cairo, nx - half * uy, ny + half * ux);
    cairo_line_to(cairo, nx + half * uy, ny - half * ux);
    cairo_close_path(cairo);
    cairo_fill(cairo);
}

/* A letter of a magnet's face about its middle. */
static void letter(cairo_t *cairo, const char *text, double x, double y, double size_mm,
                   bool border)
{
    const picture_anchor middle = {0.5, 0.5};
    if (border)
        picture_text_border(cairo, text, x, y, size_mm, middle);
    picture_set_colour(cairo, picture_ink);
    picture_bold_text(cairo, text, x, y, size_mm, middle);
}

/* Where the letters of a magnet go that is seen from the side. */
typedef struct faces {
    double dx, dy; /* direction to the north face */
    double end_mm; /* from the middle to a letter */
    double size_mm;
} faces;

/* Letters as large as the magnet has room for. */
static faces faces_of(const picture_window *window, const picture_solid *solid)
{
    const picture_view *view = &window->view;
    ll_vec3 flat = ll_add(ll_scale(ll_dot(solid->north, view->across), view->across),
                          ll_scale(ll_dot(solid->north, view->up), view->up));
    ll_vec3 along = ll_scale(1 / ll_norm(flat), flat), beside = ll_cross(view->towards, along);
    picture_range reach = picture_reach(solid, along), wide = picture_reach(solid, beside);
    double room = window->scale * (reach.to_mm - reach.from_mm) / 2;
    double size =
        fmin(fmin(PICTURE_TICK_MM, 0.45 * room), 0.8 * window->scale * (wide.to_mm - wide.from_mm));
    return (faces){ll_dot(along, view->across), -ll_dot(along, view->up), room - 0.8 * size, size};
}

/* A letter at a place on the sheet, unless a plane was given that does not cut the magnet there. */
static void place_letter(cairo_t *cairo, const picture_window *window, const picture_outline *cut,
                         const char *text, double x, double y, double size_mm)
{
    double across = (x - window->origin_mm[0]) / window->scale;
    double up = (window->origin_mm[1] - y) / window->scale;
    if (!cut || picture_within(cut, across, up))
        letter(cairo, text, x, y, size_mm, cut != NULL);
}

/* An arrow from letter to letter, or one letter for the face that is looked at. */
static void draw_magnet(cairo_t *cairo, const picture_window *window, const picture_solid *solid,
                        const picture_outline *cut)
{
    const picture_view *view = &window->view;
    if (solid->stuff != PICTURE_MAGNET || ll_norm(solid->north) == 0)
        return;
    picture_range across = picture_reach(solid, view->across), up = picture_reach(solid, view->up);
    double x = picture_window_x(window, (across.from_mm + across.to_mm) / 2);
    double y = picture_window_y(window, (up.from_mm + up.to_mm) / 2);
    double facing = ll_dot(solid->north, view->towards);
    double smaller = fmin(across.to_mm - across.from_mm, up.to_mm - up.from_mm);
    if (fabs(facing) > 0.7) {
        place_letter(cairo, window, cut, facing > 0 ? "N" : "S", x, y,
                     fmin(PICTURE_LABEL_MM, 0.7 * window->scale * smaller));
        return;
    }
    faces f = faces_of(window, solid);
    double dx = f.end_mm * f.dx, dy = f.end_mm * f.dy, tip = f.end_mm - 0.8 * f.size_mm;
    place_letter(cairo, window, cut, "N", x + dx, y + dy, f.size_mm);
    place_letter(cairo, window, cut, "S", x - dx, y - dy, f.size_mm);
    if (!cut && tip > 0.5)
        picture_arrow(cairo, x - tip * f.dx, y - tip * f.dy, x + tip * f.dx, y + tip * f.dy,
                      PICTURE_HAIR_MM * 1.5, fmin(1.2, tip));
}

void picture_draw_north(cairo_t *cairo, const picture_window *window, const picture_solid *solid)
{
    draw_magnet(cairo, window, solid, NULL);
}

void picture_draw_faces(cairo_t *cairo, const picture_window *window, const picture_solid *solid,
                        double at_mm)
{
    picture_outline cut;
    picture_cut(solid, 0, &window->view, at_mm, &cut);
    draw_magnet(cairo, window, solid, &cut);
}
