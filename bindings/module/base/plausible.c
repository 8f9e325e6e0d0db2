/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/plausible.h"
#include <ctype.h>
#include <lauxlib.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* Other units that people count in, and how a script writes them. */
typedef enum slip_code {
    SLIP_NONE,
    SLIP_KOHM,
    SLIP_MEGOHM,
    SLIP_MH,
    SLIP_UH,
    SLIP_PF,
    SLIP_NF,
    SLIP_UF,
    SLIP_INCH,
    SLIP_THOU,
    SLIP_UM,
    SLIP_CM,
    SLIP_M,
    SLIP_T,
    SLIP_GAUSS,
    SLIP_KG,
    SLIP_MT_IN_T,
    SLIP_GAUSS_IN_T,
    SLIP_KG_IN_T,
    SLIP_A_M,
    SLIP_OE,
    SLIP_KOE,
    SLIP_MS_M,
    SLIP_FAHRENHEIT,
    SLIP_KELVIN,
    SLIP_PERCENT,
    SLIP_TENTHS,
    SLIP_SHARE,
    SLIP_KG_M,
    SLIP_KHZ,
    SLIP_THOUSANDS,
    SLIP_BARE_MM,
    SLIP_BARE_UM,
    SLIP_BARE_INCH,
    SLIP_BARE_THOU
} slip_code;

typedef struct slip {
    const char *name;
    const char *written; /* %s: the number times `shown` */
    double shown;
    bind_unit unit;        /* of the field in which it is met */
    double factor, offset; /* from this unit to the field's */
    bind_usual becomes;    /* where it ends up in another field */
    double from;           /* no smaller number is written in this unit */
    const char *signs;     /* how texts end, a blank before and behind each */
} slip;

