/* convex.c - the least shift that parts two boxes or round bars.
 *
 * Seen along a unit direction u, two solids with half-extents h_a(u), h_b(u) and centres d apart cut into each other
 * by f(u) = h_a + h_b - |u . d|. The least f over all directions is the least shift that parts them, or, where
 * it is negative, minus their distance (separating axes: Gottschalk, Lin & Manocha, SIGGRAPH 1996). f is
 * smooth but for kinks on the great circles across the solids' axes. Its minima lie at the kinks' crossings, along a
 * kink, or between them, and are looked for in each of these.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "shape/convex.h"
#include "base/constants.h"

typedef struct search {
    const ll_convex *a, *b;
    ll_vec3 apart_m;
    double least_m;
    ll_vec3 direction;
} search;

static double half_extent(const ll_convex *c, ll_vec3 u)
{
    const double along = fabs(ll_dot(u, c->axis[2]));
    if (c->round)
        return c->half_m[2] * along + c->half_m[0] * ll_norm(ll_cross(u, c->axis[2]));
    return c->half_m[0] * fabs(ll_dot(u, c->axis[0])) + c->half_m[1] * fabs(ll_dot(u, c->axis[1])) +
           c->half_m[2] * along;
}

static double parting(const search *s, ll_vec3 u)
{
    return half_extent(s->a, u) + half_extent(s->b, u) - fabs(ll_dot(u, s->apart_m));
}

/* Any length will do; directions that are next to nothing are passed over. */
static void try_direction(search *s, ll_vec3 direction, double smallest)
{
    const double length = ll_norm(direction);
    if (length <= smallest)
        return;
    const ll_vec3 u = ll_scale(1.0 / length, direction);
    const double value = parting(s, u);
    if (value < s->least_m) {
        s->least_m = value;
        s->direction = u;
    }
}

/* The part of v across a unit vector. */
static ll_vec3 across(ll_vec3 v, ll_vec3 unit)
{
    return ll_sub(v, ll_scale(ll_dot(v, unit), unit));
}

/* Crossings of kinks: face normals, bar axes, and what is across two of them; and the line of centres. */
static void try_crossings(search *s)
{
    const double size = ll_norm(s->apart_m) * 1e-9;
    try_direction(s, s->apart_m, 0.0);
    for (int i = 0; i < 3; i++) {
        try_direction(s, s->a->axis[i], 0.0);
        try_direction(s, s->b->axis[i], 0.0);
        try_direction(s, across(s->apart_m, s->a->axis[i]), size);
        try_direction(s, across(s->apart_m, s->b->axis[i]), size);
        for (int j = 0; j < 3; j++)
            try_direction(s, ll_cross(s->a->axis[i], s->b->axis[j]), 1e-9);
    }
}

static ll_vec3 on_circle(const ll_vec3 frame[2], double angle)
{
    return ll_add(ll_scale(cos(angle), frame[0]), ll_scale(sin(angle), frame[1]));
}

/* Least f along a great circle: samples over half a turn, as f(u) = f(-u), then thirds of the best one's
 * neighbourhood down to rounding. */
static void try_circle(search *s, ll_vec3 e1, ll_vec3 e2)
{
    enum { SAMPLES = 48, THIRDS = 60 };
    const ll_vec3 frame[2] = {e1, e2};
    const double step = LL_PI / SAMPLES;
    double best = HUGE_VAL, centre = 0.0;
    for (int i = 0; i < SAMPLES; i++) {
        const double value = parting(s, on_circle(frame, i * step));
        if (value < best) {
            best = value;
            centre = i * step;
        }
    }
    double low = centre - step, high = centre + step;
    for (int i = 0; i < THIRDS; i++) {
        const double third = (high - low) / 3.0;
        if (parting(s, on_circle(frame, low + third)) < parting(s, on_circle(frame, high - third)))
            high -= third;
        else
            low += third;
    }
    try_direction(s, on_circle(frame, 0.5 * (low + high)), 0.0);
}

/* Downhill on the sphere from a direction, by steps to eight sides that halve when none goes down. */
static void descend(search *s, ll_vec3 start)
{
    enum { SIDES = 8, MOST_STEPS = 400 };
    search local = *s;
    local.least_m = HUGE_VAL;
    try_direction(&local, start, 0.0);
    double step = 0.25;
    for (int n = 0; n < MOST_STEPS && step > 1e-10; n++) {
        const ll_vec3 u = local.direction;
        const double before = local.least_m;
        const ll_rotation frame = ll_rotation_z_to(u);
        for (int i = 0; i < SIDES; i++) {
            const double turn = 2.0 * LL_PI * i / SIDES;
            const ll_vec3 side = ll_rotate(&frame, ll_vec(cos(turn), sin(turn), 0.0));
            try_direction(&local, ll_add(u, ll_scale(step, side)), 0.0);
        }
        if (!(local.least_m < before))
            step *= 0.5;
    }
    if (local.least_m < s->least_m) {
        s->least_m = local.least_m;
        s->direction = local.direction;
    }
}

/* Each way to a face, edge and corner of the cube along a solid's axes, one of each opposite pair. */
static void descend_around(search *s, const ll_convex *solid)
{
    const ll_vec3 *axis = solid->axis;
    for (int k = 14; k < 27; k++) {
        const int i = k % 3 - 1, j = k / 3 % 3 - 1, l = k / 9 - 1;
        descend(s,
                ll_add(ll_add(ll_scale(i, axis[0]), ll_scale(j, axis[1])), ll_scale(l, axis[2])));
    }
}

/* Two boxes that overlap part at a crossing: face against face or edge against edge. Apart, f has a single
 * minimum below zero. */
double ll_convex_penetration_m(const ll_convex *a, const ll_convex *b)
{
    search s = {a, b, ll_sub(b->centre_m, a->centre_m), HUGE_VAL, {0, 0, 1}};
    try_crossings(&s);
    if (s.least_m > 0.0 && !a->round && !b->round)
        return s.least_m;
    for (int i = 0; i < 3; i++) {
        try_circle(&s, a->axis[i], a->axis[(i + 1) % 3]);
        try_circle(&s, b->axis[i], b->axis[(i + 1) % 3]);
    }
    descend(&s, s.direction);
    if (s.least_m > 0.0) {
        descend_around(&s, a);
        descend_around(&s, b);
    }
    return s.least_m;
}
