/* rectangle.c - which points are near, and bringing like ones together. SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/rectangle.h"
#include "base/constants.h"
#include "elements/rectangle_kernels.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Heights below this share of the longer side count as on the plane, where the double layer jumps. */
static const double flat_share = 1e-11;
/* Closed forms up to these distances, in sides: the recurrences lose digits further out, and Gauss points cost as much. */
static const double near_short = 1.2, near_long = 0.7;

enum { GROUP = 512, ORDERS = LL_RECTANGLE_POINTS_MOST + 1, WAYS = 2 * ORDERS * ORDERS };

struct ll_rectangle_layers {
    int degree;
    double digits; /* log (1 / tolerance) */
    ll_rectangle_rule rule[LL_RECTANGLE_POINTS_MOST + 1];
};

static ll_status fill_rule(int degree, int n, ll_rectangle_rule *rule)
{
    rule->points = n;
    const ll_status status = ll_gauss_points(n, rule->node, rule->weight);
    for (int i = 0; !status && i < n; i++) {
        double slope[LL_DEGREE_MOST + 1];
        ll_legendre(degree, rule->node[i], rule->charge[i]);
        ll_shapes(degree, rule->node[i], rule->dipole[i], slope);
    }
    return status;
}

ll_status ll_rectangle_layers_new(int degree, double tolerance, ll_rectangle_layers **out)
{
    ll_rectangle_layers *layers = calloc(1, sizeof *layers);
    ll_status status = layers ? LL_OK : LL_NO_MEMORY;
    for (int n = 1; !status && n <= LL_RECTANGLE_POINTS_MOST; n++)
        status = fill_rule(degree, n, &layers->rule[n]);
    if (status) {
        free(layers);
        return status;
    }
    layers->degree = degree;
    layers->digits = -log(tolerance);
    *out = layers;
    return LL_OK;
}

void ll_rectangle_layers_free(ll_rectangle_layers *layers)
{
    free(layers);
}

/* Gauss points for a side seen from a distance: their error falls as rho^-2n, rho the ellipse with foci at the side's ends that
 * goes through the point, and the density takes its own share. */
static int order(const ll_rectangle_layers *layers, double distance, double side)
{
    const double c = 2 * distance / side + 1, rho = c + sqrt(c * c - 1);
    const double n = ceil(0.5 * layers->degree + 0.5 * layers->digits / log(rho));
    return n < LL_RECTANGLE_POINTS_MOST ? (int)n : LL_RECTANGLE_POINTS_MOST;
}

static double outside(const double side[2], double x)
{
    return fmax(0, fmax(side[0] - x, x - side[1]));
}

/* The way to integrate for a point: points along u and along w, 0 for a closed form; then whether it lies on the plane. */
static int way(const ll_rectangle_layers *layers, const ll_rectangle_sides *r, double u, double w,
               double z)
{
    const double lu = r->u[1] - r->u[0], lw = r->w[1] - r->w[0];
    const double longer = fmax(lu, lw), shorter = fmin(lu, lw);
    const double du = outside(r->u, u), dw = outside(r->w, w), d = sqrt(du * du + dw * dw + z * z);
    const int flat = fabs(z) < flat_share * longer;
    const bool long_u = lu >= lw, closed_long = d < near_long * longer;
    if (d < near_short * shorter)
        return flat;
    const int mu = closed_long && long_u ? 0 : order(layers, d, lu);
    const int mw = closed_long && !long_u ? 0 : order(layers, d, lw);
    return 2 * (mu * ORDERS + mw) + flat;
}

