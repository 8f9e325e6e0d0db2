/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/form_coil.h"
#include "base/constants.h"
#include "field/source.h"
#include "scene/scene_data.h"

#include <math.h>
#include <stdlib.h>

/* Steps of a way around a ring. */
enum { AROUND = 48 };

/* A way inside the part, and how often it has left the coil's hole through its upper end so far. */
typedef struct ll_way {
    const ll_coil *coil;
    const ll_part *part;
    ll_vec3 at; /* the coil's frame */
    int up;
} ll_way;

static ll_vec3 in_coil(const ll_coil *coil, const ll_part *part, ll_vec3 own)
{
    return ll_to_own(&coil->pose, ll_to_world(&part->pose, own));
}

static void go_to(ll_way *way, ll_vec3 own)
{
    const ll_vec3 to = in_coil(way->coil, way->part, own);
    way->up += ll_coil_ways_up(way->coil, way->at, to);
    way->at = to;
}

/* A solid part: along its axis, then straight across. A block is as solid. */
static void go_inside(ll_way *way, ll_vec3 own)
{
    if (way->part->shape.kind != LL_BLOCK)
        go_to(way, ll_vec(0, 0, own.z));
    go_to(way, own);
}

/* A ring: around in the middle of its wall, then up and across. */
static void go_around(ll_way *way, double angle)
{
    const ll_shape *s = &way->part->shape;
    const double r = 0.5 * (s->inner_radius_m + s->radius_m);
    const int steps = (int)ceil(AROUND * fabs(angle) / (2 * LL_PI));
    for (int k = 1; k <= steps; k++)
        go_to(way, ll_vec(r * cos(angle * k / steps), r * sin(angle * k / steps), 0));
}

static ll_way start(const ll_coil *coil, const ll_part *part)
{
    const ll_shape *s = &part->shape;
    const double r = s->kind == LL_RING ? 0.5 * (s->inner_radius_m + s->radius_m) : 0;
    return (ll_way){coil, part, in_coil(coil, part, ll_vec(r, 0, 0)), 0};
}

static int ways_to(const ll_coil *coil, const ll_part *part, ll_vec3 own)
{
    ll_way way = start(coil, part);
    if (part->shape.kind != LL_RING) {
        go_inside(&way, own);
        return way.up;
    }
    const double r = 0.5 * (part->shape.inner_radius_m + part->shape.radius_m);
    const double angle = atan2(own.y, own.x);
    go_around(&way, angle);
    go_to(&way, ll_vec(r * cos(angle), r * sin(angle), own.z));
    go_to(&way, own);
    return way.up;
}

static bool closes_a_ring(const ll_coil *coil, const ll_part *part)
{
    if (part->shape.kind != LL_RING)
        return false;
    ll_way way = start(coil, part);
    go_around(&way, 2 * LL_PI);
    return way.up != 0;
}

/* How much the potential has fallen on the way to a point. */
static double fall(const ll_coil *coil, const ll_part *part, ll_vec3 world_m)
{
    const ll_vec3 at = ll_to_own(&coil->pose, world_m);
    const double height = coil->shape.height_m;
    double fallen = ways_to(coil, part, ll_to_own(&part->pose, world_m));
    if (ll_coil_outline_holds(coil, at) && fabs(at.z) < height / 2)
        fallen += at.z / height + 0.5;
    return coil->turns * fallen;
}

ll_status ll_form_coil_potential(const ll_coil *coil, const ll_part *part, size_t n,
                                 const ll_vec3 *points_m, double *psi, ll_vec3 *h_per_m)
{
    if (closes_a_ring(coil, part))
        return LL_RING_AROUND_COIL;
    const ll_status status =
        h_per_m ? ll_coil_h_and_potential(&coil->shape, &coil->pose, coil->turns, n, points_m,
                                          h_per_m, psi)
                : ll_coil_potential(&coil->shape, &coil->pose, coil->turns, n, points_m, psi);
    for (size_t i = 0; i < n && !status; i++)
        psi[i] -= fall(coil, part, points_m[i]);
    return status;
}
