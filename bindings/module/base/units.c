/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/units.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static const struct {
    const char *suffix, *text;
    double si;
} units[] = {
#define BIND_UNIT_ROW(code, suffix, text, si) {suffix, text, si},
    BIND_UNIT_TABLE(BIND_UNIT_ROW)
#undef BIND_UNIT_ROW
};

double bind_to_si(bind_unit unit, double value)
{
    return value * units[unit].si;
}

double bind_from_si(bind_unit unit, double si)
{
    return si / units[unit].si;
}

const char *bind_number(lua_State *L, double value)
{
    char text[32];
    if (isnan(value)) /* its sign says nothing */
        return lua_pushliteral(L, "nan");
    snprintf(text, sizeof text, "%.6g", value);
    return lua_pushstring(L, text);
}

const char *bind_rounded(lua_State *L, double value)
{
    const double digit = pow(10, floor(log10(fmax(fabs(value), 1e-300))) - 2);
    return bind_number(L, round(value / digit) * digit);
}

const char *bind_quantity(lua_State *L, bind_unit unit, double si)
{
    const char *number = bind_number(L, bind_from_si(unit, si));
    const char *text = unit == UNIT_NONE ? lua_pushstring(L, number)
                                         : lua_pushfstring(L, "%s %s", number, units[unit].text);
    lua_remove(L, -2);
    return text;
}

/* Prefixes that the bench speaks in, the largest of a unit first. */
static const struct {
    bind_unit unit;
    double size;
    const char *text;
} prefixes[] = {
    {UNIT_OHM, 1e6, "Mohm"}, {UNIT_OHM, 1e3, "kohm"},  {UNIT_H, 1, "H"},
    {UNIT_H, 1e-3, "mH"},    {UNIT_F, 1e-6, "uF"},     {UNIT_F, 1e-9, "nF"},
    {UNIT_F, 1e-12, "pF"},   {UNIT_F_M, 1e-9, "nF/m"}, {UNIT_F_M, 1e-12, "pF/m"},
    {UNIT_S_M, 1e6, "MS/m"}, {UNIT_HZ, 1e6, "MHz"},    {UNIT_HZ, 1e3, "kHz"},
};

const char *bind_told(lua_State *L, bind_unit unit, double value)
{
    for (size_t i = 0; i < sizeof prefixes / sizeof *prefixes; i++)
        if (prefixes[i].unit == unit && value >= prefixes[i].size * (1 - 1e-9))
            return lua_pushfstring(L, "%s %s", bind_number(L, value / prefixes[i].size),
                                   prefixes[i].text);
    const char *text = bind_unit_text(unit);
    return lua_pushfstring(L, *text ? "%s %s" : "%s", bind_number(L, value), text);
}

const char *bind_unit_text(bind_unit unit)
{
    return units[unit].text;
}

const char *bind_unit_suffix(bind_unit unit)
{
    return units[unit].suffix;
}

bind_unit bind_unit_of_column(const char *column)
{
    const char *suffix = strrchr(column, '_');
    for (int i = UNIT_NONE + 1; suffix && i < UNIT_COUNT; i++)
        if (strcmp(suffix + 1, units[i].suffix) == 0)
            return (bind_unit)i;
    return UNIT_NONE;
}