static const slip slips[] = {
    [SLIP_KOHM] = {"kilohms", "%s * ll.kohm", 1, UNIT_OHM, 1e3,
                   .signs = " k kohm kohms kilohm kilohms "},
    [SLIP_MEGOHM] = {"megohms", "%s * ll.kohm", 1e3, UNIT_OHM, 1e6,
                     .signs = " M meg megohm megohms Mohm "},
    [SLIP_MH] = {"millihenries", "%s", 1e-3, UNIT_H, 1e-3, .signs = " mH mh "},
    [SLIP_UH] = {"microhenries", "%s", 1e-6, UNIT_H, 1e-6, .signs = " uH uh "},
    [SLIP_PF] = {"picofarads", "%s * ll.pf", 1, UNIT_F, 1e-12, .signs = " p pF pf "},
    [SLIP_NF] = {"nanofarads", "%s * ll.nf", 1, UNIT_F, 1e-9, .signs = " n nF nf "},
    [SLIP_UF] = {"microfarads", "%s * ll.nf", 1e3, UNIT_F, 1e-6, .signs = " u uF uf mfd "},
    [SLIP_INCH] = {"inches", "ll.inch(%s)", 1, UNIT_MM, 25.4, .signs = " in inch inches \" '' "},
    [SLIP_THOU] = {"thousandths of an inch", "ll.thou(%s)", 1, UNIT_MM, 0.0254,
                   .signs = " thou mil mils "},
    [SLIP_UM] = {"micrometres", "%s", 1e-3, UNIT_MM, 1e-3, .signs = " um "},
    [SLIP_CM] = {"centimetres", "%s", 10, UNIT_MM, 10, .signs = " cm "},
    [SLIP_M] = {"metres", "%s", 1e3, UNIT_MM, 1e3, .signs = " m "},
    [SLIP_T] = {"tesla", "%s", 1e3, UNIT_MT, 1e3, .signs = " T tesla "},
    [SLIP_GAUSS] = {"gauss", "ll.gauss(%s)", 1, UNIT_MT, 0.1, .signs = " G gauss "},
    [SLIP_KG] = {"kilogauss", "%s", 100, UNIT_MT, 100, .signs = " kG kg "},
    [SLIP_MT_IN_T] = {"millitesla", "%s", 1e-3, UNIT_T, 1e-3, .signs = " mT mt "},
    [SLIP_GAUSS_IN_T] = {"gauss", "%s", 1e-4, UNIT_T, 1e-4, .signs = " G gauss "},
    [SLIP_KG_IN_T] = {"kilogauss", "%s", 0.1, UNIT_T, 0.1, .signs = " kG kg "},
    [SLIP_A_M] = {"A/m", "%s", 1e-3, UNIT_KA_M, 1e-3, .signs = " A/m "},
    /* 1 Oe is 1000 / (4 pi) A/m. */
    [SLIP_OE] = {"oersted", "%s", 0.0795774715, UNIT_KA_M, 0.0795774715, .signs = " Oe "},
    [SLIP_KOE] = {"kilo-oersted", "%s", 79.5774715, UNIT_KA_M, 79.5774715, .signs = " kOe "},
    [SLIP_MS_M] = {"MS/m", "%se6", 1, UNIT_S_M, 1e6, .signs = " MS/m "},
    [SLIP_FAHRENHEIT] = {"degrees Fahrenheit", "%s", 5.0 / 9, UNIT_CELSIUS, 5.0 / 9, -160.0 / 9,
                         .signs = " F degF "},
    [SLIP_KELVIN] = {"kelvin", "%s", 1, UNIT_CELSIUS, 1, -273.15, .signs = " K kelvin "},
    [SLIP_PERCENT] = {"per cent", "%s", 0.01, UNIT_NONE, 0.01, .from = 5, .signs = " % percent "},
    [SLIP_TENTHS] = {"marks of a knob that goes to 10", "%s", 0.1, UNIT_NONE, 0.1, .signs = " "},
    [SLIP_SHARE] = {"of one", "%s", 100, UNIT_PERCENT, 100, .signs = " "},
    [SLIP_KG_M] = {"kilograms a metre", "%s", 1e3, UNIT_G_M, 1e3, .signs = " kg/m "},
    [SLIP_KHZ] = {"kilohertz", "%se3", 1, UNIT_HZ, 1e3, .signs = " k kHz khz "},
    [SLIP_THOUSANDS] = {"thousand", "%s", 1e3, UNIT_NONE, 1e3, .signs = " k "},
    [SLIP_BARE_MM] = {"mm of bare copper", "ll.wire{ bare = %s }", 1, UNIT_NONE, 1,
                      .becomes = USUAL_BARE, .signs = " mm "},
    [SLIP_BARE_UM] = {"micrometres of bare copper", "ll.wire{ bare = %s }", 1e-3, UNIT_NONE, 1e-3,
                      .becomes = USUAL_BARE, .signs = " um "},
    [SLIP_BARE_INCH] = {"inches of bare copper", "ll.wire{ bare = ll.inch(%s) }", 1, UNIT_NONE,
                        25.4, .becomes = USUAL_BARE, .signs = " in "},
    [SLIP_BARE_THOU] = {"thousandths of an inch of bare copper", "ll.wire{ bare = ll.thou(%s) }", 1,
                        UNIT_NONE, 0.0254, .becomes = USUAL_BARE, .signs = " thou mil "},
};

enum { SLIP_COUNT = sizeof slips / sizeof *slips, MOST_SLIPS = 4 };

#define PRACTICE "common practice, no source"

/* In the script's unit. Below `least` and above `most` nothing of the kind can be; outside `low` to `high` it is odd. 0: no such
 * bound. `slips` in the order of habit. */
