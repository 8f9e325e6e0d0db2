/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shape/delaunay.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

typedef struct ll_hull {
    long double (*at)[2]; /* shifted points, then the three corners of a triangle around all */
    int (*triangle)[3];
    size_t triangles, room;
    int (*edge)[2]; /* of the cavity */
    size_t edges, edge_room;
} ll_hull;

/* A number in -1..1 that depends on k alone. */
static long double scatter(uint32_t k)
{
    k ^= k >> 16;
    k *= 0x7feb352du;
    k ^= k >> 15;
    k *= 0x846ca68bu;
    k ^= k >> 16;
    return (long double)k / 2147483648.0L - 1;
}

static void place_points(ll_hull *h, size_t n, const double (*point)[2])
{
    double low[2] = {HUGE_VAL, HUGE_VAL}, high[2] = {-HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < n; i++)
        for (int k = 0; k < 2; k++) {
            low[k] = fmin(low[k], point[i][k]);
            high[k] = fmax(high[k], point[i][k]);
        }
    const long double size = fmax(high[0] - low[0], high[1] - low[1]);
    for (size_t i = 0; i < n; i++)
        for (int k = 0; k < 2; k++)
            h->at[i][k] =
                (point[i][k] - low[k]) / size + 1e-7L * scatter((uint32_t)(2 * i) + (uint32_t)k);
    const long double around[3][2] = {{-300, -200}, {300, -200}, {0.5L, 400}};
    memcpy(h->at + n, around, sizeof around);
}

/* True when p lies inside the circle through the counter-clockwise triangle. */
static bool circle_holds(const ll_hull *h, const int *t, const long double *p)
{
    long double d[3][3];
    for (int k = 0; k < 3; k++) {
        d[k][0] = h->at[t[k]][0] - p[0];
        d[k][1] = h->at[t[k]][1] - p[1];
        d[k][2] = d[k][0] * d[k][0] + d[k][1] * d[k][1];
    }
    return d[0][0] * (d[1][1] * d[2][2] - d[1][2] * d[2][1]) -
               d[0][1] * (d[1][0] * d[2][2] - d[1][2] * d[2][0]) +
               d[0][2] * (d[1][0] * d[2][1] - d[1][1] * d[2][0]) >
           0;
}

/* An edge that two triangles of the cavity share runs both ways and goes; the others are its rim. */
static bool toggle_edge(ll_hull *h, int a, int b)
{
    for (size_t e = 0; e < h->edges; e++)
        if (h->edge[e][0] == b && h->edge[e][1] == a) {
            memcpy(h->edge[e], h->edge[--h->edges], sizeof h->edge[e]);
            return true;
        }
    if (h->edges == h->edge_room) {
        const size_t room = 2 * h->edge_room + 64;
        int(*edge)[2] = realloc(h->edge, room * sizeof *edge);
        if (!edge)
            return false;
        h->edge = edge;
        h->edge_room = room;
    }
    h->edge[h->edges][0] = a;
    h->edge[h->edges++][1] = b;
    return true;
}

static bool insert(ll_hull *h, int p)
{
    h->edges = 0;
    for (size_t t = 0; t < h->triangles;) {
        int *v = h->triangle[t];
        if (!circle_holds(h, v, h->at[p])) {
            t++;
            continue;
        }
        for (int k = 0; k < 3; k++)
            if (!toggle_edge(h, v[k], v[(k + 1) % 3]))
                return false;
        memcpy(v, h->triangle[--h->triangles], sizeof h->triangle[t]);
    }
    for (size_t e = 0; e < h->edges; e++) {
        int *v = h->triangle[h->triangles++];
        v[0] = h->edge[e][0];
        v[1] = h->edge[e][1];
        v[2] = p;
    }
    return true;
}

/* How far the shift that tells points apart may have moved them, of the whole, and some more. */
static const long double shift = 1e-6L;

/* True for three points on a line, which only the shift has made a triangle: one at the rim, outside of all others. */
static bool is_flat(const long double *a, const long double *b, const long double *c)
{
    const long double longest =
        fmaxl(hypotl(b[0] - a[0], b[1] - a[1]),
              fmaxl(hypotl(c[0] - b[0], c[1] - b[1]), hypotl(a[0] - c[0], a[1] - c[1])));
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) < shift * longest;
}

/* Leaves the triangles between real points. */
static void drop_outside(ll_hull *h, int n)
{
    size_t kept = 0;
    for (size_t t = 0; t < h->triangles; t++) {
        const int *v = h->triangle[t];
        if (v[0] < n && v[1] < n && v[2] < n && !is_flat(h->at[v[0]], h->at[v[1]], h->at[v[2]]))
            memmove(h->triangle[kept++], v, sizeof h->triangle[t]);
    }
    h->triangles = kept;
}

ll_status ll_delaunay(size_t points, const double (*point)[2], int (**triangle)[3],
                      size_t *triangles)
{
    /* A triangulation of n points inside a triangle has 2 n + 1 triangles. */
    ll_hull h = {.at = malloc((points + 3) * sizeof *h.at),
                 .triangle = malloc((2 * points + 8) * sizeof *h.triangle)};
    bool fits = h.at && h.triangle;
    if (fits) {
        place_points(&h, points, point);
        const int first[3] = {(int)points, (int)points + 1, (int)points + 2};
        memcpy(h.triangle[0], first, sizeof first);
        h.triangles = 1;
    }
    for (size_t i = 0; fits && i < points; i++)
        fits = insert(&h, (int)i);
    free(h.edge);
    if (fits)
        drop_outside(&h, (int)points);
    free(h.at);
    if (!fits) {
        free(h.triangle);
        return LL_NO_MEMORY;
    }
    *triangle = h.triangle;
    *triangles = h.triangles;
    return LL_OK;
}
