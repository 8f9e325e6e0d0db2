/* reading_network.c - what a network does with the coils' EMF: response, peak, noise.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/base/mesh_error.h"
#include "module/base/odd.h"
#include "module/base/rows.h"
#include "module/readings/network.h"
#include <math.h>

typedef struct response_options {
    bind_list f_hz;
} response_options;

static const bind_field response_table[] = {
    {"f", FIELD_LIST, offsetof(response_options, f_hz), .meaning = "list of frequencies",
     .required = true, .unit = UNIT_HZ, .high = 1e7, .above_low = true, .width = 1,
     .usual = USUAL_HZ},
};
static const bind_noun response_noun = {
    .name = "response", .article = "a response reading", BIND_NOUN_FIELDS(response_table)};

typedef struct noise_options {
    double from_hz, to_hz, level_v;
} noise_options;

static const bind_field noise_table[] = {
    {"from", FIELD_NUMBER, offsetof(noise_options, from_hz),
     .meaning = "lower end of the band; 20 Hz", .unit = UNIT_HZ, .high = 1e7, .above_low = true},
    {"to", FIELD_NUMBER, offsetof(noise_options, to_hz), .meaning = "its upper end; 20000 Hz",
     .unit = UNIT_HZ, .high = 1e7, .above_low = true},
    {"level", FIELD_NUMBER, offsetof(noise_options, level_v),
     .meaning = "a signal at the output, rms, to say how far it is over the noise", .unit = UNIT_MV,
     .high = 1e6, .above_low = true},
};
static const bind_noun noise_noun = {
    .name = "noise", .article = "a noise reading", BIND_NOUN_FIELDS(noise_table)};

/* The network that a reading was called on, its options an empty table when left out; pushes the place. */
static bind_network *begin(lua_State *L, const char *name, const char **place)
{
    bind_network *network = bind_self(L, &bind_noun_network, name);
    lua_settop(L, 2);
    if (lua_isnil(L, 2)) {
        lua_newtable(L);
        lua_replace(L, 2);
    }
    bind_mesh_error_begin(L);
    bind_odd_begin(L);
    bind_odd_expect(L, 1);
    *place = network->name
                 ? lua_pushfstring(L, "network %s: %s", bind_quoted(L, network->name), name)
                 : lua_pushfstring(L, "network: %s", name);
    return network;
}

static double db(double gain)
{
    return 20 * log10(gain);
}

/* Returns whether anything came out; an empty gain stands for nothing. A wrong network, in a check, has gain 1. */
static bool response_row(lua_State *L, const ll_network *network, double f_hz, const char *place)
{
    double complex h = 1;
    if (network)
        bind_demand(L, ll_network_response(network, f_hz, &h), place);
    bool heard = cabs(h) >= LL_SILENT;
    bind_row_begin(L);
    bind_set(L, "f_hz", f_hz);
    if (heard) {
        bind_set(L, "gain_db", db(cabs(h)));
        bind_set(L, "phase_deg", carg(h));
    }
    bind_row_end(L);
    return heard;
}

/* network:response{ f = {...} } */
static int reading_response(lua_State *L)
{
    const char *place = NULL;
    bind_network *box = begin(L, "response", &place);
    response_options options = {0};
    bind_parse(L, 2, &response_noun, place, &options);
    bind_odd_expect(L, -1);
    const ll_network *network = bind_ask_network(L, box, place);
    bool heard = true;
    bind_result_begin(L);
    for (size_t i = 0; i < options.f_hz.count; i++)
        heard &= response_row(L, network, options.f_hz.values[i], place);
    bind_note(L, "output against the EMF of one coil, every coil having the same");
    if (!heard)
        bind_note(L, "no gain_db: nothing comes out");
    return bind_result_end(L, "f_hz gain_db phase_deg", "response");
}

/* What does not exist stays out of the row. */
static void set_known(lua_State *L, const char *column, double si)
{
    if (isfinite(si))
        bind_set(L, column, si);
}

static void peak_row(lua_State *L, const ll_peak *peak)
{
    bool low = peak->low_gain > 0;
    bind_row_begin(L);
    set_known(L, "f_hz", peak->f_hz);
    set_known(L, "rise_db", low ? db(peak->gain / peak->low_gain) : NAN);
    set_known(L, "q", peak->q);
    set_known(L, "f_minus3_hz", peak->f_minus3_hz);
    set_known(L, "gain_db", db(peak->gain));
    if (low)
        bind_set(L, "low_db", db(peak->low_gain));
    bind_row_end(L);
}

static void peak_notes(lua_State *L, const ll_peak *peak)
{
    if (peak->low_gain == 0 && isnan(peak->f_hz))
        bind_note(L, "nothing comes out: the volume is down, or the coils cancel");
    else if (peak->low_gain == 0)
        bind_note(L, "no rise: nothing comes out at low frequencies, the coils cancel there");
    else if (isnan(peak->f_hz))
        bind_note(L, "no peak between 10 Hz and 1 MHz");
    bind_note(L, "rise_db over low_db, the level at 1 Hz; q of a low-pass with that rise; above "
                 "f_minus3_hz the output stays more than 3 dB under low_db");
}

/* network:peak() */
static int reading_peak(lua_State *L)
{
    const char *place = NULL;
    bind_network *box = begin(L, "peak", &place);
    ll_peak peak = {3000, 2, 1, 2, 6000}; /* of a wrong one, in a check */
    const ll_network *network = bind_ask_network(L, box, place);
    if (network)
        bind_demand(L, ll_network_peak(network, &peak), place);
    bind_result_begin(L);
    peak_row(L, &peak);
    peak_notes(L, &peak);
    return bind_result_end(L, "f_hz rise_db q f_minus3_hz gain_db low_db", "peak");
}

/* network:noise{ from = 20, to = 20000, level = 100 } */
static int reading_noise(lua_State *L)
{
    const char *place = NULL;
    bind_network *box = begin(L, "noise", &place);
    noise_options options = {20, 20e3, 0};
    bool fine = bind_parse(L, 2, &noise_noun, place, &options);
    double rms_v = 1e-6;
    if (fine && options.to_hz <= options.from_hz) {
        bind_mistake(L, "%s: 'to' must be above 'from', %s", place,
                     bind_quantity(L, UNIT_HZ, options.from_hz));
        fine = false;
    }
    const ll_network *network = bind_ask_network(L, box, place);
    if (network && fine)
        bind_demand(L, ll_network_noise(network, options.from_hz, options.to_hz, &rms_v), place);
    bind_result_begin(L);
    bind_row_begin(L);
    bind_set(L, "from_hz", options.from_hz);
    bind_set(L, "to_hz", options.to_hz);
    bind_set(L, "noise_mv", rms_v);
    if (options.level_v > 0 && rms_v > 0)
        bind_set(L, "over_noise_db", db(options.level_v / rms_v));
    bind_row_end(L);
    bind_note(L,
              "thermal noise of all resistances at 293 K, rms; the amplifier's own is not in it");
    return bind_result_end(L, "from_hz to_hz noise_mv over_noise_db", "noise");
}

const luaL_Reg bind_network_readings[] = {
    {"response", reading_response},
    {"peak", reading_peak},
    {"noise", reading_noise},
    {NULL, NULL},
};

void bind_offer_network_readings(lua_State *L)
{
    bind_offer_fields(L, &response_noun);
    bind_offer_fields(L, &noise_noun);
}