static const struct bounds {
    const char *have; /* "coils of pickups have" */
    bind_unit unit;
    double least, low, high, most;
    slip_code slips[MOST_SLIPS];
    const char *source;
} usuals[USUAL_COUNT] = {
    [USUAL_COIL_OHM] =
        {"coils of pickups have", UNIT_OHM, 0, 50, 1e5, 0, {SLIP_KOHM, SLIP_MEGOHM}, PRACTICE},
    [USUAL_COIL_H] =
        {"coils of pickups have", UNIT_H, 0, 1e-3, 30, 100, {SLIP_MH, SLIP_UH}, PRACTICE},
    [USUAL_COIL_F] =
        {"coils of pickups have", UNIT_F, 0, 5e-12, 2e-9, 0, {SLIP_PF, SLIP_NF, SLIP_UF}, PRACTICE},
    /* For each henry; copper that fills a window of some 40 mm2 comes to 1000 to 5000, iron cores lower it. */
    [USUAL_OHM_PER_H] =
        {"for each henry coils have", UNIT_OHM, 30, 200, 1e5, 0, {SLIP_NONE}, PRACTICE},
    [USUAL_TURNS] = {"turns of coils are", UNIT_NONE, 0, 40, 50000, 0, {SLIP_THOUSANDS}, PRACTICE},
    [USUAL_BUILD] =
        {"windings are", UNIT_MM, 0, 0.2, 30, 0, {SLIP_INCH, SLIP_THOU, SLIP_UM}, PRACTICE},
    [USUAL_HEIGHT] =
        {"windings are", UNIT_MM, 0, 0.5, 60, 0, {SLIP_INCH, SLIP_THOU, SLIP_UM}, PRACTICE},
    [USUAL_OPENING] =
        {"openings are", UNIT_MM, 0, 0.8, 250, 0, {SLIP_INCH, SLIP_THOU, SLIP_UM}, PRACTICE},
    [USUAL_GAUGE_NUMBER] = {"gauge numbers are",
                            UNIT_NONE,
                            0,
                            30,
                            50,
                            0,
                            {SLIP_BARE_MM, SLIP_BARE_INCH, SLIP_BARE_THOU, SLIP_BARE_UM},
                            "ASTM B258"},
    [USUAL_BARE] = {"copper wire for coils is",
                    UNIT_MM,
                    0,
                    0.025,
                    0.255,
                    0,
                    {SLIP_INCH, SLIP_THOU, SLIP_UM},
                    "ASTM B258: AWG 50 to 30"},
    [USUAL_DIAMETER] = {"poles and magnets are",
                        UNIT_MM,
                        0,
                        0.8,
                        60,
                        0,
                        {SLIP_INCH, SLIP_THOU, SLIP_UM},
                        PRACTICE},
    [USUAL_LENGTH] = {"poles and magnets are",
                      UNIT_MM,
                      0,
                      0.5,
                      200,
                      0,
                      {SLIP_INCH, SLIP_THOU, SLIP_UM},
                      PRACTICE},
    [USUAL_EDGE] = {"bars and plates are",
                    UNIT_MM,
                    0,
                    0.02,
                    300,
                    0,
                    {SLIP_INCH, SLIP_THOU, SLIP_UM},
                    PRACTICE},
    [USUAL_SPACING] =
        {"strings are apart by", UNIT_MM, 0, 2, 50, 0, {SLIP_INCH, SLIP_THOU, SLIP_UM}, PRACTICE},
    [USUAL_SHEET] =
        {"sheet metal is", UNIT_MM, 0, 0.1, 5, 0, {SLIP_INCH, SLIP_THOU, SLIP_UM}, PRACTICE},
    [USUAL_PICKUP_SIZE] =
        {"pickups are", UNIT_MM, 0, 4, 400, 0, {SLIP_INCH, SLIP_THOU, SLIP_UM}, PRACTICE},
    /* Steel strings from 0.006 inch, the thinnest sold, to 0.145 inch. */
    [USUAL_GAUGE] =
        {"strings are", UNIT_MM, 0.14, 0.15, 4, 0, {SLIP_INCH, SLIP_THOU, SLIP_UM}, PRACTICE},
    [USUAL_CORE] =
        {"cores are", UNIT_MM, 0.1, 0.15, 3, 0, {SLIP_INCH, SLIP_THOU, SLIP_UM}, PRACTICE},
    [USUAL_GAP] = {"strings are above their poles by",
                   UNIT_MM,
                   0,
                   0.2,
                   25,
                   0,
                   {SLIP_INCH, SLIP_THOU, SLIP_UM, SLIP_M},
                   PRACTICE},
    [USUAL_SCALE] =
        {"scales are", UNIT_MM, 150, 300, 1500, 0, {SLIP_INCH, SLIP_CM, SLIP_M}, PRACTICE},
    [USUAL_FROM_BRIDGE] = {"pickups are from the bridge by",
                           UNIT_MM,
                           0,
                           5,
                           600,
                           0,
                           {SLIP_INCH, SLIP_CM, SLIP_M},
                           PRACTICE},
    [USUAL_MASS] = {"strings weigh", UNIT_G_M, 0, 0.1, 80, 0, {SLIP_KG_M}, PRACTICE},
    [USUAL_STANDOFF] =
        {"a probe is held above a pole by", UNIT_MM, 0, 0, 30, 0, {SLIP_THOU, SLIP_UM}, PRACTICE},
    [USUAL_REMANENCE] = {"magnets have",
                         UNIT_MT,
                         20,
                         100,
                         1500,
                         0,
                         {SLIP_T, SLIP_GAUSS, SLIP_KG},
                         "the tables of magnet grades"},
    [USUAL_CURVE_B] = {"magnets have",
                       UNIT_T,
                       0.02,
                       0.1,
                       1.5,
                       3,
                       {SLIP_MT_IN_T, SLIP_GAUSS_IN_T, SLIP_KG_IN_T},
                       "the tables of magnet grades"},
    [USUAL_CURVE_H] = {"magnets have",
                       UNIT_KA_M,
                       0,
                       20,
                       1200,
                       3000,
                       {SLIP_A_M, SLIP_OE, SLIP_KOE},
                       "the tables of magnet grades"},
    [USUAL_SATURATION] =
        {"steels have",
         UNIT_T,
         0,
         0.2,
         2.5,
         4,
         {SLIP_MT_IN_T, SLIP_GAUSS_IN_T, SLIP_KG_IN_T},
         "2.46 T is the most that an alloy has, Fe with 35 % Co: handbooks, from memory"},
    [USUAL_CONDUCTIVITY] = {"metals have",
                            UNIT_S_M,
                            100,
                            2e5,
                            6.4e7,
                            0,
                            {SLIP_MS_M},
                            "handbooks, from memory: bismuth 0.8, silver 63 MS/m"},
    [USUAL_CELSIUS] =
        {"benches are at", UNIT_CELSIUS, 0, 0, 45, 150, {SLIP_FAHRENHEIT, SLIP_KELVIN}, PRACTICE},
    [USUAL_SHARE] = {"shares are", UNIT_NONE, 0, 0, 1, 0, {SLIP_PERCENT}, "arithmetic"},
    [USUAL_KNOB] =
        {"pots turn from", UNIT_NONE, 0, 0, 1, 0, {SLIP_TENTHS, SLIP_PERCENT}, "arithmetic"},
    [USUAL_ACCURACY] =
        {"accuracies are", UNIT_PERCENT, 0, 0.05, 20, 0, {SLIP_SHARE}, "this program"},
    [USUAL_POT] = {"pots have", UNIT_OHM, 1e3, 5e3, 1e7, 0, {SLIP_KOHM, SLIP_MEGOHM}, PRACTICE},
    [USUAL_BLEED_OHM] =
        {"such resistors have", UNIT_OHM, 0, 1e3, 1e7, 0, {SLIP_KOHM, SLIP_MEGOHM}, PRACTICE},
    [USUAL_INPUT_OHM] =
        {"inputs have", UNIT_OHM, 50, 5e3, 1e8, 0, {SLIP_MEGOHM, SLIP_KOHM}, PRACTICE},
    [USUAL_TONE_F] =
        {"tone capacitors have", UNIT_F, 0, 4e-10, 1e-6, 0, {SLIP_UF, SLIP_NF, SLIP_PF}, PRACTICE},
    [USUAL_BLEED_F] =
        {"such capacitors have", UNIT_F, 0, 5e-11, 2e-8, 0, {SLIP_UF, SLIP_NF, SLIP_PF}, PRACTICE},
    [USUAL_CABLE_F] = {"cables and inputs have",
                       UNIT_F,
                       0,
                       2e-12,
                       1e-8,
                       0,
                       {SLIP_PF, SLIP_NF, SLIP_UF},
                       PRACTICE},
    [USUAL_CABLE_F_M] = {"cables have", UNIT_F_M, 0, 2e-11, 1e-9, 0, {SLIP_PF, SLIP_NF}, PRACTICE},
    [USUAL_CABLE_M] = {"cables are", UNIT_M, 0, 0.1, 100, 0, {SLIP_NONE}, PRACTICE},
    [USUAL_PEAK_HZ] =
        {"peaks of pickups are at", UNIT_HZ, 100, 300, 1e5, 1e6, {SLIP_KHZ}, PRACTICE},
    [USUAL_HZ] = {"the highest of frequencies is", UNIT_HZ, 0, 25, 1e6, 0, {SLIP_KHZ}, PRACTICE},
};

