/* reading_pull.c - how the magnets pull at the strings: force, detuning, beats.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/readings/tuning.h"
#include "string/pull.h"
#include <math.h>

enum { MOST_PARTIALS = 32 };

typedef struct pull_options {
    bind_objects strings;
    double partials;
} pull_options;

static const bind_field pull_table[] = {
    {"strings", FIELD_OBJECTS, offsetof(pull_options, strings),
     .meaning = "a string or a list of strings", .required = true, .of = &bind_noun_string},
    {"partials", FIELD_WHOLE, offsetof(pull_options, partials),
     .meaning = "how many partials are looked at for the fastest beat; 8 when left out", .low = 1,
     .high = MOST_PARTIALS},
};
static const pull_options pull_defaults = {.partials = 8};

/* What the engine is asked; values[1 + partials][2 n]: force across and up, then by how much the pull moves the frequency of
 * each partial across and up. */
typedef struct pull_question {
    lua_State *L;
    size_t n, partials;
    const ll_string *placed;
    const ll_stiff_string *tuned;
    const double *from_bridge_m;
} pull_question;

static ll_status pull_of(const ll_solution *s, const pull_question *q, size_t i, double *values)
{
    const ll_stiff_string *string = &q->tuned[i];
    ll_mode_pair pairs[MOST_PARTIALS];
    ll_pull *pull = NULL;
    ll_status status = ll_pull_new(s, &q->placed[i], q->from_bridge_m[i], &pull);
    if (!status)
        status = ll_pull_total(pull, string->length_m, &values[2 * i], &values[2 * i + 1]);
    if (!status)
        status = ll_mode_pairs(string, 0, pull, q->partials, pairs);
    for (size_t p = 0; p < q->partials && !status; p++) {
        double *kind = values + 2 * q->n * (p + 1);
        const double alone_hz = ll_stiff_string_partial_hz(string, p + 1);
        kind[2 * i] = pairs[p].horizontal_hz - alone_hz;
        kind[2 * i + 1] = pairs[p].vertical_hz - alone_hz;
    }
    ll_pull_free(pull);
    return status;
}

static ll_status read_pull(const ll_solution *s, void *context, double *values)
{
    const pull_question *q = context;
    ll_status status = LL_OK;
    for (size_t i = 0; i < q->n && !status; i++)
        status = bind_go_on(q->L, "reading", (double)i / (double)q->n) ? pull_of(s, q, i, values)
                                                                       : LL_CANCELLED;
    return status;
}

/* Pulls that nobody feels and shifts that nobody hears need no percentages. */
static void ask_pull(const bind_query *r, pull_question *q, double *values)
{
    static const double force_n = 1e-3, shift_hz = 0.02;
    /* Its change is a second derivative of the field's energy; ears and fingers ask it to a few per cent. */
    static const double wider = 6;
    double least[1 + MOST_PARTIALS];
    for (size_t k = 0; k <= q->partials; k++)
        least[k] = k ? shift_hz : force_n;
    const bind_measure measure = {read_pull, least, "1 mN or 0.02 Hz, as all are smaller"};
    bind_ask_wider(r, &measure, wider, q, 1 + q->partials, 2 * q->n, values);
}

/* The partial whose pair beats fastest. */
static size_t fastest(const pull_question *q, size_t i, const double *values, double *beat_hz)
{
    size_t found = 1;
    *beat_hz = 0;
    for (size_t p = 1; p <= q->partials; p++) {
        const double *shift = values + 2 * (q->n * p + i);
        const double beat = fabs(shift[1] - shift[0]);
        if (beat > *beat_hz) {
            *beat_hz = beat;
            found = p;
        }
    }
    return found;
}