/* The half closed kernel is closed along its u: a rectangle whose long side is w is turned, and its values are renamed. */
static void half_along_w(int p, const ll_rectangle_sides *r, const ll_rectangle_rule *rule,
                         const ll_lane_points *at, bool flat, ll_lane_values *out)
{
    const ll_rectangle_sides turned = {{r->w[0], r->w[1]}, {r->u[0], r->u[1]}};
    ll_lane_points place = *at;
    memcpy(place.u, at->w, sizeof place.u);
    memcpy(place.w, at->u, sizeof place.w);
    ll_lane_values values[LL_RECTANGLE_VALUES_MOST];
    ll_rectangle_half(p, &turned, rule, &place, flat, values);
    for (int g = 0; g < p; g++)
        for (int h = 0; h < p; h++)
            memcpy(out[g * p + h], values[h * p + g], sizeof out[0]);
    ll_lane_values *from = values + p * p;
    for (int g = 0; g <= p; g++)
        for (int h = 0; h <= p; h++)
            memcpy(out[p * p + g * (p + 1) + h], from[h * (p + 1) + g], sizeof out[0]);
}

static void integrate(const ll_rectangle_layers *layers, const ll_rectangle_sides *r, int which,
                      const ll_lane_points *at, ll_lane_values *out)
{
    const bool flat = which & 1;
    const int p = layers->degree, mu = which / 2 / ORDERS, mw = which / 2 % ORDERS;
    if (mu && mw)
        ll_rectangle_gauss(p, r, &layers->rule[mu], &layers->rule[mw], at, flat, out);
    else if (mw)
        ll_rectangle_half(p, r, &layers->rule[mw], at, flat, out);
    else if (mu)
        half_along_w(p, r, &layers->rule[mu], at, flat, out);
    else
        ll_rectangle_closed(p, r, at, flat, out);
}

/* Points of a group that go the same way, as a chain: first[way], next[point]; -1 ends it. */
typedef struct chains {
    int ways, way[GROUP]; /* those in use */
    short first[WAYS], next[GROUP];
} chains;

static void sort_points(const ll_rectangle_layers *layers, const ll_rectangle_sides *r, int n,
                        const double *u, const double *w, const double *z, chains *c)
{
    c->ways = 0;
    for (int i = 0; i < n; i++) {
        const int which = way(layers, r, u[i], w[i], z[i]);
        if (c->first[which] < 0)
            c->way[c->ways++] = which;
        c->next[i] = c->first[which];
        c->first[which] = (short)i;
    }
}

/* The next points of a chain, the last one again where it ends. */
static int take_lanes(chains *c, int which, const double *const place[3], ll_lane_points *at,
                      int *point)
{
    int count = 0;
    for (; count < LL_LANES && c->first[which] >= 0; count++) {
        point[count] = c->first[which];
        c->first[which] = c->next[point[count]];
    }
    for (int l = 0; l < LL_LANES; l++) {
        const int i = point[l < count ? l : count - 1];
        at->u[l] = place[0][i];
        at->w[l] = place[1][i];
        at->z[l] = place[2][i];
    }
    return count;
}

static void one_group(const ll_rectangle_layers *layers, const ll_rectangle_sides *r,
                      const double *const place[3], chains *c, double *value)
{
    const int values = ll_rectangle_values(layers->degree);
    for (int k = 0; k < c->ways; k++)
        while (c->first[c->way[k]] >= 0) {
            ll_lane_points at;
            ll_lane_values out[LL_RECTANGLE_VALUES_MOST];
            int point[LL_LANES];
            const int count = take_lanes(c, c->way[k], place, &at, point);
            integrate(layers, r, c->way[k], &at, out);
            for (int l = 0; l < count; l++)
                for (int q = 0; q < values; q++)
                    value[(size_t)point[l] * (size_t)values + (size_t)q] =
                        out[q][l] * (1 / (4 * LL_PI)); /* NOLINT: integrate fills so many */
        }
}

void ll_rectangle_potentials(const ll_rectangle_layers *layers, const ll_rectangle_sides *r,
                             size_t n, const double *u, const double *w, const double *z,
                             double *value)
{
    const size_t values = (size_t)ll_rectangle_values(layers->degree);
    chains c;
    memset(c.first, -1, sizeof c.first);
    for (size_t from = 0; from < n; from += GROUP) {
        const int count = n - from < GROUP ? (int)(n - from) : GROUP;
        const double *const place[3] = {u + from, w + from, z + from};
        sort_points(layers, r, count, place[0], place[1], place[2], &c);
        one_group(layers, r, place, &c, value + from * values);
    }
}
