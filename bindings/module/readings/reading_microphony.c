/* reading_microphony.c - loose turns that move in the magnets' field.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/readings/query.h"
#include "reading/moving_turns.h"
#include <math.h>

enum { LOOSE_OUTSIDE, LOOSE_INSIDE, LOOSE_ALL };

typedef struct microphony_options {
    double loose;
    int where;
    bind_objects strings;
} microphony_options;

static const char *const wheres[] = {"outside", "inside", "all", NULL};

static const bind_field microphony_table[] = {
    {"loose", FIELD_NUMBER, offsetof(microphony_options, loose),
     .meaning = "share of the turns that move; 5 when left out", .unit = UNIT_PERCENT, .high = 100,
     .above_low = true},
    {"where", FIELD_CHOICE, offsetof(microphony_options, where),
     .meaning = "the outermost turns, the innermost, or turns from all of the winding; outside "
                "when left out",
     .words = wheres},
    {"strings", FIELD_OBJECTS, offsetof(microphony_options, strings),
     .meaning = "a string or a list of strings to compare with", .of = &bind_noun_string},
};
static const microphony_options microphony_defaults = {.loose = 0.05};

/* Three values for one coil. */
typedef struct moving_question {
    size_t coil;
    double from_m, to_m, turns;
} moving_question;

static ll_status read_moving(const ll_solution *s, void *context, double *values)
{
    const moving_question *q = context;
    return ll_moving_turns(s, q->coil, q->from_m, q->to_m, q->turns, (ll_vec3 *)values);
}

static const bind_measure measure_moving = {read_moving, (const double[]){1e-3},
                                            "1 mV, as all are smaller"};

static moving_question question_of(const bind_query *r, size_t i, const microphony_options *o)
{
    const bind_coil *coil = bind_pickup_coil(r->pickup, i);
    const double build = coil->shape.build_m, loose = o->loose * build;
    return (moving_question){.coil = i,
                             .from_m = o->where == LOOSE_OUTSIDE ? build - loose : 0,
                             .to_m = o->where == LOOSE_INSIDE ? loose : build,
                             .turns = o->loose * coil->turns};
}

/* The loudest string's voltage for 1 m/s upwards; 0 without strings. */
static double loudest_v(const bind_query *r, const bind_objects *list)
{
    lua_State *L = r->L;
    double most = 0;
    if (list->count == 0)
        return 0;
    const ll_string *strings = bind_place_strings(r, list);
    double *slopes_wb_m = bind_buffer(L, 2 * list->count, sizeof *slopes_wb_m);
    bind_ask_slopes(r, list->count, strings, bind_shares(r), slopes_wb_m);
    for (size_t i = 0; i < list->count; i++)
        most = fmax(most, fabs(slopes_wb_m[2 * i]));
    return most;
}

static void row(bind_result *t, const char *coil, double turns, ll_vec3 v, double string_v)
{
    const double most = fmax(fabs(v.x), fmax(fabs(v.y), fabs(v.z)));
    bind_row_begin(t);
    bind_set_text(t, "coil", coil);
    bind_set(t, "turns", turns);
    bind_set(t, "across_mv", v.x);
    bind_set(t, "along_mv", v.y);
    bind_set(t, "up_mv", v.z);
    if (string_v > 0 && most > 0)
        bind_set(t, "against_string_db", 20 * log10(most / string_v));
    bind_row_end(t);
}

/* pickup:microphony{ loose = 5, where = "outside", strings = s } */
static int microphony_reading(const bind_query *r, const void *said)
{
    lua_State *L = r->L;
    const microphony_options *options = said;
    bind_need_coil(r);
    const size_t coils = r->pickup->coils.count;
    const double string_v = loudest_v(r, &options->strings);
    const char **name = bind_buffer(L, coils, sizeof *name);
    ll_vec3 *v = bind_buffer(L, coils, sizeof *v);
    double *turns = bind_buffer(L, coils, sizeof *turns);
    luaL_checkstack(L, (int)coils + 10, "too many coils");
    for (size_t i = 0; i < coils; i++) {
        moving_question q = question_of(r, i, options);
        bind_ask(r, &measure_moving, &q, 1, 3, &v[i].x);
        v[i] = ll_scale(bind_hot_sign(r->pickup) * bind_coil_sign(r->pickup, i), v[i]);
        turns[i] = q.turns;
        name[i] = bind_coil_name(L, r->pickup, i);
    }
    for (size_t i = 0; i < coils; i++)
        row(r->t, name[i], turns[i], v[i], string_v);
    bind_note(r->t,
              "open-circuit voltage of the hot lead for loose turns that move at 1 m/s across the "
              "strings, along them and up");
    if (string_v > 0)
        bind_note(r->t,
                  "against_string: the largest of them beside the loudest string moving up at "
                  "1 m/s");
    return bind_result_end(r->t);
}

static const bind_column microphony_columns[] = {
    {"coil", UNIT_NONE, ERROR_NONE, .meaning = "name of the coil", .text = true},
    {"turns", UNIT_NONE, ERROR_NONE, .meaning = "loose turns"},
    {"across", UNIT_MV, ERROR_MESH,
     .meaning = "voltage of the hot lead as they move across the strings at 1 m/s"},
    {"along", UNIT_MV, ERROR_MESH, .meaning = "voltage as they move along the strings at 1 m/s"},
    {"up", UNIT_MV, ERROR_MESH, .meaning = "voltage as they move up at 1 m/s"},
    {"against_string", UNIT_DB, ERROR_MESH,
     .meaning = "the largest of them beside the loudest string moving up at 1 m/s"},
};
const bind_reading bind_reading_microphony = {
    BIND_READING_NAME("microphony", "a microphony reading"),
    .meaning = "voltage of loose turns that move in the magnets' field",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(microphony_options, microphony_table, &microphony_defaults),
    BIND_READING_COLUMNS(microphony_columns),
    .read = microphony_reading};
