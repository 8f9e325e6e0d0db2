/* test_signal.c - ll.test_signal{...}: the sweep that is played into a pickup, as a WAV of two channels that hold the same.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/base/output.h"
#include "module/base/rows.h"
#include "module/base/settings.h"
#include "module/recorded/recorded.h"
#include "recording/sweep_signal.h"
#include "signal/sound.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct test_signal {
    const char *file;
    double rate_hz, level_db;
    bool one_channel;
} test_signal;

static const bind_field test_signal_table[] = {
    {"file", FIELD_TEXT, offsetof(test_signal, file), .meaning = "name of the file, ending in .wav",
     .required = true},
    {"rate", FIELD_NUMBER, offsetof(test_signal, rate_hz),
     .meaning = "samples a second, as the sound card is set; 48000 when left out", .unit = UNIT_HZ,
     .low = 44100, .high = 192000},
    {"level", FIELD_NUMBER, offsetof(test_signal, level_db),
     .meaning = "peak against the loudest that the file can hold; -6 dB when left out",
     .unit = UNIT_DB, .low = -40, .high = -1},
    {"one_channel", FIELD_FLAG, offsetof(test_signal, one_channel),
     .meaning = "for a recorder with one input: six sweeps, and 20 s of silence in the middle, in "
                "which the wire across the resistor is taken off"},
};
static const bind_noun test_signal_noun = {
    .name = "test_signal", .article = "a test signal", BIND_NOUN_FIELDS(test_signal_table)};

static void check_file(lua_State *L, const char *file)
{
    const size_t length = file ? strlen(file) : 0;
    if (file && (length < 5 || strcmp(file + length - 4, ".wav") != 0))
        bind_mistake(L, "test_signal: a file name ending in .wav was expected, not %s",
                     bind_quoted(L, file));
    if (file)
        bind_folder_for(L, "test_signal", file);
}

/* Through Lua's memory, so that nothing is lost when writing fails. */
static double write_signal(lua_State *L, const test_signal *t, const ll_sweep_signal *s)
{
    const size_t n = ll_sweep_signal_length(s, t->rate_hz);
    double *samples = bind_buffer(L, n, sizeof *samples);
    unsigned char *bytes = NULL;
    size_t size = 0;
    bind_demand(L, ll_sweep_signal_write(s, t->rate_hz, samples), "test_signal");
    const ll_sound_section section = {n, samples};
    const ll_sound_options options = {
        .format = LL_SOUND_PCM_24, .rate_hz = (int)t->rate_hz, .full_scale_v = 1};
    bind_demand(L, ll_sound_encode_channels(2, &options, 1, &section, &bytes, &size, NULL),
                "test_signal");
    void *own = lua_newuserdatauv(L, size, 0);
    memcpy(own, bytes, size);
    free(bytes);
    bind_write_file(L, t->file, own, size);
    return (double)n / t->rate_hz;
}

static const bind_column columns[] = {
    {"file", UNIT_NONE, ERROR_NONE, .meaning = "the file that was written", .text = true},
    {"lasts", UNIT_S, ERROR_NONE, .meaning = "how long it is"},
    {"from", UNIT_HZ, ERROR_NONE, .meaning = "where each sweep begins"},
    {"to", UNIT_HZ, ERROR_NONE, .meaning = "where each sweep ends"},
    {"sweeps", UNIT_NONE, ERROR_COUNTED, .meaning = "how many there are"},
    {"peak", UNIT_DB, ERROR_NONE,
     .meaning = "their level against the loudest that the file can hold"},
};
static const bind_noun module = {.name = "ll"};
static const bind_reading reading = {
    .name = "test_signal", .title = "test signal", .of = &module, BIND_READING_COLUMNS(columns)};

static int tell(lua_State *L, const test_signal *t, const ll_sweep_signal *s, double lasts_s)
{
    bind_result result = bind_result_begin(L, &reading);
    bind_row_begin(&result);
    bind_set_text(&result, "file", t->file ? t->file : "");
    bind_set(&result, "lasts_s", lasts_s);
    bind_set(&result, "from_hz", s->from_hz);
    bind_set(&result, "to_hz", s->to_hz);
    bind_set(&result, "sweeps", s->repeats);
    bind_set(&result, "peak_db", t->level_db);
    bind_row_end(&result);
    bind_note(&result, "two channels that hold the same, 24 bit; a tone of %d Hz comes first",
              (int)s->tone_hz);
    if (t->one_channel)
        bind_note(&result,
                  "between %d and %d s it is silent: take the wire off the resistor there, and "
                  "touch nothing else",
                  (int)(ll_sweep_signal_starts_s(s, s->repeats / 2) - s->pause_s - s->rest_s),
                  (int)ll_sweep_signal_starts_s(s, s->repeats / 2));
    bind_note(&result, "play it QUIETLY at first: it is a loud sweep through all pitches, and no "
                       "loudspeaker or headphone belongs on it");
    bind_note(&result,
              "set the recorder on the tone so that it peaks near -12 dB and nothing clips, then "
              "leave all controls alone through every run");
    bind_note(&result, "phantom power off, no equaliser, no automatic level, no noise gate, no "
                       "compression such as MP3");
    return bind_result_end(&result);
}

/* ll.test_signal{ file = "sweep.wav" } */
static int make_test_signal(lua_State *L)
{
    test_signal t = {.rate_hz = 48000, .level_db = -6};
    lua_settop(L, 1);
    bind_parse(L, 1, &test_signal_noun, "test_signal", &t);
    check_file(L, t.file);
    ll_sweep_signal s = t.one_channel ? ll_sweep_signal_one_channel() : ll_sweep_signal_usual();
    s.peak = pow(10, t.level_db / 20);
    if (t.rate_hz != floor(t.rate_hz))
        bind_mistake(L, "test_signal: 'rate' must be a whole number, such as 48000");
    const bool check_mode = bind_check_of(L)->on;
    return tell(L, &t, &s, check_mode ? 1 : write_signal(L, &t, &s));
}

void bind_open_test_signal(lua_State *L)
{
    static const luaL_Reg functions[] = {{"test_signal", make_test_signal}, {NULL, NULL}};
    luaL_setfuncs(L, functions, 0);
    bind_offer_fields(L, &test_signal_noun);
}
