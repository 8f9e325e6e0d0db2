/* reading_field.c - the bias field: anywhere, in a section of a part, and on top of the poles.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/base/nearest.h"
#include "module/base/rows.h"
#include "module/readings/query.h"
#include <math.h>
#include <string.h>

static const bind_field points_table[] = {
    {"points", FIELD_LIST, 0, .meaning = "list of places {x, y, z}", .required = true,
     .unit = UNIT_MM, .low = -1e5, .high = 1e5, .width = 3},
};
static const bind_noun points_noun = {
    .name = "field", .article = "a field reading", BIND_NOUN_FIELDS(points_table)};

/* The points that field was called with, in metres; they live on the stack. */
static const ll_vec3 *read_points(const bind_query *r, size_t *n)
{
    lua_State *L = r->L;
    bind_list list = {0};
    if (lua_type(L, 2) == LUA_TTABLE && bind_given(L, 2, "points")) {
        lua_pushvalue(L, 2);
    } else {
        lua_newtable(L);
        lua_pushvalue(L, 2);
        lua_setfield(L, -2, "points");
    }
    bind_parse(L, -1, &points_noun, r->place, &list);
    ll_vec3 *points = bind_buffer(L, list.count, sizeof *points);
    for (size_t i = 0; i < list.count; i++)
        points[i] = ll_vec(list.values[3 * i], list.values[3 * i + 1], list.values[3 * i + 2]);
    *n = list.count;
    return points;
}

/* pickup:field{ {x, y, z}, ... }, or pickup:field{ points = {...} } */
int bind_reading_field(lua_State *L)
{
    bind_query r = bind_begin_reading(L, "field");
    size_t n = 0;
    const ll_vec3 *points = read_points(&r, &n);
    ll_vec3 *b_t = bind_buffer(L, n, sizeof *b_t);
    bind_ask_b(&r, n, points, b_t);
    bind_result_begin(L);
    for (size_t i = 0; i < n; i++) {
        bind_row_begin(L);
        bind_set(L, "x_mm", points[i].x);
        bind_set(L, "y_mm", points[i].y);
        bind_set(L, "z_mm", points[i].z);
        bind_set(L, "bx_mt", b_t[i].x);
        bind_set(L, "by_mt", b_t[i].y);
        bind_set(L, "bz_mt", b_t[i].z);
        bind_set(L, "b_mt", ll_norm(b_t[i]));
        bind_row_end(L);
    }
    return bind_result_end(L, "x_mm y_mm z_mm bx_mt by_mt bz_mt b_mt", "field");
}

typedef struct section_options {
    const char *part;
    double at_m;
} section_options;

static const bind_field section_table[] = {
    {"part", FIELD_TEXT, offsetof(section_options, part), .meaning = "name of the part",
     .required = true},
    {"at", FIELD_NUMBER, offsetof(section_options, at_m),
     .meaning = "height z of the cross-section", .required = true, .unit = UNIT_MM, .low = -1e5,
     .high = 1e5},
};
const bind_noun bind_section_noun = {
    .name = "section", .article = "a section reading", BIND_NOUN_FIELDS(section_table)};

/* With the nearest name of a part. */
static void refuse_part(const bind_query *r, const char *name)
{
    bind_nearest nearest = {.wanted = name};
    for (size_t i = 0; i < r->pickup->parts.count; i++)
        if (bind_pickup_part(r->pickup, i)->name)
            bind_nearest_try(&nearest, bind_pickup_part(r->pickup, i)->name);
    const char *quoted = bind_quoted(r->L, name);
    if (nearest.name)
        bind_raise(r->L, "%s: the pickup has no part %s; did you mean '%s'?", r->place, quoted,
                   nearest.name);
    bind_raise(r->L, "%s: the pickup has no part %s; name the part where it is made, name = %s",
               r->place, quoted, quoted);
}

size_t bind_find_part(const bind_query *r, const char *name)
{
    lua_State *L = r->L;
    size_t found = 0, index = 0;
    const char *unique = "";
    for (size_t i = 0; i < r->pickup->parts.count; i++) {
        const char *own = bind_pickup_part(r->pickup, i)->name;
        unique = bind_part_name(L, r->pickup, i);
        if (own && strcmp(unique, name) == 0) {
            lua_pop(L, 1);
            return i;
        }
        if (own && strcmp(own, name) == 0 && found++ == 0)
            index = i;
        lua_pop(L, 1);
    }
    if (found == 0)
        refuse_part(r, name);
    if (found > 1)
        bind_raise(L,
                   "%s: %d parts are named %s; say which, the first of them being %s, or give each "
                   "row a name of its own, as in ll.row{ name = \"screw\", ... }",
                   r->place, (int)found, bind_quoted(L, name),
                   bind_quoted(L, bind_part_name(L, r->pickup, index)));
    return index;
}

