/* listen.c - pickup:listen{...} and ll.sound{...}: performances written to a sound file.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/base/output.h"
#include "module/base/settings.h"
#include "module/readings/plucked.h"
#include "signal/fade.h"
#include "signal/sound.h"
#include "signal/spectrum.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_TAKES = 20, MOST_SECONDS = 600 };

/* How a sound file is written. */
typedef struct sound_file {
    const char *file;
    int format; /* ll_sound_format */
    double level_db, pause_s;
} sound_file;

static const char *const formats[] = {"float", "24 bit", NULL};

/* For a struct that holds a sound_file at that offset. */
#define FILE_FIELDS(at)                                                                            \
    {"file", FIELD_TEXT, (at) + offsetof(sound_file, file),                                        \
     .meaning = "name of the file, ending in .wav", .required = true},                             \
        {"format", FIELD_CHOICE, (at) + offsetof(sound_file, format),                              \
         .meaning = "kind of its samples; float when left out", .words = formats},                 \
    {                                                                                              \
        "level", FIELD_NUMBER, (at) + offsetof(sound_file, level_db),                              \
            .meaning = "highest peak against the loudest that the file can hold; -6 dB when left " \
                       "out",                                                                      \
            .unit = UNIT_DB, .low = -60, .high = 0                                                 \
    }

#define USUAL_FILE                                                                                 \
    {                                                                                              \
        .level_db = -6, .pause_s = 1                                                               \
    }

/* ---- what is read ---- */

typedef struct listen_options {
    bind_plucked take;
    sound_file to;
} listen_options;

static const bind_field listen_table[] = {
    BIND_PLUCKED_FIELDS,
    BIND_PLUCKED_SECONDS("3"),
    BIND_PLUCKED_STRUM,
    FILE_FIELDS(offsetof(listen_options, to)),
};

static const bind_plucked usual_take = {.pluck = BIND_USUAL_PLUCK, .seconds = 3};

static const bind_field take_table[] = {
    {"pickup", FIELD_OBJECT, offsetof(bind_plucked, pickup), .meaning = "the pickup that is heard",
     .required = true, .of = &bind_noun_pickup},
    BIND_PLUCKED_FIELDS,
    BIND_PLUCKED_SECONDS("3"),
    BIND_PLUCKED_STRUM,
};

static const bind_noun take_noun = {
    .name = "take", .article = "a take", BIND_NOUN_FIELDS(take_table)};

static const bind_field sound_table[] = {
    {"takes", FIELD_ANY, .meaning = "list of takes, heard one after the other at one scale",
     .required = true},
    {"pause", FIELD_NUMBER, offsetof(sound_file, pause_s),
     .meaning = "silence between two takes; 1 s when left out", .unit = UNIT_S, .high = 60},
    FILE_FIELDS(0),
};

static const bind_noun sound_noun = {
    .name = "sound", .article = "a sound", BIND_NOUN_FIELDS(sound_table)};
static const listen_options listen_defaults = {{.pluck = BIND_USUAL_PLUCK, .seconds = 3},
                                               USUAL_FILE};

/* ---- what is made ---- */

/* One performance, sounded. */
typedef struct sounded {
    const char *name; /* of the pickup; NULL: none */
    double seconds;
    ll_sound_section section;
} sounded;

static sounded sound_take(const bind_query *r, const bind_plucked *take)
{
    const ll_network *load = bind_plucked_load(r, take);
    ll_voice *const *voices = bind_voices(r, take);
    double *voltage_v = bind_render(r, take, take->strings.count, voices, load);
    ll_fade_out(bind_plucked_samples(take), voltage_v, LL_SOUND_RATE_HZ);
    return (sounded){r->pickup->name, take->seconds, {bind_plucked_samples(take), voltage_v}};
}

static void check_file(lua_State *L, const char *place, const sound_file *to)
{
    const size_t length = to->file ? strlen(to->file) : 0;
    if (to->file && (length < 5 || strcmp(to->file + length - 4, ".wav") != 0))
        bind_mistake(L, "%s: a file name ending in .wav was expected, not %s", place,
                     bind_quoted(L, to->file));
    if (to->file)
        bind_folder_for(L, place, to->file);
}

/* Through Lua's memory, so that nothing is lost when writing fails; returns the scale. */
static ll_sound_facts write_sound(lua_State *L, const char *place, const sound_file *to,
                                  size_t count, const sounded *takes)
{
    ll_sound_facts facts = {.seconds = 1, .full_scale_v = 1, .peak = 1};
    const ll_sound_options options = {.format = (ll_sound_format)to->format,
                                      .rate_hz = LL_SOUND_RATE_HZ,
                                      .pause_s = to->pause_s,
                                      .peak = pow(10, to->level_db / 20)};
    ll_sound_section *sections = bind_buffer(L, count, sizeof *sections);
    unsigned char *bytes = NULL;
    size_t size = 0;
    for (size_t i = 0; i < count; i++)
        sections[i] = takes[i].section;
    bind_demand(L, ll_sound_encode(&options, count, sections, &bytes, &size, &facts), place);
    void *own = lua_newuserdatauv(L, size, 0);
    memcpy(own, bytes, size);
    free(bytes);
    bind_write_file(L, to->file, own, size);
    return facts;
}

