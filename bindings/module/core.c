/* core.c - what the module's own Lua chunks get from C: options read by their tables, faults, nearest names.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/core.h"
#include "field/source.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/nearest.h"
#include "module/base/picture.h"
#include "module/base/settings.h"
#include "module/nouns/bench_nouns.h"
#include "module/nouns/nouns.h"
#include "module/nouns/pickup.h"
#include "module/readings/tuning.h"
#include "module/recorded/recorded.h"
#include <string.h>

typedef struct row_options {
    double count, spacing_m, radius_m;
    bind_list places, heights;
    const bind_part *part;
    const char *name;
    int along;
} row_options;

static const char *const row_axes[] = {"x", "y", NULL};

static const bind_field row_table[] = {
    {"count", FIELD_WHOLE, offsetof(row_options, count),
     .meaning = "how many; as many as there are places or heights when left out", .low = 1,
     .high = 100},
    {"spacing", FIELD_NUMBER, offsetof(row_options, spacing_m), .meaning = "from middle to middle",
     .unit = UNIT_MM, .high = 1000, .above_low = true, .usual = USUAL_SPACING},
    {"places", FIELD_LIST, offsetof(row_options, places),
     .meaning = "in place of 'spacing': where each stands along the row, from the part's own place",
     .unit = UNIT_MM, .low = -1000, .high = 1000, .width = 1},
    {"heights", FIELD_LIST, offsetof(row_options, heights),
     .meaning = "how much higher than the part each stands, from the first: { 0, 0.8, 1.2, ... }",
     .unit = UNIT_MM, .low = -100, .high = 100, .width = 1},
    {"radius", FIELD_NUMBER, offsetof(row_options, radius_m),
     .meaning = "the tops follow an arc of this radius, the outer ones lower; flat when left out",
     .unit = UNIT_MM, .low = 20, .high = 1e4},
    {"part", FIELD_OBJECT, offsetof(row_options, part),
     .meaning = "the part that stands in the row's middle", .required = true,
     .of = &bind_noun_part},
    {"name", FIELD_TEXT, offsetof(row_options, name),
     .meaning = "\"pole\" when left out: pole 1, pole 2, ..."},
    {"along", FIELD_CHOICE, offsetof(row_options, along),
     .meaning = "direction of the row; x when left out", .words = row_axes},
};

typedef struct set_options {
    const char *set, *wrap;
    double spacing_m, gap_m, z_m, radius_m, scale_m, from_bridge_m;
    bind_list places;
} set_options;

#define SET(name) offsetof(set_options, name)

static const bind_field set_table[] = {
    {"set", FIELD_TEXT, SET(set),
     .meaning = "its outer gauges in thousandths of an inch, such as \"10-46\"", .required = true},
    {"spacing", FIELD_NUMBER, SET(spacing_m), .meaning = "from string to string", .unit = UNIT_MM,
     .high = 1000, .above_low = true, .usual = USUAL_SPACING},
    {"places", FIELD_LIST, SET(places),
     .meaning = "in place of 'spacing': x of each string, from the bass side", .unit = UNIT_MM,
     .low = -1000, .high = 1000, .width = 1},
    {"gap", FIELD_NUMBER, SET(gap_m),
     .meaning = "clear distance of each string from the pole below it", .unit = UNIT_MM,
     .high = 100, .above_low = true, .usual = USUAL_GAP},
    {"z", FIELD_NUMBER, SET(z_m),
     .meaning = "in place of 'gap': height of the strings' undersides in the middle of the set",
     .unit = UNIT_MM, .low = -1e4, .high = 1e4},
    {"radius", FIELD_NUMBER, SET(radius_m),
     .meaning = "with 'z': of the fingerboard, whose arc the strings follow; flat when left out",
     .unit = UNIT_MM, .low = 20, .high = 1e4},
    {"scale", FIELD_NUMBER, SET(scale_m),
     .meaning = "free length; the usual one of the set when left out", .unit = UNIT_MM,
     .high = 3000, .above_low = true, .usual = USUAL_SCALE},
    {"from_bridge", FIELD_NUMBER, SET(from_bridge_m),
     .meaning = "distance of the pickup from the bridge; 60 mm when left out", .unit = UNIT_MM,
     .high = 3000, .above_low = true, .usual = USUAL_FROM_BRIDGE},
    {"wrap", FIELD_TEXT, SET(wrap),
     .meaning = "of the wound ones: \"nickel\", a steel, or \"none\" for bronze; nickel-plated "
                "steel when left out"},
};

typedef struct plan_options {
    double opening_m[2], corner_m, room_m, height_m, turns, dcr_ohm, grams_kg, packing, old;
    bind_objects wires;
} plan_options;

#define PLAN(name) offsetof(plan_options, name)

static const bind_field plan_table[] = {
    {"opening", FIELD_PAIR, PLAN(opening_m),
     .meaning = "of the bobbin's core that is wound on, {x, y}", .required = true, .unit = UNIT_MM,
     .high = 1000, .above_low = true, .usual = USUAL_OPENING},
    {"corner", FIELD_NUMBER, PLAN(corner_m), .meaning = "radius of its corners; 0 when left out",
     .unit = UNIT_MM, .high = 500},
    {"room", FIELD_NUMBER, PLAN(room_m), .meaning = "depth that there is for wire",
     .required = true, .unit = UNIT_MM, .high = 500, .above_low = true, .usual = USUAL_BUILD},
    {"height", FIELD_NUMBER, PLAN(height_m), .meaning = "between the flanges", .required = true,
     .unit = UNIT_MM, .high = 500, .above_low = true, .usual = USUAL_HEIGHT},
    {"wires", FIELD_OBJECTS, PLAN(wires),
     .meaning = "what stands on the shelf: { ll.awg(42), ll.awg(43), ... }", .required = true,
     .of = &bind_noun_wire},
    {"turns", FIELD_NUMBER, PLAN(turns), .meaning = "how many are wanted", .low = 1, .high = 1e6,
     .usual = USUAL_TURNS},
    {"dcr", FIELD_NUMBER, PLAN(dcr_ohm),
     .meaning = "in place of 'turns': the resistance that is wanted at 20 degrees C",
     .unit = UNIT_OHM, .high = 1e7, .above_low = true, .usual = USUAL_COIL_OHM},
    {"grams", FIELD_NUMBER, PLAN(grams_kg),
     .meaning = "in place of 'turns': the copper of an old winding on a balance", .unit = UNIT_G,
     .high = 1e4, .above_low = true},
    {"packing", FIELD_NUMBER, PLAN(packing),
     .meaning = "share of a square lattice: 0.7 loose by hand, 0.8 when left out, 0.9 by a careful "
                "machine, 1 in layers",
     .low = 0.3, .high = 1},
    {"old", FIELD_NUMBER, PLAN(old), .meaning = "turns of the winding that it takes the place of",
     .low = 1, .high = 1e6},
};

typedef struct cover_options {
    ll_vec3 size_m, at_m;
    double thickness_m;
    const ll_material *material;
    const char *name;
    bind_list holes;
} cover_options;

static const bind_field cover_table[] = {
    {"size", FIELD_PLACE, offsetof(cover_options, size_m), .meaning = "outer edges {x, y, z}",
     .required = true, .unit = UNIT_MM, .high = 1000, .above_low = true},
    {"at", FIELD_PLACE, offsetof(cover_options, at_m), .meaning = "the middle of that box",
     .required = true, .unit = UNIT_MM, .low = -1e4, .high = 1e4},
    {"thickness", FIELD_NUMBER, offsetof(cover_options, thickness_m), .meaning = "of the sheet",
     .required = true, .unit = UNIT_MM, .high = 10, .above_low = true, .usual = USUAL_SHEET},
    {"material", FIELD_NAMED, offsetof(cover_options, material), .of = &bind_noun_material,
     .meaning = "such as \"nickel silver\", \"brass\" or ll.conductor{...}", .required = true},
    {"holes", FIELD_LIST, offsetof(cover_options, holes),
     .meaning = "clear holes through its top, each {x, y, diameter} from its middle",
     .unit = UNIT_MM, .low = -1000, .high = 1000, .width = 3},
    {"name", FIELD_TEXT, offsetof(cover_options, name),
     .meaning = "\"cover\" when left out: cover top, cover bass side, ..."},
};

typedef struct plate_options {
    ll_vec3 size_m, at_m;
    const ll_material *material;
    const char *name;
    bind_list holes;
} plate_options;

static const bind_field plate_table[] = {
    {"size", FIELD_PLACE, offsetof(plate_options, size_m),
     .meaning = "full edges {x, y, z}, z its thickness", .required = true, .unit = UNIT_MM,
     .high = 1000, .above_low = true, .usual = USUAL_EDGE},
    {"at", FIELD_PLACE, offsetof(plate_options, at_m), .meaning = "the plate's centre",
     .required = true, .unit = UNIT_MM, .low = -1e4, .high = 1e4},
    {"material", FIELD_NAMED, offsetof(plate_options, material), .of = &bind_noun_material,
     .meaning = "steel, or metal that is not magnetic such as \"nickel silver\"", .required = true},
    {"holes", FIELD_LIST, offsetof(plate_options, holes),
     .meaning = "clear holes through its thickness, each {x, y, diameter} from its middle",
     .unit = UNIT_MM, .low = -1000, .high = 1000, .width = 3},
    {"name", FIELD_TEXT, offsetof(plate_options, name), .meaning = "\"plate\" when left out"},
};

typedef struct blend_options {
    bind_objects pickups, strings;
    int wiring;
    bind_flags reversed;
    bind_list from_bridge_m;
} blend_options;

static const char *const blend_wirings[] = {"series", "parallel", NULL};

static const bind_field blend_table[] = {
    {"pickups", FIELD_OBJECTS, offsetof(blend_options, pickups), .meaning = "two pickups or more",
     .required = true, .of = &bind_noun_pickup},
    {"strings", FIELD_OBJECTS, offsetof(blend_options, strings),
     .meaning = "a string or a list of strings", .required = true, .of = &bind_noun_string},
    {"wiring", FIELD_CHOICE, offsetof(blend_options, wiring),
     .meaning = "how they are joined; in series", .words = blend_wirings},
    {"reversed", FIELD_FLAGS, offsetof(blend_options, reversed),
     .meaning = "for each of them, whether its leads are swapped"},
    {"from_bridge", FIELD_LIST, offsetof(blend_options, from_bridge_m),
     .meaning = "for each of them, how far its y = 0 is from the bridge: for the comb and the "
                "mutual inductance",
     .unit = UNIT_MM, .high = 2000, .width = 1},
};

typedef struct title_options {
    const char *title;
} title_options;

static const bind_field sweep_table[] = {
    {"vary", FIELD_ANY, 0, .meaning = "list of axes such as {\"angle\", {0, 90, 180}}",
     .required = true},
    {"build", FIELD_FUNCTION, 0, .meaning = "function(v): makes the pickup for the values in v",
     .required = true},
    {"read", FIELD_FUNCTION, 0, .meaning = "function(p, v): returns what to list",
     .required = true},
    {"file", FIELD_TEXT, 0,
     .meaning = "the table's file, such as \"x.csv\"; rows are kept as they finish"},
    {"columns", FIELD_ANY, 0, .meaning = "list of names: the order of what read returns"},
    {"title", FIELD_TEXT, 0, .meaning = "printed above the table"},
};

static const bind_field result_table[] = {
    {"columns", FIELD_ANY, 0, .meaning = "list of the columns' names", .required = true},
    {"rows", FIELD_ANY, 0, .meaning = "list of rows, named values each"},
    {"title", FIELD_TEXT, 0, .meaning = "printed above the table"},
    {"notes", FIELD_ANY, 0, .meaning = "list of remarks under the table"},
    {"from", FIELD_ANY, 0,
     .meaning = "what its values come from: a table, a list of them, or by name, as in { output = "
                "t }; their mesh error and remarks go with it"},
};

typedef struct read_table_options {
    const char *file, *title;
    double skip;
    int decimal;
} read_table_options;

static const char *const decimals[] = {".", ",", NULL};

static const bind_field read_table_table[] = {
    {"file", FIELD_TEXT, offsetof(read_table_options, file),
     .meaning = "text file in the folder of --in, such as \"lcr.csv\"", .required = true},
    {"columns", FIELD_ANY, 0,
     .meaning =
         "list of names for the columns, with their units: { \"f_hz\", \"r_ohm\" }; those of "
         "the file when left out"},
    {"separator", FIELD_ANY, 0,
     .meaning = "between columns, one letter such as \";\"; found by itself when left out"},
    {"decimal", FIELD_CHOICE, offsetof(read_table_options, decimal),
     .meaning = "sign before decimals; found by itself when left out", .words = decimals},
    {"skip", FIELD_WHOLE, offsetof(read_table_options, skip),
     .meaning = "lines with text above the table that are passed over", .high = 1000},
    {"title", FIELD_TEXT, offsetof(read_table_options, title),
     .meaning = "printed above the table; the file's name when left out"},
};

static const char *const plot_styles[] = {"lines", "points", "stems", NULL};
static const char *const plot_logs[] = {"x", "y", "xy", "none", NULL};

typedef struct plot_options {
    const char *file, *x, *by, *title;
    double width_m, height_m;
    int style, log;
} plot_options;

static const bind_field plot_table[] = {
    {"file", FIELD_TEXT, offsetof(plot_options, file), .meaning = BIND_PICTURE_FILE,
     .required = true},
    {"x", FIELD_TEXT, offsetof(plot_options, x),
     .meaning = "column along the axis; the first when left out"},
    {"y", FIELD_ANY, 0,
     .meaning =
         "column or list of columns; a panel for each unit; all others with numbers when left out"},
    {"by", FIELD_TEXT, offsetof(plot_options, by),
     .meaning = "column that tells curves apart: one for each of its values"},
    {"style", FIELD_CHOICE, offsetof(plot_options, style),
     .meaning = "lines when left out; stems where x is a text", .words = plot_styles},
    {"log", FIELD_CHOICE, offsetof(plot_options, log),
     .meaning = "logarithmic axes; x when left out and it is a frequency over a decade or more",
     .words = plot_logs},
    {"title", FIELD_TEXT, offsetof(plot_options, title),
     .meaning = "printed above; the table's own when left out"},
    BIND_PICTURE_SIZE(plot_options, 50),
};

static const bind_noun nouns[] = {
    {.name = "blend",
     .article = "a blend",
     .size = sizeof(blend_options),
     BIND_NOUN_FIELDS(blend_table)},
    {.name = "cover",
     .article = "a cover",
     .size = sizeof(cover_options),
     BIND_NOUN_FIELDS(cover_table)},
    {.name = "plate",
     .article = "a plate",
     .size = sizeof(plate_options),
     BIND_NOUN_FIELDS(plate_table)},
    {.name = "plot",
     .article = "a plot",
     .size = sizeof(plot_options),
     BIND_NOUN_FIELDS(plot_table)},
    {.name = "winding_plan",
     .article = "a winding plan",
     .size = sizeof(plan_options),
     BIND_NOUN_FIELDS(plan_table)},
    {.name = "string_set",
     .article = "a set of strings",
     .size = sizeof(set_options),
     BIND_NOUN_FIELDS(set_table)},
    {.name = "read_table",
     .article = "a table to read",
     .size = sizeof(read_table_options),
     BIND_NOUN_FIELDS(read_table_table)},
    {.name = "row", .article = "a row", .size = sizeof(row_options), BIND_NOUN_FIELDS(row_table)},
    {.name = "sweep",
     .article = "a sweep",
     .size = sizeof(title_options),
     BIND_NOUN_FIELDS(sweep_table)},
    {.name = "table",
     .article = "a table",
     .size = sizeof(title_options),
     BIND_NOUN_FIELDS(result_table)},
};

enum { NOUN_COUNT = sizeof nouns / sizeof *nouns };

/* Of other rooms. */
static const bind_noun *const more_nouns[] = {bind_bench_nouns, bind_recorded_nouns};
enum { MORE_NOUNS = sizeof more_nouns / sizeof *more_nouns };

