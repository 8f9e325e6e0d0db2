/* field_kinds.c - the kinds of field that are more than a number or a word.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/field_kinds.h"
#include "base/geometry.h"
#include "module/base/fault.h"
#include "module/base/odd.h"
#include "module/base/values.h"
#include <lauxlib.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_ITEMS = 1000000, DEEPEST = 8 };

static const char *const tuples[] = {"", "a number", "two numbers {a, b}",
                                     "three numbers {x, y, z}"};

bool bind_parse_numbers(const bind_parser *p, int index, size_t width, double *si)
{
    double read[3] = {0};
    bind_parser at = *p;
    at.value = index = lua_absindex(p->L, index);
    if (lua_type(p->L, index) != LUA_TTABLE)
        return bind_wrong(&at, tuples[width]);
    if (lua_rawlen(p->L, index) != width) {
        bind_mistake(p->L, "%s: '%s' must be %s; it has %I", p->place, p->field->name,
                     tuples[width], (lua_Integer)lua_rawlen(p->L, index));
        return false;
    }
    for (size_t i = 0; i < width; i++) {
        lua_rawgeti(p->L, index, (lua_Integer)i + 1);
        if (!bind_parse_number(p, -1, &read[i]))
            return false;
        lua_pop(p->L, 1);
    }
    memcpy(si, read, width * sizeof *si);
    return true;
}

/* Three numbers. */
static bool parse_vector(const bind_parser *p, int index, ll_vec3 *out)
{
    double v[3];
    if (!bind_parse_numbers(p, index, 3, v))
        return false;
    *out = ll_vec(v[0], v[1], v[2]);
    return true;
}

bool bind_parse_place(const bind_parser *p)
{
    return parse_vector(p, p->value, p->out);
}

/* Directions of an instrument that lies on the bench. */
static const struct way {
    const char *name;
    ll_vec3 to;
} ways[] = {{"up", {0, 0, 1}},      {"down", {0, 0, -1}},  {"neck", {0, 1, 0}},
            {"bridge", {0, -1, 0}}, {"treble", {1, 0, 0}}, {"bass", {-1, 0, 0}}};

/* "x", "+x" and "-x" and so on, or the name of a way. */
static bool named_direction(const char *name, ll_vec3 *out)
{
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++)
        if (strcmp(name, ways[i].name) == 0) {
            *out = ways[i].to;
            return true;
        }
    double sign = *name == '-' ? -1 : 1;
    if (*name == '+' || *name == '-')
        name++;
    if (strlen(name) != 1 || !strchr("xyz", *name))
        return false;
    *out = ll_vec(sign * (*name == 'x'), sign * (*name == 'y'), sign * (*name == 'z'));
    return true;
}

/* A side such as "+x", or any vector. */
static bool direction_at(const bind_parser *p, int index, ll_vec3 *out)
{
    bind_parser at = *p;
    at.value = lua_absindex(p->L, index);
    if (lua_type(p->L, index) == LUA_TSTRING)
        return named_direction(lua_tostring(p->L, index), out) ||
               bind_wrong(&at,
                          "\"+z\" or \"up\", \"-z\" or \"down\", \"+y\" or \"neck\", \"-y\" or "
                          "\"bridge\", \"+x\" or \"treble\", \"-x\" or \"bass\", or a vector "
                          "{x, y, z}");
    ll_vec3 v;
    if (!parse_vector(p, index, &v))
        return false;
    if (ll_norm(v) == 0)
        return bind_wrong(&at, "a vector with a length");
    *out = ll_scale(1 / ll_norm(v), v);
    return true;
}

bool bind_parse_direction(const bind_parser *p)
{
    return direction_at(p, p->value, p->out);
}

/* Shows how turns are written. */
static bool wrong_turn(const bind_parser *p)
{
    bind_mistake(p->L,
                 "%s: '%s' must be an axis and degrees, such as {\"x\", 90}, or a list of them",
                 p->place, p->field->name);
    return false;
}

