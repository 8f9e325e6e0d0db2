/* coils.c - what meters, strings and hum find of coils in some state of repair, and of pickups together.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/coils.h"
#include "base/constants.h"
#include "circuit/ladder.h"
#include "circuit/together.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/units.h"
#include "module/base/values.h"
#include "module/nouns/nouns.h"
#include "module/work/bench.h"
#include "module/work/lists.h"
#include "reading/hum.h"
#include "signal/plucked.h"
#include "winding/plan.h"
#include <lauxlib.h>

/* The list of coils {turns =, wire =, core =, short =, reversed =, open =}, with joint = ohm and one_loop = true, at index 1; pushes what holds them. */
static ll_series_coils take_coils(lua_State *L)
{
    luaL_checktype(L, 1, LUA_TTABLE);
    const size_t count = lua_rawlen(L, 1);
    ll_coil_state *state = bind_buffer(L, count + 1, sizeof *state);
    for (size_t i = 0; i < count; i++) {
        lua_rawgeti(L, 1, (lua_Integer)i + 1);
        state[i] = (ll_coil_state){.turns = bind_number_in(L, "turns"),
                                   .wire = bind_number_in(L, "wire"),
                                   .core = bind_number_in(L, "core"),
                                   .shorted = bind_number_in(L, "short")};
        lua_getfield(L, -1, "reversed");
        state[i].reversed = lua_toboolean(L, -1);
        lua_getfield(L, -2, "open");
        state[i].open = lua_toboolean(L, -1);
        lua_pop(L, 3);
    }
    lua_getfield(L, 1, "joint");
    lua_getfield(L, 1, "one_loop");
    const double joint_ohm = luaL_optnumber(L, -2, 0);
    const bool one_loop = lua_toboolean(L, -1);
    lua_pop(L, 2);
    return (ll_series_coils){
        .count = count, .state = state, .joint_ohm = joint_ohm, .one_loop = one_loop};
}

/* The list of n numbers at `index`; pushes what holds it. */
static double *numbers(lua_State *L, int index, size_t n)
{
    double *out = bind_buffer(L, n + 1, sizeof *out);
    bind_list_numbers(L, index, n, out);
    return out;
}

/* core.series_resistances(coils, {ohm}, celsius): of each coil. */
static int core_series_resistances(lua_State *L)
{
    const double celsius = luaL_checknumber(L, 3);
    ll_series_coils coils = take_coils(L);
    coils.r_ohm = numbers(L, 2, coils.count);
    double *ohm = bind_buffer(L, coils.count + 1, sizeof *ohm);
    bind_demand(L, ll_series_resistances(&coils, celsius, ohm), "diagnose");
    bind_push_list(L, coils.count, ohm);
    return 1;
}

/* core.series_impedance(coils, {ohm}, {henry}, hertz, ohm_per_henry, inductive, celsius): ohm and henry, and how much of them comes
 * from shorted turns. */
static int core_series_impedance(lua_State *L)
{
    const double f_hz = luaL_checknumber(L, 4), celsius = luaL_checknumber(L, 7);
    const ll_eddy_share eddies = {luaL_checknumber(L, 5), luaL_checknumber(L, 6)};
    ll_series_coils coils = take_coils(L);
    ll_series_figures out;
    coils.r_ohm = numbers(L, 2, coils.count);
    coils.l_h = numbers(L, 3, coils.count * coils.count);
    bind_demand(L, ll_series_impedance(&coils, f_hz, eddies, celsius, &out), "diagnose");
    lua_pushnumber(L, out.r_ohm);
    lua_pushnumber(L, out.l_h);
    lua_pushnumber(L, out.shorted_ohm);
    lua_pushnumber(L, out.shorted_h);
    return 4;
}