/* Nouns whose work is done in Lua. */
static const bind_noun *noun_named(lua_State *L, const char *name)
{
    for (size_t i = 0; i < NOUN_COUNT; i++)
        if (strcmp(nouns[i].name, name) == 0)
            return &nouns[i];
    for (size_t i = 0; i < MORE_NOUNS; i++)
        for (const bind_noun *noun = more_nouns[i]; noun->name; noun++)
            if (strcmp(noun->name, name) == 0)
                return noun;
    if (strcmp(bind_pluck_noun.name, name) == 0)
        return &bind_pluck_noun;
    bind_raise(L, "no options are named %s", name);
    return NULL;
}

/* core.read(noun, fields, place): the checked copy of the fields. */
static int core_read(lua_State *L)
{
    const bind_noun *noun = noun_named(L, luaL_checkstring(L, 1));
    const char *place = luaL_checkstring(L, 3);
    void *out = bind_buffer(L, 1, noun->size);
    bind_reader *reader = bind_reader_of(L);
    reader->for_script = true; /* a mistake that is raised ends it, too */
    bind_parse(L, 2, noun, place, out);
    reader->for_script = false;
    return 1;
}

/* core.is_wrong(object): true when a mistake was found in it, or in what it is made of. */
static int core_is_wrong(lua_State *L)
{
    const bind_object *object = bind_test(L, 1, &bind_noun_part);
    lua_pushboolean(L, object && object->wrong);
    return 1;
}

