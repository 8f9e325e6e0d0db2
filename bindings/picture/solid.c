/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "solid.h"
#include <stdlib.h>

static const double pi = 3.14159265358979323846;

/* A corner without a radius is one point, of those with one a quarter of all corners make an arc. */
picture_prism picture_rectangle(double x_mm, double y_mm, double corner_mm, double from_mm,
                                double to_mm)
{
    picture_prism prism = {.from_mm = from_mm, .to_mm = to_mm};
    size_t each = corner_mm > 0 ? PICTURE_CORNERS / 4 : 1;
    double dx = x_mm / 2 - corner_mm, dy = y_mm / 2 - corner_mm;
    static const double sign[4][2] = {{1, 1}, {-1, 1}, {-1, -1}, {1, -1}};
    for (size_t q = 0; q < 4; q++)
        for (size_t i = 0; i < each; i++) {
            double share = each > 1 ? (double)i / (double)(each - 1) : 0.5;
            double angle = ((double)q + share) * pi / 2;
            double *corner = prism.corner_mm[prism.corners++];
            corner[0] = sign[q][0] * dx + corner_mm * cos(angle);
            corner[1] = sign[q][1] * dy + corner_mm * sin(angle);
        }
    return prism;
}

picture_prism picture_circle(double diameter_mm, double from_mm, double to_mm)
{
    picture_prism prism = {.corners = PICTURE_CORNERS, .from_mm = from_mm, .to_mm = to_mm};
    for (size_t i = 0; i < PICTURE_CORNERS; i++) {
        double angle = 2 * pi * (double)i / PICTURE_CORNERS;
        prism.corner_mm[i][0] = diameter_mm / 2 * cos(angle);
        prism.corner_mm[i][1] = diameter_mm / 2 * sin(angle);
    }
    return prism;
}

/* Corner c of the lower or the upper base, in the world. */
static ll_vec3 corner_at(const picture_solid *solid, const picture_prism *prism, size_t c,
                         bool upper)
{
    ll_vec3 own = ll_vec(prism->corner_mm[c][0], prism->corner_mm[c][1],
                         upper ? prism->to_mm : prism->from_mm);
    return ll_add(solid->origin_mm, ll_rotate(&solid->rotation, own));
}

/* Twice the area of the triangle a b c, positive when it turns left. */
static double turn(const double a[2], const double b[2], const double c[2])
{
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

/* By the first coordinate, then by the second: the order that the hull needs. */
static int from_left(const void *a, const void *b)
{
    const double *p = a, *q = b;
    if (p[0] < q[0] || p[0] > q[0])
        return p[0] < q[0] ? -1 : 1;
    return (p[1] > q[1]) - (p[1] < q[1]);
}

enum { MOST_POINTS = 4 * PICTURE_CORNERS };

/* The convex hull of the points, which are sorted: Andrew's monotone chain (1979), lower half and then upper half. */
static void hull_of(size_t count, double point[][2], picture_outline *out)
{
    double chain[2 * MOST_POINTS][2];
    size_t n = 0, least = 2;
    qsort(point, count, sizeof *point, from_left);
    for (size_t pass = 0; pass < 2; pass++) {
        for (size_t k = 0; k < count; k++) {
            const double *p = point[pass ? count - 1 - k : k];
            while (n >= least && turn(chain[n - 2], chain[n - 1], p) <= 0)
                n--;
            chain[n][0] = p[0];
            chain[n++][1] = p[1];
        }
        n -= n > 0; /* the last point begins the other half */
        least = n + 2;
    }
    out->corners = n < 2 * PICTURE_CORNERS ? n : 2 * PICTURE_CORNERS;
    for (size_t i = 0; i < out->corners; i++) {
        out->corner_mm[i][0] = chain[i][0];
        out->corner_mm[i][1] = chain[i][1];
    }
}

/* A place in the world as it falls on the view. */
static void add_point(const picture_view *view, ll_vec3 at, double point[][2], size_t *count)
{
    point[*count][0] = ll_dot(view->across, at);
    point[(*count)++][1] = ll_dot(view->up, at);
}

void picture_seen(const picture_solid *solid, size_t i, const picture_view *view,
                  picture_outline *out)
{
    const picture_prism *prism = &solid->prism[i];
    double point[MOST_POINTS][2];
    size_t count = 0;
    for (size_t c = 0; c < prism->corners; c++) {
        add_point(view, corner_at(solid, prism, c, false), point, &count);
        add_point(view, corner_at(solid, prism, c, true), point, &count);
    }
    hull_of(count, point, out);
}

/* Where the edge from a to b goes through the plane. */
static void cut_edge(const picture_view *view, double at_mm, ll_vec3 a, ll_vec3 b,
                     double point[][2], size_t *count)
{
    double da = ll_dot(view->towards, a) - at_mm, db = ll_dot(view->towards, b) - at_mm;
    if ((da >= 0) == (db >= 0))
        return;
    add_point(view, ll_add(a, ll_scale(da / (da - db), ll_sub(b, a))), point, count);
}

void picture_cut(const picture_solid *solid, size_t i, const picture_view *view, double at_mm,
                 picture_outline *out)
{
    const picture_prism *prism = &solid->prism[i];
    double point[MOST_POINTS][2];
    size_t count = 0;
    for (size_t c = 0; c < prism->corners; c++) {
        size_t next = (c + 1) % prism->corners;
        ll_vec3 low = corner_at(solid, prism, c, false), high = corner_at(solid, prism, c, true);
        cut_edge(view, at_mm, low, high, point, &count);
        cut_edge(view, at_mm, low, corner_at(solid, prism, next, false), point, &count);
        cut_edge(view, at_mm, high, corner_at(solid, prism, next, true), point, &count);
    }
    hull_of(count, point, out);
}

bool picture_within(const picture_outline *outline, double across_mm, double up_mm)
{
    const double at[2] = {across_mm, up_mm};
    for (size_t i = 0; i < outline->corners; i++)
        if (turn(outline->corner_mm[i], outline->corner_mm[(i + 1) % outline->corners], at) < 0)
            return false;
    return outline->corners > 2;
}

bool picture_looked_through(const picture_solid *solid, size_t i, const picture_view *view)
{
    ll_vec3 axis = ll_rotate(&solid->rotation, ll_vec(0, 0, 1));
    return solid->prism[i].hole && fabs(ll_dot(axis, view->towards)) > 1 - 1e-9;
}

picture_range picture_reach(const picture_solid *solid, ll_vec3 direction)
{
    picture_range range = {INFINITY, -INFINITY};
    for (size_t i = 0; i < solid->prisms; i++)
        for (size_t c = 0; c < 2 * solid->prism[i].corners; c++) {
            double at = ll_dot(direction, corner_at(solid, &solid->prism[i], c / 2, c % 2));
            range.from_mm = fmin(range.from_mm, at);
            range.to_mm = fmax(range.to_mm, at);
        }
    return range;
}
