/* reading_network.c - what a network does with the coils' EMF: response, peak, noise.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
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

static const noise_options noise_defaults = {20, 20e3, 0};

static double db(double gain)
{
    return 20 * log10(gain);
}

/* Returns whether anything came out; an empty gain stands for nothing. A wrong network, in a check, has gain 1. */
static bool response_row(const bind_query *r, const ll_network *network, double f_hz)
{
    double complex h = 1;
    if (network)
        bind_demand(r->L, ll_network_response(network, f_hz, &h), r->place);
    const bool heard = cabs(h) >= LL_SILENT;
    bind_row_begin(r->t);
    bind_set(r->t, "f_hz", f_hz);
    if (heard) {
        bind_set(r->t, "gain_db", db(cabs(h)));
        bind_set(r->t, "phase_deg", carg(h));
    }
    bind_row_end(r->t);
    return heard;
}

/* network:response{ f = {...} } */
static int response_reading(const bind_query *r, const void *said)
{
    const response_options *options = said;
    const ll_network *network = bind_ask_network(r, r->network);
    bool heard = true;
    for (size_t i = 0; i < options->f_hz.count; i++)
        heard &= response_row(r, network, options->f_hz.values[i]);
    bind_note(r->t, "output against the EMF of one coil, every coil having the same");
    if (!heard)
        bind_note(r->t, "no gain_db: nothing comes out");
    return bind_result_end(r->t);
}

static const bind_column response_columns[] = {
    {"f", UNIT_HZ, ERROR_NONE, .meaning = "frequency"},
    {"gain", UNIT_DB, ERROR_MODEL,
     .meaning = "output against the EMF of one coil; none where nothing comes out"},
    {"phase", UNIT_DEG, ERROR_MODEL, .meaning = "its phase against that EMF"},
};
const bind_reading bind_reading_response = {
    BIND_READING_NAME("response", "a response reading"),
    .meaning = "gain and phase of the output against the EMF of one coil",
    .of = &bind_noun_network,
    BIND_READING_OPTIONS(response_options, response_table, NULL),
    BIND_READING_COLUMNS(response_columns),
    .read = response_reading};

/* What does not exist stays out of the row. */
static void set_known(const bind_result *t, const char *column, double si)
{
    if (isfinite(si))
        bind_set(t, column, si);
}

static void peak_row(bind_result *t, const ll_peak *peak)
{
    bool low = peak->low_gain > 0;
    bind_row_begin(t);
    set_known(t, "f_hz", peak->f_hz);
    set_known(t, "rise_db", low ? db(peak->gain / peak->low_gain) : NAN);
    set_known(t, "q", peak->q);
    set_known(t, "f_minus3_hz", peak->f_minus3_hz);
    set_known(t, "gain_db", db(peak->gain));
    if (low)
        bind_set(t, "low_db", db(peak->low_gain));
    bind_row_end(t);
}

static void peak_notes(const bind_result *t, const ll_peak *peak)
{
    if (peak->low_gain == 0 && isnan(peak->f_hz))
        bind_note(t, "nothing comes out: the volume is down, or the coils cancel");
    else if (peak->low_gain == 0)
        bind_note(t, "no rise: nothing comes out at low frequencies, the coils cancel there");
    else if (isnan(peak->f_hz))
        bind_note(t, "no peak between 10 Hz and 1 MHz");
    bind_note(t, "rise_db over low_db, the level at 1 Hz; q of a low-pass with that rise; above "
                 "f_minus3_hz the output stays more than 3 dB under low_db");
}

/* network:peak() */
static int peak_reading(const bind_query *r, const void *said)
{
    (void)said;
    ll_peak peak = {3000, 2, 1, 2, 6000}; /* of a wrong one, in a check */
    const ll_network *network = bind_ask_network(r, r->network);
    if (network)
        bind_demand(r->L, ll_network_peak(network, &peak), r->place);
    peak_row(r->t, &peak);
    peak_notes(r->t, &peak);
    return bind_result_end(r->t);
}

static const bind_column peak_columns[] = {
    {"f", UNIT_HZ, ERROR_MODEL, .meaning = "where the response is highest; none without a peak"},
    {"rise", UNIT_DB, ERROR_MODEL, .meaning = "its height over low_db"},
    {"q", UNIT_NONE, ERROR_MODEL, .meaning = "quality of a low-pass with that rise"},
    {"f_minus3", UNIT_HZ, ERROR_MODEL,
     .meaning = "above it the output stays more than 3 dB under low_db"},
    {"gain", UNIT_DB, ERROR_MODEL, .meaning = "its height against the EMF of one coil"},
    {"low", UNIT_DB, ERROR_MODEL, .meaning = "level at 1 Hz"},
};
const bind_reading bind_reading_peak = {
    BIND_READING_NAME("peak", "a peak reading"), .meaning = "the highest point of the response",
    .of = &bind_noun_network, BIND_READING_COLUMNS(peak_columns), .read = peak_reading};

/* network:noise{ from = 20, to = 20000, level = 100 } */
static int noise_reading(const bind_query *r, const void *said)
{
    lua_State *L = r->L;
    const noise_options *options = said;
    bool fine = r->fine;
    double rms_v = 1e-6;
    if (fine && options->to_hz <= options->from_hz) {
        bind_mistake(L, "%s: 'to' must be above 'from', %s", r->place,
                     bind_quantity(L, UNIT_HZ, options->from_hz));
        fine = false;
    }
    const ll_network *network = bind_ask_network(r, r->network);
    if (network && fine)
        bind_demand(L, ll_network_noise(network, options->from_hz, options->to_hz, &rms_v),
                    r->place);
    bind_row_begin(r->t);
    bind_set(r->t, "from_hz", options->from_hz);
    bind_set(r->t, "to_hz", options->to_hz);
    bind_set(r->t, "noise_mv", rms_v);
    if (options->level_v > 0 && rms_v > 0)
        bind_set(r->t, "over_noise_db", db(options->level_v / rms_v));
    bind_row_end(r->t);
    bind_note(r->t,
              "thermal noise of all resistances at 293 K, rms; the amplifier's own is not in it");
    return bind_result_end(r->t);
}

static const bind_column noise_columns[] = {
    {"from", UNIT_HZ, ERROR_NONE, .meaning = "lower end of the band"},
    {"to", UNIT_HZ, ERROR_NONE, .meaning = "upper end of the band"},
    {"noise", UNIT_MV, ERROR_MODEL,
     .meaning = "thermal noise of all resistances at the output, rms"},
    {"over_noise", UNIT_DB, ERROR_MODEL,
     .meaning = "how far the signal that was given lies over it"},
};
const bind_reading bind_reading_noise = {
    BIND_READING_NAME("noise", "a noise reading"),
    .meaning = "thermal noise of all resistances at the output",
    .of = &bind_noun_network,
    BIND_READING_OPTIONS(noise_options, noise_table, &noise_defaults),
    BIND_READING_COLUMNS(noise_columns),
    .read = noise_reading};
