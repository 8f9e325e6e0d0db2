/* reading_string.c - what strings do to the pickup: linkage over position, voltage for a velocity.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/readings/query.h"
#include "string/dulling.h"
#include <math.h>

typedef struct sensitivity_options {
    bind_objects strings;
} sensitivity_options;

static const bind_field sensitivity_table[] = {
    {"strings", FIELD_OBJECTS, 0, .meaning = "a string or a list of strings", .required = true,
     .of = &bind_noun_string},
};

typedef struct linkage_options {
    const bind_string *string;
    bind_list at_m; /* {x, z} */
} linkage_options;

static const bind_field linkage_table[] = {
    {"string", FIELD_OBJECT, offsetof(linkage_options, string), .meaning = "the string",
     .required = true, .of = &bind_noun_string},
    {"at", FIELD_LIST, offsetof(linkage_options, at_m),
     .meaning = "list of the axis's places {x, z}", .required = true, .unit = UNIT_MM, .low = -1e4,
     .high = 1e4, .width = 2},
};

/* The voltage of the hot lead for 1 m/s upwards and to the treble side: -d(linkage)/dt, finish against start. */
static void set_voltages(const bind_query *r, const double *slopes_wb_m)
{
    const double speed_m_s = 1, hot = bind_hot_sign(r->pickup);
    bind_set(r->t, "vertical_mv", -hot * slopes_wb_m[0] * speed_m_s);
    bind_set(r->t, "horizontal_mv", -hot * slopes_wb_m[1] * speed_m_s);
}

/* pickup:sensitivity{ strings = s } */
static int sensitivity_reading(const bind_query *r, const void *said)
{
    lua_State *L = r->L;
    const sensitivity_options *options = said;
    bind_need_coil(r);
    const size_t n = options->strings.count;
    const ll_string *strings = bind_place_strings(r, &options->strings);
    double *slopes_wb_m = bind_buffer(L, 2 * n, sizeof *slopes_wb_m);
    bind_ask_slopes(r, n, strings, bind_shares(r), slopes_wb_m);
    for (size_t i = 0; i < n; i++) {
        const bind_string *string = options->strings.items[i];
        bind_row_begin(r->t);
        bind_set_text(r->t, "string", string->name);
        set_voltages(r, slopes_wb_m + 2 * i);
        bind_row_end(r->t);
    }
    bind_note(r->t,
              "open-circuit voltage of the hot lead for a velocity of 1 m/s at rest: vertical "
              "upwards, horizontal to the treble side");
    return bind_result_end(r->t);
}

static const bind_column sensitivity_columns[] = {
    {"string", UNIT_NONE, ERROR_NONE, .meaning = "name of the string", .text = true},
    {"vertical", UNIT_MV, ERROR_MESH,
     .meaning = "voltage of the hot lead as the string moves up at 1 m/s"},
    {"horizontal", UNIT_MV, ERROR_MESH,
     .meaning = "voltage of the hot lead as it moves to the treble side at 1 m/s"},
};
const bind_reading bind_reading_sensitivity = {
    BIND_READING_NAME("sensitivity", "a sensitivity reading"),
    .meaning = "voltage for each string that moves at 1 m/s through its place of rest",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(sensitivity_options, sensitivity_table, NULL),
    BIND_READING_COLUMNS(sensitivity_columns),
    .read = sensitivity_reading};

/* Slopes of one coil alone for all strings, the others silent. */
static void ask_coil(const bind_query *r, size_t coil, size_t n, const ll_string *strings,
                     double *slopes_wb_m)
{
    const size_t coils = r->pickup->coils.count;
    double *share = bind_buffer(r->L, coils, sizeof *share);
    share[coil] = bind_coil_sign(r->pickup, coil);
    bind_ask_slopes(r, n, strings, share, slopes_wb_m);
    lua_pop(r->L, 1);
}

/* The loudest coil's voltage for a string that moves up. */
static double loudest(size_t coils, size_t n, size_t string, const double *slopes_wb_m)
{
    double most = 0;
    for (size_t c = 0; c < coils; c++)
        most = fmax(most, fabs(slopes_wb_m[2 * (c * n + string)]));
    return most;
}

