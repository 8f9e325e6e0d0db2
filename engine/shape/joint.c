/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shape/joint.h"
#include "shape/delaunay.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* Two outline points nearer than this are one; a free point keeps this share of a segment's length clear of it. */
static const double same_m = 1e-6, clear_share = 0.5;
enum { MOST_ROUNDS = 12 };

typedef struct ll_sketch {
    size_t points, point_room, segments, segment_room;
    double (*point)[2];
    int (*segment)[2];
} ll_sketch;

static bool add_point(ll_sketch *s, const double at[2])
{
    if (s->points == s->point_room) {
        const size_t room = 2 * s->point_room + 256;
        double(*point)[2] = realloc(s->point, room * sizeof *point);
        if (!point)
            return false;
        s->point = point;
        s->point_room = room;
    }
    memcpy(s->point[s->points++], at, sizeof(double[2]));
    return true;
}

static bool add_segment(ll_sketch *s, int a, int b)
{
    if (a == b)
        return true;
    if (s->segments == s->segment_room) {
        const size_t room = 2 * s->segment_room + 256;
        int(*segment)[2] = realloc(s->segment, room * sizeof *segment);
        if (!segment)
            return false;
        s->segment = segment;
        s->segment_room = room;
    }
    s->segment[s->segments][0] = a;
    s->segment[s->segments++][1] = b;
    return true;
}

static double apart(const double a[2], const double b[2])
{
    return hypot(a[0] - b[0], a[1] - b[1]);
}

/* Where along the segment from a to b the foot of p lies, 0 to 1, and how far off p is. */
static double foot(const double a[2], const double b[2], const double p[2], double *off)
{
    const double dx = b[0] - a[0], dy = b[1] - a[1], l2 = dx * dx + dy * dy;
    const double t = fmin(1, fmax(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / l2));
    *off = hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
    return t;
}

/* The number of an outline point, new or already there. */
static int outline_point(ll_sketch *s, const double at[2])
{
    for (size_t i = 0; i < s->points; i++)
        if (apart(s->point[i], at) < same_m)
            return (int)i;
    return add_point(s, at) ? (int)s->points - 1 : -1;
}

static bool add_outline(ll_sketch *s, const ll_drawing *d)
{
    for (size_t k = 0; k < d->segments; k++) {
        const int a = outline_point(s, d->plan.node[d->segment[k][0]]);
        const int b = outline_point(s, d->plan.node[d->segment[k][1]]);
        if (a < 0 || b < 0 || !add_segment(s, a, b))
            return false;
    }
    return true;
}

/* Splits segment k at a point. */
static bool split(ll_sketch *s, size_t k, int at)
{
    const int end = s->segment[k][1];
    if (at < 0)
        return false;
    if (at == s->segment[k][0] || at == end)
        return true;
    s->segment[k][1] = at;
    return add_segment(s, at, end);
}

/* Outline points that lie on another outline's segment split it. */
static bool split_at_points(ll_sketch *s)
{
    for (size_t k = 0; k < s->segments; k++)
        for (size_t p = 0; p < s->points; p++) {
            const int *v = s->segment[k];
            double off;
            if ((int)p == v[0] || (int)p == v[1])
                continue;
            const double t = foot(s->point[v[0]], s->point[v[1]], s->point[p], &off);
            if (off < same_m && t > 0 && t < 1 && !split(s, k, (int)p))
                return false;
        }
    return true;
}

/* Two segments that cross split each other at the crossing. */
static bool split_at_crossings(ll_sketch *s)
{
    for (size_t i = 0; i < s->segments; i++)
        for (size_t j = 0; j < i; j++) {
            const double *a = s->point[s->segment[i][0]], *b = s->point[s->segment[i][1]];
            const double *c = s->point[s->segment[j][0]], *d = s->point[s->segment[j][1]];
            const double ux = b[0] - a[0], uy = b[1] - a[1], vx = d[0] - c[0], vy = d[1] - c[1];
            const double det = ux * vy - uy * vx;
            if (fabs(det) < 1e-12 * hypot(ux, uy) * hypot(vx, vy))
                continue;
            const double t = ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / det;
            const double r = ((c[0] - a[0]) * uy - (c[1] - a[1]) * ux) / det;
            if (t <= 0 || t >= 1 || r <= 0 || r >= 1)
                continue;
            const double at[2] = {a[0] + t * ux, a[1] + t * uy};
            const int p = outline_point(s, at);
            if (!split(s, i, p) || !split(s, j, p))
                return false;
        }
    return true;
}

/* Two outlines may have given the same segment. */
static void drop_double_segments(ll_sketch *s)
{
    for (size_t i = 0; i < s->segments; i++)
        for (size_t j = s->segments; j-- > i + 1;)
            if ((s->segment[i][0] == s->segment[j][0] && s->segment[i][1] == s->segment[j][1]) ||
                (s->segment[i][0] == s->segment[j][1] && s->segment[i][1] == s->segment[j][0]))
                memcpy(s->segment[j], s->segment[--s->segments], sizeof s->segment[j]);
}

static bool is_outline_node(const ll_drawing *d, size_t node)
{
    for (size_t k = 0; k < d->segments; k++)
        if (d->segment[k][0] == (int)node || d->segment[k][1] == (int)node)
            return true;
    return false;
}

