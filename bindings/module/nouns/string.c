/* string.c - ll.string: a string over the pickup.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/odd.h"
#include "module/nouns/nouns.h"
#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FIELD(member) offsetof(bind_string, member)
#define LENGTH .unit = UNIT_MM, .above_low = true

static const char usual_wrap; /* names the wrap that was not given, in a string's copy */
static const char *const no_wrap[] = {"none", NULL};

static const bind_field string_table[] = {
    {"note", FIELD_TEXT, FIELD(note),
     .meaning = "the open string's note, such as \"E4\" or \"F#3\""},
    {"gauge", FIELD_NUMBER, FIELD(gauge_m), .meaning = "outside diameter", .required = true,
     .high = 6, LENGTH, .usual = USUAL_GAUGE},
    {"wound", FIELD_FLAG, FIELD(wound), .meaning = "true for a wound string; false when left out"},
    {"core", FIELD_NUMBER, FIELD(core_m),
     .meaning = "diameter of a wound string's core; 0.27 mm and 17 % of the gauge when left out",
     .high = 10, LENGTH, .usual = USUAL_CORE},
    {"material", FIELD_NAMED, FIELD(material), .of = &bind_noun_material,
     .meaning = "of the core: a string stock or a steel; music wire when left out"},
    {"wrap", FIELD_NAMED, FIELD(wrap), .of = &bind_noun_material, .words = no_wrap,
     .meaning = "of a wound string's wrap, such as \"nickel\" or a steel; \"none\" for bronze or "
                "nylon, which no magnet hears; nickel-plated steel when left out"},
    {"x", FIELD_NUMBER, FIELD(x_m), .meaning = "its place across the strings", .required = true,
     .unit = UNIT_MM, .low = -1e4, .high = 1e4},
    {"gap", FIELD_NUMBER, FIELD(gap_m),
     .meaning = "clear distance from the top of the nearest pole below to the string's underside",
     .high = 100, LENGTH, .usual = USUAL_GAP},
    {"z", FIELD_NUMBER, FIELD(z_m), .meaning = "height of its axis, in place of 'gap'",
     .unit = UNIT_MM, .low = -1e4, .high = 1e4},
    {"scale", FIELD_NUMBER, FIELD(scale_m),
     .meaning = "free length of the open string; 648 mm when left out", .high = 3000, LENGTH,
     .usual = USUAL_SCALE},
    {"from_bridge", FIELD_NUMBER, FIELD(from_bridge_m),
     .meaning = "distance of the pickup from the bridge; 60 mm when left out", .high = 3000, LENGTH,
     .usual = USUAL_FROM_BRIDGE},
    {"fret", FIELD_WHOLE, FIELD(fret),
     .meaning = "fret that is stopped; 0, the open string, when left out", .high = 36},
    {"mass", FIELD_NUMBER, FIELD(mass_kg_m),
     .meaning = "of a metre of the whole string; that of steel, and of steel wrap, when left out",
     .unit = UNIT_G_M, .high = 1000, .above_low = true, .usual = USUAL_MASS},
    {"loss", FIELD_NUMBER, FIELD(loss),
     .meaning = "loss factor of every partial beside air and bending; 0.0001, wound 0.0002, when "
                "left out (common practice, no source)",
     .high = 0.1, .above_low = true},
    {"loss_bending", FIELD_NUMBER, FIELD(loss_bending),
     .meaning = "loss factor of the wire's own bending; 0.0002 (from memory), wound 0.004 (common "
                "practice, no source), when left out",
     .high = 1, .above_low = true},
    {"name", FIELD_TEXT, FIELD(name),
     .meaning = "as tables and messages call it; the note when left out"},
};

static const bind_string string_defaults = {.scale_m = 0.648, .from_bridge_m = 0.060};

static int make_string(lua_State *L);

const bind_noun bind_noun_string = {.name = "string",
                                    .article = "a string (ll.string{...})",
                                    .type = "lodeloom.string",
                                    .size = sizeof(bind_string),
                                    .defaults = &string_defaults,
                                    BIND_NOUN_FIELDS(string_table),
                                    .make = make_string};

