/* reading_hum.c - what a pickup takes up from fields far away, and the screwdriver test of its phase.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "module/base/fault.h"
#include "module/readings/query.h"
#include "reading/blade.h"
#include "reading/hum.h"
#include "reading/readings.h"
#include <math.h>
#include <stdlib.h>

typedef struct hum_options {
    double f_hz, field_t;
} hum_options;

static const bind_field hum_table[] = {
    {"f", FIELD_NUMBER, offsetof(hum_options, f_hz), .meaning = "of the mains; 50 when left out",
     .unit = UNIT_HZ, .high = 1000, .above_low = true},
    {"field", FIELD_NUMBER, offsetof(hum_options, field_t),
     .meaning =
         "flux density, rms; 0.001 when left out, as a transformer makes it half a metre away",
     .unit = UNIT_MT, .high = 1000, .above_low = true},
};
static const hum_options hum_defaults = {50, 1e-6};

static const char *const direction_names[LL_HUM_DIRECTIONS] = {
    "x, across the strings", "y, along the strings", "z, up to the strings"};
const double bind_hum_grows_over_m = 0.1;

typedef struct hum_question {
    double field_t;
    ll_vec3 about_m;
} hum_question;

/* values[LL_HUM_FIELDS][coils] in Wb. */
static ll_status read_hum(const ll_solution *s, void *context, double *values)
{
    const hum_question *q = context;
    return ll_hum_linkages(s, q->field_t / LL_MU0, bind_hum_grows_over_m, q->about_m, values);
}

static const bind_measure measure_hum = {read_hum, (const double[]){1e-9},
                                         "1 nWb, as all are smaller"};

ll_vec3 bind_middle_of_coils(const bind_pickup *pickup)
{
    ll_vec3 sum = ll_vec(0, 0, 0);
    for (size_t i = 0; i < pickup->coils.count; i++)
        sum = ll_add(sum, bind_pickup_coil(pickup, i)->pose.origin_m);
    return ll_scale(1 / (double)pickup->coils.count, sum);
}

/* Voltage of the hot lead, and by how much the coils' cancellation lowers it: nothing for one coil. */
static void set_field(const bind_query *r, const char *mv, const char *db, double omega,
                      const double *linkage_wb)
{
    const size_t coils = r->pickup->coils.count;
    const double *share = bind_shares(r);
    double sum = 0, all = 0;
    for (size_t i = 0; i < coils; i++) {
        sum += share[i] * linkage_wb[i];
        all += fabs(linkage_wb[i]);
    }
    lua_pop(r->L, 1);
    bind_set(r->t, mv, -bind_hot_sign(r->pickup) * omega * sum);
    if (coils > 1 && all > 0)
        bind_set(r->t, db, 20 * log10(fmax(fabs(sum) / all, 1e-6)));
}

/* pickup:hum{ f = 50, field = 0.001 } */
static int hum_reading(const bind_query *r, const void *said)
{
    lua_State *L = r->L;
    const hum_options *options = said;
    bind_need_coil(r);
    const size_t coils = r->pickup->coils.count;
    double *linkage_wb = bind_buffer(L, LL_HUM_FIELDS * coils, sizeof *linkage_wb);
    hum_question q = {options->field_t, coils ? bind_middle_of_coils(r->pickup) : ll_vec(0, 0, 0)};
    if (!bind_ask(r, &measure_hum, &q, 1, LL_HUM_FIELDS * coils, linkage_wb))
        for (size_t i = 0; i < LL_HUM_FIELDS * coils; i++)
            linkage_wb[i] = 1e-6;
    const double omega = 2 * LL_PI * options->f_hz;
    for (size_t d = 0; d < LL_HUM_DIRECTIONS; d++) {
        bind_row_begin(r->t);
        bind_set_text(r->t, "direction", direction_names[d]);
        set_field(r, "even_mv", "even_db", omega, linkage_wb + d * coils);
        set_field(r, "uneven_mv", "uneven_db", omega, linkage_wb + (LL_HUM_DIRECTIONS + d) * coils);
        bind_row_end(r->t);
    }
    bind_note(r->t,
              "open-circuit voltage, rms, its sign that of the phase; even: the same field "
              "everywhere, along "
              "the direction; uneven: a vertical field, none in the middle, that grows along the "
              "direction by as much over 100 mm");
    if (coils > 1)
        bind_note(r->t,
                  "db: against the coils all adding; without screening, leads and eddy currents");
    return bind_result_end(r->t);
}

static const bind_column hum_columns[] = {
    {"direction", UNIT_NONE, ERROR_NONE, .meaning = "of the field, or in which it grows",
     .text = true},
    {"even", UNIT_MV, ERROR_MESH,
     .meaning =
         "voltage from a field that is the same everywhere, rms; its sign is that of the phase"},
    {"even", UNIT_DB, ERROR_MESH,
     .meaning = "even_mv beside the coils all adding; none for one coil"},
    {"uneven", UNIT_MV, ERROR_MESH,
     .meaning = "voltage from a vertical field that grows along the direction, rms"},
    {"uneven", UNIT_DB, ERROR_MESH,
     .meaning = "uneven_mv beside the coils all adding; none for one coil"},
};
const bind_reading bind_reading_hum = {
    BIND_READING_NAME("hum", "a hum reading"),
    .meaning = "what it takes up from even and uneven fields far away, in three directions",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(hum_options, hum_table, &hum_defaults),
    BIND_READING_COLUMNS(hum_columns),
    .read = hum_reading};

