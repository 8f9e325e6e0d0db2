/* draft.c - what strings, blades, probes and coils would show at a pickup as its draft has it.
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
#include "reading/blade.h"
#include "reading/hum.h"
#include "signal/plucked.h"
#include "signal/sound.h"
#include "string/hearing.h"
#include <lauxlib.h>

/* Pushes the list of d(linkage)/dz in Wb/m that a string gives each coil by itself, as that counts in the whole pickup. */
static void push_signals(const bind_query *r, const ll_solution *solution, const ll_string *string,
                         bool answered)
{
    const size_t coils = r->pickup->coils.count;
    double *share = bind_buffer(r->L, coils * coils + coils + 1, sizeof *share);
    double *dz_wb_m = share + coils * coils;
    for (size_t c = 0; c < coils; c++)
        share[c * coils + c] = bind_coil_sign(r->pickup, c);
    bind_demand(r->L, ll_hearing_slopes(solution, answered, coils, share, string, dz_wb_m),
                r->place);
    bind_push_list(r->L, coils, dz_wb_m);
    lua_remove(r->L, -2);
}

/* core.signals(pickup, {strings}, answered): what each string gives each coil, as it counts in the whole pickup, from the draft, for
 * upward motion alone, with or without the steel's answer to the string. */
static int core_signals(lua_State *L)
{
    const bind_query r = {
        .L = L, .pickup = bind_self(L, &bind_noun_pickup, "signals"), .place = "diagnose"};
    const ll_solution *solution = bind_ask_draft(&r);
    const size_t strings = lua_rawlen(L, 2);
    lua_settop(L, 3);
    lua_newtable(L);
    for (size_t i = 0; i < strings && solution; i++) {
        lua_rawgeti(L, 2, (lua_Integer)i + 1);
        const ll_string placed = bind_place_string(&r, bind_test(L, -1, &bind_noun_string));
        lua_pop(L, 1);
        push_signals(&r, solution, &placed, lua_toboolean(L, 3));
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

/* core.rests(pickup): for each pole {x, y, z} in mm, where the middle of a blade is that lies on it. */
static int core_rests(lua_State *L)
{
    const bind_query r = {
        .L = L, .pickup = bind_self(L, &bind_noun_pickup, "rests"), .place = "diagnose"};
    size_t *pole = bind_buffer(L, r.pickup->parts.count, sizeof *pole);
    const size_t n = bind_poles(r.pickup, pole);
    lua_createtable(L, (int)n, 0);
    for (size_t i = 0; i < n; i++) {
        ll_vec3 at;
        bind_demand(L, ll_blade_rest(r.pickup->scene, pole[i], &at), r.place);
        const double mm[3] = {bind_from_si(UNIT_MM, at.x), bind_from_si(UNIT_MM, at.y),
                              bind_from_si(UNIT_MM, at.z)};
        bind_push_list(L, 3, mm);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

/* core.blades(pickup, {{x, y, z}, ...}): what each coil links of a blade with its middle there, in Wb as it counts in the whole
 * pickup, place by place, from the draft. */
static int core_blades(lua_State *L)
{
    const bind_query r = {
        .L = L, .pickup = bind_self(L, &bind_noun_pickup, "blades"), .place = "diagnose"};
    const size_t coils = r.pickup->coils.count;
    size_t n;
    const ll_vec3 *at = bind_list_places(L, 2, &n);
    const ll_solution *solution = bind_ask_draft(&r);
    double *wb = bind_buffer(L, n * coils + 1, sizeof *wb);
    for (size_t i = 0; i < n && solution; i++) {
        bind_demand(L, ll_blade_linkage(solution, at[i], wb + i * coils), r.place);
        for (size_t c = 0; c < coils; c++)
            wb[i * coils + c] *= bind_coil_sign(r.pickup, c);
    }
    bind_push_list(L, n * coils, wb);
    return 1;
}

/* core.hum(pickup): what each coil links of fields from far away, LL_HUM_FIELDS rows, as it counts in the whole pickup. */
static int core_hum(lua_State *L)
{
    const bind_query r = {
        .L = L, .pickup = bind_self(L, &bind_noun_pickup, "hum"), .place = "diagnose"};
    const size_t coils = r.pickup->coils.count;
    double *wb = bind_buffer(L, LL_HUM_FIELDS * coils + 1, sizeof *wb);
    const ll_solution *solution = bind_ask_draft(&r);
    if (solution)
        bind_demand(
            L,
            ll_hum_linkages(solution, 1, bind_hum_grows_over_m, bind_middle_of_coils(r.pickup), wb),
            r.place);
    for (size_t k = 0; k < LL_HUM_FIELDS * coils; k++)
        wb[k] *= bind_coil_sign(r.pickup, k % coils);
    bind_push_list(L, LL_HUM_FIELDS * coils, wb);
    return 1;
}

/* core.plucked(pickup, {strings}, pluck): for each string the squares of signal/plucked.h over its first second, coils as they
 * count in the whole pickup, from the draft. `pluck` may be nil. */
static int core_plucked(lua_State *L)
{
    const bind_query r = {
        .L = L, .pickup = bind_self(L, &bind_noun_pickup, "plucked"), .place = "diagnose"};
    const size_t coils = r.pickup->coils.count, strings = lua_rawlen(L, 2);
    ll_pluck pluck = BIND_USUAL_PLUCK;
    lua_settop(L, 3);
    if (!lua_isnil(L, 3))
        bind_parse(L, 3, &bind_pluck_noun, "pluck", &pluck);
    double *square = bind_buffer(L, coils * coils + 1, sizeof *square);
    const ll_solution *solution = bind_ask_draft(&r);
    lua_newtable(L);
    for (size_t i = 0; i < strings && solution; i++) {
        lua_rawgeti(L, 2, (lua_Integer)i + 1);
        const bind_string *string = bind_test(L, -1, &bind_noun_string);
        const ll_string placed = bind_place_string(&r, string);
        const ll_voice_spec spec = bind_voice_spec(&r, string, &placed, &pluck);
        bind_demand(L, ll_plucked_squares(solution, &spec, 1, square), r.place);
        for (size_t k = 0; k < coils * coils; k++)
            square[k] *= bind_coil_sign(r.pickup, k / coils) * bind_coil_sign(r.pickup, k % coils);
        lua_pop(L, 1);
        bind_push_list(L, coils * coils, square);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

/* core.fields_at(pickup, {{x, y, z}, ...}): for each place {bx, by, bz} in mT, from the draft. */
static int core_fields_at(lua_State *L)
{
    const bind_query r = {
        .L = L, .pickup = bind_self(L, &bind_noun_pickup, "fields"), .place = "diagnose"};
    size_t n;
    const ll_vec3 *point = bind_list_places(L, 2, &n);
    ll_vec3 *b_t = bind_buffer(L, n + 1, sizeof *b_t);
    const ll_solution *solution = bind_ask_draft(&r);
    if (solution)
        bind_demand(L, ll_solution_b(solution, n, point, b_t), r.place);
    lua_newtable(L);
    for (size_t i = 0; i < n; i++) {
        const double own[3] = {bind_from_si(UNIT_MT, b_t[i].x), bind_from_si(UNIT_MT, b_t[i].y),
                               bind_from_si(UNIT_MT, b_t[i].z)};
        bind_push_list(L, 3, own);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

/* core.inductances(pickup): those between its coils in H, as they count in the whole pickup, row by row, from the draft. */
static int core_inductances(lua_State *L)
{
    const bind_query r = {
        .L = L, .pickup = bind_self(L, &bind_noun_pickup, "inductances"), .place = "diagnose"};
    const size_t n = r.pickup->coils.count;
    const ll_solution *solution = bind_ask_draft(&r);
    double *l_h = bind_buffer(L, n * n + 1, sizeof *l_h);
    for (size_t k = 0; k < n * n && solution; k++) {
        bind_demand(L, ll_solution_inductance(solution, k / n, k % n, &l_h[k]), r.place);
        l_h[k] *= bind_coil_sign(r.pickup, k / n) * bind_coil_sign(r.pickup, k % n);
    }
    bind_push_list(L, n * n, l_h);
    return 1;
}

void bind_open_draft(lua_State *L)
{
    bind_core_function(L, "signals", core_signals);
    bind_core_function(L, "rests", core_rests);
    bind_core_function(L, "blades", core_blades);
    bind_core_function(L, "hum", core_hum);
    bind_core_function(L, "plucked", core_plucked);
    bind_core_function(L, "fields_at", core_fields_at);
    bind_core_function(L, "inductances", core_inductances);
}
