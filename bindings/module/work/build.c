/* build.c - how a pickup is built: what reaches how far, which parts are poles, what has room.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/settings.h"
#include "module/base/values.h"
#include "module/nouns/nouns.h"
#include "module/readings/query.h"
#include "module/readings/tuning.h"
#include "module/work/bench.h"
#include "module/work/lists.h"
#include <lauxlib.h>
#include <string.h>

/* core.reach(part): how far it reaches from its centre along x, y and z, in millimetres. */
static int core_reach(lua_State *L)
{
    const bind_part *part = bind_self(L, &bind_noun_part, "reach");
    for (int k = 0; k < 3; k++) {
        const ll_vec3 axis = ll_vec(k == 0, k == 1, k == 2);
        lua_pushnumber(
            L, bind_from_si(UNIT_MM, ll_shape_reach_m(&part->shape, &part->pose.rotation, axis)));
    }
    return 3;
}

/* core.poles(pickup): places of the poles in the list of parts, and for each that of the coil that it stands in. */
static int core_poles(lua_State *L)
{
    const bind_pickup *pickup = bind_self(L, &bind_noun_pickup, "poles");
    size_t *index = bind_buffer(L, pickup->parts.count, sizeof *index);
    const size_t n = bind_poles(pickup, index);
    lua_createtable(L, (int)n, 0);
    lua_createtable(L, (int)n, 0);
    for (size_t i = 0; i < n; i++) {
        const bind_part *pole = bind_pickup_part(pickup, index[i]);
        lua_pushinteger(L, (lua_Integer)index[i] + 1);
        lua_rawseti(L, -3, (lua_Integer)i + 1);
        lua_pushinteger(L, (lua_Integer)bind_pole_coil(pickup, pole) + 1);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 2;
}

/* core.travel(pickup, part, "up" or "down", most): how far the part can be moved before it cuts into another, in mm. */
static int core_travel(lua_State *L)
{
    const bind_pickup *pickup = bind_self(L, &bind_noun_pickup, "travel");
    const size_t part = (size_t)luaL_checkinteger(L, 2) - 1;
    const double up = strcmp(luaL_checkstring(L, 3), "up") == 0 ? 1 : -1;
    double travel_m = 0;
    bind_demand(L,
                ll_scene_travel(pickup->scene, part, ll_vec(0, 0, up),
                                bind_to_si(UNIT_MM, luaL_checknumber(L, 4)), &travel_m),
                "pickup");
    lua_pushnumber(L, bind_from_si(UNIT_MM, travel_m));
    return 1;
}

/* core.part_names(pickup): each part's name as tables give it, false for one without. */
static int core_part_names(lua_State *L)
{
    const bind_pickup *pickup = bind_self(L, &bind_noun_pickup, "part_names");
    lua_createtable(L, (int)pickup->parts.count, 0);
    for (size_t i = 0; i < pickup->parts.count; i++) {
        if (bind_pickup_part(pickup, i)->name)
            bind_part_name(L, pickup, i);
        else
            lua_pushboolean(L, 0);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

/* core.height(pickup, string): z of the string's axis over this pickup, in millimetres. */
static int core_height(lua_State *L)
{
    const bind_query r = {
        .L = L, .pickup = bind_self(L, &bind_noun_pickup, "height"), .place = "diagnose"};
    const bind_string *string = bind_test(L, 2, &bind_noun_string);
    if (!string)
        return bind_raise(L, "%s: 'strings' must be a string or a list of strings", r.place);
    lua_pushnumber(L, bind_from_si(UNIT_MM, bind_place_string(&r, string).z_m));
    return 1;
}

/* core.leads(pickup): -1 when its hot lead is the start of the first coil, and for each coil the sign with which it adds. */
static int core_leads(lua_State *L)
{
    const bind_pickup *pickup = bind_self(L, &bind_noun_pickup, "leads");
    lua_pushnumber(L, bind_hot_sign(pickup));
    lua_createtable(L, (int)pickup->coils.count, 0);
    for (size_t i = 0; i < pickup->coils.count; i++) {
        lua_pushnumber(L, bind_coil_sign(pickup, i));
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 2;
}

/* core.tiles(x, y, {{x, y, diameter}, ...}): the rectangles {x, y, width, depth} that holes leave of a plate, in mm. */
static int core_tiles(lua_State *L)
{
    enum { MOST = (2 * LL_MOST_HOLES + 1) * (LL_MOST_HOLES + 1) };
    size_t n;
    double *hole = bind_list_rows(L, 3, 3, &n);
    n = n < LL_MOST_HOLES ? n : LL_MOST_HOLES;
    ll_vec3 middle_m[LL_MOST_HOLES];
    double radius_m[LL_MOST_HOLES];
    for (size_t i = 0; i < n; i++) {
        middle_m[i] = ll_vec(hole[3 * i], hole[3 * i + 1], 0);
        radius_m[i] = hole[3 * i + 2] / 2;
    }
    ll_tile *tile = bind_buffer(L, MOST, sizeof *tile);
    const size_t count = ll_plate_tiles(luaL_checknumber(L, 1), luaL_checknumber(L, 2), n, middle_m,
                                        radius_m, MOST, tile);
    lua_newtable(L);
    for (size_t i = 0; i < count && i < MOST; i++) {
        const ll_tile *t = &tile[i];
        const double own[] = {(t->x_m[0] + t->x_m[1]) / 2, (t->y_m[0] + t->y_m[1]) / 2,
                              t->x_m[1] - t->x_m[0], t->y_m[1] - t->y_m[0]};
        bind_push_list(L, 4, own);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

void bind_open_build(lua_State *L)
{
    bind_core_function(L, "reach", core_reach);
    bind_core_function(L, "poles", core_poles);
    bind_core_function(L, "travel", core_travel);
    bind_core_function(L, "part_names", core_part_names);
    bind_core_function(L, "height", core_height);
    bind_core_function(L, "leads", core_leads);
    bind_core_function(L, "tiles", core_tiles);
}
