/* coil.c - ll.coil: a winding with its place, its wire, its direction, and what was measured on it.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/nouns/coil_sense.h"
#include "module/nouns/nouns.h"
#include <math.h>

#define FIELD(member) offsetof(bind_coil, member)
#define LENGTH .unit = UNIT_MM, .high = 1000, .above_low = true

static const char *const hands[] = {"ccw", "cw", NULL};
static const char *const hot_leads[] = {"finish", "start", NULL};

static const bind_field shorted_table[] = {
    {"turns", FIELD_NUMBER, offsetof(bind_shorted, turns),
     .meaning = "how many turns lie within the short", .required = true, .high = 1e6,
     .above_low = true, .usual = USUAL_TURNS},
};
static const bind_noun shorted_noun = {
    .name = "shorted", .article = "a short", BIND_NOUN_FIELDS(shorted_table)};

static const bind_field coil_table[] = {
    {"turns", FIELD_NUMBER, FIELD(turns), .meaning = "number of turns; 'hand' says which way round",
     .required = true, .high = 1e6, .above_low = true, .usual = USUAL_TURNS},
    {"opening", FIELD_PAIR, FIELD(opening_m), .meaning = "clear hole inside the winding, {x, y}",
     .required = true, LENGTH, .usual = USUAL_OPENING},
    {"corner", FIELD_NUMBER, FIELD(corner_m),
     .meaning = "inner corner radius; half the shorter side when left out", .unit = UNIT_MM,
     .high = 1000},
    {"build", FIELD_NUMBER, FIELD(build_m), .meaning = "radial thickness of the winding",
     .required = true, LENGTH, .usual = USUAL_BUILD},
    {"height", FIELD_NUMBER, FIELD(height_m), .meaning = "axial length of the winding",
     .required = true, LENGTH, .usual = USUAL_HEIGHT},
    {"at", FIELD_PLACE, FIELD(at_m), .meaning = "the winding's centre", .required = true,
     .unit = UNIT_MM, .low = -1e4, .high = 1e4},
    {"along", FIELD_DIRECTION, FIELD(along), .meaning = "direction of the axis; +z when left out"},
    {"turn", FIELD_TURN, FIELD(turn),
     .meaning = "{axis, degrees} or a list: turns about the centre", .unit = UNIT_DEG},
    {"wire", FIELD_OBJECT, FIELD(wire),
     .meaning = "ll.awg(42) or ll.wire{...}; without it resistance and capacitance are unknown",
     .of = &bind_noun_wire},
    {"hand", FIELD_CHOICE, FIELD(hand),
     .meaning = "winding direction from start to finish seen from the strings; ccw when left out",
     .words = hands},
    {"hot", FIELD_CHOICE, FIELD(hot), .meaning = "the lead that is hot; the finish when left out",
     .words = hot_leads},
    {"dcr", FIELD_NUMBER, FIELD(dcr_ohm), .meaning = "measured resistance", .unit = UNIT_OHM,
     .high = 1e7, .above_low = true, .usual = USUAL_COIL_OHM},
    {"inductance", FIELD_NUMBER, FIELD(inductance_h), .meaning = "measured inductance",
     .unit = UNIT_H, .high = 1000, .above_low = true, .usual = USUAL_COIL_H},
    {"capacitance", FIELD_NUMBER, FIELD(capacitance_f), .meaning = "measured own capacitance",
     .unit = UNIT_F, .high = 1e-6, .above_low = true, .usual = USUAL_COIL_F},
    {"permittivity", FIELD_NUMBER, FIELD(permittivity),
     .meaning =
         "relative permittivity between the turns, for the computed capacitance; 3.5 when left out",
     .low = 1, .high = 20},
    {"shorted", FIELD_RECORD, FIELD(shorted),
     .meaning = "turns that a fault has joined into a closed loop, {turns =}", .of = &shorted_noun},
    {"name", FIELD_TEXT, FIELD(name), .meaning = "as tables and messages call it"},
};

/* Enamel with some air or wax between the turns: about 3.5, from memory of handbook figures for polyurethane
 * enamel (3.5 to 4); a potted coil is higher. */
