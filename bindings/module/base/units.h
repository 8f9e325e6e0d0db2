/* units.h - the one place where the units of scripts meet the SI units of the engine.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_UNITS_H
#define LL_BIND_UNITS_H

#include <lua.h>

/* What a script's number counts in. Columns of result tables end in an underscore and the suffix. */
#define BIND_UNIT_TABLE(X)                                                                         \
    X(UNIT_NONE, "", "", 1)                                                                        \
    X(UNIT_MM, "mm", "mm", 1e-3)                                                                   \
    X(UNIT_DEG, "deg", "degrees", 3.14159265358979323846 / 180)                                    \
    X(UNIT_MT, "mt", "mT", 1e-3)                                                                   \
    X(UNIT_T, "t", "T", 1)                                                                         \
    X(UNIT_GAUSS, "gauss", "G", 1e-4)                                                              \
    X(UNIT_KA_M, "kam", "kA/m", 1e3)                                                               \
    X(UNIT_A_M, "am", "A/m", 1)                                                                    \
    X(UNIT_MV, "mv", "mV", 1e-3)                                                                   \
    X(UNIT_MWB, "mwb", "mWb", 1e-3)                                                                \
    X(UNIT_OHM, "ohm", "ohm", 1)                                                                   \
    X(UNIT_KOHM, "kohm", "kohm", 1e3)                                                              \
    X(UNIT_H, "h", "H", 1)                                                                         \
    X(UNIT_F, "f", "F", 1)                                                                         \
    X(UNIT_PF, "pf", "pF", 1e-12)                                                                  \
    X(UNIT_F_M, "fm", "F/m", 1)                                                                    \
    X(UNIT_HZ, "hz", "Hz", 1)                                                                      \
    X(UNIT_M, "m", "m", 1)                                                                         \
    X(UNIT_S, "s", "s", 1)                                                                         \
    X(UNIT_N, "n", "N", 1)                                                                         \
    X(UNIT_MN, "mn", "mN", 1e-3)                                                                   \
    X(UNIT_N_M, "nm", "N/m", 1)                                                                    \
    X(UNIT_G, "g", "g", 1e-3)                                                                      \
    X(UNIT_G_M, "gm", "g/m", 1e-3)                                                                 \
    X(UNIT_S_M, "sm", "S/m", 1)                                                                    \
    X(UNIT_DB, "db", "dB", 1)                                                                      \
    X(UNIT_CENTS, "cents", "cents", 1)                                                             \
    X(UNIT_PERCENT, "percent", "%", 1e-2)                                                          \
    X(UNIT_CELSIUS, "c", "degrees C", 1)

#define BIND_UNIT_CODE(code, suffix, text, si) code,
typedef enum bind_unit { BIND_UNIT_TABLE(BIND_UNIT_CODE) UNIT_COUNT } bind_unit;
#undef BIND_UNIT_CODE

/* A script's number in SI, and back. */
double bind_to_si(bind_unit unit, double value);
double bind_from_si(bind_unit unit, double si);

/* Pushes a number as people write it: "2.5", "1e-06"; six digits. */
const char *bind_number(lua_State *L, double value);
/* Pushes it to three digits, for what is only roughly known: "5740", "38.5". */
const char *bind_rounded(lua_State *L, double value);
/* Pushes an SI value in a unit: "2.5 mm". */
const char *bind_quantity(lua_State *L, bind_unit unit, double si);

/* Pushes a script's number with the prefix that people use: "22 nF" for 2.2e-8 in UNIT_F, "250 kohm" for 250000 in UNIT_OHM. */
const char *bind_told(lua_State *L, bind_unit unit, double value);

/* As messages and table heads write it; "" for a bare number. */
const char *bind_unit_text(bind_unit unit);
/* What a column's name ends in: "mt"; "" for a bare number. */
const char *bind_unit_suffix(bind_unit unit);

/* "bz_mt" counts in UNIT_MT; a column without a known suffix in UNIT_NONE. */
bind_unit bind_unit_of_column(const char *column);

#endif
