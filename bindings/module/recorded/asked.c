/* asked.c - what the module's own Lua asks of recordings and of impedances: plain numbers in SI, channels counted from 1.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/settings.h"
#include "module/recorded/recorded.h"
#include "module/work/lists.h"
#include "recording/bridge.h"
#include "recording/coil_model.h"
#include "recording/hum_lines.h"
#include "recording/one_channel.h"
#include "recording/partial.h"
#include "recording/plucks.h"
#include "recording/transfer.h"
#include <math.h>

enum { MOST_PLUCKS = 200, MOST_LINES = 40 };

static void set_number(lua_State *L, const char *key, double value)
{
    lua_pushnumber(L, value);
    lua_setfield(L, -2, key);
}

/* The recording at the argument's place. */
static const ll_recording *recording_at(lua_State *L, int index)
{
    const bind_recording *r = bind_test(L, index, &bind_noun_recording);
    if (r && r->recording)
        return r->recording;
    bind_raise(L, "a recording was expected, made by ll.recording{ file = ... }");
    return NULL; /* never reached */
}

/* The channel at the argument's place, from 0. */
static int channel_at(lua_State *L, int index, const ll_recording *r)
{
    const lua_Integer channel = luaL_checkinteger(L, index);
    if (channel < 1 || channel > ll_recording_channels(r))
        bind_raise(L, "the recording has %d channel%s, and no channel %I", ll_recording_channels(r),
                   ll_recording_channels(r) == 1 ? "" : "s", channel);
    return (int)channel - 1;
}

/* core.placeholder(): true in a check, which from then on knows that readings stand for others. */
static int core_placeholder(lua_State *L)
{
    bind_check *check = bind_check_of(L);
    check->placeholders_used = check->placeholders_used || check->on;
    lua_pushboolean(L, check->on);
    return 1;
}

/* core.recording_levels(r): { rate_hz, seconds, [channel] = { peak, rms, clipped } } */
static int core_levels(lua_State *L)
{
    const ll_recording *r = recording_at(L, 1);
    lua_newtable(L);
    set_number(L, "rate_hz", ll_recording_rate_hz(r));
    set_number(L, "seconds", (double)ll_recording_frames(r) / ll_recording_rate_hz(r));
    for (int c = 0; c < ll_recording_channels(r); c++) {
        const ll_recording_level level = ll_recording_level_of(r, c);
        lua_newtable(L);
        set_number(L, "peak", level.peak);
        set_number(L, "rms", level.rms);
        set_number(L, "clipped", (double)level.clipped);
        lua_rawseti(L, -2, c + 1);
    }
    return 1;
}