static void crosstalk_row(const bind_query *r, const bind_string *string, const char *coil,
                          const double *slopes_wb_m, double loudest_wb_m)
{
    bind_row_begin(r->t);
    bind_set_text(r->t, "string", string->name);
    bind_set_text(r->t, "coil", coil);
    set_voltages(r, slopes_wb_m);
    if (slopes_wb_m[0] != 0)
        bind_set(r->t, "below_db", 20 * log10(fabs(slopes_wb_m[0]) / loudest_wb_m));
    bind_row_end(r->t);
}

/* pickup:crosstalk{ strings = s } */
static int crosstalk_reading(const bind_query *r, const void *said)
{
    lua_State *L = r->L;
    const sensitivity_options *options = said;
    bind_need_coil(r);
    const size_t n = options->strings.count, coils = r->pickup->coils.count;
    const ll_string *strings = bind_place_strings(r, &options->strings);
    double *slopes_wb_m = bind_buffer(L, 2 * n * coils, sizeof *slopes_wb_m);
    const char **coil = bind_buffer(L, coils, sizeof *coil);
    luaL_checkstack(L, (int)coils + 10, "too many coils");
    for (size_t c = 0; c < coils; c++) {
        ask_coil(r, c, n, strings, slopes_wb_m + 2 * n * c);
        coil[c] = bind_coil_name(L, r->pickup, c);
    }
    for (size_t i = 0; i < n; i++)
        for (size_t c = 0; c < coils; c++)
            crosstalk_row(r, options->strings.items[i], coil[c], slopes_wb_m + 2 * (c * n + i),
                          loudest(coils, n, i, slopes_wb_m));
    bind_note(r->t,
              "each coil alone, open circuit, for 1 m/s; below: beside the coil that hears the "
              "string loudest, moving up");
    return bind_result_end(r->t);
}

static const bind_column crosstalk_columns[] = {
    {"string", UNIT_NONE, ERROR_NONE, .meaning = "name of the string", .text = true},
    {"coil", UNIT_NONE, ERROR_NONE, .meaning = "name of the coil", .text = true},
    {"vertical", UNIT_MV, ERROR_MESH,
     .meaning = "voltage of this coil alone as the string moves up at 1 m/s"},
    {"horizontal", UNIT_MV, ERROR_MESH,
     .meaning = "voltage of this coil alone as it moves to the treble side at 1 m/s"},
    {"below", UNIT_DB, ERROR_MESH,
     .meaning = "vertical_mv beside that of the coil which hears the string loudest"},
};
const bind_reading bind_reading_crosstalk = {
    BIND_READING_NAME("crosstalk", "a crosstalk reading"),
    .meaning = "the same for each coil alone, and how far it is below the loudest coil",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(sensitivity_options, sensitivity_table, NULL),
    BIND_READING_COLUMNS(crosstalk_columns),
    .read = crosstalk_reading};

typedef struct transfer_options {
    bind_objects strings;
    bind_list f_hz;
} transfer_options;

static const bind_field transfer_table[] = {
    {"strings", FIELD_OBJECTS, offsetof(transfer_options, strings),
     .meaning = "a string or a list of strings", .required = true, .of = &bind_noun_string},
    {"f", FIELD_LIST, offsetof(transfer_options, f_hz), .meaning = "list of frequencies",
     .required = true, .unit = UNIT_HZ, .high = 1e6, .above_low = true, .width = 1,
     .usual = USUAL_HZ},
};

/* What is heard of a string at each frequency over what was heard without eddy currents: of a silent one there is no row. */
static void transfer_rows(const bind_query *r, const bind_string *string, const bind_list *f_hz,
                          double slope_wb_m, const double complex *change_wb_m)
{
    for (size_t k = 0; k < f_hz->count && slope_wb_m != 0; k++) {
        const double complex ratio = 1 + change_wb_m[k] / slope_wb_m;
        bind_row_begin(r->t);
        bind_set_text(r->t, "string", string->name);
        bind_set(r->t, "f_hz", f_hz->values[k]);
        bind_set(r->t, "gain_db", 20 * log10(cabs(ratio)));
        bind_set(r->t, "phase_deg", carg(ratio));
        bind_row_end(r->t);
    }
}

