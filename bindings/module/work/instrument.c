/* instrument.c - what strings give the pickups of one instrument, and what a position of its switch makes of it.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "circuit/position.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/settings.h"
#include "module/base/values.h"
#include "module/readings/network.h"
#include "module/readings/plucked.h"
#include "module/work/bench.h"
#include "module/work/lists.h"
#include "reading/hum.h"
#include "signal/plucked.h"
#include <lauxlib.h>
#include <math.h>

/* Adds n numbers to the list in field `key` of the table on the top. */
static void append(lua_State *L, const char *key, size_t n, const double *values)
{
    lua_getfield(L, -1, key);
    const lua_Integer before = (lua_Integer)lua_rawlen(L, -1);
    for (size_t i = 0; i < n; i++) {
        lua_pushnumber(L, values[i]);
        lua_rawseti(L, -2, before + (lua_Integer)i + 1);
    }
    lua_pop(L, 1);
}

/* How coil c counts in the voltage of the hot lead. */
static double counts_by(const bind_pickup *pickup, size_t c)
{
    return bind_hot_sign(pickup) * bind_coil_sign(pickup, c);
}

/* What coil c gives of the partials, alone, into its record on the top; v[n] is room for them. */
static void hear_coil(const bind_query *r, const bind_string *string, const ll_pluck *pluck,
                      const ll_plucked *plucked, size_t c, double *v)
{
    const ll_string placed = bind_place_string(r, string);
    const ll_solution *solution = bind_ask_solution(r);
    double *share = bind_buffer(r->L, r->pickup->coils.count, sizeof *share), slope_v;
    ll_voice_spec spec = bind_voice_spec(r, string, &placed, pluck);
    spec.share = share;
    share[c] = counts_by(r->pickup, c);
    bind_demand(r->L, ll_plucked_voltages(plucked, solution, &spec, v, &slope_v), r->place);
    lua_pop(r->L, 1);
    append(r->L, "v", ll_plucked_partials(plucked), v);
    append(r->L, "slopes", 1, &slope_v);
}

/* The partials of one string, added to the lists of the table at `lists`. Without a pickup its one record gets the speeds. */
static void add_string(const bind_query *r, const bind_string *string, const ll_pluck *pluck,
                       const ll_plucked *plucked, int lists)
{
    lua_State *L = r->L;
    const size_t n = ll_plucked_partials(plucked);
    const double count = (double)n;
    double *v = bind_buffer(L, n + 1, sizeof *v);
    ll_plucked_hz(plucked, v);
    lua_pushvalue(L, lists);
    append(L, "counts", 1, &count);
    append(L, "f", n, v);
    lua_getfield(L, -1, "coils");
    for (size_t c = 0; c < (r->pickup ? r->pickup->coils.count : 1); c++) {
        lua_rawgeti(L, -1, (lua_Integer)c + 1);
        if (r->pickup)
            hear_coil(r, string, pluck, plucked, c, v);
        else {
            ll_plucked_speeds(plucked, string->from_bridge_m, v);
            append(L, "v", n, v);
        }
        lua_pop(L, 1);
    }
}

/* Into the record of each coil in the list on the top: what it gives in an even field of 1 uT along x, y and z. */
static void add_hum(const bind_query *r, double hum_hz)
{
    lua_State *L = r->L;
    const size_t coils = r->pickup->coils.count;
    const double even_a_m = 1e-6 / LL_MU0;
    double *wb = bind_buffer(L, LL_HUM_FIELDS * coils + 1, sizeof *wb), hum_v[LL_HUM_DIRECTIONS];
    bind_demand(L,
                ll_hum_linkages(bind_ask_solution(r), even_a_m, bind_hum_grows_over_m,
                                bind_middle_of_coils(r->pickup), wb),
                r->place);
    for (size_t c = 0; c < coils; c++) {
        for (size_t d = 0; d < LL_HUM_DIRECTIONS; d++)
            hum_v[d] = -2 * LL_PI * hum_hz * counts_by(r->pickup, c) * wb[d * coils + c];
        lua_rawgeti(L, -2, (lua_Integer)c + 1);
        append(L, "hum", LL_HUM_DIRECTIONS, hum_v);
        lua_pop(L, 1);
    }
    lua_pop(L, 1);
}