/* Equal temperament, A4 = 440 Hz (ISO 16): letter, # or b, octave. 0 when it is no note. */
static double note_frequency_hz(const char *note)
{
    static const char letters[] = "C.D.EF.G.A.B"; /* the place is the semitone */
    const char *letter = strchr(letters, toupper((unsigned char)*note));
    if (!isalpha((unsigned char)*note) || !letter)
        return 0;
    long semitone = (long)(letter - letters);
    note++;
    semitone += *note == '#' ? 1 : *note == 'b' ? -1 : 0;
    note += *note == '#' || *note == 'b';
    if (!isdigit((unsigned char)note[0]) || note[1])
        return 0;
    semitone += 12 * (note[0] - '0') - (4 * 12 + 9);
    return 440 * exp2((double)semitone / 12);
}

/* The core carries the signal, and a magnetic wrap some more. */
static void settle_core(lua_State *L, bind_string *s, const char *place)
{
    bool given = s->core_m > 0;
    if (!s->wound && bind_given(L, 1, "wrap")) {
        s->head.wrong = true;
        bind_mistake(L, "%s: 'wrap' belongs to wound strings; add wound = true or take it out",
                     place);
    }
    if (!s->wound && !given) {
        s->core_m = s->gauge_m;
    } else if (!s->wound) {
        s->head.wrong = true;
        bind_mistake(L, "%s: 'core' belongs to wound strings; add wound = true or take it out",
                     place);
    } else if (!given) {
        /* The packet does not say: 0.27 mm and 17 % of the gauge, which is within some 0.05 mm of hexagonal cores between
         * 0.6 and 2.7 mm. Common practice, no source. */
        s->core_m = fmin(0.27e-3 + 0.17 * s->gauge_m, 0.9 * s->gauge_m);
    } else if (s->core_m >= s->gauge_m) {
        s->head.wrong = true;
        bind_mistake(L, "%s: 'core' must be thinner than 'gauge'", place);
    }
}

/* One of two ways to say how high it is. */
static void settle_height(lua_State *L, bind_string *s, bool gap, const char *place)
{
    if (gap != s->has_z)
        return;
    s->head.wrong = true;
    bind_mistake(L,
                 gap ? "%s: give either 'gap' or 'z', not both"
                     : "%s: its height is missing: give 'gap', the clear distance above the "
                       "nearest pole, or 'z', the height of its axis",
                 place);
}

/* The note gives the frequency. */
static void settle_note(lua_State *L, bind_string *s, const char *place)
{
    if (!s->note)
        return;
    s->frequency_hz = note_frequency_hz(s->note);
    if (s->frequency_hz > 0)
        return;
    s->head.wrong = true;
    bind_mistake(L,
                 "%s: 'note' is a letter, # or b, and an octave, as in \"E4\", \"F#3\" or "
                 "\"Bb2\", not %s",
                 place, bind_quoted(L, s->note));
}

/* What most wound strings are wrapped with, where the script does not say. */
static void default_wrap(lua_State *L, bind_string *s, int box)
{
    if (!s->wound || bind_given(L, 1, "wrap") ||
        !bind_push_named_material(L, "nickel-plated steel"))
        return;
    s->wrap = ((const bind_material *)lua_touserdata(L, -1))->material;
    lua_getiuservalue(L, box, 1);
    lua_insert(L, -2);
    lua_rawsetp(L, -2, &usual_wrap); /* lives as long as the string */
    bind_assumed(
        L, lua_gettop(L),
        "wound strings without 'wrap' have one of nickel-plated steel; wrap = \"none\" for "
        "bronze or nylon");
    lua_pop(L, 1);
}