/* pickup:transfer{ strings = s, f = {...} } */
static int transfer_reading(const bind_query *r, const void *said)
{
    lua_State *L = r->L;
    const transfer_options *options = said;
    bind_need_coil(r);
    const size_t n = options->strings.count, count = options->f_hz.count;
    const double *f_hz = options->f_hz.values, *share = bind_shares(r);
    const ll_string *strings = bind_place_strings(r, &options->strings);
    double *slopes_wb_m = bind_buffer(L, 2 * n, sizeof *slopes_wb_m);
    double complex *change_wb_m = bind_buffer(L, n * count, sizeof *change_wb_m);
    bind_ask_slopes(r, n, strings, share, slopes_wb_m);
    const ll_eddies *eddies = bind_ask_eddies(r, count, f_hz);
    for (size_t i = 0; i < n && eddies; i++)
        bind_demand(L, ll_dulling(eddies, share, &strings[i], count, f_hz, change_wb_m + i * count),
                    r->place);
    for (size_t i = 0; i < n; i++)
        transfer_rows(r, options->strings.items[i], &options->f_hz, slopes_wb_m[2 * i],
                      change_wb_m + i * count);
    bind_note(
        r->t,
        "EMF for the same vertical speed, against that without eddy currents; what coil, pots "
        "and cable do with it is the network's");
    bind_note_joined_sheet(r);
    return bind_result_end(r->t);
}

static const bind_column transfer_columns[] = {
    {"string", UNIT_NONE, ERROR_NONE, .meaning = "name of the string", .text = true},
    {"f", UNIT_HZ, ERROR_NONE, .meaning = "frequency"},
    {"gain", UNIT_DB, ERROR_MESH,
     .meaning = "EMF against that without eddy currents, for the same vertical speed"},
    {"phase", UNIT_DEG, ERROR_MESH, .meaning = "its phase against that without eddy currents"},
};
const bind_reading bind_reading_transfer = {
    BIND_READING_NAME("transfer", "a transfer reading"),
    .meaning = "how far eddy currents in metal dull each string, over frequency",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(transfer_options, transfer_table, NULL),
    BIND_READING_COLUMNS(transfer_columns),
    .read = transfer_reading};

/* pickup:linkage{ string = s, at = {{x, z}, ...} } */
static int linkage_reading(const bind_query *r, const void *said)
{
    lua_State *L = r->L;
    const linkage_options *options = said;
    bind_need_coil(r);
    size_t n = options->at_m.count;
    double *x_m = bind_buffer(L, n, sizeof *x_m), *z_m = bind_buffer(L, n, sizeof *z_m);
    double *sum_wb = bind_buffer(L, n, sizeof *sum_wb);
    for (size_t i = 0; i < n; i++) {
        x_m[i] = options->at_m.values[2 * i];
        z_m[i] = options->at_m.values[2 * i + 1];
    }
    if (r->fine && !r->pickup->head.wrong) {
        ll_string placed = bind_place_string(r, options->string);
        for (size_t i = 0; i < r->pickup->coils.count; i++)
            bind_ask_linkage(r, i, &placed, bind_coil_sign(r->pickup, i), n, x_m, z_m, sum_wb);
    }
    for (size_t i = 0; i < n; i++) {
        bind_row_begin(r->t);
        bind_set(r->t, "x_mm", x_m[i]);
        bind_set(r->t, "z_mm", z_m[i]);
        bind_set(r->t, "linkage_mwb", sum_wb[i]);
        bind_row_end(r->t);
    }
    return bind_result_end(r->t);
}

static const bind_column linkage_columns[] = {
    {"x", UNIT_MM, ERROR_NONE, .meaning = "place of the string's axis, across the strings"},
    {"z", UNIT_MM, ERROR_NONE, .meaning = "place of the string's axis, up from the pickup"},
    {"linkage", UNIT_MWB, ERROR_MESH,
     .meaning = "what the string adds to the coils' flux linkage, turns included"},
};
const bind_reading bind_reading_linkage = {
    BIND_READING_NAME("linkage", "a linkage reading"),
    .meaning = "what a string adds to the coil's flux linkage, for each place of its axis",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(linkage_options, linkage_table, NULL),
    BIND_READING_COLUMNS(linkage_columns),
    .read = linkage_reading};