/* core.mutual(pickup, other, distance): between their windings in air, in henry, each in series with its winding
 * directions; the other stands that many millimetres nearer to the neck than it was described. */
static int core_mutual(lua_State *L)
{
    const bind_pickup *a = bind_test(L, 1, &bind_noun_pickup);
    const bind_pickup *b = bind_test(L, 2, &bind_noun_pickup);
    const double away_m = bind_to_si(UNIT_MM, luaL_checknumber(L, 3));
    double sum_h = 0;
    for (size_t k = 0; a && b && k < a->coils.count * b->coils.count; k++) {
        const size_t i = k / b->coils.count, j = k % b->coils.count;
        const bind_coil *p = bind_pickup_coil(a, i), *q = bind_pickup_coil(b, j);
        ll_pose pose = q->pose;
        double m_h = 0;
        pose.origin_m.y += away_m;
        bind_demand(
            L, ll_coil_inductance(&p->shape, &p->pose, p->turns, &q->shape, &pose, q->turns, &m_h),
            "blend");
        sum_h +=
            bind_coil_sign(a, i) * bind_hot_sign(a) * bind_coil_sign(b, j) * bind_hot_sign(b) * m_h;
    }
    lua_pushnumber(L, sum_h);
    return 1;
}

/* core.fail(text): raises at the script's line. */
static int core_fail(lua_State *L)
{
    return bind_raise(L, "%s", luaL_checkstring(L, 1));
}

