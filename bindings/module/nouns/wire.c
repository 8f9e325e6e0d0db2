/* wire.c - ll.awg and ll.wire: copper wire that coils are wound with.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/base/offer.h"
#include "module/base/rows.h"
#include "module/nouns/nouns.h"

static const char *const builds[] = {"single", "heavy", NULL};

static const bind_field wire_table[] = {
    {"awg", FIELD_NUMBER, offsetof(bind_wire, gauge), .meaning = "gauge number", .low = 30,
     .high = 50, .usual = USUAL_GAUGE_NUMBER},
    {"bare", FIELD_NUMBER, offsetof(bind_wire, bare_m),
     .meaning = "diameter of the bare copper, in place of 'awg'", .unit = UNIT_MM, .low = 0.025,
     .high = 0.255, .usual = USUAL_BARE},
    {"build", FIELD_CHOICE, offsetof(bind_wire, build),
     .meaning = "thickness of the enamel; single when left out", .words = builds},
};

static int make_wire(lua_State *L);

const bind_noun bind_noun_wire = {.name = "wire",
                                  .article = "a wire, such as ll.awg(42)",
                                  .type = "lodeloom.wire",
                                  .size = sizeof(bind_wire),
                                  BIND_NOUN_FIELDS(wire_table),
                                  .make = make_wire};

/* ll.wire{...}. */
static int make_wire(lua_State *L)
{
    lua_settop(L, 1);
    bind_wire *wire = bind_object_make(L, &bind_noun_wire, "wire");
    if (wire->head.wrong)
        return 1;
    if ((wire->gauge > 0) == (wire->bare_m > 0)) {
        wire->head.wrong = true;
        bind_mistake(L, "wire: give either 'awg' or 'bare' (mm)");
        return 1;
    }
    ll_wire_build build = (ll_wire_build)wire->build;
    ll_status status = wire->gauge > 0 ? ll_wire_awg(wire->gauge, build, &wire->wire)
                                       : ll_wire_metric(wire->bare_m, build, &wire->wire);
    wire->head.wrong = status != LL_OK;
    if (status != LL_OK)
        bind_mistake(L, "wire: %s", ll_status_text(status));
    return 1;
}

/* ll.awg(42 [, "heavy"]): a wire by its gauge number, single build unless said otherwise. */
static int awg(lua_State *L)
{
    lua_settop(L, 2);
    lua_newtable(L);
    lua_pushvalue(L, 1);
    lua_setfield(L, -2, "awg");
    lua_pushvalue(L, 2);
    lua_setfield(L, -2, "build");
    lua_replace(L, 1);
    return make_wire(L);
}

static const bind_column figures_columns[] = {
    {"awg", UNIT_NONE, ERROR_NONE,
     .meaning = "its gauge number; none for a wire that was given by its diameter"},
    {"build", UNIT_NONE, ERROR_NONE, .meaning = "single or heavy", .text = true},
    {"bare", UNIT_MM, ERROR_NONE, .meaning = "diameter of the copper"},
    {"outside", UNIT_MM, ERROR_NONE, .meaning = "diameter over the enamel"},
    {"per_m", UNIT_OHM, ERROR_MODEL,
     .meaning = "resistance of a metre at 20 degrees C, by the diameter"},
};
static const bind_reading figures = {
    .name = "figures",
    .title = "wire",
    .meaning = "its diameters, and the resistance of a metre at 20 degrees C",
    .of = &bind_noun_wire,
    BIND_READING_COLUMNS(figures_columns)};

/* wire:figures(): diameters and resistance of a metre at 20 degrees Celsius. */
static int wire_figures(lua_State *L)
{
    const bind_wire *wire = bind_self(L, &bind_noun_wire, "figures");
    bind_result t = bind_result_begin(L, &figures);
    bind_row_begin(&t);
    if (wire->gauge > 0)
        bind_set(&t, "awg", wire->gauge);
    bind_set_text(&t, "build", builds[wire->build]);
    bind_set(&t, "bare_mm", wire->wire.bare_m);
    bind_set(&t, "outside_mm", wire->wire.outside_m);
    if (wire->wire.bare_m > 0)
        bind_set(&t, "per_m_ohm", ll_wire_ohm_per_m(wire->wire.bare_m, 20));
    bind_row_end(&t);
    if (wire->wire.source)
        bind_note(&t, "%s", wire->wire.source);
    return bind_result_end(&t);
}

/* "AWG 42, single build". */
static int wire_tostring(lua_State *L)
{
    const bind_wire *wire = lua_touserdata(L, 1);
    if (wire->gauge > 0)
        lua_pushfstring(L, "AWG %s, %s build", bind_number(L, wire->gauge), builds[wire->build]);
    else
        lua_pushfstring(L, "%s, %s build", bind_quantity(L, UNIT_MM, wire->bare_m),
                        builds[wire->build]);
    return 1;
}

void bind_open_wire(lua_State *L)
{
    static const luaL_Reg methods[] = {{"figures", wire_figures}, {NULL, NULL}};
    static const luaL_Reg functions[] = {{"awg", awg}, {"wire", make_wire}, {NULL, NULL}};
    bind_object_register(L, &bind_noun_wire, methods, NULL);
    luaL_getmetatable(L, bind_noun_wire.type);
    lua_pushcfunction(L, wire_tostring);
    lua_setfield(L, -2, "__tostring");
    lua_pop(L, 1);
    luaL_setfuncs(L, functions, 0);
    bind_offer_fields(L, &bind_noun_wire);
    bind_offer_reading(L, &figures);
}
