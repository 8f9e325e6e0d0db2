/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/reading.h"
#include "module/base/dry.h"
#include "module/base/fault.h"
#include <lauxlib.h>
#include <math.h>
#include <string.h>

/* A userdata by its own name, "lodeloom.coil" as "a coil". */
static void push_userdata_name(lua_State *L, int index)
{
    const char *name = "";
    if (luaL_getmetafield(L, index, "__name") == LUA_TSTRING)
        name = lua_tostring(L, -1);
    const char *dot = strrchr(name, '.');
    lua_pushfstring(L, "a %s", dot ? dot + 1 : "foreign value");
}

void bind_push_found(lua_State *L, int index)
{
    switch (lua_type(L, index)) {
    case LUA_TSTRING:
        lua_pushfstring(L, "the text %s", bind_quoted(L, lua_tostring(L, index)));
        break;
    case LUA_TNUMBER:
        bind_number(L, lua_tonumber(L, index));
        break;
    case LUA_TBOOLEAN:
        lua_pushstring(L, lua_toboolean(L, index) ? "true" : "false");
        break;
    case LUA_TUSERDATA:
        push_userdata_name(L, index);
        break;
    case LUA_TNIL:
        lua_pushliteral(L, "nothing (nil)");
        break;
    default:
        lua_pushfstring(L, "a %s", luaL_typename(L, index));
    }
}

bool bind_wrong(const bind_reading *r, const char *what)
{
    lua_State *L = r->L;
    if (bind_is_unknown(L, r->value))
        return false; /* told where it came from */
    bind_push_found(L, r->value);
    bind_mistake(L, "%s: '%s' must be %s, not %s", r->place, r->field->name, what,
                 lua_tostring(L, -1));
    return false;
}

const char *bind_range_text(lua_State *L, const bind_field *field)
{
    if (field->low == 0 && field->high == 0)
        return lua_pushliteral(L, "");
    const char *unit = bind_unit_text(field->unit);
    const char *low = bind_number(L, field->low), *high = bind_number(L, field->high);
    lua_pushfstring(L, "%s %s %s %s%s%s", field->above_low ? "greater than" : "from", low,
                    field->above_low ? "and at most" : "to", high, *unit ? " " : "", unit);
    lua_replace(L, -3);
    lua_pop(L, 1);
    return lua_tostring(L, -1);
}

/* Without a range any finite number will do. */
static bool in_range(const bind_field *field, double value)
{
    if (field->low == 0 && field->high == 0)
        return true;
    return value <= field->high && (field->above_low ? value > field->low : value >= field->low);
}

/* What people most often meant by a number that is out of range; pushes it, "" when nobody knows. */
static const char *push_hint(const bind_reading *r, double value)
{
    lua_State *L = r->L;
    const bind_field *field = r->field;
    const char *number = bind_number(L, value);
    if (field->unit == UNIT_F && value > field->high)
        return lua_pushfstring(L, "; picofarads are written %s * ll.pf, nanofarads ll.nf", number);
    if (field->unit == UNIT_MM && value > field->high && value < 1000)
        return lua_pushfstring(L, "; thousandths of an inch are written ll.thou(%s)", number);
    if (field->high == 1 && value > 10 && value <= 100)
        return lua_pushfstring(L, "; %s per cent are written %s", number,
                               bind_number(L, value / 100));
    return lua_pushliteral(L, "");
}

/* A number of the right kind and the wrong size. */
static bool wrong_size(const bind_reading *r, double value)
{
    lua_State *L = r->L;
    const char *unit = bind_unit_text(r->field->unit);
    const char *found = lua_pushfstring(L, "%s%s%s", bind_number(L, value), *unit ? " " : "", unit);
    bind_mistake(L, "%s: '%s' (%s) must be %s, not %s%s", r->place, r->field->name,
                 r->field->meaning, bind_range_text(L, r->field), found, push_hint(r, value));
    return false;
}

bool bind_read_number(const bind_reading *r, int index, double *si)
{
    bind_reading at = *r;
    at.value = lua_absindex(r->L, index);
    if (lua_type(r->L, index) != LUA_TNUMBER)
        return bind_wrong(&at, "a number");
    double value = lua_tonumber(r->L, index);
    if (!isfinite(value))
        return bind_wrong(&at, "a finite number");
    if (!in_range(r->field, value))
        return wrong_size(&at, value);
    *si = bind_to_si(r->field->unit, value);
    return true;
}