/* The pair {"x", 90} at `index` as one more turn after those in *turn. */
static bool add_turn(const bind_parser *p, int index, ll_rotation *turn)
{
    lua_State *L = p->L;
    ll_vec3 axis = {0};
    double angle_rad = 0;
    index = lua_absindex(L, index);
    if (lua_type(L, index) != LUA_TTABLE || lua_rawlen(L, index) != 2)
        return wrong_turn(p);
    lua_rawgeti(L, index, 1);
    lua_rawgeti(L, index, 2);
    if (!direction_at(p, -2, &axis) || !bind_parse_number(p, -1, &angle_rad))
        return false;
    lua_pop(L, 2);
    *turn = ll_rotation_after(ll_rotation_about(axis, angle_rad), *turn);
    return true;
}

bool bind_parse_turn(const bind_parser *p)
{
    lua_State *L = p->L;
    ll_rotation turn = ll_rotation_identity();
    if (lua_type(L, p->value) != LUA_TTABLE)
        return wrong_turn(p);
    /* One pair begins with its axis and goes on with a number; a list begins with a pair. */
    bool single = lua_rawgeti(L, p->value, 2) == LUA_TNUMBER;
    if (single) {
        if (!add_turn(p, p->value, &turn))
            return false;
    } else {
        for (lua_Integer i = 1; lua_rawgeti(L, p->value, i) != LUA_TNIL; i++, lua_pop(L, 1))
            if (!add_turn(p, -1, &turn))
                return false;
    }
    *(ll_rotation *)p->out = turn;
    return true;
}

/* A bare number, or a single tuple in place of a list of them, is a list of one. */
static bool is_single(const bind_parser *p)
{
    if (p->field->width == 1)
        return lua_type(p->L, p->value) == LUA_TNUMBER;
    bool single =
        lua_type(p->L, p->value) == LUA_TTABLE && lua_rawgeti(p->L, p->value, 1) == LUA_TNUMBER;
    lua_settop(p->L, p->value);
    return single;
}

/* The item on the top of the stack. */
static bool parse_item(const bind_parser *p, double *si)
{
    size_t width = p->field->width;
    return width == 1 ? bind_parse_number(p, -1, si) : bind_parse_numbers(p, -1, width, si);
}

/* A key such as `coil = {...}` inside a list, or a nil in it, is a slip that would silently drop what follows. */
static bool only_listed(const bind_parser *p)
{
    lua_State *L = p->L;
    if (lua_type(L, p->value) != LUA_TTABLE)
        return true;
    lua_Integer length = (lua_Integer)lua_rawlen(L, p->value);
    for (lua_pushnil(L); lua_next(L, p->value); lua_pop(L, 1)) {
        if (lua_isinteger(L, -2) && lua_tointeger(L, -2) >= 1 && lua_tointeger(L, -2) <= length)
            continue;
        bind_mistake(L,
                     "%s: '%s' must be a plain list: item %I is nil, or something in it has a name",
                     p->place, p->field->name, length + 1);
        return false;
    }
    return true;
}

bool bind_parse_list(const bind_parser *p)
{
    lua_State *L = p->L;
    bool single = is_single(p);
    if (!single && lua_type(L, p->value) != LUA_TTABLE)
        return bind_wrong(p, lua_pushfstring(L, "a list, each item %s", tuples[p->field->width]));
    if (!single && !only_listed(p))
        return false;
    size_t count = single ? 1 : lua_rawlen(L, p->value);
    if (count == 0 || count > MOST_ITEMS)
        return bind_wrong(p, "a list of 1 to 1000000 items");
    double *values = bind_buffer(L, count * p->field->width, sizeof *values);
    lua_rawsetp(L, p->copy, p->field);
    for (size_t i = 0; i < count; i++) {
        if (single)
            lua_pushvalue(L, p->value);
        else
            lua_rawgeti(L, p->value, (lua_Integer)i + 1);
        if (!parse_item(p, values + i * p->field->width))
            return false;
        lua_pop(L, 1);
    }
    *(bind_list *)p->out = (bind_list){values, count};
    double largest_si = values[0];
    for (size_t i = 1; i < count * p->field->width; i++)
        largest_si = values[i] > largest_si ? values[i] : largest_si;
    return bind_check_usual(p, bind_from_si(p->field->unit, largest_si));
}