/* Which outline points lie on a prism's own outline. */
static bool *mark_own(const ll_sketch *s, const ll_prism *p, const ll_sizing *sizing)
{
    bool *own = malloc((s->points + 1) * sizeof *own);
    for (size_t i = 0; own && i < s->points; i++)
        own[i] = fabs(ll_outline_depth(p, sizing, s->point[i])) < same_m;
    return own;
}

/* A free point must keep clear of outlines that are not its own prism's, and of smaller prisms, which bring their own
 * points. */
static bool is_free(const ll_sketch *s, const bool *own, size_t rank, const ll_prism *sorted,
                    const ll_sizing *sizing, const double at[2])
{
    for (size_t q = 0; q < rank; q++)
        if (ll_outline_depth(&sorted[q], sizing, at) > -same_m)
            return false;
    for (size_t k = 0; k < s->segments; k++) {
        const int *v = s->segment[k];
        if (own[v[0]] && own[v[1]])
            continue;
        double off;
        foot(s->point[v[0]], s->point[v[1]], at, &off);
        if (off < clear_share * apart(s->point[v[0]], s->point[v[1]]))
            return false;
    }
    return true;
}

/* The free points of the prism of a rank. */
static ll_status add_free_points(ll_sketch *s, size_t rank, const ll_prism *sorted,
                                 const ll_sizing *sizing)
{
    ll_drawing d;
    const ll_status status = ll_outline_draw(&sorted[rank], sizing, &d);
    if (status)
        return status;
    bool *own = mark_own(s, &sorted[rank], sizing);
    bool fits = own != NULL;
    for (size_t n = 0; n < d.plan.nodes && fits; n++)
        if (!is_outline_node(&d, n) && is_free(s, own, rank, sorted, sizing, d.plan.node[n]))
            fits = add_point(s, d.plan.node[n]);
    free(own);
    ll_drawing_clear(&d);
    return fits ? LL_OK : LL_NO_MEMORY;
}

static double area_of(const ll_prism *p)
{
    return p->radius > 0 ? 3 * p->radius * p->radius : 4 * p->half[0] * p->half[1];
}

static int by_area(const void *a, const void *b)
{
    const double d = area_of(a) - area_of(b);
    return (d > 0) - (d < 0);
}

static bool has_edge(int (*triangle)[3], size_t triangles, int a, int b)
{
    for (size_t t = 0; t < triangles; t++) {
        int seen = 0;
        for (int k = 0; k < 3; k++)
            seen += triangle[t][k] == a || triangle[t][k] == b;
        if (seen == 2)
            return true;
    }
    return false;
}

/* Triangulates, halving outline segments until each is an edge. */
static ll_status triangulate(ll_sketch *s, int (**triangle)[3], size_t *triangles)
{
    for (int round = 0; round < MOST_ROUNDS; round++) {
        const ll_status status =
            ll_delaunay(s->points, (const double(*)[2])s->point, triangle, triangles);
        if (status)
            return status;
        bool whole = true;
        for (size_t k = s->segments; k-- > 0;) {
            const int a = s->segment[k][0], b = s->segment[k][1];
            if (has_edge(*triangle, *triangles, a, b))
                continue;
            whole = false;
            const double mid[2] = {0.5 * (s->point[a][0] + s->point[b][0]),
                                   0.5 * (s->point[a][1] + s->point[b][1])};
            if (!add_point(s, mid) || !split(s, k, (int)s->points - 1)) {
                free(*triangle);
                return LL_NO_MEMORY;
            }
        }
        if (whole)
            return LL_OK;
        free(*triangle);
    }
    return LL_BAD_VALUE;
}

/* Outlines first, then the free points of each prism, the smallest prism first. */
static ll_status sketch(size_t count, const ll_prism *sorted, const ll_sizing *sizing, ll_sketch *s)
{
    for (size_t k = 0; k < count; k++) {
        ll_drawing d;
        const ll_status status = ll_outline_draw(&sorted[k], sizing, &d);
        const bool added = !status && add_outline(s, &d);
        ll_drawing_clear(&d);
        if (!added)
            return status ? status : LL_NO_MEMORY;
    }
    if (!split_at_points(s) || !split_at_crossings(s))
        return LL_NO_MEMORY;
    drop_double_segments(s);
    ll_status status = LL_OK;
    for (size_t k = 0; k < count && !status; k++)
        status = add_free_points(s, k, sorted, sizing);
    return status;
}

ll_status ll_joint_plan(size_t count, const ll_prism *prism, const ll_sizing *sizing, ll_plan *out)
{
    ll_sketch s = {0};
    ll_prism *sorted = malloc(count * sizeof *sorted);
    if (!sorted)
        return LL_NO_MEMORY;
    memcpy(sorted, prism, count * sizeof *sorted);
    qsort(sorted, count, sizeof *sorted, by_area);
    ll_plan plan = {0};
    ll_status status = sketch(count, sorted, sizing, &s);
    if (!status)
        status = triangulate(&s, &plan.triangle, &plan.triangles);
    free(sorted);
    free(s.segment);
    plan.node = s.point;
    plan.nodes = s.points;
    plan.zone = status ? NULL : calloc(plan.triangles + 1, sizeof *plan.zone);
    if (status || !plan.zone) {
        if (status)
            plan.triangle = NULL;
        ll_plan_clear(&plan);
        return status ? status : LL_NO_MEMORY;
    }
    *out = plan;
    return LL_OK;
}
