/* weigh.c - hypotheses weighed on readings, a step of least squares.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/weigh.h"
#include "bench/step.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/values.h"
#include "module/work/bench.h"
#include "module/work/lists.h"
#include <lauxlib.h>

/* {sign =, test =, absolute =, ...}, tests counted from 1 in Lua. */
static void take_reading(lua_State *L, ll_bench_reading *r)
{
    lua_getfield(L, -1, "sign");
    r->kind = lua_toboolean(L, -1) ? LL_BENCH_SIGN : LL_BENCH_VALUE;
    lua_pop(L, 1);
    r->test = (size_t)bind_number_in(L, "test") - 1;
    r->absolute = bind_number_in(L, "absolute");
    r->relative = bind_number_in(L, "relative");
    r->common = bind_number_in(L, "common");
    r->common_relative = bind_number_in(L, "common_relative");
    r->weak = bind_number_in(L, "weak");
    r->broad = bind_number_in(L, "broad");
}

/* Places of the points along each unknown size, from a list of lists; keeps its arrays in the table at `anchor`. */
static void take_grid(lua_State *L, int anchor, int index, ll_bench_hypothesis *h)
{
    for (int s = 0; s < LL_BENCH_SIZES; s++) {
        h->count[s] = 0;
        if (!lua_istable(L, index) || lua_rawgeti(L, index, s + 1) != LUA_TTABLE)
            continue;
        const int list = lua_gettop(L);
        h->count[s] = lua_rawlen(L, list);
        double *at = bind_buffer(L, h->count[s] + 1, sizeof *at);
        bind_list_numbers(L, list, h->count[s], at);
        h->at[s] = at;
        luaL_ref(L, anchor);
    }
}

/* {prior =, predicted = {{...}, ...}, extra = {{...}, ...} or nil, grid = {{places}, ...} or nil}; keeps its arrays in the table
 * at `anchor`. */
static void take_hypothesis(lua_State *L, int anchor, size_t readings, ll_bench_hypothesis *h)
{
    const int table = lua_gettop(L);
    size_t extras;
    h->prior = bind_number_in(L, "prior");
    lua_getfield(L, table, "predicted");
    h->predicted = bind_list_rows(L, table + 1, readings, &h->points);
    luaL_ref(L, anchor);
    lua_getfield(L, table, "extra");
    h->extra = bind_list_rows(L, lua_gettop(L), readings, &extras);
    luaL_ref(L, anchor);
    if (extras != h->points)
        h->extra = NULL;
    lua_getfield(L, table, "grid");
    take_grid(L, anchor, lua_gettop(L), h);
    lua_settop(L, table);
}

/* The whole description at index 1; all arrays live in the table at index 2. */
static void take_bench(lua_State *L, ll_bench *bench)
{
    lua_getfield(L, 1, "readings");
    bench->readings = lua_rawlen(L, -1);
    ll_bench_reading *reading = bind_buffer(L, bench->readings + 1, sizeof *reading);
    luaL_ref(L, 2);
    for (size_t i = 0; i < bench->readings; i++) {
        lua_rawgeti(L, -1, (lua_Integer)i + 1);
        take_reading(L, &reading[i]);
        lua_pop(L, 1);
    }
    lua_pop(L, 1);
    lua_getfield(L, 1, "hypotheses");
    bench->hypotheses = lua_rawlen(L, -1);
    ll_bench_hypothesis *hypothesis = bind_buffer(L, bench->hypotheses + 1, sizeof *hypothesis);
    luaL_ref(L, 2);
    for (size_t h = 0; h < bench->hypotheses; h++) {
        lua_rawgeti(L, -1, (lua_Integer)h + 1);
        take_hypothesis(L, 2, bench->readings, &hypothesis[h]);
        lua_pop(L, 1);
    }
    lua_pop(L, 1);
    lua_getfield(L, 1, "tolerances");
    bench->tolerance = bind_list_rows(L, lua_gettop(L), bench->readings, &bench->tolerances);
    luaL_ref(L, 2);
    lua_pop(L, 1);
    bench->reading = reading;
    bench->hypothesis = hypothesis;
}

static size_t likeliest(size_t points, const double *share)
{
    size_t best = 0;
    for (size_t p = 1; p < points; p++)
        if (share[p] > share[best])
            best = p;
    return best;
}