/* The flag at `index`. */
static bool parse_flag_at(const bind_parser *p, int index, bool *out)
{
    bind_parser at = *p;
    at.value = lua_absindex(p->L, index);
    if (!lua_isboolean(p->L, at.value))
        return bind_wrong(&at, "true or false, or a list of them");
    *out = lua_toboolean(p->L, at.value);
    return true;
}

bool bind_parse_flags(const bind_parser *p)
{
    lua_State *L = p->L;
    bool single = lua_type(L, p->value) != LUA_TTABLE;
    if (!only_listed(p))
        return false;
    size_t count = single ? 1 : lua_rawlen(L, p->value);
    bool *values = bind_buffer(L, count, sizeof *values);
    lua_rawsetp(L, p->copy, p->field);
    for (size_t i = 0; i < count; i++) {
        if (single)
            lua_pushvalue(L, p->value);
        else
            lua_rawgeti(L, p->value, (lua_Integer)i + 1);
        if (!parse_flag_at(p, -1, &values[i]))
            return false;
        lua_pop(L, 1);
    }
    *(bind_flags *)p->out = (bind_flags){values, count};
    return true;
}

/* An object of the right kind, and a sound one. */
static bool store_object(const bind_parser *p, int index, void **out)
{
    bind_object *object = bind_test(p->L, index, p->field->of);
    if (!object) {
        bind_parser at = *p;
        at.value = lua_absindex(p->L, index);
        return bind_wrong(&at, p->field->of->article);
    }
    *out = object;
    bind_odd_inherit(p->L, p->copy, index);
    return !object->wrong;
}

bool bind_parse_object(const bind_parser *p)
{
    void *object = NULL;
    if (!store_object(p, p->value, &object))
        return false;
    *(void **)p->out = object;
    return true;
}

/* Appends the objects of the value at `index`, lists within lists included, to the list at `flat`. */
static bool flatten(const bind_parser *p, int index, int flat, int depth)
{
    lua_State *L = p->L;
    index = lua_absindex(L, index);
    if (lua_type(L, index) != LUA_TTABLE || depth == DEEPEST) {
        void *object = NULL;
        bool fine = store_object(p, index, &object);
        if (object && !fine)
            return false;
        lua_pushvalue(L, index);
        lua_rawseti(L, flat, (lua_Integer)lua_rawlen(L, flat) + 1);
        return fine;
    }
    luaL_checkstack(L, 10, "too deeply nested");
    bool fine = true;
    for (lua_Integer i = 1; i <= (lua_Integer)lua_rawlen(L, index); i++) {
        int top = lua_gettop(L);
        lua_rawgeti(L, index, i);
        fine &= flatten(p, -1, flat, depth + 1);
        lua_settop(L, top);
    }
    return fine;
}

bool bind_parse_objects(const bind_parser *p)
{
    lua_State *L = p->L;
    if (!only_listed(p))
        return false;
    lua_newtable(L);
    int flat = lua_gettop(L);
    bool fine = flatten(p, p->value, flat, 0);
    size_t count = lua_rawlen(L, flat);
    if (!fine)
        return false;
    void **items = bind_buffer(L, count, sizeof *items);
    lua_rawsetp(L, p->copy, p->field);
    for (size_t i = 0; i < count; i++) {
        lua_rawgeti(L, flat, (lua_Integer)i + 1);
        items[i] = lua_touserdata(L, -1);
        lua_pop(L, 1);
    }
    lua_setfield(L, p->copy, p->field->name); /* the flat list keeps them alive */
    *(bind_objects *)p->out = (bind_objects){items, count};
    return true;
}
