/* bench.c - what the bench's Lua chunks ask of the engine: hypotheses weighed, a step of least squares, signals of strings
 * on a draft.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/work/bench.h"
#include "bench/step.h"
#include "bench/weigh.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/settings.h"
#include "module/nouns/nouns.h"
#include "module/readings/query.h"
#include "module/readings/tuning.h"
#include "reading/blade.h"
#include "reading/hum.h"
#include "signal/plucked.h"
#include "signal/sound.h"
#include "string/hearing.h"
#include <lauxlib.h>
#include <string.h>

/* Numbers of the list at `index` into out[n]; an own list of the module's, so a wrong one is our mistake. */
static void take_numbers(lua_State *L, int index, size_t n, double *out)
{
    luaL_checktype(L, index, LUA_TTABLE);
    for (size_t i = 0; i < n; i++) {
        lua_rawgeti(L, index, (lua_Integer)i + 1);
        out[i] = luaL_checknumber(L, -1);
        lua_pop(L, 1);
    }
}

/* The numbers of the list in field `key` of the table at `index`, *n of them; pushes what holds them. */
static double *field_numbers(lua_State *L, int index, const char *key, size_t *n)
{
    lua_getfield(L, index, key);
    *n = lua_istable(L, -1) ? lua_rawlen(L, -1) : 0;
    double *out = bind_buffer(L, *n + 1, sizeof *out);
    if (*n)
        take_numbers(L, lua_gettop(L) - 1, *n, out);
    lua_remove(L, -2);
    return out;
}

static double number_of(lua_State *L, const char *key)
{
    lua_getfield(L, -1, key);
    const double value = luaL_optnumber(L, -1, 0);
    lua_pop(L, 1);
    return value;
}

/* {sign =, test =, absolute =, ...}, tests counted from 1 in Lua. */
static void take_reading(lua_State *L, ll_bench_reading *r)
{
    lua_getfield(L, -1, "sign");
    r->kind = lua_toboolean(L, -1) ? LL_BENCH_SIGN : LL_BENCH_VALUE;
    lua_pop(L, 1);
    r->test = (size_t)number_of(L, "test") - 1;
    r->absolute = number_of(L, "absolute");
    r->relative = number_of(L, "relative");
    r->common = number_of(L, "common");
    r->common_relative = number_of(L, "common_relative");
    r->weak = number_of(L, "weak");
    r->broad = number_of(L, "broad");
}

/* A list of lists of `width` numbers in one array; pushes what holds it. */
static double *take_rows(lua_State *L, int index, size_t width, size_t *rows)
{
    *rows = lua_istable(L, index) ? lua_rawlen(L, index) : 0;
    double *out = bind_buffer(L, *rows * width + 1, sizeof *out);
    for (size_t i = 0; i < *rows; i++) {
        lua_rawgeti(L, index, (lua_Integer)i + 1);
        take_numbers(L, lua_gettop(L), width, out + i * width);
        lua_pop(L, 1);
    }
    return out;
}

/* The list of {x, y, z} in mm at `index`, in metres; pushes what holds it. */
static const ll_vec3 *take_places(lua_State *L, int index, size_t *n)
{
    double *mm = take_rows(L, index, 3, n);
    ll_vec3 *at_m = bind_buffer(L, *n + 1, sizeof *at_m);
    for (size_t i = 0; i < *n; i++)
        at_m[i] = ll_vec(bind_to_si(UNIT_MM, mm[3 * i]), bind_to_si(UNIT_MM, mm[3 * i + 1]),
                         bind_to_si(UNIT_MM, mm[3 * i + 2]));
    return at_m;
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
        take_numbers(L, list, h->count[s], at);
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
    h->prior = number_of(L, "prior");
    lua_getfield(L, table, "predicted");
    h->predicted = take_rows(L, table + 1, readings, &h->points);
    luaL_ref(L, anchor);
    lua_getfield(L, table, "extra");
    h->extra = take_rows(L, lua_gettop(L), readings, &extras);
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
    bench->tolerance = take_rows(L, lua_gettop(L), bench->readings, &bench->tolerances);
    luaL_ref(L, 2);
    lua_pop(L, 1);
    bench->reading = reading;
    bench->hypothesis = hypothesis;
}