/* One hypothesis's answer, on the top of the stack: {probability, misfit, best, shares, errors}. */
static void push_answer(lua_State *L, const ll_bench *bench, size_t h, double probability,
                        double misfit, const double *share, double *error)
{
    const size_t points = bench->hypothesis[h].points, best = likeliest(points, share);
    lua_newtable(L);
    lua_pushnumber(L, probability);
    lua_setfield(L, -2, "probability");
    lua_pushnumber(L, misfit);
    lua_setfield(L, -2, "misfit");
    lua_pushinteger(L, (lua_Integer)best + 1);
    lua_setfield(L, -2, "best");
    bind_set_list(L, "shares", points, share);
    ll_bench_error(bench, h, best, error);
    bind_set_list(L, "errors", bench->readings, error);
}

/* core.weigh{ readings, hypotheses, tolerances, taken = {indices}, values = {...}, information = true }: a list of answers,
 * in `slips` how likely each value is simply wrong, and in `bits` the information expected of each test when that was asked for. */
static int core_weigh(lua_State *L)
{
    ll_bench bench = {0};
    size_t taken, given;
    lua_settop(L, 1);
    lua_newtable(L);
    take_bench(L, &bench);
    double *index = bind_list_in(L, 1, "taken", &taken);
    double *value = bind_list_in(L, 1, "values", &given);
    size_t *which = bind_buffer(L, taken + 1, sizeof *which);
    for (size_t k = 0; k < taken; k++)
        which[k] = (size_t)index[k] - 1;
    double *probability = bind_buffer(L, 2 * bench.hypotheses + 1, sizeof *probability);
    double *misfit = probability + bench.hypotheses;
    double *share = bind_buffer(L, ll_bench_points(&bench) + 1, sizeof *share);
    double *error = bind_buffer(L, 2 * bench.readings + 1, sizeof *error);
    double *bits = error + bench.readings;
    bind_demand(L, ll_bench_weigh(&bench, taken, which, value, probability, share, misfit),
                "diagnose");
    lua_getfield(L, 1, "information");
    const bool ask = lua_toboolean(L, -1);
    if (ask)
        bind_demand(L, ll_bench_information(&bench, probability, share, bits), "diagnose");
    lua_newtable(L);
    for (size_t h = 0, at = 0; h < bench.hypotheses; at += bench.hypothesis[h++].points) {
        push_answer(L, &bench, h, probability[h], misfit[h], share + at, error);
        lua_rawseti(L, -2, (lua_Integer)h + 1);
    }
    if (ask && bench.readings)
        bind_set_list(L, "bits", bench.reading[bench.readings - 1].test + 1, bits);
    double *slip = bind_buffer(L, taken + 1, sizeof *slip);
    lua_insert(L, -2);
    bind_demand(L, ll_bench_slips(&bench, taken, which, value, probability, share, slip),
                "diagnose");
    bind_set_list(L, "slips", taken, slip);
    return 1;
}

/* core.step{ jacobian = {rows}, residual, x, low, high, damping }: the next x. */
static int core_step(lua_State *L)
{
    size_t rows, columns, n;
    lua_settop(L, 1);
    double *residual = bind_list_in(L, 1, "residual", &rows);
    double *x = bind_list_in(L, 1, "x", &columns);
    double *low = bind_list_in(L, 1, "low", &n), *high = bind_list_in(L, 1, "high", &n);
    lua_getfield(L, 1, "jacobian");
    double *jacobian = bind_list_rows(L, lua_gettop(L), columns, &rows);
    double *next = bind_buffer(L, columns + 1, sizeof *next);
    lua_getfield(L, 1, "damping");
    bind_demand(
        L,
        ll_bench_step(rows, columns, jacobian, residual, x, low, high, lua_tonumber(L, -1), next),
        "step");
    bind_push_list(L, columns, next);
    return 1;
}

/* core.uncertainty({rows}, {{shift of each row}, ...}): standard deviations of the unknowns, or nil where the readings do not
 * settle them. */
static int core_uncertainty(lua_State *L)
{
    size_t rows, tolerances;
    lua_rawgeti(L, 1, 1);
    const size_t columns = lua_istable(L, -1) ? lua_rawlen(L, -1) : 0;
    double *jacobian = bind_list_rows(L, 1, columns, &rows);
    const double *tolerance = bind_list_rows(L, 2, rows, &tolerances);
    double *sd = bind_buffer(L, columns + 1, sizeof *sd);
    if (ll_bench_uncertainty(rows, columns, jacobian, tolerances, tolerance, sd) != LL_OK)
        return 0;
    bind_push_list(L, columns, sd);
    return 1;
}

void bind_open_weigh(lua_State *L)
{
    bind_core_function(L, "weigh", core_weigh);
    bind_core_function(L, "step", core_step);
    bind_core_function(L, "uncertainty", core_uncertainty);
}