static int free_box(lua_State *L)
{
    ll_plucked **box = lua_touserdata(L, 1);
    ll_plucked_free(*box);
    *box = NULL;
    return 0;
}

/* Pushes a box that frees what it holds. */
static ll_plucked **push_box(lua_State *L)
{
    ll_plucked **box = lua_newuserdatauv(L, sizeof(ll_plucked *), 0);
    *box = NULL;
    if (luaL_newmetatable(L, "lodeloom.plucked")) {
        lua_pushcfunction(L, free_box);
        lua_setfield(L, -2, "__gc");
    }
    lua_setmetatable(L, -2);
    return box;
}

/* The string on the top: looked at, and outside of a check heard into the table at `lists`. */
static void take_string(const bind_query *r, const ll_pluck *pluck, int lists)
{
    lua_State *L = r->L;
    const int top = lua_gettop(L);
    const bind_string *string = bind_test(L, -1, &bind_noun_string);
    const ll_stiff_string tuned = bind_tuned(r, string);
    bind_check_pluck(r, pluck, string, &tuned);
    if (!bind_check_of(L)->on) {
        const ll_string nowhere = {0};
        const ll_voice_spec spec = bind_voice_spec(r, string, &nowhere, pluck);
        ll_plucked **box = push_box(L);
        bind_demand(L, ll_plucked_new(&spec, 1, box), r->place);
        add_string(r, string, pluck, *box, lists);
    }
    lua_settop(L, top);
}

/* Pushes { counts = {}, f = {}, coils = { { v = {}, slopes = {}, hum = {} }, ... } }. */
static void push_lists(lua_State *L, size_t coils)
{
    lua_newtable(L);
    bind_set_list(L, "counts", 0, NULL);
    bind_set_list(L, "f", 0, NULL);
    lua_newtable(L);
    for (size_t c = 0; c < coils; c++) {
        lua_newtable(L);
        bind_set_list(L, "v", 0, NULL);
        bind_set_list(L, "slopes", 0, NULL);
        bind_set_list(L, "hum", 0, NULL);
        lua_rawseti(L, -2, (lua_Integer)c + 1);
    }
    lua_setfield(L, -2, "coils");
}

/* core.heard(pickup, {strings}, pluck, place, hertz): { counts, f, coils }, the partials of all strings one after another over the first
 * second of a pluck: how many each has, their frequencies, and for each coil { v, slopes, hum } as it counts in the voltage of the hot
 * lead: effective volts, volts of each string that moves up at 1 m/s, and volts in an even field of 1 uT at that frequency, along x, y
 * and z. For a pickup of nil there is one coil whose v is the upward speed in m/s at the strings' own places, and no more. `pluck` may
 * be nil. Empty lists in a check. */
static int core_heard(lua_State *L)
{
    lua_settop(L, 5);
    const bind_query r = {.L = L,
                          .pickup = bind_test(L, 1, &bind_noun_pickup),
                          .place = luaL_checkstring(L, 4),
                          .fine = true};
    ll_pluck pluck = BIND_USUAL_PLUCK;
    if (!lua_isnil(L, 3))
        bind_parse(L, 3, &bind_pluck_noun, "pluck", &pluck);
    push_lists(L, r.pickup ? r.pickup->coils.count : 1);
    const int lists = lua_gettop(L);
    for (lua_Integer i = 1; i <= (lua_Integer)lua_rawlen(L, 2); i++) {
        lua_rawgeti(L, 2, i);
        take_string(&r, &pluck, lists);
        lua_pop(L, 1);
    }
    lua_getfield(L, lists, "coils");
    if (r.pickup && !bind_check_of(L)->on)
        add_hum(&r, luaL_checknumber(L, 5));
    lua_settop(L, lists);
    return 1;
}

