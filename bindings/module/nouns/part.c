/* part.c - ll.block, ll.rod, ll.ring, ll.screw: solids with a material, a place and, for magnets, a north side.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/nouns/nouns.h"
#include <math.h>
#include <string.h>

#define FIELD(member) offsetof(bind_part, member)
#define LENGTH .unit = UNIT_MM, .high = 1000, .above_low = true

/* As ll_charging. */
static const char *const charged_words[] = {"assembled", "alone", NULL};

#define PART_FIELDS                                                                                \
    {"material",                                                                                   \
     FIELD_NAMED,                                                                                  \
     FIELD(material),                                                                              \
     .of = &bind_noun_material,                                                                    \
     .meaning =                                                                                    \
         "a name such as \"AlNiCo 5\", or ll.magnet{...}, ll.steel{...}, ll.conductor{...}",       \
     .required = true},                                                                            \
        {"north", FIELD_DIRECTION, FIELD(north),                                                   \
         .meaning = "side that shows the magnet's north face"},                                    \
        {"charge",                                                                                 \
         FIELD_NUMBER,                                                                             \
         FIELD(charge),                                                                            \
         .meaning = "fraction of full magnetisation; 1 when left out",                             \
         .low = -1,                                                                                \
         .high = 1,                                                                                \
         .usual = USUAL_SHARE},                                                                    \
        {"charged", FIELD_CHOICE, FIELD(charged),                                                  \
         .meaning = "when a magnet was charged: assembled, where it stands, when left out; or "    \
                    "alone in air, to be built in later",                                          \
         .words = charged_words},                                                                  \
        {"temperature",        FIELD_NUMBER,                                                       \
         FIELD(temperature_c), .meaning = "of a magnet; the pickup's when left out",               \
         .unit = UNIT_CELSIUS, .low = -40,                                                         \
         .high = 150,          .usual = USUAL_CELSIUS},                                            \
        {"turn", FIELD_TURN, FIELD(turn),                                                          \
         .meaning = "{axis, degrees} or a list: turns about the centre", .unit = UNIT_DEG},        \
        {"name", FIELD_TEXT, FIELD(name), .meaning = "as tables and messages call it"},            \
    {                                                                                              \
        "pole", FIELD_FLAG, FIELD(pole),                                                           \
            .meaning = "true: a string's pole, listed by :poles(); in a row true when left out"    \
    }

#define AT_FIELD                                                                                   \
    {                                                                                              \
        "at", FIELD_PLACE, FIELD(at_m), .meaning = "the part's centre", .required = true,          \
                                        .unit = UNIT_MM, .low = -1e4, .high = 1e4                  \
    }
#define ALONG_FIELD                                                                                \
    {                                                                                              \
        "along", FIELD_DIRECTION, FIELD(along),                                                    \
            .meaning = "direction of the axis; +z when left out"                                   \
    }