static const bind_coil coil_defaults = {
    .corner_m = -1,
    .along = {0, 0, 1},
    .turn = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
    .permittivity = 3.5,
};

static int make_coil(lua_State *L);

const bind_noun bind_noun_coil = {.name = "coil",
                                  .article = "a coil",
                                  .type = "lodeloom.coil",
                                  .size = sizeof(bind_coil),
                                  .defaults = &coil_defaults,
                                  BIND_NOUN_FIELDS(coil_table),
                                  .make = make_coil};

/* Coils without a name are counted for messages, from 1 for each pickup. */
static const char *push_place(lua_State *L)
{
    const char *place = bind_place_of(L, &bind_noun_coil);
    bind_push_core(L);
    lua_getfield(L, -1, "coils_made");
    lua_Integer number = lua_tointeger(L, -1) + 1;
    lua_pushinteger(L, number);
    lua_setfield(L, -3, "coils_made");
    lua_pop(L, 2);
    bool named = lua_type(L, 1) == LUA_TTABLE && bind_given(L, 1, "name");
    return named ? place : lua_pushfstring(L, "coil %I", number);
}

/* A corner radius cannot be more than half the opening; left out, the opening is as round as can be. */
static void check_corner(lua_State *L, bind_coil *coil, const char *place)
{
    double most_m = fmin(coil->opening_m[0], coil->opening_m[1]) / 2;
    if (coil->corner_m < 0)
        coil->corner_m = most_m;
    /* Half of a decimal number may fall a rounding short. */
    if (coil->corner_m > most_m && coil->corner_m <= most_m * (1 + 1e-9))
        coil->corner_m = most_m;
    if (coil->corner_m <= most_m)
        return;
    coil->head.wrong = true;
    bind_mistake(L,
                 "%s: 'corner' must be at most half the shorter side of 'opening', %s, not "
                 "%s",
                 place, bind_quantity(L, UNIT_MM, most_m),
                 bind_quantity(L, UNIT_MM, coil->corner_m));
}

/* Some turns must be left. */
static void check_shorted(lua_State *L, bind_coil *coil, const char *place)
{
    if (coil->shorted.turns < coil->turns)
        return;
    coil->head.wrong = true;
    bind_mistake(L, "%s: 'shorted' must leave some of the coil's %s turns, not take %s", place,
                 bind_number(L, coil->turns), bind_number(L, coil->shorted.turns));
}

static int make_coil(lua_State *L)
{
    lua_settop(L, 1);
    const char *place = push_place(L);
    bind_coil *coil = bind_object_make(L, &bind_noun_coil, place);
    int box = lua_gettop(L);
    if (!coil->head.wrong)
        check_corner(L, coil, place);
    if (!coil->head.wrong)
        check_shorted(L, coil, place);
    coil->shape = (ll_coil_shape){coil->opening_m[0], coil->opening_m[1], coil->corner_m,
                                  coil->build_m, coil->height_m};
    coil->pose =
        (ll_pose){ll_rotation_after(coil->turn, ll_rotation_z_to(coil->along)), coil->at_m};
    lua_settop(L, box);
    if (!coil->head.wrong)
        bind_check_coil_sense(L, box, coil, place);
    return 1;
}

void bind_open_coil(lua_State *L)
{
    static const luaL_Reg methods[] = {{NULL, NULL}};
    static const luaL_Reg functions[] = {{"coil", make_coil}, {NULL, NULL}};
    bind_object_register(L, &bind_noun_coil, methods, NULL);
    luaL_setfuncs(L, functions, 0);
    bind_offer_fields(L, &bind_noun_coil);
    bind_offer_fields(L, &shorted_noun);
}
