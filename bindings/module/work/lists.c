/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/work/lists.h"
#include "module/base/units.h"
#include "module/base/values.h"
#include <lauxlib.h>

void bind_list_numbers(lua_State *L, int index, size_t n, double *out)
{
    luaL_checktype(L, index, LUA_TTABLE);
    for (size_t i = 0; i < n; i++) {
        lua_rawgeti(L, index, (lua_Integer)i + 1);
        out[i] = luaL_checknumber(L, -1);
        lua_pop(L, 1);
    }
}

double *bind_list_in(lua_State *L, int index, const char *key, size_t *n)
{
    lua_getfield(L, index, key);
    *n = lua_istable(L, -1) ? lua_rawlen(L, -1) : 0;
    double *out = bind_buffer(L, *n + 1, sizeof *out);
    if (*n)
        bind_list_numbers(L, lua_gettop(L) - 1, *n, out);
    lua_remove(L, -2);
    return out;
}

double bind_number_in(lua_State *L, const char *key)
{
    lua_getfield(L, -1, key);
    const double value = luaL_optnumber(L, -1, 0);
    lua_pop(L, 1);
    return value;
}

double *bind_list_rows(lua_State *L, int index, size_t width, size_t *rows)
{
    *rows = lua_istable(L, index) ? lua_rawlen(L, index) : 0;
    double *out = bind_buffer(L, *rows * width + 1, sizeof *out);
    for (size_t i = 0; i < *rows; i++) {
        lua_rawgeti(L, index, (lua_Integer)i + 1);
        bind_list_numbers(L, lua_gettop(L), width, out + i * width);
        lua_pop(L, 1);
    }
    return out;
}

const ll_vec3 *bind_list_places(lua_State *L, int index, size_t *n)
{
    double *mm = bind_list_rows(L, index, 3, n);
    ll_vec3 *at_m = bind_buffer(L, *n + 1, sizeof *at_m);
    for (size_t i = 0; i < *n; i++)
        at_m[i] = ll_vec(bind_to_si(UNIT_MM, mm[3 * i]), bind_to_si(UNIT_MM, mm[3 * i + 1]),
                         bind_to_si(UNIT_MM, mm[3 * i + 2]));
    return at_m;
}

void bind_push_list(lua_State *L, size_t n, const double *values)
{
    lua_createtable(L, (int)n, 0);
    for (size_t i = 0; i < n; i++) {
        lua_pushnumber(L, values[i]);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
}

void bind_set_list(lua_State *L, const char *key, size_t n, const double *values)
{
    bind_push_list(L, n, values);
    lua_setfield(L, -2, key);
}
