/* network.c - ll.network: pickups or measured coils with the controls, the cable and the input that they play into.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/nouns/nouns.h"
#include <string.h>

#define FIELD(member) offsetof(bind_network, member)
#define TURN .high = 1
#define OHMS .unit = UNIT_OHM, .high = 1e9, .above_low = true
#define FARADS .unit = UNIT_F, .high = 1e-3

static const char *const wirings[] = {"series", "parallel", NULL};
static const char *const tapers[] = {"audio", "linear", NULL};
static const char *const tone_places[] = {"input", "wiper", NULL};
static const char *const bleed_wirings[] = {"parallel", "series", NULL};

static const bind_field bleed_table[] = {
    {"c", FIELD_NUMBER, offsetof(bind_treble_bleed, c_f), .meaning = "capacitor", .required = true,
     .unit = UNIT_F, .high = 1e-3, .above_low = true, .usual = USUAL_BLEED_F},
    {"r", FIELD_NUMBER, offsetof(bind_treble_bleed, r_ohm),
     .meaning = "resistor; none when left out", OHMS, .usual = USUAL_BLEED_OHM},
    {"wiring", FIELD_CHOICE, offsetof(bind_treble_bleed, wiring),
     .meaning = "the resistor across the capacitor or in series with it", .words = bleed_wirings},
};
static const bind_noun bleed_noun = {
    .name = "treble bleed", .article = "a treble bleed", BIND_NOUN_FIELDS(bleed_table)};

static const bind_noun *const source_kinds[] = {&bind_noun_lumped, &bind_noun_pickup,
                                                &bind_noun_network, NULL};
static const bind_noun source_noun = {.name = "coil",
                                      .article =
                                          "a pickup, an ll.lumped{...} or an ll.network{...}",
                                      .kinds = source_kinds};

static const bind_field network_table[] = {
    {"from", FIELD_OBJECTS, FIELD(from),
     .meaning = "pickups, lumped coils, and networks of them, such as a pickup behind its own pots",
     .required = true, .of = &source_noun},
    {"wiring", FIELD_CHOICE, FIELD(wiring), .meaning = "how they are joined; in series",
     .words = wirings},
    {"reversed", FIELD_FLAGS, FIELD(reversed),
     .meaning = "for each of them, whether its leads are swapped"},
    {"tapped", FIELD_LIST, FIELD(tapped),
     .meaning = "for each of them, the share of its turns in use; the rest hangs open", TURN,
     .above_low = true, .width = 1, .usual = USUAL_SHARE},
    {"bypassed", FIELD_FLAGS, FIELD(bypassed),
     .meaning = "for each of them, whether its leads are joined, as a split does; the others go on "
                "without it"},
    {"coupling", FIELD_NUMBER, FIELD(coupling),
     .meaning = "coefficient of coupling between any two; none when left out", .low = -1,
     .high = 1},
    {"volume", FIELD_NUMBER, FIELD(volume_ohm), .meaning = "volume pot", OHMS, .usual = USUAL_POT},
    {"volume_turn", FIELD_NUMBER, FIELD(volume_turn), .meaning = "its rotation; 1, full up", TURN,
     .usual = USUAL_KNOB},
    {"volume_taper", FIELD_CHOICE, FIELD(volume_taper), .meaning = "its law; audio",
     .words = tapers},
    {"tone_pot", FIELD_NUMBER, FIELD(tone_ohm),
     .meaning = "tone pot; without one the capacitor is straight across", OHMS, .usual = USUAL_POT},
    {"tone_turn", FIELD_NUMBER, FIELD(tone_turn), .meaning = "its rotation; 1, full up", TURN,
     .usual = USUAL_KNOB},
    {"tone_taper", FIELD_CHOICE, FIELD(tone_taper), .meaning = "its law; audio", .words = tapers},
    {"tone_cap", FIELD_NUMBER, FIELD(tone_cap_f), .meaning = "tone capacitor", FARADS,
     .above_low = true, .usual = USUAL_TONE_F},
    {"tone_at", FIELD_CHOICE, FIELD(tone_at),
     .meaning = "where the tone control sits on the volume pot; its input", .words = tone_places},
    {"treble_bleed", FIELD_RECORD, FIELD(bleed),
     .meaning = "capacitor and resistor from the volume pot's input to its wiper, {c =, r =, "
                "wiring =}",
     .of = &bleed_noun},
    {"cable", FIELD_NUMBER, FIELD(cable_f), .meaning = "capacitance of the cable", FARADS,
     .usual = USUAL_CABLE_F},
    {"cable_m", FIELD_NUMBER, FIELD(cable_m), .meaning = "length of the cable, in place of 'cable'",
     .unit = UNIT_M, .high = 1000, .usual = USUAL_CABLE_M},
    {"cable_per_m", FIELD_NUMBER, FIELD(cable_f_m), .meaning = "its capacitance; 100 pF/m",
     .unit = UNIT_F_M, .high = 1e-8, .usual = USUAL_CABLE_F_M},
    {"input", FIELD_NUMBER, FIELD(input_ohm), .meaning = "input resistance of the amplifier", OHMS,
     .usual = USUAL_INPUT_OHM},
    {"input_c", FIELD_NUMBER, FIELD(input_f), .meaning = "its input capacitance", FARADS,
     .usual = USUAL_CABLE_F},
    {"name", FIELD_TEXT, FIELD(name), .meaning = "as tables and messages call it"},
};

/* 100 pF/m is the usual figure for instrument cable (common practice, no source; 90 to 160). */
static const bind_network network_defaults = {
    .volume_turn = 1, .tone_turn = 1, .cable_f_m = 100e-12};

