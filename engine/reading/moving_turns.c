/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "reading/moving_turns.h"
#include "base/constants.h"
#include "base/gauss.h"
#include "reading/readings.h"

#include <stdlib.h>

/* Pieces of a turn are about this long: short against the poles that they pass. */
static const double piece_m = 1e-3;
/* Gauss points over the depth and the height of the section. */
enum { ACROSS = 3 };

/* Pieces of turns: where, and length times direction times share of all turns; in the coil's own axes. */
typedef struct ll_pieces {
    size_t n;
    ll_vec3 *at, *along;
} ll_pieces;

static void add_piece(ll_pieces *p, ll_vec3 at, ll_vec3 along)
{
    if (p->at) {
        p->at[p->n] = at;
        p->along[p->n] = along;
    }
    p->n++;
}

/* From `from` to `to`, by midpoints. */
static void add_straight(ll_pieces *p, ll_vec3 from, ll_vec3 to, double weight)
{
    const ll_vec3 way = ll_sub(to, from);
    const int count = (int)ceil(ll_norm(way) / piece_m);
    for (int i = 0; i < count; i++)
        add_piece(p, ll_add(from, ll_scale((i + 0.5) / count, way)), ll_scale(weight / count, way));
}

/* A quarter of a circle, counter-clockwise from the angle. */
static void add_corner(ll_pieces *p, ll_vec3 centre, double radius_m, double from_rad,
                       double weight)
{
    const int count = (int)ceil(LL_PI / 2 * radius_m / piece_m);
    const double step = LL_PI / 2 / fmax(count, 1);
    for (int i = 0; i < count; i++) {
        const double angle = from_rad + (i + 0.5) * step;
        const ll_vec3 out = ll_vec(cos(angle), sin(angle), 0);
        add_piece(p, ll_add(centre, ll_scale(radius_m, out)),
                  ll_scale(weight * radius_m * step, ll_vec(-out.y, out.x, 0)));
    }
}

/* One turn, counter-clockwise: four straights and the corners between them. */
static void add_turn(ll_pieces *p, const ll_coil_shape *c, double depth_m, double z_m,
                     double weight)
{
    const double x = c->opening_x_m / 2 - c->corner_m, y = c->opening_y_m / 2 - c->corner_m;
    const double r = c->corner_m + depth_m;
    add_straight(p, ll_vec(x + r, -y, z_m), ll_vec(x + r, y, z_m), weight);
    add_corner(p, ll_vec(x, y, z_m), r, 0, weight);
    add_straight(p, ll_vec(x, y + r, z_m), ll_vec(-x, y + r, z_m), weight);
    add_corner(p, ll_vec(-x, y, z_m), r, LL_PI / 2, weight);
    add_straight(p, ll_vec(-x - r, y, z_m), ll_vec(-x - r, -y, z_m), weight);
    add_corner(p, ll_vec(-x, -y, z_m), r, LL_PI, weight);
    add_straight(p, ll_vec(-x, -y - r, z_m), ll_vec(x, -y - r, z_m), weight);
    add_corner(p, ll_vec(x, -y, z_m), r, 3 * LL_PI / 2, weight);
}

/* Weights on (-1, 1) sum to 2. */
static void add_section(ll_pieces *p, const ll_coil_shape *c, double from_m, double to_m,
                        const double node[ACROSS], const double weight[ACROSS])
{
    p->n = 0;
    for (int i = 0; i < ACROSS; i++)
        for (int k = 0; k < ACROSS; k++)
            add_turn(p, c, (from_m + to_m) / 2 + node[i] * (to_m - from_m) / 2,
                     node[k] * c->height_m / 2, weight[i] * weight[k] / 4);
}

/* Counted first, then kept; `at` and `along` in one block. */
static ll_status pieces_new(const ll_coil *coil, double from_m, double to_m, ll_pieces *p)
{
    double node[ACROSS], weight[ACROSS];
    *p = (ll_pieces){0, NULL, NULL};
    const ll_status status = ll_gauss_points(ACROSS, node, weight);
    if (status)
        return status;
    add_section(p, &coil->shape, from_m, to_m, node, weight);
    ll_vec3 *room = malloc(2 * p->n * sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    p->at = room;
    p->along = room + p->n;
    add_section(p, &coil->shape, from_m, to_m, node, weight);
    for (size_t i = 0; i < p->n; i++) {
        p->at[i] = ll_to_world(&coil->pose, p->at[i]);
        p->along[i] = ll_rotate(&coil->pose.rotation, p->along[i]);
    }
    return LL_OK;
}

ll_status ll_moving_turns(const ll_solution *s, size_t coil, double from_depth_m, double to_depth_m,
                          double turns, ll_vec3 *volt_s_per_m)
{
    const ll_coil *c = ll_scene_coil(ll_solution_scene(s), coil);
    if (!c)
        return LL_NO_COIL;
    if (!(from_depth_m >= 0) || !(to_depth_m >= from_depth_m) || !(to_depth_m <= c->shape.build_m))
        return LL_BAD_VALUE;
    ll_pieces p;
    ll_status status = pieces_new(c, from_depth_m, to_depth_m, &p);
    ll_vec3 *b = status ? NULL : malloc(p.n * sizeof *b), sum = ll_vec(0, 0, 0);
    if (!status)
        status = b ? ll_solution_b(s, p.n, p.at, b) : LL_NO_MEMORY;
    for (size_t i = 0; i < p.n && !status; i++)
        sum = ll_add(sum, ll_cross(b[i], p.along[i]));
    if (!status)
        *volt_s_per_m = ll_scale(turns, sum);
    free(b);
    free(p.at);
    return status;
}
