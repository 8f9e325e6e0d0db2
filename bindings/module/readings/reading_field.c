/* reading_field.c - the bias field: anywhere, in a section of a part, and on top of the poles.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/base/nearest.h"
#include "module/readings/query.h"
#include <math.h>
#include <string.h>

static const bind_field points_table[] = {
    {"points", FIELD_LIST, 0, .meaning = "list of places {x, y, z}", .required = true,
     .unit = UNIT_MM, .low = -1e5, .high = 1e5, .width = 3},
};

/* pickup:field{ {x, y, z}, ... }, or pickup:field{ points = {...} } */
static int field_reading(const bind_query *r, const void *said)
{
    const bind_list *given = said;
    const size_t n = given->count;
    ll_vec3 *points = bind_buffer(r->L, n, sizeof *points);
    ll_vec3 *b_t = bind_buffer(r->L, n, sizeof *b_t);
    for (size_t i = 0; i < n; i++)
        points[i] =
            ll_vec(given->values[3 * i], given->values[3 * i + 1], given->values[3 * i + 2]);
    bind_ask_b(r, n, points, b_t);
    for (size_t i = 0; i < n; i++) {
        bind_row_begin(r->t);
        bind_set(r->t, "x_mm", points[i].x);
        bind_set(r->t, "y_mm", points[i].y);
        bind_set(r->t, "z_mm", points[i].z);
        bind_set(r->t, "bx_mt", b_t[i].x);
        bind_set(r->t, "by_mt", b_t[i].y);
        bind_set(r->t, "bz_mt", b_t[i].z);
        bind_set(r->t, "b_mt", ll_norm(b_t[i]));
        bind_row_end(r->t);
    }
    return bind_result_end(r->t);
}

static const bind_column field_columns[] = {
    {"x", UNIT_MM, ERROR_NONE, .meaning = "place of the point, across the strings"},
    {"y", UNIT_MM, ERROR_NONE, .meaning = "place of the point, along the strings"},
    {"z", UNIT_MM, ERROR_NONE, .meaning = "place of the point, up to the strings"},
    {"bx", UNIT_MT, ERROR_MESH, .meaning = "flux density towards the treble side"},
    {"by", UNIT_MT, ERROR_MESH, .meaning = "flux density towards the neck"},
    {"bz", UNIT_MT, ERROR_MESH, .meaning = "flux density up to the strings"},
    {"b", UNIT_MT, ERROR_MESH, .meaning = "size of the flux density"},
};
const bind_reading bind_reading_field = {
    BIND_READING_NAME("field", "a field reading"),
    .call = "(points: number[][])",
    .meaning = "flux density at each point {x, y, z} of a list, which may be named: points = {...}",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(bind_list, points_table, NULL),
    .sole = true,
    BIND_READING_COLUMNS(field_columns),
    .read = field_reading};

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
static int section_reading(const bind_query *r, const void *said)
{
    const section_options *options = said;
    const char *part = r->fine ? options->part : NULL;
    size_t index = part && !r->pickup->head.wrong ? bind_find_part(r, part) : 0;
    if (part && !r->pickup->head.wrong)
        check_plane(r, index, options->at_m);
    double bz_t = bind_ask_section_bz(r, index, options->at_m);
    bind_row_begin(r->t);
    bind_set_text(r->t, "part", part ? part : "");
    bind_set(r->t, "z_mm", options->at_m);
    bind_set(r->t, "bz_mt", bz_t);
    bind_row_end(r->t);
    return bind_result_end(r->t);
}

static const bind_column section_columns[] = {
    {"part", UNIT_NONE, ERROR_NONE, .meaning = "name of the part", .text = true},
    {"z", UNIT_MM, ERROR_NONE, .meaning = "height of the cross-section"},
    {"bz", UNIT_MT, ERROR_MESH, .meaning = "mean of Bz over the cross-section"},
};
const bind_reading bind_reading_section = {
    BIND_READING_NAME("section", "a section reading"),
    .meaning = "mean of Bz over a part's cross-section at a height",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(section_options, section_table, NULL),
    BIND_READING_COLUMNS(section_columns),
    .read = section_reading};

typedef struct poles_options {
    double standoff_m;
} poles_options;

static const bind_field poles_table[] = {
    {"standoff", FIELD_NUMBER, offsetof(poles_options, standoff_m),
     .meaning = "height of the probe above the pole's top; 0.5 mm when left out", .unit = UNIT_MM,
     .high = 100, .usual = USUAL_STANDOFF},
};
static const poles_options poles_defaults = {0.5e-3};

/* Under 1 mT, some twenty times the earth's field, a probe's sign is not to be trusted. */
static const char *shown_pole(double bz_t)
{
    const double weak_t = 1e-3;
    return fabs(bz_t) < weak_t ? "weak" : bz_t > 0 ? "N" : "S";
}

/* What a gaussmeter shows, in both of the units they have. */
static void pole_row(const bind_query *r, size_t index, ll_vec3 b_t)
{
    bind_row_begin(r->t);
    bind_set_text(r->t, "pole", bind_part_name(r->L, r->pickup, index));
    bind_set(r->t, "bz_mt", b_t.z);
    bind_set(r->t, "bz_gauss", b_t.z);
    bind_set_text(r->t, "shows", shown_pole(b_t.z));
    bind_row_end(r->t);
}

/* pickup:poles{ standoff = 0.5 }: what a gaussmeter reads on top of each pole. */
static int poles_reading(const bind_query *r, const void *said)
{
    lua_State *L = r->L;
    const poles_options *options = said;
    size_t room = r->pickup->parts.count;
    size_t *poles = bind_buffer(L, room, sizeof *poles);
    size_t n = bind_poles(r->pickup, poles);
    if (n == 0 && !r->pickup->head.wrong)
        return bind_raise(L,
                          "%s: the pickup has no pole; make poles with ll.row{...} or mark a "
                          "part with pole = true",
                          r->place);
    ll_vec3 *points = bind_buffer(L, room, sizeof *points);
    ll_vec3 *b_t = bind_buffer(L, room, sizeof *b_t);
    for (size_t i = 0; i < n; i++) {
        const bind_part *pole = bind_pickup_part(r->pickup, poles[i]);
        points[i] = ll_shape_top_m(&pole->shape, &pole->pose);
        points[i].z = bind_part_top_m(pole) + options->standoff_m;
    }
    bind_ask_b(r, n, points, b_t);
    const char *standoff = bind_quantity(L, UNIT_MM, options->standoff_m);
    for (size_t i = 0; i < n; i++)
        pole_row(r, poles[i], b_t[i]);
    bind_note(r->t,
              "Bz %s above the middle of each pole; N: a north face looks up; weak: under "
              "1 mT",
              standoff);
    return bind_result_end(r->t);
}

static const bind_column poles_columns[] = {
    {"pole", UNIT_NONE, ERROR_NONE, .meaning = "name of the pole", .text = true},
    {"bz", UNIT_MT, ERROR_MESH, .meaning = "Bz at the probe, up to the strings"},
    {"bz", UNIT_GAUSS, ERROR_MESH, .meaning = "the same, as most meters have it"},
    {"shows", UNIT_NONE, ERROR_MESH,
     .meaning = "N when a north face looks up, S, or weak under 1 mT", .text = true},
};
const bind_reading bind_reading_poles = {
    BIND_READING_NAME("poles", "a poles reading"),
    .meaning = "what a gauss meter reads over the middle of each pole",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(poles_options, poles_table, &poles_defaults),
    BIND_READING_COLUMNS(poles_columns),
    .read = poles_reading};