static const bind_field block_table[] = {
    {"size", FIELD_PLACE, FIELD(size_m), .meaning = "full edges {x, y, z}", .required = true,
     LENGTH, .usual = USUAL_EDGE},
    {"holes", FIELD_LIST, FIELD(holes),
     .meaning = "of metal that is not magnetic: clear holes along its own z, each {x, y, diameter} "
                "from its middle; steel with holes is made by ll.plate",
     .unit = UNIT_MM, .low = -1000, .high = 1000, .width = 3},
    AT_FIELD,
    PART_FIELDS,
};
static const bind_field rod_table[] = {
    {"diameter", FIELD_NUMBER, FIELD(diameter_m), .meaning = "diameter of the rod",
     .required = true, LENGTH, .usual = USUAL_DIAMETER},
    {"length", FIELD_NUMBER, FIELD(length_m), .meaning = "length along the axis", .required = true,
     LENGTH, .usual = USUAL_LENGTH},
    AT_FIELD,
    ALONG_FIELD,
    PART_FIELDS,
};
static const bind_field ring_table[] = {
    {"outer", FIELD_NUMBER, FIELD(diameter_m), .meaning = "outer diameter", .required = true,
     LENGTH, .usual = USUAL_DIAMETER},
    {"inner", FIELD_NUMBER, FIELD(inner_m), .meaning = "diameter of the hole", .required = true,
     LENGTH},
    {"length", FIELD_NUMBER, FIELD(length_m), .meaning = "length along the axis", .required = true,
     LENGTH, .usual = USUAL_LENGTH},
    AT_FIELD,
    ALONG_FIELD,
    PART_FIELDS,
};
static const bind_field head_table[] = {
    {"diameter", FIELD_NUMBER, 0, .meaning = "diameter of the head", .required = true, LENGTH,
     .usual = USUAL_DIAMETER},
    {"height", FIELD_NUMBER, sizeof(double), .meaning = "height of the head", .required = true,
     LENGTH},
};
static const bind_noun head_noun = {.name = "head",
                                    .article = "a screw's head",
                                    .size = 2 * sizeof(double),
                                    BIND_NOUN_FIELDS(head_table)};
static const bind_field screw_table[] = {
    {"thread", FIELD_NUMBER, FIELD(diameter_m), .meaning = "outer diameter of the thread",
     .required = true, LENGTH, .usual = USUAL_DIAMETER},
    {"length", FIELD_NUMBER, FIELD(length_m), .meaning = "whole length, head included",
     .required = true, LENGTH, .usual = USUAL_LENGTH},
    {"head", FIELD_RECORD, FIELD(head_m), .meaning = "{ diameter = ..., height = ... }",
     .required = true, .of = &head_noun},
    {"top", FIELD_NUMBER, FIELD(top_m), .meaning = "z of the head's top", .required = true,
     .unit = UNIT_MM, .low = -1e4, .high = 1e4},
    {"at", FIELD_PAIR, FIELD(at_m), .meaning = "its axis, {x, y}", .required = true,
     .unit = UNIT_MM, .low = -1e4, .high = 1e4},
    PART_FIELDS,
};

static const bind_part part_defaults = {
    .along = {0, 0, 1},
    .turn = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
    .charge = 1,
    .temperature_c = NAN,
};

static int make_block(lua_State *L);
static int make_rod(lua_State *L);
static int make_ring(lua_State *L);
static int make_screw(lua_State *L);

