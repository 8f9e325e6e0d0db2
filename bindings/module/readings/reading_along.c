/* reading_along.c - how a string is magnetised along its length, and where the magnets pull at it.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/readings/query.h"
#include "string/along.h"

typedef struct along_options {
    const bind_string *string;
    bind_list at_m;
} along_options;

static const bind_field along_table[] = {
    {"string", FIELD_OBJECT, offsetof(along_options, string), .meaning = "the string",
     .required = true, .of = &bind_noun_string},
    {"at", FIELD_LIST, offsetof(along_options, at_m),
     .meaning = "list of places y along it, towards the neck", .required = true, .unit = UNIT_MM,
     .low = -1e3, .high = 1e3, .width = 1},
};

/* What the engine is asked; values[KINDS][n]. */
typedef struct along_question {
    const ll_string *string;
    size_t n;
    const double *y_m;
    ll_string_place *places;
} along_question;

enum { B_ALONG, M_ALONG, M_SIDE, M_UP, PULL_SIDE, PULL_DOWN, KINDS };

static ll_status read_along(const ll_solution *s, void *context, double *values)
{
    const along_question *q = context;
    const ll_status status = ll_string_along(s, q->string, q->n, q->y_m, q->places);
    for (size_t i = 0; i < q->n && !status; i++) {
        const ll_string_place *place = &q->places[i];
        values[B_ALONG * q->n + i] = place->b_along_t;
        values[M_ALONG * q->n + i] = place->m_along_a_m;
        values[M_SIDE * q->n + i] = place->m_x_a_m;
        values[M_UP * q->n + i] = place->m_z_a_m;
        values[PULL_SIDE * q->n + i] = place->force_x_n_m;
        values[PULL_DOWN * q->n + i] = -place->force_z_n_m;
    }
    return status;
}

static const bind_measure measure_along = {
    read_along, (const double[KINDS]){20e-3, 16e3, 16e3, 16e3, 0.02, 0.02},
    "20 mT, 16 kA/m or 0.02 N/m, as all are smaller"};

static const bind_column along_columns[] = {
    {"y", UNIT_MM, ERROR_NONE, .meaning = "place along the string, towards the neck"},
    {"b_along", UNIT_MT, ERROR_MESH,
     .meaning = "flux density along the core, the mean of its section, towards the neck"},
    {"along", UNIT_KA_M, ERROR_MESH,
     .meaning = "magnetisation of the core along the string, towards the neck"},
    {"side", UNIT_KA_M, ERROR_MESH, .meaning = "magnetisation across it, to the treble side"},
    {"up", UNIT_KA_M, ERROR_MESH, .meaning = "magnetisation across it, away from the pickup"},
    {"pull_side", UNIT_N_M, ERROR_MESH,
     .meaning = "pull to the treble side for each length of string: N/m is mN for each mm"},
    {"pull", UNIT_N_M, ERROR_MESH,
     .meaning = "pull towards the pickup for each length of string: N/m is mN for each mm"},
};

/* Columns of the kinds, in their order. */
static const char *const column_of[KINDS] = {"b_along_mt", "along_kam",    "side_kam",
                                             "up_kam",     "pull_side_nm", "pull_nm"};

/* pickup:along{ string = s, at = { y, ... } } */
static int along_reading(const bind_query *r, const void *said)
{
    const along_options *options = said;
    const size_t n = options->at_m.count;
    ll_string *string = bind_buffer(r->L, 1, sizeof *string);
    along_question q = {string, n, options->at_m.values,
                        bind_buffer(r->L, n, sizeof(ll_string_place))};
    double *values = bind_buffer(r->L, KINDS * n, sizeof *values);
    if (r->fine && !r->pickup->head.wrong) {
        *string = bind_place_string(r, options->string);
        bind_ask(r, &measure_along, &q, KINDS, n, values);
    }
    for (size_t i = 0; i < n; i++) {
        bind_row_begin(r->t);
        bind_set(r->t, "y_mm", q.y_m[i]);
        for (int k = 0; k < KINDS; k++)
            bind_set(r->t, column_of[k], values[(size_t)k * n + i]);
        bind_row_end(r->t);
    }
    bind_note(r->t,
              "string at rest; a wound string is told by its core along, and as a whole across "
              "where its wrap is magnetic. The wire's B(H) is assumed: see docs/physics.md");
    return bind_result_end(r->t);
}

const bind_reading bind_reading_along = {
    BIND_READING_NAME("along", "an along reading"),
    .meaning = "how a string is magnetised along its length, and where the magnets pull at it",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(along_options, along_table, NULL),
    BIND_READING_COLUMNS(along_columns),
    .read = along_reading};