static bool is_usual(const struct bounds *u, double value)
{
    return value <= 0 || (value >= u->low && (u->high == 0 || value <= u->high));
}

bind_plausibility bind_judge(bind_usual usual, double value)
{
    const struct bounds *u = &usuals[usual];
    if (usual == USUAL_ANY || is_usual(u, value))
        return IS_USUAL;
    return value < u->least || (u->most > 0 && value > u->most) ? IS_NEVER : IS_ODD;
}

const char *bind_push_usual(lua_State *L, bind_usual usual)
{
    const struct bounds *u = &usuals[usual];
    const char *low = bind_told(L, u->unit, u->low), *high = bind_told(L, u->unit, u->high);
    const size_t length = strcspn(low, " ");
    if (strcmp(low + length, high + strcspn(high, " ")) == 0) /* one unit for both */
        low = lua_pushlstring(L, low, length);
    return lua_pushfstring(L, "%s %s to %s", u->have, low, high);
}

/* Pushes how the slip's number is written in a script. */
static const char *push_written(lua_State *L, const slip *s, double value)
{
    return lua_pushfstring(L, s->written, bind_number(L, value * s->shown + s->offset));
}

const char *bind_push_cure(lua_State *L, bind_usual usual, double value)
{
    const struct bounds *u = &usuals[usual];
    for (int i = 0; i < MOST_SLIPS && u->slips[i] != SLIP_NONE; i++) {
        const slip *s = &slips[u->slips[i]];
        const bind_usual becomes = s->becomes ? s->becomes : usual;
        if (value > 0 && value >= s->from &&
            is_usual(&usuals[becomes], value * s->factor + s->offset))
            return lua_pushfstring(L, "; %s %s are written %s", bind_number(L, value), s->name,
                                   push_written(L, s, value));
    }
    return lua_pushliteral(L, "");
}