/* A plane through the part, whatever way it stands. */
static void check_plane(const bind_query *r, size_t index, double z_m)
{
    const bind_part *part = bind_pickup_part(r->pickup, index);
    double half_m = ll_shape_reach_m(&part->shape, &part->pose.rotation, ll_vec(0, 0, 1));
    double middle_m = part->pose.origin_m.z;
    if (fabs(z_m - middle_m) <= half_m)
        return;
    bind_raise(r->L, "%s: the plane z = %s does not cut %s, which reaches from %s to %s", r->place,
               bind_quantity(r->L, UNIT_MM, z_m), bind_part_label(r->L, r->pickup, index),
               bind_quantity(r->L, UNIT_MM, middle_m - half_m),
               bind_quantity(r->L, UNIT_MM, middle_m + half_m));
}

/* pickup:section{ part = "pole 4", at = -9 } */
int bind_reading_section(lua_State *L)
{
    bind_query r = bind_begin_reading(L, "section");
    section_options options = {0};
    if (!bind_reading_options(&r, &bind_section_noun, &options))
        options.part = NULL;
    size_t index = options.part && !r.pickup->head.wrong ? bind_find_part(&r, options.part) : 0;
    if (options.part && !r.pickup->head.wrong)
        check_plane(&r, index, options.at_m);
    double bz_t = bind_ask_section_bz(&r, index, options.at_m);
    bind_result_begin(L);
    bind_row_begin(L);
    bind_set_text(L, "part", options.part ? options.part : "");
    bind_set(L, "z_mm", options.at_m);
    bind_set(L, "bz_mt", bz_t);
    bind_row_end(L);
    return bind_result_end(L, "part z_mm bz_mt", "section");
}

typedef struct poles_options {
    double standoff_m;
} poles_options;

static const bind_field poles_table[] = {
    {"standoff", FIELD_NUMBER, offsetof(poles_options, standoff_m),
     .meaning = "height of the probe above the pole's top; 0.5 mm when left out", .unit = UNIT_MM,
     .high = 100, .usual = USUAL_STANDOFF},
};
static const poles_options poles_defaults = {0.5e-3};
const bind_noun bind_poles_noun = {
    .name = "poles", .article = "a poles reading", BIND_NOUN_FIELDS(poles_table)};

/* Under 1 mT, some twenty times the earth's field, a probe's sign is not to be trusted. */
static const char *shown_pole(double bz_t)
{
    const double weak_t = 1e-3;
    return fabs(bz_t) < weak_t ? "weak" : bz_t > 0 ? "N" : "S";
}

/* What a gaussmeter shows, in both of the units they have. */
static void pole_row(const bind_query *r, size_t index, ll_vec3 b_t)
{
    lua_State *L = r->L;
    int top = lua_gettop(L);
    const char *name = bind_part_name(L, r->pickup, index);
    bind_row_begin(L);
    bind_set_text(L, "pole", name);
    bind_set(L, "bz_mt", b_t.z);
    bind_set(L, "bz_gauss", b_t.z);
    bind_set_text(L, "shows", shown_pole(b_t.z));
    lua_replace(L, top + 1);
    lua_settop(L, top + 1);
    bind_row_end(L);
}

/* pickup:poles{ standoff = 0.5 }: what a gaussmeter reads on top of each pole. */
int bind_reading_poles(lua_State *L)
{
    bind_query r = bind_begin_reading(L, "poles");
    poles_options options = poles_defaults;
    bind_reading_options(&r, &bind_poles_noun, &options);
    size_t room = r.pickup->parts.count;
    size_t *poles = bind_buffer(L, room, sizeof *poles);
    size_t n = bind_poles(r.pickup, poles);
    if (n == 0 && !r.pickup->head.wrong)
        return bind_raise(L,
                          "%s: the pickup has no pole; make poles with ll.row{...} or mark a "
                          "part with pole = true",
                          r.place);
    ll_vec3 *points = bind_buffer(L, room, sizeof *points);
    ll_vec3 *b_t = bind_buffer(L, room, sizeof *b_t);
    for (size_t i = 0; i < n; i++) {
        const bind_part *pole = bind_pickup_part(r.pickup, poles[i]);
        points[i] = ll_shape_top_m(&pole->shape, &pole->pose);
        points[i].z = bind_part_top_m(pole) + options.standoff_m;
    }
    bind_ask_b(&r, n, points, b_t);
    const char *standoff = bind_quantity(L, UNIT_MM, options.standoff_m);
    bind_result_begin(L);
    for (size_t i = 0; i < n; i++)
        pole_row(&r, poles[i], b_t[i]);
    bind_note(L,
              "Bz %s above the middle of each pole; N: a north face looks up; weak: under "
              "1 mT",
              standoff);
    return bind_result_end(L, "pole bz_mt bz_gauss shows", "poles");
}