/* The first string stock of the tables, when the script names none. */
static void default_material(lua_State *L, bind_string *s, int box)
{
    for (size_t i = 0; !s->material && i < ll_material_row_count(); i++) {
        const ll_material_row *row = ll_material_row_at(i);
        if (strcmp(row->group, "string stock") != 0 || !bind_push_named_material(L, row->name))
            continue;
        const bind_material *material = lua_touserdata(L, -1);
        s->material = material->material;
        lua_getiuservalue(L, box, 1);
        lua_insert(L, -2);
        lua_setfield(L, -2, "material");
    }
    if (!s->material && !s->head.wrong)
        bind_raise(L, "string: no string stock is in the tables; give 'material'");
}

/* By its name, else by its note. */
static const char *push_place(lua_State *L)
{
    if (lua_type(L, 1) == LUA_TTABLE && !bind_given(L, 1, "name") &&
        lua_getfield(L, 1, "note") == LUA_TSTRING)
        return lua_pushfstring(L, "string %s", bind_quoted(L, lua_tostring(L, -1)));
    return bind_place_of(L, &bind_noun_string);
}

/* ll.string{...}. */
static int make_string(lua_State *L)
{
    lua_settop(L, 1);
    const char *place = push_place(L);
    bind_string *s = bind_object_make(L, &bind_noun_string, place);
    int box = lua_gettop(L);
    if (lua_type(L, 1) == LUA_TTABLE && !s->head.wrong) {
        s->has_z = bind_given(L, 1, "z");
        settle_height(L, s, bind_given(L, 1, "gap"), place);
        settle_core(L, s, place);
        settle_note(L, s, place);
        default_material(L, s, box);
        default_wrap(L, s, box);
    }
    if (!s->name)
        s->name = s->note ? s->note : "string";
    lua_settop(L, box);
    return 1;
}

/* ll.strings{ {...}, ll.string{...}, ... }: a list of strings; plain tables are made into strings. */
static int make_strings(lua_State *L)
{
    lua_settop(L, 1);
    if (lua_type(L, 1) != LUA_TTABLE)
        return bind_raise(L, "strings: a list was expected, as in { {note = \"E4\", ...}, ... }");
    lua_newtable(L);
    for (lua_Integer i = 1; lua_rawgeti(L, 1, i) != LUA_TNIL; i++) {
        if (lua_type(L, -1) == LUA_TTABLE) {
            lua_pushcfunction(L, make_string);
            lua_insert(L, -2);
            lua_call(L, 1, 1);
        } else if (!bind_test(L, -1, &bind_noun_string)) {
            return bind_raise(L, "strings: item %I is not a string", i);
        }
        lua_rawseti(L, 2, i);
    }
    if (lua_rawlen(L, 2) == 0)
        return bind_raise(L, "strings: the list is empty");
    lua_settop(L, 2);
    return 1;
}

/* string:frequency(): of the stopped string in hertz, equal temperament, A4 = 440 Hz. */
static int string_frequency(lua_State *L)
{
    const bind_string *s = bind_self(L, &bind_noun_string, "frequency");
    if (s->frequency_hz <= 0)
        return bind_raise(L, "frequency: the string has no 'note'");
    lua_pushnumber(L, s->frequency_hz * exp2(s->fret / 12));
    return 1;
}

/* core.notch(string, distance, in_phase): the first frequency, in hertz, that two places on the string hear in opposite ways. */
static int core_notch(lua_State *L)
{
    const bind_string *s = bind_self(L, &bind_noun_string, "notch");
    const double wave_m_s = ll_string_wave_m_s(s->scale_m, s->frequency_hz);
    const double distance_m = bind_to_si(UNIT_MM, luaL_checknumber(L, 2));
    lua_pushnumber(L, ll_string_notch_hz(wave_m_s, distance_m, lua_toboolean(L, 3)));
    return 1;
}

void bind_open_string(lua_State *L)
{
    bind_core_function(L, "notch", core_notch);
    static const luaL_Reg methods[] = {{"frequency", string_frequency}, {NULL, NULL}};
    static const luaL_Reg functions[] = {
        {"string", make_string}, {"strings", make_strings}, {NULL, NULL}};
    bind_object_register(L, &bind_noun_string, methods, NULL);
    luaL_setfuncs(L, functions, 0);
    bind_offer_fields(L, &bind_noun_string);
}
