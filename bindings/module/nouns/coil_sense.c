/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/nouns/coil_sense.h"
#include "module/base/fault.h"
#include "module/base/odd.h"
#include "module/base/plausible.h"
#include <math.h>

/* Round wires in the densest packing take sqrt(3) / 2 of the squares around them, so no winding has its squares fill more than
 * 1.155 of the room (Lagrange). A bulging coil is thicker than its flanges tell: up to 2 is let pass with a remark. */
static const double densest = 1.1547, never_fits = 2;

/* Measured against computed resistance: the standard's limits of the wire's diameter are 8 % (IEC 60317-0-1, from memory); the rest
 * is for stretched wire and a build that was guessed (common practice, no source). */
static const double usual_ratio = 1.3, never_ratio = 30;

/* The text on the top as a mistake or as a remark; pops it. */
static void tell(lua_State *L, int box, bind_coil *coil, const char *place, bool never,
                 const char *about)
{
    if (never) {
        coil->head.wrong = true;
        bind_mistake(L, "%s: %s", place, lua_tostring(L, -1));
        lua_pop(L, 1);
        return;
    }
    lua_getiuservalue(L, box, 1);
    lua_insert(L, -2);
    bind_odd(L, lua_gettop(L) - 1, place, about);
    lua_pop(L, 1);
}

/* Pushes the cure: a length in another unit, or what else there is to do. */
static const char *push_room_cure(lua_State *L, const bind_coil *coil)
{
    const char *cure = bind_push_cure(L, USUAL_BUILD, bind_from_si(UNIT_MM, coil->build_m));
    if (!*cure)
        cure = bind_push_cure(L, USUAL_HEIGHT, bind_from_si(UNIT_MM, coil->height_m));
    return *cure
               ? cure
               : lua_pushliteral(L, "; measure 'build' and 'height' again, or take fewer turns or "
                                    "thinner wire");
}

/* Turns and wire against the room that is said to hold them. */
static void check_room(lua_State *L, int box, bind_coil *coil, const char *place)
{
    ll_winding sheet;
    if (ll_winding_sheet(&coil->shape, coil->turns, &coil->wire->wire, 20, &sheet) != LL_OK ||
        sheet.wire_fill <= densest)
        return;
    const double room_m2 = coil->build_m * coil->height_m;
    lua_pushfstring(
        L,
        "%s turns of this wire fill %s mm2 and more, and 'build' x 'height' is %s mm2: some %s "
        "turns fit%s",
        bind_number(L, coil->turns), bind_rounded(L, sheet.wire_fill / densest * room_m2 * 1e6),
        bind_rounded(L, room_m2 * 1e6), bind_rounded(L, coil->turns / sheet.wire_fill),
        push_room_cure(L, coil));
    tell(L, box, coil, place, sheet.wire_fill > never_fits, "room");
}

/* Pushes "; AWG 42 would give 5740 ohm" for the gauge that agrees best, "" when none is near. */
static const char *push_gauge_cure(lua_State *L, const bind_coil *coil)
{
    for (int gauge = 36; gauge <= 48; gauge++) {
        ll_wire wire;
        ll_winding sheet;
        if (ll_wire_awg(gauge, (ll_wire_build)coil->wire->build, &wire) == LL_OK &&
            ll_winding_sheet(&coil->shape, coil->turns, &wire, 20, &sheet) == LL_OK &&
            fabs(sheet.dcr_ohm / coil->dcr_ohm - 1) < 0.1)
            return lua_pushfstring(L, "; AWG %d would give %s ohm", gauge,
                                   bind_rounded(L, sheet.dcr_ohm));
    }
    return lua_pushliteral(L, "; check turns, wire and the reading");
}

/* The measured resistance against that of the wire. */
static void check_ohms(lua_State *L, int box, bind_coil *coil, const char *place)
{
    ll_winding sheet;
    if (coil->dcr_ohm <= 0 ||
        ll_winding_sheet(&coil->shape, coil->turns, &coil->wire->wire, 20, &sheet) != LL_OK)
        return;
    const double expected_ohm = sheet.dcr_ohm * (1 - coil->shorted.turns / coil->turns);
    const double ratio = coil->dcr_ohm / expected_ohm, kilo = ratio * 1000;
    const bool kilohms = kilo > 1 / usual_ratio && kilo < usual_ratio;
    const double off = fmax(ratio, 1 / ratio);
    if (off <= usual_ratio)
        return;
    lua_pushfstring(
        L, "'dcr' (measured resistance) is %s ohm, and %s turns of this wire have %s ohm%s",
        bind_number(L, coil->dcr_ohm), bind_number(L, coil->turns), bind_rounded(L, expected_ohm),
        kilohms ? lua_pushfstring(L, "; %s kilohms are written %s * ll.kohm",
                                  bind_number(L, coil->dcr_ohm), bind_number(L, coil->dcr_ohm))
                : push_gauge_cure(L, coil));
    tell(L, box, coil, place, off > never_ratio, "dcr against wire");
}

bool bind_check_ohm_per_h(lua_State *L, int copy, const char *place, const char *const fields[2],
                          double ohm, double henry)
{
    const double each = ohm / henry;
    const bind_plausibility is = bind_judge(USUAL_OHM_PER_H, each);
    if (ohm <= 0 || henry <= 0 || is == IS_USUAL)
        return true;
    const int top = lua_gettop(L);
    const char *cure = bind_push_cure(L, USUAL_COIL_OHM, ohm);
    lua_pushfstring(L, "'%s' and '%s' are %s ohm for each henry; %s%s", fields[0], fields[1],
                    bind_rounded(L, each), bind_push_usual(L, USUAL_OHM_PER_H),
                    *cure ? cure : bind_push_cure(L, USUAL_COIL_H, henry));
    if (is == IS_NEVER)
        bind_mistake(L, "%s: %s", place, lua_tostring(L, -1));
    else
        bind_odd(L, copy, place, "ohm for each henry");
    lua_settop(L, top);
    return is != IS_NEVER;
}

void bind_check_coil_sense(lua_State *L, int box, bind_coil *coil, const char *place)
{
    static const char *const fields[] = {"dcr", "inductance"};
    const int top = lua_gettop(L);
    luaL_checkstack(L, 40, "too deeply nested");
    if (coil->wire) {
        check_room(L, box, coil, place);
        check_ohms(L, box, coil, place);
    }
    lua_getiuservalue(L, box, 1);
    if (!bind_check_ohm_per_h(L, top + 1, place, fields, coil->dcr_ohm, coil->inductance_h))
        coil->head.wrong = true;
    lua_settop(L, top);
}