/* What coil i of the list at `index`, {v =, slopes =, hum =, winding_hum =, windings =}, hears; pushes what holds it. */
static ll_position_coil take_coil(lua_State *L, int index, lua_Integer i, size_t strings)
{
    size_t n = 0;
    ll_position_coil coil = {0};
    lua_rawgeti(L, index, i);
    const int at = lua_gettop(L);
    coil.partial_v = bind_list_in(L, at, "v", &n);
    coil.slope_v = bind_list_in(L, at, "slopes", &n);
    lua_getfield(L, at, "hum");
    bind_list_numbers(L, lua_gettop(L), LL_POSITION_HUM, coil.hum_v);
    lua_pushvalue(L, at);
    coil.winding_hum_v = bind_number_in(L, "winding_hum");
    coil.winding_v = bind_list_in(L, at, "windings", &n);
    coil.windings = strings ? n / strings : 0;
    return coil;
}

static void set(lua_State *L, const char *key, double value)
{
    if (!isfinite(value))
        return;
    lua_pushnumber(L, value);
    lua_setfield(L, -2, key);
}

static void push_position(lua_State *L, const ll_position *p, size_t strings,
                          const double *string_v)
{
    lua_newtable(L);
    set(L, "level_v", p->level_v);
    set(L, "ohm", p->resistance_ohm);
    set(L, "peak_hz", p->peak.f_hz);
    set(L, "rise_db", 20 * log10(p->peak.gain / p->peak.low_gain));
    set(L, "hum_v", p->hum_v);
    set(L, "hum_left", p->hum_left);
    bind_set_list(L, "strings", strings, string_v);
    if (p->together > 0) {
        bind_push_phase(L, p->phase);
        lua_setfield(L, -2, "phase");
    }
}

/* Of a check. */
static const ll_position unknown = {.level_v = 0.1,
                                    .resistance_ohm = 7000,
                                    .peak = {4000, 2, 1, 2, 7000},
                                    .hum_v = 1e-3,
                                    .hum_left = 1};

/* core.position(network, {counts =, f =}, {coil, ...}, hertz): { level_v, ohm, peak_hz, rise_db, hum_v, hum_left, strings, phase } of its
 * coils in their order, each {v =, slopes =, hum =, winding_hum =, windings =}, the last all slopes of its first winding, then of the next;
 * `hertz` of the hum. */
static int core_position(lua_State *L)
{
    bind_network *network = bind_test(L, 1, &bind_noun_network);
    const double hum_hz = luaL_checknumber(L, 4);
    bind_result t = {.L = L, .error = bind_no_mesh_error};
    const bind_query r = {.L = L, .network = network, .t = &t, .place = "instrument", .fine = true};
    const ll_network *solved = bind_check_of(L)->on ? NULL : bind_ask_network(&r, network);
    size_t strings, n;
    const double *counts = bind_list_in(L, 2, "counts", &strings);
    const double *f_hz = bind_list_in(L, 2, "f", &n);
    size_t *partials = bind_buffer(L, strings + 1, sizeof *partials);
    double *string_v = bind_buffer(L, strings + 1, sizeof *string_v);
    for (size_t i = 0; i < strings; i++)
        partials[i] = (size_t)counts[i];
    ll_position_coil coils[LL_NETWORK_COILS] = {{0}};
    luaL_checkstack(L, 8 * LL_NETWORK_COILS, "too deeply nested");
    for (size_t c = 0; solved && c < ll_network_coils(solved); c++)
        coils[c] = take_coil(L, 3, (lua_Integer)c + 1, strings);
    const ll_position_heard heard = {strings, partials, f_hz, coils, hum_hz};
    ll_position found = unknown;
    if (solved)
        bind_demand(L, ll_position_read(solved, &heard, string_v, &found), r.place);
    push_position(L, &found, strings, string_v);
    return 1;
}

void bind_open_instrument(lua_State *L)
{
    bind_core_function(L, "heard", core_heard);
    bind_core_function(L, "position", core_position);
}
