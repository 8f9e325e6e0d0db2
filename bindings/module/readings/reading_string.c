/* reading_string.c - what strings do to the pickup: linkage over position, voltage for a velocity.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/base/rows.h"
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
const bind_noun bind_sensitivity_noun = {
    .name = "sensitivity", .article = "a sensitivity reading", BIND_NOUN_FIELDS(sensitivity_table)};

const bind_noun bind_crosstalk_noun = {
    .name = "crosstalk", .article = "a crosstalk reading", BIND_NOUN_FIELDS(sensitivity_table)};

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
const bind_noun bind_linkage_noun = {
    .name = "linkage", .article = "a linkage reading", BIND_NOUN_FIELDS(linkage_table)};

/* The voltage of the hot lead for 1 m/s upwards and to the treble side: -d(linkage)/dt, finish against start. */
static void set_voltages(lua_State *L, const bind_query *r, const double *slopes_wb_m)
{
    const double speed_m_s = 1, hot = bind_hot_sign(r->pickup);
    bind_set(L, "vertical_mv", -hot * slopes_wb_m[0] * speed_m_s);
    bind_set(L, "horizontal_mv", -hot * slopes_wb_m[1] * speed_m_s);
}

/* pickup:sensitivity{ strings = s } */
int bind_reading_sensitivity(lua_State *L)
{
    bind_query r = bind_begin_reading(L, "sensitivity");
    sensitivity_options options = {0};
    bind_reading_options(&r, &bind_sensitivity_noun, &options);
    bind_need_coil(&r);
    const size_t n = options.strings.count;
    const ll_string *strings = bind_place_strings(&r, &options.strings);
    double *slopes_wb_m = bind_buffer(L, 2 * n, sizeof *slopes_wb_m);
    bind_ask_slopes(&r, n, strings, bind_shares(&r), slopes_wb_m);
    bind_result_begin(L);
    for (size_t i = 0; i < n; i++) {
        const bind_string *string = options.strings.items[i];
        bind_row_begin(L);
        bind_set_text(L, "string", string->name);
        set_voltages(L, &r, slopes_wb_m + 2 * i);
        bind_row_end(L);
    }
    bind_note(L, "open-circuit voltage of the hot lead for a velocity of 1 m/s at rest: vertical "
                 "upwards, horizontal to the treble side");
    return bind_result_end(L, "string vertical_mv horizontal_mv", "sensitivity");
}

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
    lua_State *L = r->L;
    bind_row_begin(L);
    bind_set_text(L, "string", string->name);
    bind_set_text(L, "coil", coil);
    set_voltages(L, r, slopes_wb_m);
    if (slopes_wb_m[0] != 0)
        bind_set(L, "below_db", 20 * log10(fabs(slopes_wb_m[0]) / loudest_wb_m));
    bind_row_end(L);
}

/* pickup:crosstalk{ strings = s } */
int bind_reading_crosstalk(lua_State *L)
{
    bind_query r = bind_begin_reading(L, "crosstalk");
    sensitivity_options options = {0};
    bind_reading_options(&r, &bind_crosstalk_noun, &options);
    bind_need_coil(&r);
    const size_t n = options.strings.count, coils = r.pickup->coils.count;
    const ll_string *strings = bind_place_strings(&r, &options.strings);
    double *slopes_wb_m = bind_buffer(L, 2 * n * coils, sizeof *slopes_wb_m);
    const char **coil = bind_buffer(L, coils, sizeof *coil);
    luaL_checkstack(L, (int)coils + 10, "too many coils");
    for (size_t c = 0; c < coils; c++) {
        ask_coil(&r, c, n, strings, slopes_wb_m + 2 * n * c);
        coil[c] = bind_coil_name(L, r.pickup, c);
    }
    bind_result_begin(L);
    for (size_t i = 0; i < n; i++)
        for (size_t c = 0; c < coils; c++)
            crosstalk_row(&r, options.strings.items[i], coil[c], slopes_wb_m + 2 * (c * n + i),
                          loudest(coils, n, i, slopes_wb_m));
    bind_note(L, "each coil alone, open circuit, for 1 m/s; below: beside the coil that hears the "
                 "string loudest, moving up");
    return bind_result_end(L, "string coil vertical_mv horizontal_mv below_db", "crosstalk");
}

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
const bind_noun bind_transfer_noun = {
    .name = "transfer", .article = "a transfer reading", BIND_NOUN_FIELDS(transfer_table)};