#define PART_NOUN(noun)                                                                            \
    static const bind_noun noun##_noun = {.name = #noun,                                           \
                                          .article = "a " #noun,                                   \
                                          .type = "lodeloom." #noun,                               \
                                          .size = sizeof(bind_part),                               \
                                          .defaults = &part_defaults,                              \
                                          BIND_NOUN_FIELDS(noun##_table),                          \
                                          .make = make_##noun}
PART_NOUN(block);
PART_NOUN(rod);
PART_NOUN(ring);
PART_NOUN(screw);

static const bind_noun *const part_kinds[] = {&block_noun, &rod_noun, &ring_noun, &screw_noun,
                                              NULL};
const bind_noun bind_noun_part = {
    .name = "part", .article = "a part (ll.block, ll.rod, ll.ring, ll.screw)", .kinds = part_kinds};

/* A magnet without a north side, or a north side without a magnet. */
static void check_north(lua_State *L, bind_part *part, const char *place)
{
    bool magnet = ll_material_kind(part->material) == LL_MAGNET;
    bool north = ll_norm(part->north) > 0;
    if (magnet == north)
        return;
    part->head.wrong = true;
    if (magnet)
        bind_mistake(L,
                     "%s: a part of %s needs 'north', the side that shows its north face, for "
                     "example north = \"+z\"",
                     place, ll_material_name(part->material));
    else
        bind_mistake(L,
                     "%s: 'north' belongs to magnets, and %s is none; take 'north' out or "
                     "choose a magnet material",
                     place, ll_material_name(part->material));
}

/* What the shape's own rules say about lengths that are each fine alone. */
static const char *cure(const bind_noun *noun)
{
    if (noun == &ring_noun)
        return "'inner' must be smaller than 'outer'";
    if (noun == &screw_noun)
        return "the head must be at least as wide as the thread and lower than the whole length";
    return "its lengths cannot be";
}

/* Body and magnetisation turn together, after `along` and `north` are applied. */
static void settle(lua_State *L, bind_part *part, const bind_noun *noun, ll_status shape_status)
{
    const char *place = bind_place_of(L, noun);
    if (!part->head.wrong && shape_status != LL_OK) {
        part->head.wrong = true;
        bind_mistake(L, "%s: %s", place, cure(noun));
    }
    if (!part->head.wrong)
        check_north(L, part, place);
    ll_rotation own = ll_rotation_z_to(part->along);
    part->pose = (ll_pose){ll_rotation_after(part->turn, own), part->at_m};
    part->north = ll_rotate(&part->turn, part->north);
}

/* Reads the fields; the box is on the top of the stack. */
static bind_part *begin(lua_State *L, const bind_noun *noun)
{
    lua_settop(L, 1);
    return bind_object_make(L, noun, bind_place_of(L, noun));
}

/* Leaves the box on the top. */
static int end(lua_State *L)
{
    /* `begin` left its place text below the box, `settle` its own above. */
    while (!bind_test(L, -1, &bind_noun_part))
        lua_pop(L, 1);
    return 1;
}

/* A hole is round, within the block, and in metal that no field magnetises. */
static void settle_holes(lua_State *L, bind_part *part)
{
    const char *place = bind_place_of(L, &block_noun), *fault = NULL;
    const double *hole = part->holes.values;
    if (part->head.wrong || part->holes.count == 0)
        return;
    if (part->holes.count > LL_MOST_HOLES)
        fault = "'holes' can be at most 16";
    else if (ll_material_kind(part->material) == LL_STEEL)
        fault = "'holes' in steel are cut by ll.plate{...}, which gives a list of parts";
    else if (ll_material_kind(part->material) == LL_MAGNET)
        fault = "'holes' in magnets are not computed; use ll.ring{...}, or several blocks";
    for (size_t i = 0; i < part->holes.count && !fault; i++, hole += 3)
        if (!(hole[2] >= 0.2e-3) || fabs(hole[0]) >= part->size_m.x / 2 ||
            fabs(hole[1]) >= part->size_m.y / 2)
            fault = "each hole is {x, y, diameter} from the block's middle, as in {-15, 0, 3.4}";
    if (!fault)
        return;
    part->head.wrong = true;
    bind_mistake(L, "%s: %s", place, fault);
}

/* ll.block{...}. */
static int make_block(lua_State *L)
{
    bind_part *part = begin(L, &block_noun);
    settle(L, part, &block_noun, ll_shape_block(part->size_m, &part->shape));
    settle_holes(L, part);
    return end(L);
}

/* ll.rod{...}. */
static int make_rod(lua_State *L)
{
    bind_part *part = begin(L, &rod_noun);
    settle(L, part, &rod_noun, ll_shape_rod(part->diameter_m, part->length_m, &part->shape));
    return end(L);
}

/* ll.ring{...}. */
static int make_ring(lua_State *L)
{
    bind_part *part = begin(L, &ring_noun);
    settle(L, part, &ring_noun,
           ll_shape_ring(part->diameter_m, part->inner_m, part->length_m, &part->shape));
    return end(L);
}

/* ll.screw{...}: placed by the top of its head, as a technician measures. */
static int make_screw(lua_State *L)
{
    bind_part *part = begin(L, &screw_noun);
    part->at_m.z = part->top_m - part->length_m / 2;
    settle(L, part, &screw_noun,
           ll_shape_screw(part->diameter_m, part->length_m, part->head_m[0], part->head_m[1],
                          &part->shape));
    return end(L);
}

/* Which of the four kinds the part at `index` is. */
static const bind_noun *noun_at(lua_State *L, int index)
{
    for (size_t i = 0; part_kinds[i]; i++)
        if (luaL_testudata(L, index, part_kinds[i]->type))
            return part_kinds[i];
    return NULL;
}

/* A finite number among the arguments of a method. */
static double number_argument(lua_State *L, int index, const char *method)
{
    double value = lua_tonumber(L, index);
    if (lua_type(L, index) != LUA_TNUMBER || !isfinite(value))
        bind_raise(L, "%s: argument %d must be a finite number", method, index - 1);
    return value;
}

/* Adds to element i of the list in field `key` of the table on the top. */
static void shift(lua_State *L, const char *key, lua_Integer i, double by)
{
    if (lua_getfield(L, -1, key) == LUA_TTABLE) {
        lua_rawgeti(L, -1, i);
        lua_pushnumber(L, lua_tonumber(L, -1) + by);
        lua_rawseti(L, -3, i);
        lua_pop(L, 1);
    }
    lua_pop(L, 1);
}

/* part:moved(x, y, z): a copy that many millimetres away. */
static int part_moved(lua_State *L)
{
    bind_self(L, &bind_noun_part, "moved");
    double by[3];
    for (int i = 0; i < 3; i++)
        by[i] = lua_isnoneornil(L, i + 2) ? 0 : number_argument(L, i + 2, "moved");
    const bind_noun *noun = noun_at(L, 1);
    lua_pushcfunction(L, noun->make);
    bind_push_given(L, 1);
    shift(L, "at", 1, by[0]);
    shift(L, "at", 2, by[1]);
    if (noun == &screw_noun) {
        lua_getfield(L, -1, "top");
        lua_pushnumber(L, lua_tonumber(L, -1) + by[2]);
        lua_setfield(L, -3, "top");
        lua_pop(L, 1);
    } else {
        shift(L, "at", 3, by[2]);
    }
    lua_call(L, 1, 1);
    return 1;
}

/* Leaves a list of pairs in place of the single pair on the top. */
static void listed(lua_State *L)
{
    bool single = lua_rawgeti(L, -1, 2) == LUA_TNUMBER;
    lua_pop(L, 1);
    if (!single)
        return;
    lua_newtable(L);
    lua_insert(L, -2);
    lua_rawseti(L, -2, 1);
}

/* part:turned(axis, degrees): a copy turned about its own centre, after the turns it has. */
static int part_turned(lua_State *L)
{
    bind_self(L, &bind_noun_part, "turned");
    lua_pushcfunction(L, noun_at(L, 1)->make);
    bind_push_given(L, 1);
    if (lua_getfield(L, -1, "turn") == LUA_TTABLE) {
        listed(L);
    } else {
        lua_pop(L, 1);
        lua_newtable(L);
    }
    lua_newtable(L);
    lua_pushvalue(L, 2);
    lua_rawseti(L, -2, 1);
    lua_pushnumber(L, number_argument(L, 3, "turned"));
    lua_rawseti(L, -2, 2);
    lua_rawseti(L, -2, (lua_Integer)lua_rawlen(L, -2) + 1);
    lua_setfield(L, -2, "turn");
    lua_call(L, 1, 1);
    return 1;
}

void bind_open_part(lua_State *L)
{
    static const luaL_Reg methods[] = {
        {"moved", part_moved}, {"turned", part_turned}, {NULL, NULL}};
    static const luaL_Reg functions[] = {{"block", make_block},
                                         {"rod", make_rod},
                                         {"ring", make_ring},
                                         {"screw", make_screw},
                                         {NULL, NULL}};
    for (size_t i = 0; part_kinds[i]; i++) {
        bind_object_register(L, part_kinds[i], methods, NULL);
        bind_offer_fields(L, part_kinds[i]);
    }
    luaL_setfuncs(L, functions, 0);
    bind_offer_fields(L, &head_noun);
}
