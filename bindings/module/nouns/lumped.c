/* lumped.c - ll.lumped: a coil as it was measured, without its place or its shape.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/nouns/coil_sense.h"
#include "module/nouns/nouns.h"

#define FIELD(member) offsetof(bind_lumped, member)

static const bind_field lumped_table[] = {
    {"r", FIELD_NUMBER, FIELD(r_ohm), .meaning = "resistance", .unit = UNIT_OHM, .high = 1e7,
     .above_low = true, .usual = USUAL_COIL_OHM},
    {"l", FIELD_NUMBER, FIELD(l_h), .meaning = "inductance", .unit = UNIT_H, .high = 1000,
     .above_low = true, .usual = USUAL_COIL_H},
    {"c", FIELD_NUMBER, FIELD(c_f), .meaning = "own capacitance; none when left out",
     .unit = UNIT_F, .high = 1e-6, .usual = USUAL_COIL_F},
    {"measured", FIELD_LIST, FIELD(measured),
     .meaning = "list of {hertz, ohm, henry}, in place of 'r' and 'l': a coil that changes with "
                "the frequency",
     .high = 1e7, .above_low = true, .width = 3},
    {"name", FIELD_TEXT, FIELD(name), .meaning = "as tables and messages call it"},
};

static int make_lumped(lua_State *L);

const bind_noun bind_noun_lumped = {.name = "lumped",
                                    .article = "a lumped coil",
                                    .type = "lodeloom.lumped",
                                    .size = sizeof(bind_lumped),
                                    BIND_NOUN_FIELDS(lumped_table),
                                    .make = make_lumped};

/* Either the two figures or the list. */
static bool check_given(lua_State *L, const bind_lumped *lumped, const char *place)
{
    bool listed = lumped->measured.count > 0;
    bool fine =
        listed ? lumped->r_ohm == 0 && lumped->l_h == 0 : lumped->r_ohm > 0 && lumped->l_h > 0;
    if (!fine)
        bind_mistake(L,
                     "%s: give 'r' (ohm) and 'l' (henry), or else 'measured', a list of {hertz, "
                     "ohm, henry}",
                     place);
    return fine;
}

static bool check_rising(lua_State *L, const bind_lumped *lumped, const char *place)
{
    const double *values = lumped->measured.values;
    for (size_t i = 1; i < lumped->measured.count; i++)
        if (values[3 * i] <= values[3 * (i - 1)]) {
            bind_mistake(L, "%s: the frequencies of 'measured' must rise: %s Hz comes after %s Hz",
                         place, bind_number(L, values[3 * i]), bind_number(L, values[3 * (i - 1)]));
            return false;
        }
    return true;
}

/* ll.lumped{...}. */
static int make_lumped(lua_State *L)
{
    static const char *const figures[] = {"r", "l"};
    lua_settop(L, 1);
    const char *place = bind_place_of(L, &bind_noun_lumped);
    bind_lumped *lumped = bind_object_make(L, &bind_noun_lumped, place);
    int box = lua_gettop(L);
    if (!lumped->head.wrong)
        lumped->head.wrong = !check_given(L, lumped, place) || !check_rising(L, lumped, place);
    lua_getiuservalue(L, box, 1);
    if (!bind_check_ohm_per_h(L, box + 1, place, figures, lumped->r_ohm, lumped->l_h))
        lumped->head.wrong = true;
    /* One form for the engine; the box keeps it in its table of fields, which is on the top of the stack. */
    double *row = bind_buffer(L, 3, sizeof *row);
    lua_rawsetp(L, -2, lumped_table);
    row[0] = 1;
    row[1] = lumped->r_ohm;
    row[2] = lumped->l_h;
    lumped->rows = lumped->measured.count ? lumped->measured : (bind_list){row, 1};
    lua_settop(L, box);
    return 1;
}

void bind_open_lumped(lua_State *L)
{
    static const luaL_Reg methods[] = {{NULL, NULL}};
    static const luaL_Reg functions[] = {{"lumped", make_lumped}, {NULL, NULL}};
    bind_object_register(L, &bind_noun_lumped, methods, NULL);
    luaL_setfuncs(L, functions, 0);
    bind_offer_fields(L, &bind_noun_lumped);
}
