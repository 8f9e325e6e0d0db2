/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/field_parser.h"
#include "module/base/check_mode.h"
#include "module/base/fault.h"
#include "module/base/odd.h"
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

bool bind_wrong(const bind_parser *p, const char *what)
{
    lua_State *L = p->L;
    if (bind_is_unknown(L, p->value))
        return false; /* told where it came from */
    bind_push_found(L, p->value);
    bind_mistake(L, "%s: '%s' must be %s, not %s", p->place, p->field->name, what,
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

/* Pushes a script's number with its unit. */
static const char *push_value(lua_State *L, bind_unit unit, double value)
{
    const char *text = bind_unit_text(unit);
    return lua_pushfstring(L, *text ? "%s %s" : "%s", bind_number(L, value), text);
}

/* A number of the right kind and the wrong size. */
static bool wrong_size(const bind_parser *p, double value)
{
    lua_State *L = p->L;
    const bind_field *field = p->field;
    bind_mistake(L, "%s: '%s' (%s) must be %s, not %s%s", p->place, field->name, field->meaning,
                 bind_range_text(L, field), push_value(L, field->unit, value),
                 bind_push_cure(L, field->usual, value));
    return false;
}

bool bind_check_usual(const bind_parser *p, double value)
{
    lua_State *L = p->L;
    const bind_field *field = p->field;
    const bind_plausibility is = bind_judge(field->usual, value);
    if (is == IS_USUAL)
        return true;
    const int top = lua_gettop(L);
    luaL_checkstack(L, 20, "too deeply nested");
    lua_pushfstring(L, "'%s' (%s) %s %s; %s%s", field->name, field->meaning,
                    is == IS_NEVER ? "cannot be" : "is", push_value(L, field->unit, value),
                    bind_push_usual(L, field->usual), bind_push_cure(L, field->usual, value));
    if (is == IS_NEVER)
        bind_mistake(L, "%s: %s", p->place, lua_tostring(L, -1));
    else
        bind_odd(L, p->copy, p->place, field->name);
    lua_settop(L, top);
    return is != IS_NEVER;
}

/* What stands where a number should: with the cure for a unit in quotes, a number in quotes, and false for nothing. */
static bool no_number(const bind_parser *p)
{
    lua_State *L = p->L;
    const bind_field *field = p->field;
    const char *cure = "", *meaning = "";
    if (bind_is_unknown(L, p->value))
        return false; /* told where it came from */
    if (lua_type(L, p->value) == LUA_TSTRING)
        cure = bind_push_text_cure(L, field->unit, lua_tostring(L, p->value));
    else if (lua_isboolean(L, p->value))
        cure = "; leave it out where there is none";
    if (!*cure)
        meaning = lua_pushfstring(L, " (%s)", field->meaning);
    bind_push_found(L, p->value);
    bind_mistake(L, "%s: '%s'%s must be a number, not %s%s", p->place, field->name, meaning,
                 lua_tostring(L, -1), cure);
    return false;
}

bool bind_parse_number(const bind_parser *p, int index, double *si)
{
    bind_parser at = *p;
    at.value = lua_absindex(p->L, index);
    if (lua_type(p->L, index) != LUA_TNUMBER)
        return no_number(&at);
    double value = lua_tonumber(p->L, index);
    if (!isfinite(value))
        return bind_wrong(&at, "a finite number");
    if (!in_range(p->field, value))
        return wrong_size(&at, value);
    if (p->field->kind != FIELD_LIST && !bind_check_usual(&at, value))
        return false;
    *si = bind_to_si(p->field->unit, value);
    return true;
}