/* core.unit(column): "mT" for "bz_mt", "" without a unit. */
static int core_unit(lua_State *L)
{
    lua_pushstring(L, bind_unit_text(bind_unit_of_column(luaL_checkstring(L, 1))));
    return 1;
}

/* core.nearest(wanted, names): the name that was meant, or nil. */
static int core_nearest(lua_State *L)
{
    bind_nearest nearest = {.wanted = luaL_checkstring(L, 1)};
    for (lua_Integer i = 1; lua_rawgeti(L, 2, i) == LUA_TSTRING; i++, lua_pop(L, 1))
        bind_nearest_try(&nearest, lua_tostring(L, -1)); /* the list keeps the text */
    lua_pushstring(L, nearest.name);
    return 1;
}

/* core.list(value): a copy of a plain list; nil is an empty one. */
static int core_list(lua_State *L)
{
    lua_newtable(L);
    if (lua_isnoneornil(L, 1))
        return 1;
    if (lua_type(L, 1) != LUA_TTABLE)
        return bind_raise(L, "a list in braces was expected, not a %s", luaL_typename(L, 1));
    for (lua_Integer i = 1; lua_rawgeti(L, 1, i) != LUA_TNIL; i++)
        lua_rawseti(L, -2, i);
    lua_pop(L, 1);
    return 1;
}

