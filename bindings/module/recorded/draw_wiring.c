/* draw_wiring.c - ll.draw_wiring{...}: how to join player, known resistor, pickup and recorder, as a picture.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/picture.h"
#include "module/base/units.h"
#include "module/recorded/recorded.h"
#include "picture/wiring.h"

enum { RUN_PICKUP, RUN_SHORTED, RUN_KNOWN };

typedef struct wiring_options {
    const char *file;
    double resistor_ohm, known_ohm, width_m;
    int run;
} wiring_options;

static const char *const runs[] = {"pickup", "shorted", "known", NULL};

static const bind_field wiring_table[] = {
    {"file", FIELD_TEXT, offsetof(wiring_options, file), .meaning = BIND_PICTURE_FILE,
     .required = true},
    {"resistor", FIELD_NUMBER, offsetof(wiring_options, resistor_ohm),
     .meaning = "the known resistor; 47000 when left out", .unit = UNIT_OHM, .low = 100,
     .high = 1e7},
    {"run", FIELD_CHOICE, offsetof(wiring_options, run),
     .meaning =
         "which of the recordings: of the pickup when left out, with the resistor shorted by a "
         "wire, or with a known resistor in the pickup's place",
     .words = runs},
    {"known_ohm", FIELD_NUMBER, offsetof(wiring_options, known_ohm),
     .meaning = "the resistor in the pickup's place; 100000 when left out", .unit = UNIT_OHM,
     .low = 100, .high = 1e7},
    {"width", FIELD_NUMBER, offsetof(wiring_options, width_m), .meaning = "of the picture",
     .unit = UNIT_MM, .low = 80, .high = 400},
};
static const bind_noun wiring_noun = {
    .name = "draw_wiring", .article = "a wiring", BIND_NOUN_FIELDS(wiring_table)};

#ifdef LL_HAVE_CAIRO
static void draw(cairo_t *cairo, const void *what, double width_mm, double height_mm)
{
    picture_draw_wiring(cairo, what, width_mm, height_mm);
}
#endif

/* ll.draw_wiring{ file = "wiring.png" } */
static int draw_wiring(lua_State *L)
{
    static const char *const titles[] = {"Measuring the pickup", "Run with the resistor shorted",
                                         "Run with a known resistor"};
    wiring_options o = {.resistor_ohm = 47e3, .known_ohm = 100e3, .width_m = 0.16};
    lua_settop(L, 1);
    if (!bind_parse(L, 1, &wiring_noun, "draw_wiring", &o))
        return 0;
    const picture_wiring wiring = {.title = titles[o.run],
                                   .resistor = bind_told(L, UNIT_OHM, o.resistor_ohm),
                                   .load = o.run == RUN_KNOWN ? bind_told(L, UNIT_OHM, o.known_ohm)
                                                              : "pickup",
                                   .shorted = o.run == RUN_SHORTED};
    const double width_mm = bind_from_si(UNIT_MM, o.width_m);
    const bind_sheet sheet = {.place = "draw_wiring",
                              .file = o.file,
                              .width_mm = width_mm,
                              .height_mm = PICTURE_WIRING_HEIGHT_MM * width_mm / 160,
                              .title = wiring.title,
                              .words =
                                  "the player's left output through the known resistor to input 1 "
                                  "and the pickup, whose other lead is at ground; input 2 on the "
                                  "player's side of the resistor"};
    bind_draw(L, &sheet, BIND_DRAWER(draw), &wiring);
    return 0;
}

void bind_open_wiring(lua_State *L)
{
    static const luaL_Reg functions[] = {{"draw_wiring", draw_wiring}, {NULL, NULL}};
    luaL_setfuncs(L, functions, 0);
    bind_offer_fields(L, &wiring_noun);
}
