/* placing.c - where strings stand above a pickup's poles.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/readings/query.h"
#include <math.h>

/* How far beside the part the string runs, 0 when it passes above. */
static double beside_m(const bind_part *part, double x_m)
{
    double half_m = ll_shape_reach_m(&part->shape, &part->pose.rotation, ll_vec(1, 0, 0));
    return fmax(0, fabs(x_m - part->pose.origin_m.x) - half_m);
}

/* Beside it least, then centred best, then highest. */
static bool nearer(const bind_part *a, const bind_part *b, double x_m)
{
    double da = beside_m(a, x_m), db = beside_m(b, x_m);
    if (da < db || da > db)
        return da < db;
    double ca = fabs(x_m - a->pose.origin_m.x), cb = fabs(x_m - b->pose.origin_m.x);
    if (fabs(ca - cb) > 1e-6)
        return ca < cb;
    return bind_part_top_m(a) > bind_part_top_m(b);
}

/* The pole whose top the gap is measured from; NULL without poles. */
static const bind_part *pole_below(lua_State *L, const bind_pickup *pickup, double x_m)
{
    const bind_part *nearest = NULL;
    size_t *indices = bind_buffer(L, pickup->parts.count, sizeof *indices);
    size_t count = bind_poles(pickup, indices);
    for (size_t i = 0; i < count; i++) {
        const bind_part *part = bind_pickup_part(pickup, indices[i]);
        if (!nearest || nearer(part, nearest, x_m))
            nearest = part;
    }
    lua_pop(L, 1);
    return nearest;
}

/* Pushes "string 'E4'". */
static const char *string_label(lua_State *L, const bind_string *string)
{
    return lua_pushfstring(L, "string %s", bind_quoted(L, string->name));
}

/* A string that touches or sinks into the pole under it. */
static void check_clear(const bind_query *r, const bind_string *string, const bind_part *pole,
                        double z_m)
{
    if (!pole || beside_m(pole, string->x_m) > 0)
        return;
    double least_z_m = bind_part_top_m(pole) + string->gauge_m / 2;
    if (z_m > least_z_m)
        return;
    bind_mistake(
        r->L,
        "%s: %s is inside or below %s: its underside is %s under the pole's "
        "top; 'z' must be above %s",
        r->place, string_label(r->L, string),
        pole->name ? lua_pushfstring(r->L, "part %s", bind_quoted(r->L, pole->name)) : "the pole",
        bind_quantity(r->L, UNIT_MM, least_z_m - z_m), bind_quantity(r->L, UNIT_MM, least_z_m));
}

ll_string bind_place_string(const bind_query *r, const bind_string *string)
{
    int top = lua_gettop(r->L);
    const bind_part *pole = pole_below(r->L, r->pickup, string->x_m);
    ll_string placed = {.diameter_m = string->gauge_m,
                        .core_diameter_m = string->core_m,
                        .material = string->material,
                        .wrap = string->wrap,
                        .x_m = string->x_m,
                        .z_m = string->z_m};
    if (string->has_z)
        check_clear(r, string, pole, placed.z_m);
    else if (pole)
        placed.z_m = bind_part_top_m(pole) + string->gap_m + string->gauge_m / 2;
    else
        bind_mistake(r->L,
                     "%s: %s has a 'gap', but the pickup has no pole to measure it from; "
                     "mark a part with pole = true, or give the string's 'z'",
                     r->place, string_label(r->L, string));
    lua_settop(r->L, top);
    return placed;
}

const ll_string *bind_place_strings(const bind_query *r, const bind_objects *strings)
{
    ll_string *placed = bind_buffer(r->L, strings->count, sizeof *placed);
    for (size_t i = 0; i < strings->count && !r->pickup->head.wrong; i++)
        placed[i] = bind_place_string(r, strings->items[i]);
    return placed;
}