static void take_row(bind_result *t, size_t number, const sounded *take, double starts_s)
{
    bind_row_begin(t);
    bind_set(t, "take", (double)number);
    bind_set_text(t, "pickup", take->name ? take->name : "pickup");
    bind_set(t, "starts_s", starts_s);
    bind_set(t, "lasts_s", take->seconds);
    bind_set(t, "peak_mv", ll_peak_level(take->section.n, take->section.voltage_v));
    bind_set(t, "rms_mv", ll_rms_level(take->section.n, take->section.voltage_v));
    bind_row_end(t);
}

static int finish(bind_result *t, const char *place, const sound_file *to, size_t count,
                  const sounded *takes, const bind_plucked *first)
{
    const bool check_mode = bind_check_of(t->L)->on;
    ll_sound_facts facts = {.full_scale_v = 1};
    double starts_s = 0;
    char scale[40];
    if (!check_mode)
        facts = write_sound(t->L, place, to, count, takes);
    snprintf(scale, sizeof scale, "%.4g", bind_from_si(UNIT_MV, facts.full_scale_v));
    for (size_t i = 0; i < count; i++) {
        take_row(t, i + 1, &takes[i], starts_s);
        starts_s += takes[i].seconds + to->pause_s;
    }
    bind_note(t, "%s: one channel, 48000 samples a second, %s; its full scale is %s mV",
              to->file ? to->file : "", formats[to->format], scale);
    bind_note_plucked(t, first);
    bind_note(t, "begin listening quietly");
    return bind_result_end(t);
}

/* pickup:listen{ strings = s, pluck = {...}, load = n, file = "x.wav" } */
static int listen_reading(const bind_query *r, const void *said)
{
    const listen_options *options = said;
    check_file(r->L, r->place, &options->to);
    const sounded take = sound_take(r, &options->take);
    return finish(r->t, r->place, &options->to, 1, &take, &options->take);
}

static const bind_column listen_columns[] = {
    {"take", UNIT_NONE, ERROR_COUNTED, .meaning = "number of the take in the file"},
    {"pickup", UNIT_NONE, ERROR_NONE, .meaning = "name of the pickup that is heard", .text = true},
    {"starts", UNIT_S, ERROR_NONE, .meaning = "where it starts in the file"},
    {"lasts", UNIT_S, ERROR_NONE, .meaning = "how long it is"},
    {"peak", UNIT_MV, ERROR_MODEL, .meaning = "its highest voltage"},
    {"rms", UNIT_MV, ERROR_MODEL, .meaning = "rms of all of it"},
};
const bind_reading bind_reading_listen = {
    BIND_READING_NAME("listen", "a listening"),
    .title = "sound",
    .meaning = "plucked strings as a sound file; gives what it wrote",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(listen_options, listen_table, &listen_defaults),
    BIND_READING_COLUMNS(listen_columns),
    .read = listen_reading};

/* The takes of the list at `list`, all of them before any is sounded; leaves on the stack what keeps them alive. Returns
 * how many. */
static size_t read_takes(const bind_result *t, int list, double pause_s, bind_plucked *takes,
                         const char **places)
{
    lua_State *L = t->L;
    const size_t count = lua_type(L, list) == LUA_TTABLE ? lua_rawlen(L, list) : 0;
    double seconds = 0;
    if (count == 0 || count > MOST_TAKES)
        bind_raise(L,
                   "sound: 'takes' must be a list of 1 to %d takes, each { pickup = ..., strings "
                   "= ... }",
                   MOST_TAKES);
    for (size_t i = 0; i < count; i++) {
        lua_rawgeti(L, list, (lua_Integer)i + 1);
        const int index = lua_gettop(L);
        places[i] = lua_pushfstring(L, "sound: take %I", (lua_Integer)i + 1);
        takes[i] = usual_take;
        bind_parse(L, index, &take_noun, places[i], &takes[i]);
        bind_result_rests_on(t, -1);
        seconds += takes[i].seconds + pause_s;
    }
    if (seconds > MOST_SECONDS)
        bind_mistake(L, "sound: it would last %s; a file holds at most %d s",
                     bind_quantity(L, UNIT_S, seconds), MOST_SECONDS);
    return count;
}

/* ll.sound{ takes = { { pickup = p, strings = s }, ... }, file = "x.wav" } */
static int make_sound(lua_State *L)
{
    sound_file to = USUAL_FILE;
    bind_plucked takes[MOST_TAKES];
    const char *places[MOST_TAKES];
    sounded sounds[MOST_TAKES];
    lua_settop(L, 1);
    luaL_checkstack(L, 12 * MOST_TAKES, "too many takes");
    bind_result t = bind_result_begin(L, &bind_reading_listen);
    bind_parse(L, 1, &sound_noun, "sound", &to);
    check_file(L, "sound", &to);
    lua_getfield(L, 1, "takes");
    const size_t count = read_takes(&t, lua_gettop(L), to.pause_s, takes, places);
    for (size_t i = 0; i < count; i++) {
        const bind_query r = {
            .L = L, .t = &t, .pickup = takes[i].pickup, .place = places[i], .fine = true};
        sounds[i] = takes[i].pickup ? sound_take(&r, &takes[i]) : (sounded){0};
    }
    return finish(&t, "sound", &to, count, sounds, takes);
}

void bind_open_listen(lua_State *L)
{
    static const luaL_Reg functions[] = {{"sound", make_sound}, {NULL, NULL}};
    luaL_setfuncs(L, functions, 0);
    bind_offer_fields(L, &take_noun);
    bind_offer_fields(L, &sound_noun);
}