static void push_list(lua_State *L, size_t n, const double *values)
{
    lua_createtable(L, (int)n, 0);
    for (size_t i = 0; i < n; i++) {
        lua_pushnumber(L, values[i]);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
}

static void set_list(lua_State *L, const char *key, size_t n, const double *values)
{
    push_list(L, n, values);
    lua_setfield(L, -2, key);
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
    set_list(L, "shares", points, share);
    ll_bench_error(bench, h, best, error);
    set_list(L, "errors", bench->readings, error);
}

static size_t points_of(const ll_bench *bench)
{
    size_t sum = 0;
    for (size_t h = 0; h < bench->hypotheses; h++)
        sum += bench->hypothesis[h].points;
    return sum;
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
    double *index = field_numbers(L, 1, "taken", &taken);
    double *value = field_numbers(L, 1, "values", &given);
    size_t *which = bind_buffer(L, taken + 1, sizeof *which);
    for (size_t k = 0; k < taken; k++)
        which[k] = (size_t)index[k] - 1;
    double *probability = bind_buffer(L, 2 * bench.hypotheses + 1, sizeof *probability);
    double *misfit = probability + bench.hypotheses;
    double *share = bind_buffer(L, points_of(&bench) + 1, sizeof *share);
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
        set_list(L, "bits", bench.reading[bench.readings - 1].test + 1, bits);
    double *slip = bind_buffer(L, taken + 1, sizeof *slip);
    lua_insert(L, -2);
    bind_demand(L, ll_bench_slips(&bench, taken, which, value, probability, share, slip),
                "diagnose");
    set_list(L, "slips", taken, slip);
    return 1;
}

/* core.step{ jacobian = {rows}, residual, x, low, high, damping }: the next x. */
static int core_step(lua_State *L)
{
    size_t rows, columns, n;
    lua_settop(L, 1);
    double *residual = field_numbers(L, 1, "residual", &rows);
    double *x = field_numbers(L, 1, "x", &columns);
    double *low = field_numbers(L, 1, "low", &n), *high = field_numbers(L, 1, "high", &n);
    lua_getfield(L, 1, "jacobian");
    double *jacobian = take_rows(L, lua_gettop(L), columns, &rows);
    double *next = bind_buffer(L, columns + 1, sizeof *next);
    lua_getfield(L, 1, "damping");
    bind_demand(
        L,
        ll_bench_step(rows, columns, jacobian, residual, x, low, high, lua_tonumber(L, -1), next),
        "step");
    push_list(L, columns, next);
    return 1;
}

/* core.uncertainty{rows}: standard deviations of the unknowns, or nil where the readings do not settle them. */
static int core_uncertainty(lua_State *L)
{
    size_t rows;
    lua_rawgeti(L, 1, 1);
    const size_t columns = lua_istable(L, -1) ? lua_rawlen(L, -1) : 0;
    double *jacobian = take_rows(L, 1, columns, &rows);
    double *sd = bind_buffer(L, columns + 1, sizeof *sd);
    if (ll_bench_uncertainty(rows, columns, jacobian, sd) != LL_OK)
        return 0;
    push_list(L, columns, sd);
    return 1;
}

/* d(linkage)/dz in Wb/m that a string gives one coil, as that counts in the whole pickup. */
static double signal_wb_m(const bind_query *r, const ll_solution *solution, size_t coil,
                          const ll_string *string)
{
    ll_hearing *hearing = NULL;
    double dz_wb_m, dx_wb_m;
    double *share = bind_buffer(r->L, r->pickup->coils.count, sizeof *share);
    share[coil] = bind_coil_sign(r->pickup, coil);
    bind_demand(r->L, ll_hearing_new(solution, share, string, &hearing), r->place);
    ll_hearing_total(hearing, &dz_wb_m, &dx_wb_m);
    ll_hearing_free(hearing);
    lua_pop(r->L, 1);
    return dz_wb_m;
}

/* Pushes the list of what a string gives each coil by itself. */
static void push_signals(const bind_query *r, const ll_solution *solution, const ll_string *string)
{
    lua_newtable(r->L);
    for (size_t c = 0; c < r->pickup->coils.count; c++) {
        lua_pushnumber(r->L, signal_wb_m(r, solution, c, string));
        lua_rawseti(r->L, -2, (lua_Integer)c + 1);
    }
}

/* core.signals(pickup, {strings}): what each string gives each coil, as it counts in the whole pickup, from the draft and for
 * upward motion alone. */
static int core_signals(lua_State *L)
{
    bind_query r = {L, bind_self(L, &bind_noun_pickup, "signals"), "diagnose"};
    const ll_solution *solution = bind_ask_draft(&r);
    const size_t strings = lua_rawlen(L, 2);
    lua_newtable(L);
    for (size_t i = 0; i < strings && solution; i++) {
        lua_rawgeti(L, 2, (lua_Integer)i + 1);
        const ll_string placed = bind_place_string(&r, bind_test(L, -1, &bind_noun_string));
        lua_pop(L, 1);
        push_signals(&r, solution, &placed);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

/* core.rests(pickup): for each pole {x, y, z} in mm, where the middle of a blade is that lies on it. */
static int core_rests(lua_State *L)
{
    bind_query r = {L, bind_self(L, &bind_noun_pickup, "rests"), "diagnose"};
    size_t *pole = bind_buffer(L, r.pickup->parts.count, sizeof *pole);
    const size_t n = bind_poles(r.pickup, pole);
    lua_createtable(L, (int)n, 0);
    for (size_t i = 0; i < n; i++) {
        ll_vec3 at;
        bind_demand(L, ll_blade_rest(r.pickup->scene, pole[i], &at), r.place);
        const double mm[3] = {bind_from_si(UNIT_MM, at.x), bind_from_si(UNIT_MM, at.y),
                              bind_from_si(UNIT_MM, at.z)};
        push_list(L, 3, mm);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

/* core.blades(pickup, {{x, y, z}, ...}): what each coil links of a blade with its middle there, in Wb as it counts in the whole
 * pickup, place by place, from the draft. */
static int core_blades(lua_State *L)
{
    bind_query r = {L, bind_self(L, &bind_noun_pickup, "blades"), "diagnose"};
    const size_t coils = r.pickup->coils.count;
    size_t n;
    const ll_vec3 *at = take_places(L, 2, &n);
    const ll_solution *solution = bind_ask_draft(&r);
    double *wb = bind_buffer(L, n * coils + 1, sizeof *wb);
    for (size_t i = 0; i < n && solution; i++) {
        bind_demand(L, ll_blade_linkage(solution, at[i], wb + i * coils), r.place);
        for (size_t c = 0; c < coils; c++)
            wb[i * coils + c] *= bind_coil_sign(r.pickup, c);
    }
    push_list(L, n * coils, wb);
    return 1;
}

/* core.hum(pickup): what each coil links of fields from far away, LL_HUM_FIELDS rows, as it counts in the whole pickup. */
static int core_hum(lua_State *L)
{
    bind_query r = {L, bind_self(L, &bind_noun_pickup, "hum"), "diagnose"};
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
    push_list(L, LL_HUM_FIELDS * coils, wb);
    return 1;
}

/* core.hum_taken({wb}, {share}): what coils with these shares take up, from core.hum's list. */
static int core_hum_taken(lua_State *L)
{
    const size_t coils = lua_rawlen(L, 2);
    double *wb = bind_buffer(L, LL_HUM_FIELDS * coils + 1, sizeof *wb);
    double *share = bind_buffer(L, coils + 1, sizeof *share);
    take_numbers(L, 1, LL_HUM_FIELDS * coils, wb);
    take_numbers(L, 2, coils, share);
    lua_pushnumber(L, ll_hum_taken(coils, share, wb));
    return 1;
}

/* core.plucked(pickup, {strings}, pluck): for each string the squares of signal/plucked.h over its first second, coils as they
 * count in the whole pickup, from the draft. `pluck` may be nil. */
static int core_plucked(lua_State *L)
{
    bind_query r = {L, bind_self(L, &bind_noun_pickup, "plucked"), "diagnose"};
    const size_t coils = r.pickup->coils.count, strings = lua_rawlen(L, 2);
    ll_voice_spec spec = {.pluck = BIND_USUAL_PLUCK, .rate_hz = LL_SOUND_RATE_HZ};
    lua_settop(L, 3);
    if (!lua_isnil(L, 3))
        bind_parse(L, 3, &bind_pluck_noun, "pluck", &spec.pluck);
    double *square = bind_buffer(L, coils * coils + 1, sizeof *square);
    const ll_solution *solution = bind_ask_draft(&r);
    lua_newtable(L);
    for (size_t i = 0; i < strings && solution; i++) {
        lua_rawgeti(L, 2, (lua_Integer)i + 1);
        const bind_string *string = bind_test(L, -1, &bind_noun_string);
        spec.string = bind_place_string(&r, string);
        spec.tuning = bind_tuning(&r, string);
        spec.damping = bind_damping(string);
        spec.from_bridge_m = string->from_bridge_m;
        bind_demand(L, ll_plucked_squares(solution, &spec, 1, square), r.place);
        for (size_t k = 0; k < coils * coils; k++)
            square[k] *= bind_coil_sign(r.pickup, k / coils) * bind_coil_sign(r.pickup, k % coils);
        lua_pop(L, 1);
        push_list(L, coils * coils, square);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

/* core.plucked_level({squares}, {share}): volts. */
static int core_plucked_level(lua_State *L)
{
    const size_t coils = lua_rawlen(L, 2);
    double *square = bind_buffer(L, coils * coils + 1, sizeof *square);
    double *share = bind_buffer(L, coils + 1, sizeof *share);
    take_numbers(L, 1, coils * coils, square);
    take_numbers(L, 2, coils, share);
    lua_pushnumber(L, ll_plucked_level(coils, square, share));
    return 1;
}

/* core.fields_at(pickup, {{x, y, z}, ...}): for each place {bx, by, bz} in mT, from the draft. */
static int core_fields_at(lua_State *L)
{
    bind_query r = {L, bind_self(L, &bind_noun_pickup, "fields"), "diagnose"};
    size_t n;
    const ll_vec3 *point = take_places(L, 2, &n);
    ll_vec3 *b_t = bind_buffer(L, n + 1, sizeof *b_t);
    const ll_solution *solution = bind_ask_draft(&r);
    if (solution)
        bind_demand(L, ll_solution_b(solution, n, point, b_t), r.place);
    lua_newtable(L);
    for (size_t i = 0; i < n; i++) {
        const double own[3] = {bind_from_si(UNIT_MT, b_t[i].x), bind_from_si(UNIT_MT, b_t[i].y),
                               bind_from_si(UNIT_MT, b_t[i].z)};
        push_list(L, 3, own);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

/* core.inductances(pickup): those between its coils in H, as they count in the whole pickup, row by row, from the draft. */
static int core_inductances(lua_State *L)
{
    bind_query r = {L, bind_self(L, &bind_noun_pickup, "inductances"), "diagnose"};
    const size_t n = r.pickup->coils.count;
    const ll_solution *solution = bind_ask_draft(&r);
    double *l_h = bind_buffer(L, n * n + 1, sizeof *l_h);
    for (size_t k = 0; k < n * n && solution; k++) {
        bind_demand(L, ll_solution_inductance(solution, k / n, k % n, &l_h[k]), r.place);
        l_h[k] *= bind_coil_sign(r.pickup, k / n) * bind_coil_sign(r.pickup, k % n);
    }
    push_list(L, n * n, l_h);
    return 1;
}

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
    bind_query r = {L, bind_self(L, &bind_noun_pickup, "height"), "diagnose"};
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
    double *hole = take_rows(L, 3, 3, &n);
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
        push_list(L, 4, own);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

void bind_open_bench(lua_State *L)
{
    bind_core_function(L, "tiles", core_tiles);
    bind_core_function(L, "weigh", core_weigh);
    bind_core_function(L, "step", core_step);
    bind_core_function(L, "uncertainty", core_uncertainty);
    bind_core_function(L, "signals", core_signals);
    bind_core_function(L, "rests", core_rests);
    bind_core_function(L, "blades", core_blades);
    bind_core_function(L, "hum", core_hum);
    bind_core_function(L, "hum_taken", core_hum_taken);
    bind_core_function(L, "plucked", core_plucked);
    bind_core_function(L, "plucked_level", core_plucked_level);
    bind_core_function(L, "travel", core_travel);
    bind_core_function(L, "part_names", core_part_names);
    bind_core_function(L, "fields_at", core_fields_at);
    bind_core_function(L, "inductances", core_inductances);
    bind_core_function(L, "reach", core_reach);
    bind_core_function(L, "poles", core_poles);
    bind_core_function(L, "height", core_height);
    bind_core_function(L, "leads", core_leads);
    bind_push_core(L);
    lua_pushliteral(L, LL_VERSION);
    lua_setfield(L, -2, "version");
    lua_pop(L, 1);
}