static int make_network(lua_State *L);

const bind_noun bind_noun_network = {.name = "network",
                                     .article = "a network",
                                     .type = "lodeloom.network",
                                     .size = sizeof(bind_network),
                                     .defaults = &network_defaults,
                                     BIND_NOUN_FIELDS(network_table),
                                     .make = make_network};

/* A field that says something about a part that is not there is a slip. The fields are on the top of the stack. */
static bool check_companions(lua_State *L, const char *place)
{
    static const char *const needs[][2] = {
        {"volume_turn", "volume"}, {"volume_taper", "volume"}, {"treble_bleed", "volume"},
        {"tone_turn", "tone_pot"}, {"tone_taper", "tone_pot"}, {"tone_pot", "tone_cap"},
        {"tone_at", "tone_cap"},   {"cable_per_m", "cable_m"},
    };
    bool fine = true;
    for (size_t i = 0; i < sizeof needs / sizeof *needs; i++)
        if (bind_given(L, -1, needs[i][0]) && !bind_given(L, -1, needs[i][1])) {
            bind_mistake(L, "%s: '%s' goes with '%s', which is missing", place, needs[i][0],
                         needs[i][1]);
            fine = false;
        }
    if (bind_given(L, -1, "cable") && bind_given(L, -1, "cable_m")) {
        bind_mistake(L, "%s: give either 'cable' (farad) or 'cable_m' (metres)", place);
        fine = false;
    }
    return fine;
}

/* A list with one item for each coil, or none at all. */
static bool check_count(lua_State *L, const bind_network *network, const char *place,
                        const char *field, size_t count)
{
    if (count == 0 || count == network->from.count)
        return true;
    bind_mistake(L, "%s: '%s' needs one item for each coil of 'from', %I, not %I", place, field,
                 (lua_Integer)network->from.count, (lua_Integer)count);
    return false;
}

static bool check_lists(lua_State *L, const bind_network *network, const char *place)
{
    size_t count = network->from.count;
    if (count == 0 || count > LL_NETWORK_COILS) {
        bind_mistake(L, "%s: 'from' must hold 1 to %d pickups or lumped coils, not %I", place,
                     LL_NETWORK_COILS, (lua_Integer)count);
        return false;
    }
    bool fine = check_count(L, network, place, "reversed", network->reversed.count);
    fine &= check_count(L, network, place, "bypassed", network->bypassed.count);
    return check_count(L, network, place, "tapped", network->tapped.count) && fine;
}

/* More than two coils cannot all oppose each other fully. */
static bool check_coupling(lua_State *L, const bind_network *network, const char *place)
{
    double others = (double)network->from.count - 1;
    if (1 + others * network->coupling >= 0)
        return true;
    bind_mistake(L, "%s: 'coupling' between %I coils must be at least %s, not %s", place,
                 (lua_Integer)network->from.count, bind_number(L, -1 / others),
                 bind_number(L, network->coupling));
    return false;
}

