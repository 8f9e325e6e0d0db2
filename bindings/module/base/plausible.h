/* plausible.h - what is usual of a quantity, what cannot be, and the slip of a unit that a number smells of. One table; the row of
 * a field names its quantity.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_PLAUSIBLE_H
#define LL_BIND_PLAUSIBLE_H

#include "units.h"
#include <lua.h>

/* USUAL_ANY: whatever the range of its field allows. */
typedef enum bind_usual {
    USUAL_ANY,
    USUAL_COIL_OHM,
    USUAL_COIL_H,
    USUAL_COIL_F,
    USUAL_OHM_PER_H,
    USUAL_TURNS,
    USUAL_BUILD,
    USUAL_HEIGHT,
    USUAL_OPENING,
    USUAL_GAUGE_NUMBER,
    USUAL_BARE,
    USUAL_DIAMETER,
    USUAL_LENGTH,
    USUAL_EDGE,
    USUAL_SPACING,
    USUAL_SHEET,
    USUAL_PICKUP_SIZE,
    USUAL_GAUGE,
    USUAL_CORE,
    USUAL_GAP,
    USUAL_SCALE,
    USUAL_FROM_BRIDGE,
    USUAL_MASS,
    USUAL_STANDOFF,
    USUAL_REMANENCE,
    USUAL_CURVE_B,
    USUAL_CURVE_H,
    USUAL_SATURATION,
    USUAL_CONDUCTIVITY,
    USUAL_CELSIUS,
    USUAL_SHARE,
    USUAL_KNOB,
    USUAL_ACCURACY,
    USUAL_POT,
    USUAL_BLEED_OHM,
    USUAL_INPUT_OHM,
    USUAL_TONE_F,
    USUAL_BLEED_F,
    USUAL_CABLE_F,
    USUAL_CABLE_F_M,
    USUAL_CABLE_M,
    USUAL_PEAK_HZ,
    USUAL_HZ,
    USUAL_COUNT
} bind_usual;

typedef enum bind_plausibility { IS_USUAL, IS_ODD, IS_NEVER } bind_plausibility;

/* Of a number in the script's unit. Zero and less, where a field allows them, are usual. */
bind_plausibility bind_judge(bind_usual usual, double value);

/* Pushes what is usual, as a message goes on: "coils of pickups have 50 ohm to 100 kohm". */
const char *bind_push_usual(lua_State *L, bind_usual usual);

/* Pushes the cure for a number that is not usual: "; 6.2 kilohms are written 6.2 * ll.kohm"; "" when it smells of no unit. */
const char *bind_push_cure(lua_State *L, bind_usual usual, double value);

/* Pushes the cure for a text in place of a number that counts in `unit`: "5.7k" is answered by "; 5.7 kilohms are written
 * 5.7 * ll.kohm, without quotes"; "" when it begins with no number. */
const char *bind_push_text_cure(lua_State *L, bind_unit unit, const char *text);

/* For the module's own Lua. core.text_cure(column, text): the cure for a text in place of a number in the column's unit. core.judge(name, value): nothing for a usual number; else what is usual with the cure, and whether it can
 * never be. core.usual_rows(): the table as a list of records. */
int bind_core_text_cure(lua_State *L);
int bind_core_judge(lua_State *L);
int bind_core_usual_rows(lua_State *L);

#endif