/* core.series_turns(coils): what counts of each. */
static int core_series_turns(lua_State *L)
{
    const ll_series_coils coils = take_coils(L);
    double *turns = bind_buffer(L, coils.count + 1, sizeof *turns);
    bind_demand(L, ll_series_turns(&coils, turns), "diagnose");
    bind_push_list(L, coils.count, turns);
    return 1;
}

/* core.series_passes(coils): 1, or less when one is open. */
static int core_series_passes(lua_State *L)
{
    const ll_series_coils coils = take_coils(L);
    lua_pushnumber(L, ll_series_passes(&coils));
    return 1;
}

/* core.hum_taken({wb}, {share}): what coils with these shares take up, from core.hum's list. */
static int core_hum_taken(lua_State *L)
{
    const size_t coils = lua_rawlen(L, 2);
    const double *wb = numbers(L, 1, LL_HUM_FIELDS * coils), *share = numbers(L, 2, coils);
    lua_pushnumber(L, ll_hum_taken(coils, share, wb));
    return 1;
}

/* core.plucked_level({squares}, {share}): volts. */
static int core_plucked_level(lua_State *L)
{
    const size_t coils = lua_rawlen(L, 2);
    const double *square = numbers(L, 1, coils * coils), *share = numbers(L, 2, coils);
    lua_pushnumber(L, ll_plucked_level(coils, square, share));
    return 1;
}

void bind_push_phase(lua_State *L, ll_phase phase)
{
    static const char *const words[] = {
        [LL_IN_PHASE] = "in phase", [LL_OUT_OF_PHASE] = "out of phase", [LL_MIXED_PHASE] = "mixed"};
    lua_pushstring(L, words[phase]);
}

/* core.together_phase({a}, {b}): in words. */
static int core_together_phase(lua_State *L)
{
    const size_t n = lua_rawlen(L, 1);
    bind_push_phase(L, ll_together_phase(n, numbers(L, 1, n), numbers(L, 2, n)));
    return 1;
}

/* core.together_left({a}, {b}): the share that does not cancel. */
static int core_together_left(lua_State *L)
{
    const size_t n = lua_rawlen(L, 1);
    lua_pushnumber(L, ll_together_left(n, numbers(L, 1, n), numbers(L, 2, n)));
    return 1;
}

/* core.together_level(a, b, {share, share}): over the louder one. */
static int core_together_level(lua_State *L)
{
    lua_pushnumber(
        L, ll_together_level(luaL_checknumber(L, 1), luaL_checknumber(L, 2), numbers(L, 3, 2)));
    return 1;
}

/* core.parallel_shares(ohm, ohm): {share, share}. */
static int core_parallel_shares(lua_State *L)
{
    double share[2];
    ll_parallel_shares(luaL_checknumber(L, 1), luaL_checknumber(L, 2), share);
    bind_push_list(L, 2, share);
    return 1;
}

/* core.resonance(henry, farad): hertz. */
static int core_resonance(lua_State *L)
{
    lua_pushnumber(L, ll_resonance_hz(luaL_checknumber(L, 1), luaL_checknumber(L, 2)));
    return 1;
}

static void set_number(lua_State *L, const char *key, double value)
{
    lua_pushnumber(L, value);
    lua_setfield(L, -2, key);
}

static void push_plan(lua_State *L, const ll_winding_plan *plan)
{
    lua_newtable(L);
    set_number(L, "turns", plan->turns);
    set_number(L, "filled_percent", bind_from_si(UNIT_PERCENT, plan->filled));
    set_number(L, "layers", plan->layers);
    set_number(L, "per_layer", plan->per_layer);
    set_number(L, "build_mm", bind_from_si(UNIT_MM, plan->build_m));
    set_number(L, "length_mm", bind_from_si(UNIT_MM, plan->outer_x_m));
    set_number(L, "width_mm", bind_from_si(UNIT_MM, plan->outer_y_m));
    set_number(L, "dcr_ohm", plan->dcr_ohm);
    set_number(L, "quarter_ohm", plan->quarter_ohm);
    set_number(L, "half_ohm", plan->half_ohm);
    set_number(L, "three_quarters_ohm", plan->three_quarters_ohm);
    set_number(L, "wire_m", plan->wire_m);
    set_number(L, "weight_g", bind_from_si(UNIT_G, plan->weight_kg));
    set_number(L, "pull_g", bind_from_si(UNIT_G, plan->most_n / LL_GRAVITY));
}