/* core.getmetatable(value): the real one, also where __metatable hides it. */
static int core_metatable(lua_State *L)
{
    if (!lua_getmetatable(L, 1))
        lua_pushnil(L);
    return 1;
}

/* core.integer(x): "pole 1", not "pole 1.0". */
static int core_integer(lua_State *L)
{
    lua_pushinteger(L, (lua_Integer)luaL_checknumber(L, 1));
    return 1;
}

/* The chunks keep the real functions, whatever a script puts in their place later. */
void bind_open_core(lua_State *L)
{
    static const char *const globals[] = {"type",   "tostring", "pcall",        "xpcall", "error",
                                          "rawget", "rawset",   "setmetatable", NULL};
    static const luaL_Reg functions[] = {
        {"read", core_read},
        {"fail", core_fail},
        {"unit", core_unit},
        {"nearest", core_nearest},
        {"list", core_list},
        {"getmetatable", core_metatable},
        {"integer", core_integer},
        {"is_wrong", core_is_wrong},
        {"mutual", core_mutual},
        {"placed", bind_placed},
        {"judge", bind_core_judge},
        {"text_cure", bind_core_text_cure},
        {"usual_rows", bind_core_usual_rows},
        {NULL, NULL},
    };
    bind_push_core(L);
    luaL_setfuncs(L, functions, 0);
    for (size_t i = 0; globals[i]; i++) {
        lua_getglobal(L, globals[i]);
        lua_setfield(L, -2, globals[i]);
    }
    lua_pop(L, 1);
    for (size_t i = 0; i < NOUN_COUNT; i++)
        bind_offer_fields(L, &nouns[i]);
    for (size_t i = 0; i < MORE_NOUNS; i++)
        for (const bind_noun *noun = more_nouns[i]; noun->name; noun++)
            bind_offer_fields(L, noun);
}
