/* reading_output.c - how loud each string is, and its partials.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/readings/plucked.h"
#include "signal/sound.h"
#include "signal/spectrum.h"
#include <string.h>

enum { MOST_PARTIALS = 40 };

typedef struct output_options {
    bind_plucked plucked; /* first: its fields are those of a performance */
    double partials;
} output_options;

static const bind_field output_table[] = {
    BIND_PLUCKED_FIELDS,
    BIND_PLUCKED_SECONDS("1"),
    {"partials", FIELD_WHOLE, offsetof(output_options, partials),
     .meaning = "how many partials are listed; 8 when left out", .high = MOST_PARTIALS},
};
static const output_options output_defaults = {.plucked = {.pluck = BIND_USUAL_PLUCK, .seconds = 1},
                                               .partials = 8};

/* Partials are measured while they still ring, and long enough to tell those of a bass string from each other. */
static const double attack_s = 0.25;

/* Those that the sound can hold; the others stay 0. */
static void measure_partials(const bind_query *r, size_t n, const double *voltage_v,
                             const ll_voice *voice, size_t count, double *level_v)
{
    const size_t attack = (size_t)(attack_s * LL_SOUND_RATE_HZ);
    const size_t heard = ll_voice_partials(voice) < count ? ll_voice_partials(voice) : count;
    double frequency_hz[MOST_PARTIALS];
    for (size_t p = 0; p < heard; p++)
        frequency_hz[p] = ll_voice_partial_hz(voice, p + 1);
    bind_demand(r->L,
                ll_tone_levels(n < attack ? n : attack, voltage_v, LL_SOUND_RATE_HZ, heard,
                               frequency_hz, level_v),
                r->place);
}

typedef struct string_level {
    double peak_v, rms_v, first_hz;
    double partial_v[MOST_PARTIALS];
} string_level;

/* One string alone. */
static void measure(const bind_query *r, const output_options *o, size_t i, ll_voice *const *voices,
                    const ll_network *load, string_level *level)
{
    *level = (string_level){1, 1, 200, {0}};
    if (!voices)
        return;
    const size_t n = bind_plucked_samples(&o->plucked);
    const double *voltage_v = bind_render(r, &o->plucked, 1, voices + i, load);
    level->peak_v = ll_peak_level(n, voltage_v);
    level->rms_v = ll_rms_level(n, voltage_v);
    level->first_hz = ll_voice_partial_hz(voices[i], 1);
    measure_partials(r, n, voltage_v, voices[i], (size_t)o->partials, level->partial_v);
    lua_pop(r->L, 1);
}

static void level_row(bind_result *t, const char *name, const string_level *level, size_t partials)
{
    char column[32];
    bind_row_begin(t);
    bind_set_text(t, "string", name);
    bind_set(t, "f_hz", level->first_hz);
    bind_set(t, "peak_mv", level->peak_v);
    bind_set(t, "rms_mv", level->rms_v);
    for (size_t p = 0; p < partials; p++) {
        snprintf(column, sizeof column, "partial_%zu_mv", p + 1);
        bind_set(t, column, level->partial_v[p]);
    }
    bind_row_end(t);
}

/* pickup:output{ strings = s, pluck = {...}, load = n } */
static int output_reading(const bind_query *r, const void *said)
{
    lua_State *L = r->L;
    const output_options *options = said;
    const size_t n = options->plucked.strings.count, partials = (size_t)options->partials;
    const ll_network *load = bind_plucked_load(r, &options->plucked);
    ll_voice *const *voices = bind_voices(r, &options->plucked);
    string_level *levels = bind_buffer(L, n, sizeof *levels);
    for (size_t i = 0; i < n; i++)
        measure(r, options, i, voices, load, &levels[i]);
    r->t->many = partials;
    for (size_t i = 0; i < n; i++) {
        const bind_string *string = options->plucked.strings.items[i];
        level_row(r->t, string->name, &levels[i], partials);
    }
    bind_note_plucked(r->t, &options->plucked);
    bind_note(r->t, "each string alone; peak and rms of all it gives; partials: amplitudes in its "
                    "first quarter of a second");
    return bind_result_end(r->t);
}

static const bind_column output_columns[] = {
    {"string", UNIT_NONE, ERROR_NONE, .meaning = "name of the string", .text = true},
    {"f", UNIT_HZ, ERROR_MODEL, .meaning = "frequency of its first partial as it is plucked"},
    {"peak", UNIT_MV, ERROR_MODEL, .meaning = "the highest voltage of all that it gives"},
    {"rms", UNIT_MV, ERROR_MODEL, .meaning = "rms of all that it gives"},
    {"partial_N", UNIT_MV, ERROR_MODEL,
     .meaning = "amplitude of partial N in the first quarter of a second", .many = true},
};
const bind_reading bind_reading_output = {
    BIND_READING_NAME("output", "an output reading"),
    .meaning = "how loud each plucked string is: peak, rms, partials",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(output_options, output_table, &output_defaults),
    BIND_READING_COLUMNS(output_columns),
    .read = output_reading};