/* The other unit of the field's kind that a text ends in; NULL without one. */
static const slip *slip_of_sign(lua_State *L, bind_unit unit, const char *sign)
{
    const char *wanted = lua_pushfstring(L, " %s ", sign);
    for (int i = 1; i < SLIP_COUNT; i++)
        if (slips[i].unit == unit && strstr(slips[i].signs, wanted))
            return &slips[i];
    return NULL;
}

/* What stands before the unit, a decimal comma read as a point; *rest is the unit. */
static double leading_number(lua_State *L, const char *text, const char **rest)
{
    const char *plain = luaL_gsub(L, text, ",", ".");
    char *end;
    const double value = strtod(plain, &end);
    *rest = end == plain || !isfinite(value) ? NULL : text + (end - plain);
    while (*rest && isspace((unsigned char)**rest))
        (*rest)++;
    return value;
}

const char *bind_push_text_cure(lua_State *L, bind_unit unit, const char *text)
{
    luaL_checkstack(L, 12, "too deeply nested");
    const char *rest = NULL;
    const double value = leading_number(L, text, &rest);
    const slip *s = rest && *rest ? slip_of_sign(L, unit, rest) : NULL;
    if (!rest)
        return lua_pushliteral(L, "");
    if (s)
        return lua_pushfstring(L, "; %s %s are written %s, without quotes", bind_number(L, value),
                               s->name, push_written(L, s, value));
    const char *point = strchr(text, ',') ? "with a point, " : "";
    if (*rest == '\0' || strcmp(rest, bind_unit_text(unit)) == 0)
        return lua_pushfstring(L, "; write %s, %swithout quotes%s", bind_number(L, value), point,
                               *rest ? " and unit" : "");
    return lua_pushliteral(L, "; numbers stand without quotes and without their unit");
}

