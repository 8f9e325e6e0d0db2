/* A plate with holes as rectangles: bands between the openings' edges along y, in each what they leave along x.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "scene/scene.h"

#include <math.h>
#include <stdlib.h>

/* Thinner strips are rounding. */
static const double thinnest_m = 1e-7;

static int rising(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Where bands begin and end: the plate's edges and those of all openings within it. */
static size_t band_edges(double y_m, size_t n, const ll_vec3 *middle_m, const double *radius_m,
                         double *edge)
{
    size_t count = 0;
    edge[count++] = -y_m / 2;
    for (size_t i = 0; i < n; i++)
        for (int side = -1; side <= 1; side += 2)
            edge[count++] = fmax(-y_m / 2, fmin(y_m / 2, middle_m[i].y + side * radius_m[i]));
    edge[count++] = y_m / 2;
    qsort(edge, count, sizeof *edge, rising);
    return count;
}

/* The nearest opening's left edge at or after x in a band, with the furthest right edge of those that begin there. */
static size_t next_opening(double from_m, double y_m, size_t n, const ll_vec3 *middle_m,
                           const double *radius_m)
{
    size_t best = n;
    for (size_t i = 0; i < n; i++) {
        const double right = middle_m[i].x + radius_m[i];
        if (fabs(middle_m[i].y - y_m) < radius_m[i] && right > from_m &&
            (best == n || middle_m[i].x - radius_m[i] < middle_m[best].x - radius_m[best]))
            best = i;
    }
    return best;
}

static void add(double left, double right, double low, double high, size_t room, ll_tile *tile,
                size_t *count)
{
    if (right - left < thinnest_m)
        return;
    if (*count < room)
        tile[*count] = (ll_tile){{left, right}, {low, high}};
    ++*count;
}

size_t ll_plate_tiles(double x_m, double y_m, size_t n, const ll_vec3 *middle_m,
                      const double *radius_m, size_t room, ll_tile *tile)
{
    double edge[2 * LL_MOST_HOLES + 2];
    size_t count = 0;
    n = n < LL_MOST_HOLES ? n : LL_MOST_HOLES;
    const size_t edges = band_edges(y_m, n, middle_m, radius_m, edge);
    for (size_t band = 0; band + 1 < edges; band++) {
        const double low = edge[band], high = edge[band + 1];
        double from = -x_m / 2;
        if (high - low < thinnest_m)
            continue;
        for (size_t i; (i = next_opening(from, (low + high) / 2, n, middle_m, radius_m)) < n;) {
            add(from, fmin(x_m / 2, middle_m[i].x - radius_m[i]), low, high, room, tile, &count);
            from = middle_m[i].x + radius_m[i];
        }
        add(from, x_m / 2, low, high, room, tile, &count);
    }
    return count;
}