/* A network within another ends before the cable, and only coils have turns and leads. */
static bool check_within(lua_State *L, const bind_network *outer, size_t i, const char *place)
{
    const bind_network *inner = outer->coils[i].network;
    const char *fault = NULL;
    if (inner->cable_f + inner->cable_m + inner->input_ohm + inner->input_f > 0)
        fault = "has a cable or an input; they go to the outermost one";
    else if (outer->tapped.count > 0 && outer->tapped.values[i] < 1)
        fault = "has no turns to be tapped; give 'tapped' to it, for its coils";
    else if (outer->bypassed.count > 0 && outer->bypassed.values[i])
        fault = "has no leads to be joined; leave it out";
    if (fault)
        bind_mistake(L, "%s: item %I of 'from' is a network and %s", place, (lua_Integer)i + 1,
                     fault);
    return !fault;
}

/* Something must be left, and not more than the engine holds. */
static bool check_totals(lua_State *L, bind_network *network, const char *place)
{
    size_t left = network->from.count;
    network->coil_total = network->network_total = 0;
    for (size_t i = 0; i < network->from.count; i++) {
        const bind_network *inner = network->coils[i].network;
        network->coil_total += inner ? inner->coil_total : 1;
        network->network_total += inner ? 1 + inner->network_total : 0;
        left -= network->bypassed.count > 0 && network->bypassed.values[i];
    }
    if (left == 0)
        bind_mistake(L, "%s: all items of 'from' are bypassed; one must be left", place);
    else if (network->coil_total > LL_NETWORK_COILS || network->network_total > LL_NETWORK_GROUPS)
        bind_mistake(L,
                     "%s: with the networks in it 'from' holds %I coils and %I networks; at most "
                     "%d and %d can be joined",
                     place, (lua_Integer)network->coil_total, (lua_Integer)network->network_total,
                     LL_NETWORK_COILS, LL_NETWORK_GROUPS);
    else
        return true;
    return false;
}

/* Which of the kinds each coil is, from the list of fields on the top of the stack. */
static bool sort_coils(lua_State *L, bind_network *network, const char *place)
{
    bool fine = true;
    lua_getfield(L, -1, "from");
    for (size_t i = 0; i < network->from.count; i++) {
        bind_network_coil *coil = &network->coils[i];
        lua_rawgeti(L, -1, (lua_Integer)i + 1);
        coil->lumped = bind_test(L, -1, &bind_noun_lumped);
        coil->pickup = bind_test(L, -1, &bind_noun_pickup);
        coil->network = bind_test(L, -1, &bind_noun_network);
        lua_pop(L, 1);
        fine &= !coil->network || check_within(L, network, i, place);
        if (coil->pickup && coil->pickup->coils.count == 0) {
            bind_mistake(L, "%s: item %I of 'from' is a pickup without a coil", place,
                         (lua_Integer)i + 1);
            fine = false;
        }
    }
    lua_pop(L, 1);
    return fine;
}

/* ll.network{...}: checked at once, built when first read. */
static int make_network(lua_State *L)
{
    lua_settop(L, 1);
    const char *place = bind_place_of(L, &bind_noun_network);
    bind_network *network = bind_object_make(L, &bind_noun_network, place);
    int box = lua_gettop(L);
    lua_getiuservalue(L, box, 1);
    if (!network->head.wrong) {
        bool fine = check_companions(L, place);
        fine &= check_lists(L, network, place);
        network->head.wrong = !fine || !check_coupling(L, network, place) ||
                              !sort_coils(L, network, place) || !check_totals(L, network, place);
    }
    lua_settop(L, box);
    return 1;
}

/* Runs at collection and when a variable closes, in any order. */
static int network_clear(lua_State *L)
{
    bind_network *network = lua_touserdata(L, 1);
    ll_network_free(network->network);
    network->network = NULL;
    return 0;
}

void bind_open_network(lua_State *L)
{
    static const luaL_Reg none[] = {{NULL, NULL}}; /* its readings are added */
    static const luaL_Reg functions[] = {{"network", make_network}, {NULL, NULL}};
    bind_object_register(L, &bind_noun_network, none, network_clear);
    luaL_setfuncs(L, functions, 0);
    bind_offer_fields(L, &bind_noun_network);
    bind_offer_fields(L, &bleed_noun);
}