/* core.plan(x, y, corner, room, height, wire, what, value, packing): lengths in mm, what "turns", "dcr" or "grams"; its row. */
static int core_plan(lua_State *L)
{
    static const char *const words[] = {"turns", "dcr", "grams", NULL};
    const ll_coil_shape room = {
        bind_to_si(UNIT_MM, luaL_checknumber(L, 1)), bind_to_si(UNIT_MM, luaL_checknumber(L, 2)),
        bind_to_si(UNIT_MM, luaL_checknumber(L, 3)), bind_to_si(UNIT_MM, luaL_checknumber(L, 4)),
        bind_to_si(UNIT_MM, luaL_checknumber(L, 5))};
    const bind_wire *wire = bind_test(L, 6, &bind_noun_wire);
    if (!wire)
        return bind_raise(L, "winding_plan: 'wires' holds wires, such as ll.awg(42)");
    const int what = luaL_checkoption(L, 7, NULL, words);
    const double value = luaL_checknumber(L, 8), packing = luaL_checknumber(L, 9);
    ll_winding_plan plan;
    const ll_status status =
        what == 0 ? ll_plan_turns(&room, value, &wire->wire, packing, LL_TABLES_CELSIUS, &plan)
        : what == 1
            ? ll_plan_resistance(&room, value, &wire->wire, packing, LL_TABLES_CELSIUS, &plan)
            : ll_plan_weight(&room, bind_to_si(UNIT_G, value), &wire->wire, packing,
                             LL_TABLES_CELSIUS, &plan);
    bind_demand(L, status, "winding_plan");
    push_plan(L, &plan);
    return 1;
}

/* core.ladder(ohm, {across}, {series}): ohm at the end, and the share of the source that gets there; what is not across is math.huge. */
static int core_ladder(lua_State *L)
{
    const size_t count = lua_rawlen(L, 2);
    const double *across = numbers(L, 2, count), *series = numbers(L, 3, count);
    ll_ladder_section *section = bind_buffer(L, count + 1, sizeof *section);
    double ohm = 0, share = 0;
    for (size_t i = 0; i < count; i++)
        section[i] = (ll_ladder_section){across[i], series[i]};
    bind_demand(L, ll_ladder(luaL_checknumber(L, 1), count, section, &ohm, &share), "diagnose");
    lua_pushnumber(L, ohm);
    lua_pushnumber(L, share);
    return 2;
}

void bind_open_coils(lua_State *L)
{
    bind_core_function(L, "series_resistances", core_series_resistances);
    bind_core_function(L, "series_impedance", core_series_impedance);
    bind_core_function(L, "series_turns", core_series_turns);
    bind_core_function(L, "series_passes", core_series_passes);
    bind_core_function(L, "hum_taken", core_hum_taken);
    bind_core_function(L, "plucked_level", core_plucked_level);
    bind_core_function(L, "together_phase", core_together_phase);
    bind_core_function(L, "together_left", core_together_left);
    bind_core_function(L, "together_level", core_together_level);
    bind_core_function(L, "parallel_shares", core_parallel_shares);
    bind_core_function(L, "resonance", core_resonance);
    bind_core_function(L, "ladder", core_ladder);
    bind_core_function(L, "plan", core_plan);
    bind_push_core(L);
    lua_pushnumber(L, LL_OPEN_OHM);
    lua_setfield(L, -2, "OPEN_OHM");
    lua_pushnumber(L, LL_USUAL_PACKING);
    lua_setfield(L, -2, "USUAL_PACKING");
    lua_pop(L, 1);
}