/* What is heard of a string at each frequency over what was heard without eddy currents: of a silent one there is no row. */
static void transfer_rows(const bind_query *r, const bind_string *string, const bind_list *f_hz,
                          double slope_wb_m, const double complex *change_wb_m)
{
    lua_State *L = r->L;
    for (size_t k = 0; k < f_hz->count && slope_wb_m != 0; k++) {
        const double complex ratio = 1 + change_wb_m[k] / slope_wb_m;
        bind_row_begin(L);
        bind_set_text(L, "string", string->name);
        bind_set(L, "f_hz", f_hz->values[k]);
        bind_set(L, "gain_db", 20 * log10(cabs(ratio)));
        bind_set(L, "phase_deg", carg(ratio));
        bind_row_end(L);
    }
}

/* pickup:transfer{ strings = s, f = {...} } */
int bind_reading_transfer(lua_State *L)
{
    bind_query r = bind_begin_reading(L, "transfer");
    transfer_options options = {0};
    bind_reading_options(&r, &bind_transfer_noun, &options);
    bind_need_coil(&r);
    const size_t n = options.strings.count, count = options.f_hz.count;
    const double *f_hz = options.f_hz.values, *share = bind_shares(&r);
    const ll_string *strings = bind_place_strings(&r, &options.strings);
    double *slopes_wb_m = bind_buffer(L, 2 * n, sizeof *slopes_wb_m);
    double complex *change_wb_m = bind_buffer(L, n * count, sizeof *change_wb_m);
    bind_ask_slopes(&r, n, strings, share, slopes_wb_m);
    const ll_eddies *eddies = bind_ask_eddies(&r, count, f_hz);
    for (size_t i = 0; i < n && eddies; i++)
        bind_demand(L, ll_dulling(eddies, share, &strings[i], count, f_hz, change_wb_m + i * count),
                    r.place);
    bind_result_begin(L);
    for (size_t i = 0; i < n; i++)
        transfer_rows(&r, options.strings.items[i], &options.f_hz, slopes_wb_m[2 * i],
                      change_wb_m + i * count);
    bind_note(
        L, "EMF for the same vertical speed, against that without eddy currents; what coil, pots "
           "and cable do with it is the network's");
    bind_note_joined_sheet(&r);
    return bind_result_end(L, "string f_hz gain_db phase_deg", "transfer");
}

/* pickup:linkage{ string = s, at = {{x, z}, ...} } */
int bind_reading_linkage(lua_State *L)
{
    bind_query r = bind_begin_reading(L, "linkage");
    linkage_options options = {0};
    bool fine = bind_reading_options(&r, &bind_linkage_noun, &options);
    bind_need_coil(&r);
    size_t n = options.at_m.count;
    double *x_m = bind_buffer(L, n, sizeof *x_m), *z_m = bind_buffer(L, n, sizeof *z_m);
    double *sum_wb = bind_buffer(L, n, sizeof *sum_wb);
    for (size_t i = 0; i < n; i++) {
        x_m[i] = options.at_m.values[2 * i];
        z_m[i] = options.at_m.values[2 * i + 1];
    }
    if (fine && !r.pickup->head.wrong) {
        ll_string placed = bind_place_string(&r, options.string);
        for (size_t i = 0; i < r.pickup->coils.count; i++)
            bind_ask_linkage(&r, i, &placed, bind_coil_sign(r.pickup, i), n, x_m, z_m, sum_wb);
    }
    bind_result_begin(L);
    for (size_t i = 0; i < n; i++) {
        bind_row_begin(L);
        bind_set(L, "x_mm", x_m[i]);
        bind_set(L, "z_mm", z_m[i]);
        bind_set(L, "linkage_mwb", sum_wb[i]);
        bind_row_end(L);
    }
    return bind_result_end(L, "x_mm z_mm linkage_mwb", "linkage");
}