static void pull_row(bind_result *t, const pull_question *q, size_t i, const bind_string *string,
                     const double *values)
{
    const double alone_hz = ll_stiff_string_partial_hz(&q->tuned[i], 1);
    const double *force = values + 2 * i, *shift = values + 2 * (q->n + i);
    double beat_hz;
    const size_t partial = fastest(q, i, values, &beat_hz);
    bind_row_begin(t);
    bind_set_text(t, "string", string->name);
    bind_set(t, "force_mn", -force[1]);
    bind_set(t, "side_mn", force[0]);
    bind_set(t, "tension_n", q->tuned[i].tension_n);
    bind_set(t, "vertical_cents", ll_cents(alone_hz + shift[1], alone_hz));
    bind_set(t, "horizontal_cents", ll_cents(alone_hz + shift[0], alone_hz));
    bind_set(t, "beat_hz", fabs(shift[1] - shift[0]));
    bind_set(t, "fastest_hz", beat_hz);
    bind_set(t, "partial", (double)partial);
    bind_set_text(t, "heard_as",
                  ll_beat_warbles(beat_hz)    ? "warble"
                  : beat_hz > LL_WARBLE_TO_HZ ? "roughness"
                                              : "nothing");
    bind_row_end(t);
    if (ll_beat_warbles(beat_hz))
        bind_note(t,
                  "WARNING: %s warbles: partial %d beats %f times a second; move the pickup away "
                  "or weaken the magnet",
                  string->name, (int)partial, round(10 * beat_hz) / 10);
}

static void explain(const bind_result *t)
{
    bind_note(t, "force towards the pickup, side to the treble side; cents: what the pull does to "
                 "partial 1 moving up and down, and across");
    bind_note(t, "beat: the difference of both in partial 1; fastest: the fastest beat, and the "
                 "partial that has it. Beats of 0.5 to 20 Hz are heard as a warble (common "
                 "practice, no source)");
}

/* pickup:pull{ strings = s } */
static int pull_reading(const bind_query *r, const void *said)
{
    lua_State *L = r->L;
    const pull_options *options = said;
    const size_t n = options->strings.count, partials = (size_t)options->partials;
    ll_stiff_string *tuned = bind_buffer(L, n, sizeof *tuned);
    double *from_bridge_m = bind_buffer(L, n, sizeof *from_bridge_m);
    for (size_t i = 0; i < n; i++) {
        const bind_string *string = options->strings.items[i];
        tuned[i] = bind_tuned(r, string);
        from_bridge_m[i] = string->from_bridge_m;
    }
    pull_question q = {
        L, n, partials, bind_place_strings(r, &options->strings), tuned, from_bridge_m};
    double *values = bind_buffer(L, 2 * n * (1 + partials), sizeof *values);
    ask_pull(r, &q, values);
    for (size_t i = 0; i < n; i++)
        pull_row(r->t, &q, i, options->strings.items[i], values);
    explain(r->t);
    return bind_result_end(r->t);
}

static const bind_column pull_columns[] = {
    {"string", UNIT_NONE, ERROR_NONE, .meaning = "name of the string", .text = true},
    {"force", UNIT_MN, ERROR_MESH, .meaning = "force towards the pickup"},
    {"side", UNIT_MN, ERROR_MESH, .meaning = "force to the treble side"},
    {"tension", UNIT_N, ERROR_MODEL,
     .meaning = "tension of the string, from its pitch, scale and mass"},
    {"vertical", UNIT_CENTS, ERROR_MESH,
     .meaning = "what the pull does to partial 1 moving up and down"},
    {"horizontal", UNIT_CENTS, ERROR_MESH,
     .meaning = "what the pull does to partial 1 moving across"},
    {"beat", UNIT_HZ, ERROR_MESH, .meaning = "difference of both in partial 1"},
    {"fastest", UNIT_HZ, ERROR_MESH, .meaning = "the fastest beat of any partial"},
    {"partial", UNIT_NONE, ERROR_COUNTED, .meaning = "the partial that has it"},
    {"heard_as", UNIT_NONE, ERROR_MODEL,
     .meaning = "warble, roughness or nothing: common practice, no source", .text = true},
};
const bind_reading bind_reading_pull = {
    BIND_READING_NAME("pull", "a pull reading"),
    .meaning =
        "how the magnets pull at each string: force, detuning, beats, and whether it warbles",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(pull_options, pull_table, &pull_defaults),
    BIND_READING_COLUMNS(pull_columns),
    .read = pull_reading};