/* core.plucks(r, channel): a list of { starts_s, lasts_s, peak, rms, rms_after }, with quiet = { rms, starts_s, lasts_s }. */
static int core_plucks(lua_State *L)
{
    const ll_recording *r = recording_at(L, 1);
    ll_pluck_found *pluck = lua_newuserdatauv(L, MOST_PLUCKS * sizeof *pluck, 0);
    ll_quiet quiet = {0};
    size_t count = 0;
    bind_demand(L, ll_plucks_find(r, channel_at(L, 2, r), MOST_PLUCKS, pluck, &count, &quiet),
                "recording");
    lua_newtable(L);
    for (size_t i = 0; i < count; i++) {
        lua_newtable(L);
        set_number(L, "starts_s", pluck[i].starts_s);
        set_number(L, "lasts_s", pluck[i].lasts_s);
        set_number(L, "peak", pluck[i].peak);
        set_number(L, "rms", pluck[i].rms);
        set_number(L, "rms_after", pluck[i].rms_after);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    lua_newtable(L);
    set_number(L, "rms", quiet.rms);
    set_number(L, "starts_s", quiet.starts_s);
    set_number(L, "lasts_s", quiet.lasts_s);
    lua_setfield(L, -2, "quiet");
    return 1;
}

/* A stretch of a channel in a box that is pushed; arguments from `index` on: channel, from_s, lasts_s. */
static double *stretch_at(lua_State *L, int index, const ll_recording *r, size_t *n)
{
    const int channel = channel_at(L, index, r);
    const double rate = ll_recording_rate_hz(r), frames = (double)ll_recording_frames(r);
    const double from = fmin(fmax(luaL_checknumber(L, index + 1) * rate, 0), frames);
    const double count = fmin(luaL_checknumber(L, index + 2) * rate, frames - from);
    *n = count >= 1 ? (size_t)count : 0;
    double *samples = lua_newuserdatauv(L, (*n + 1) * sizeof *samples, 0);
    ll_recording_copy(r, channel, (long)from, *n, samples);
    return samples;
}

/* core.partial(r, channel, from_s, lasts_s, near_hz, reach_hz): { f_hz, f_sd_hz, amplitude, decay_per_s, beat_hz, beat_sd_hz, modes },
 * or nil and the reason. */
static int core_partial(lua_State *L)
{
    const ll_recording *r = recording_at(L, 1);
    ll_partial_found p;
    size_t n;
    const double near_hz = luaL_checknumber(L, 5), reach_hz = luaL_checknumber(L, 6);
    const double *samples = stretch_at(L, 2, r, &n);
    const ll_status status =
        ll_partial_find(n, samples, ll_recording_rate_hz(r), near_hz, reach_hz, &p);
    if (status) {
        lua_pushnil(L);
        lua_pushstring(L, ll_status_text(status));
        return 2;
    }
    lua_newtable(L);
    set_number(L, "modes", p.modes);
    set_number(L, "f_hz", p.mode[0].f_hz);
    set_number(L, "f_sd_hz", p.mode[0].f_sd_hz);
    set_number(L, "amplitude", p.mode[0].amplitude);
    set_number(L, "decay_per_s", p.mode[0].decay_per_s);
    set_number(L, "beat_hz", p.beat_hz);
    set_number(L, "beat_sd_hz", p.beat_sd_hz);
    return 1;
}

/* core.hum_lines(r, channel, from_s, lasts_s, mains_hz, lines): a list of { f_hz, rms, rms_sd, heard }, with mains_hz. */
static int core_hum_lines(lua_State *L)
{
    const ll_recording *r = recording_at(L, 1);
    ll_hum_line line[MOST_LINES];
    double mains_hz = 0;
    size_t n;
    const double near_hz = luaL_checknumber(L, 5);
    const lua_Integer lines = luaL_checkinteger(L, 6);
    if (lines < 1 || lines > MOST_LINES)
        return bind_raise(L, "hum: 1 to %d lines", MOST_LINES);
    const double *samples = stretch_at(L, 2, r, &n);
    bind_demand(L,
                ll_hum_lines_find(n, samples, ll_recording_rate_hz(r), near_hz, (size_t)lines, line,
                                  &mains_hz),
                "hum");
    lua_newtable(L);
    set_number(L, "mains_hz", mains_hz);
    for (lua_Integer i = 0; i < lines; i++) {
        lua_newtable(L);
        set_number(L, "f_hz", line[i].f_hz);
        set_number(L, "rms", line[i].rms);
        set_number(L, "rms_sd", line[i].rms_sd);
        lua_pushboolean(L, line[i].heard);
        lua_setfield(L, -2, "heard");
        lua_rawseti(L, -2, i + 1);
    }
    return 1;
}

/* The ratio of two channels; where there is no reference, of the one channel's two halves. */
static ll_status ratio_of(const ll_recording *r, int of, int reference, size_t n, const double *f,
                          ll_transfer_point *point, ll_transfer_facts *facts)
{
    const ll_sweep_signal usual = ll_sweep_signal_usual(), one = ll_sweep_signal_one_channel();
    return reference < 0 ? ll_one_channel_transfer(r, of, &one, n, f, point, facts)
                         : ll_transfer(r, of, reference, &usual, n, f, point, facts);
}

/* core.transfer(r, of, reference or nil, f): a list of rows { f, re, im, sd, coherence }, with drift and likeness. */
static int core_transfer(lua_State *L)
{
    const ll_recording *r = recording_at(L, 1);
    const int of = channel_at(L, 2, r), reference = lua_isnil(L, 3) ? -1 : channel_at(L, 3, r);
    const size_t n = lua_rawlen(L, 4);
    ll_transfer_facts facts = {0};
    double *f = lua_newuserdatauv(L, (n + 1) * sizeof *f, 0);
    ll_transfer_point *point = lua_newuserdatauv(L, (n + 1) * sizeof *point, 0);
    bind_list_numbers(L, 4, n, f);
    const ll_status status = ratio_of(r, of, reference, n, f, point, &facts);
    if (status == LL_NO_SIGNAL && reference < 0)
        return bind_raise(L,
                          "impedance: channel %d does not hold all six sweeps of "
                          "ll.test_signal{ one_channel = true }, three before its pause and three "
                          "behind it; record from before the tone to after the last sweep",
                          of + 1);
    if (status == LL_NO_SIGNAL)
        return bind_raise(L,
                          "impedance: the test signal is not in channel %d; record the player's "
                          "own voltage there from before the tone to after the last sweep",
                          reference + 1);
    bind_demand(L, status, "impedance");
    lua_newtable(L);
    set_number(L, "drift", facts.drift);
    set_number(L, "likeness", facts.likeness);
    for (size_t i = 0; i < n; i++) {
        const double row[] = {point[i].f_hz, point[i].re, point[i].im, point[i].sd,
                              point[i].coherence};
        bind_push_list(L, sizeof row / sizeof *row, row);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

/* Rows { f, re, im, sd, ... } as points; NULL for nil. */
static ll_transfer_point *ratios_at(lua_State *L, int index, size_t *n)
{
    if (lua_isnoneornil(L, index))
        return NULL;
    *n = lua_rawlen(L, index);
    ll_transfer_point *point = lua_newuserdatauv(L, (*n + 1) * sizeof *point, 0);
    for (size_t i = 0; i < *n; i++) {
        double row[4];
        lua_rawgeti(L, index, (lua_Integer)i + 1);
        bind_list_numbers(L, lua_gettop(L), 4, row);
        lua_pop(L, 1);
        point[i] = (ll_transfer_point){row[0], row[1], row[2], row[3], 1};
    }
    return point;
}

/* core.bridge_input(series_ohm, known_ohm, ratio, alike): { conductance_s, capacitance_f, misfit } with their deviations. */
static int core_bridge_input(lua_State *L)
{
    ll_bridge_input in;
    size_t n = 0, m = 0;
    const ll_transfer_point *ratio = ratios_at(L, 3, &n), *alike = ratios_at(L, 4, &m);
    bind_demand(
        L, ll_bridge_input_of(luaL_checknumber(L, 1), luaL_checknumber(L, 2), n, ratio, alike, &in),
        "impedance: the run with the known resistor");
    lua_newtable(L);
    set_number(L, "conductance_s", in.conductance_s);
    set_number(L, "conductance_sd", in.conductance_sd);
    set_number(L, "capacitance_f", in.capacitance_f);
    set_number(L, "capacitance_sd", in.capacitance_sd);
    set_number(L, "misfit", in.misfit);
    return 1;
}

/* core.bridge(series_ohm, input_s, input_f, ratio, alike): a list of rows { f, re, im, sd } in ohm. */
static int core_bridge(lua_State *L)
{
    size_t n = 0, m = 0;
    const ll_bridge bridge = {luaL_checknumber(L, 1), luaL_checknumber(L, 2),
                              luaL_checknumber(L, 3)};
    const ll_transfer_point *ratio = ratios_at(L, 4, &n), *alike = ratios_at(L, 5, &m);
    ll_impedance_point *z = lua_newuserdatauv(L, (n + 1) * sizeof *z, 0);
    const ll_status status = ll_bridge_impedance(&bridge, n, ratio, alike, z);
    if (status == LL_BAD_VALUE)
        return bind_raise(L, "impedance: the pickup's channel is as loud as the player's, or "
                             "louder: no current flows; is the resistor in line, is the pickup "
                             "connected, and are the channels the right way round?");
    bind_demand(L, status, "impedance");
    lua_newtable(L);
    for (size_t i = 0; i < n; i++) {
        const double row[] = {z[i].f_hz, z[i].re_ohm, z[i].im_ohm, z[i].sd_ohm};
        bind_push_list(L, sizeof row / sizeof *row, row);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

static void push_coil(lua_State *L, const ll_coil_found *c)
{
    lua_newtable(L);
    set_number(L, "r_ohm", c->model.r_ohm);
    set_number(L, "l_h", c->model.l_h);
    set_number(L, "c_f", c->model.c_f);
    set_number(L, "core", c->model.core);
    set_number(L, "core_hz", c->model.core_hz);
    bind_set_list(L, "share", (size_t)c->model.loops, c->model.share);
    bind_set_list(L, "corner_hz", (size_t)c->model.loops, c->model.corner_hz);
    bind_set_list(L, "sd", LL_COIL_VALUES, c->relative_sd);
    const double correlation[] = {c->correlation[LL_COIL_R][LL_COIL_L],
                                  c->correlation[LL_COIL_L][LL_COIL_C],
                                  c->correlation[LL_COIL_R][LL_COIL_C]};
    bind_set_list(L, "correlation", 3, correlation);
    if (c->has_peak) {
        const double peak[] = {c->peak.f_hz, c->peak.ohm, c->peak.q};
        const double sd[] = {c->peak_sd.f_hz, c->peak_sd.ohm, c->peak_sd.q};
        bind_set_list(L, "peak", 3, peak);
        bind_set_list(L, "peak_sd", 3, sd);
    }
    set_number(L, "misfit", c->misfit);
    set_number(L, "rest", c->rest);
}

/* core.coil_find(rows): rows { f, re, im, sd } in ohm, rising; the coil that fits, all deviations relative. */
static int core_coil_find(lua_State *L)
{
    size_t n = 0;
    ll_coil_found found;
    const double *rows = bind_list_rows(L, 1, 4, &n);
    ll_impedance_point *z = lua_newuserdatauv(L, (n + 1) * sizeof *z, 0);
    for (size_t i = 0; i < n; i++)
        z[i] = (ll_impedance_point){rows[4 * i], rows[4 * i + 1], rows[4 * i + 2], rows[4 * i + 3]};
    const ll_status status = ll_coil_find(n, z, &found);
    if (status == LL_BAD_VALUE)
        return bind_raise(L, "find_coil: this is no impedance of a coil: 10 points or more are "
                             "needed, rising in frequency, and inductive somewhere");
    bind_demand(L, status, "find_coil");
    push_coil(L, &found);
    return 1;
}

/* The coil that push_coil made, at `index`. */
static ll_coil_model model_at(lua_State *L, int index)
{
    ll_coil_model m = {0};
    size_t loops = 0, corners = 0;
    lua_pushvalue(L, index);
    m.r_ohm = bind_number_in(L, "r_ohm");
    m.l_h = bind_number_in(L, "l_h");
    m.c_f = bind_number_in(L, "c_f");
    m.core = bind_number_in(L, "core");
    m.core_hz = bind_number_in(L, "core_hz");
    lua_pop(L, 1);
    const double *share = bind_list_in(L, index, "share", &loops);
    const double *corner = bind_list_in(L, index, "corner_hz", &corners);
    m.loops = loops < LL_COIL_MOST_LOOPS ? (int)loops : LL_COIL_MOST_LOOPS;
    for (int i = 0; i < m.loops && i < (int)corners; i++) {
        m.share[i] = share[i];
        m.corner_hz[i] = corner[i];
    }
    return m;
}

/* core.coil_curve(coil, f): lists of the real and the imaginary part in ohm. */
static int core_coil_curve(lua_State *L)
{
    const ll_coil_model model = model_at(L, 1);
    const size_t n = lua_rawlen(L, 2);
    double *f = lua_newuserdatauv(L, 3 * (n + 1) * sizeof *f, 0), *re = f + n + 1, *im = re + n + 1;
    bind_list_numbers(L, 2, n, f);
    ll_coil_model_impedance(&model, n, f, re, im);
    bind_push_list(L, n, re);
    bind_push_list(L, n, im);
    return 2;
}

void bind_open_recorded_core(lua_State *L)
{
    bind_core_function(L, "placeholder", core_placeholder);
    bind_core_function(L, "recording_levels", core_levels);
    bind_core_function(L, "plucks", core_plucks);
    bind_core_function(L, "partial", core_partial);
    bind_core_function(L, "hum_lines", core_hum_lines);
    bind_core_function(L, "transfer", core_transfer);
    bind_core_function(L, "bridge_input", core_bridge_input);
    bind_core_function(L, "bridge", core_bridge);
    bind_core_function(L, "coil_find", core_coil_find);
    bind_core_function(L, "coil_curve", core_coil_curve);
}