/* The quantity that the module's own Lua calls by a name. */
static const struct {
    const char *name;
    bind_usual usual;
} named[] = {
    {"coil_ohm", USUAL_COIL_OHM},   {"coil_h", USUAL_COIL_H}, {"cable_f", USUAL_CABLE_F},
    {"input_ohm", USUAL_INPUT_OHM}, {"hz", USUAL_HZ},         {"standoff", USUAL_STANDOFF},
    {"peak_hz", USUAL_PEAK_HZ},
};

int bind_core_text_cure(lua_State *L)
{
    const bind_unit unit = bind_unit_of_column(luaL_checkstring(L, 1));
    bind_push_text_cure(L, unit, luaL_checkstring(L, 2));
    return 1;
}

int bind_core_judge(lua_State *L)
{
    const char *name = luaL_checkstring(L, 1);
    const double value = luaL_checknumber(L, 2);
    for (size_t i = 0; i < sizeof named / sizeof *named; i++) {
        const bind_usual usual = named[i].usual;
        if (strcmp(name, named[i].name) != 0 || bind_judge(usual, value) == IS_USUAL)
            continue;
        const char *is = bind_push_usual(L, usual), *cure = bind_push_cure(L, usual, value);
        lua_pushfstring(L, "%s%s", is, cure);
        lua_pushboolean(L, bind_judge(usual, value) == IS_NEVER);
        return 2;
    }
    return 0;
}

/* A row of the manual's list: what is usual, what can never be, what it rests on. */
static void push_usual_row(lua_State *L, bind_usual usual)
{
    const struct bounds *u = &usuals[usual];
    lua_newtable(L);
    const int row = lua_gettop(L);
    bind_push_usual(L, usual);
    lua_setfield(L, row, "usual");
    lua_pushstring(L, u->least > 0 ? bind_told(L, u->unit, u->least) : "");
    lua_setfield(L, row, "below_never");
    lua_pushstring(L, u->most > 0 ? bind_told(L, u->unit, u->most) : "");
    lua_setfield(L, row, "above_never");
    lua_pushstring(L, u->source);
    lua_setfield(L, row, "source");
    luaL_Buffer asked;
    lua_settop(L, row);
    luaL_buffinit(L, &asked);
    for (int i = 0; i < MOST_SLIPS && u->slips[i] != SLIP_NONE; i++) {
        luaL_addstring(&asked, i ? ", " : "");
        luaL_addstring(&asked, slips[u->slips[i]].name);
    }
    luaL_pushresult(&asked);
    lua_setfield(L, row, "asked_for");
    lua_settop(L, row);
}

int bind_core_usual_rows(lua_State *L)
{
    luaL_checkstack(L, 30, "too deeply nested");
    lua_newtable(L);
    for (int i = USUAL_ANY + 1; i < USUAL_COUNT; i++) {
        push_usual_row(L, (bind_usual)i);
        lua_rawseti(L, -2, i);
    }
    return 1;
}