/* ---- the screwdriver ---- */

/* A face weaker than this shows neither end of a needle for sure; a signal of so little beside the strongest moves no needle. */
static const double weak_t = 2e-3, still = 0.02;

/* The poles' places among the parts. */
typedef struct blade_question {
    size_t poles, coils;
    const size_t *pole;
    const double *share;
} blade_question;

/* values[2][poles]: Bz at the blade, and what all coils together link of it. */
static ll_status read_blades(const ll_solution *s, void *context, double *values)
{
    const blade_question *q = context;
    ll_status status = LL_OK;
    double *linkage_wb = malloc((q->coils + 1) * sizeof *linkage_wb);
    if (!linkage_wb)
        return LL_NO_MEMORY;
    for (size_t i = 0; i < q->poles && !status; i++) {
        ll_vec3 middle_m, b_t;
        status = ll_blade_rest(ll_solution_scene(s), q->pole[i], &middle_m);
        if (!status)
            status = ll_blade_linkage(s, middle_m, linkage_wb);
        if (!status)
            status = ll_solution_b(s, 1, &middle_m, &b_t);
        if (status)
            break;
        values[i] = b_t.z;
        values[q->poles + i] = 0;
        for (size_t c = 0; c < q->coils; c++)
            values[q->poles + i] += q->share[c] * linkage_wb[c];
    }
    free(linkage_wb);
    return status;
}

/* Of a blade over a common pole. */
static const bind_measure measure_blades = {read_blades, (const double[]){5e-3, 1e-5},
                                            "5 mT or 10 uWb, as all are smaller"};

static void screwdriver_row(const bind_query *r, size_t pole, double b_t, double v, double most_v)
{
    const bool weak = fabs(b_t)<weak_t, moves = fabs(v)> still * most_v;
    const size_t coil = bind_pole_coil(r->pickup, bind_pickup_part(r->pickup, pole));
    bind_row_begin(r->t);
    bind_set_text(r->t, "pole", bind_part_name(r->L, r->pickup, pole));
    bind_set_text(r->t, "coil", bind_coil_name(r->L, r->pickup, coil));
    bind_set_text(r->t, "shows", weak ? "weak" : b_t > 0 ? "N" : "S");
    bind_set_text(r->t, "needle", weak ? "neither" : b_t > 0 ? "south" : "north");
    bind_set_text(r->t, "meter", !moves ? "still" : v > 0 ? "positive" : "negative");
    bind_row_end(r->t);
}

/* pickup:screwdriver() */
static int screwdriver_reading(const bind_query *r, const void *said)
{
    (void)said;
    lua_State *L = r->L;
    bind_need_coil(r);
    size_t *poles = bind_buffer(L, r->pickup->parts.count, sizeof *poles);
    const size_t count = r->pickup->head.wrong ? 0 : bind_poles(r->pickup, poles);
    if (count == 0 && !r->pickup->head.wrong)
        bind_raise(L, "%s: the pickup has no poles to lay a blade on; mark a part with pole = true",
                   r->place);
    double *values = bind_buffer(L, 2 * count, sizeof *values), most_v = 0;
    blade_question q = {count, r->pickup->coils.count, poles, bind_shares(r)};
    if (!bind_ask(r, &measure_blades, &q, 2, count, values))
        for (size_t i = 0; i < 2 * count; i++)
            values[i] = 1;
    for (size_t i = 0; i < count; i++)
        most_v = fmax(most_v, fabs(values[count + i]));
    for (size_t i = 0; i < count; i++)
        screwdriver_row(r, poles[i], values[i], bind_hot_sign(r->pickup) * values[count + i],
                        most_v);
    bind_note(
        r->t,
        "meter: hot lead against ground while a steel blade is pulled off the pole; laid on it, "
        "the "
        "other way. needle: the end of a compass needle that the pole draws. Two pickups are in "
        "phase when all their poles move the meter the same way");
    return bind_result_end(r->t);
}

static const bind_column screwdriver_columns[] = {
    {"pole", UNIT_NONE, ERROR_NONE, .meaning = "name of the pole", .text = true},
    {"coil", UNIT_NONE, ERROR_NONE, .meaning = "the coil that it stands in", .text = true},
    {"shows", UNIT_NONE, ERROR_MESH, .meaning = "the face that looks up: N, S or weak",
     .text = true},
    {"needle", UNIT_NONE, ERROR_MESH,
     .meaning = "the end of a compass needle that it draws: south, north or neither", .text = true},
    {"meter", UNIT_NONE, ERROR_MESH,
     .meaning = "hot lead against ground as a blade is pulled off: positive, negative or still",
     .text = true},
};
const bind_reading bind_reading_screwdriver = {
    BIND_READING_NAME("screwdriver", "a screwdriver test"),
    .meaning =
        "which way a meter moves when a blade is pulled off each pole, and what a compass shows",
    .of = &bind_noun_pickup, BIND_READING_COLUMNS(screwdriver_columns),
    .read = screwdriver_reading};
