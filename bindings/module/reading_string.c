/* reading_string.c - what strings do to the pickup: linkage over position, voltage for a velocity.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fault.h"
#include "pickup.h"
#include "rows.h"

typedef struct sensitivity_options {
    bind_objects strings;
} sensitivity_options;

static const bind_field sensitivity_table[] = {
    {"strings", FIELD_OBJECTS, 0, .meaning = "a string or a list of strings", .required = true,
     .of = &bind_noun_string},
};
const bind_noun bind_sensitivity_noun = {
    .name = "sensitivity", .article = "a sensitivity reading", BIND_NOUN_FIELDS(sensitivity_table)};

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

/* d(linkage)/dz and d(linkage)/dx of all coils together. */
static void gradient(const bind_reader *r, const ll_string *string, double *dz_wb_m,
                     double *dx_wb_m)
{
    *dz_wb_m = *dx_wb_m = 0;
    for (size_t i = 0; i < r->pickup->coils.count; i++) {
        double dz = 0, dx = 0, sign = bind_coil_sign(r->pickup, i);
        bind_ask_gradient(r, i, string, &dz, &dx);
        *dz_wb_m += sign * dz;
        *dx_wb_m += sign * dx;
    }
}

/* The voltage of the hot lead for 1 m/s upwards and to the treble side: -d(linkage)/dt, finish against start. */
static void sensitivity_row(const bind_reader *r, const bind_string *string)
{
    lua_State *L = r->L;
    double dz_wb_m = 0, dx_wb_m = 0;
    const double speed_m_s = 1;
    if (!r->pickup->head.wrong) {
        ll_string placed = bind_place_string(r, string);
        gradient(r, &placed, &dz_wb_m, &dx_wb_m);
    }
    double hot = bind_hot_sign(r->pickup);
    bind_row_begin(L);
    bind_set_text(L, "string", string->name);
    bind_set(L, "vertical_mv", -hot * dz_wb_m * speed_m_s);
    bind_set(L, "horizontal_mv", -hot * dx_wb_m * speed_m_s);
    bind_row_end(L);
}

/* pickup:sensitivity{ strings = s } */
int bind_reading_sensitivity(lua_State *L)
{
    bind_reader r = bind_begin_reading(L, "sensitivity");
    sensitivity_options options = {0};
    bind_reading_options(&r, &bind_sensitivity_noun, &options);
    bind_need_coil(&r);
    bind_result_begin(L);
    for (size_t i = 0; i < options.strings.count; i++)
        sensitivity_row(&r, options.strings.items[i]);
    bind_note(L, "open-circuit voltage of the hot lead for a velocity of 1 m/s at rest: vertical "
                 "upwards, horizontal to the treble side");
    return bind_result_end(L, "string vertical_mv horizontal_mv", "sensitivity");
}

/* pickup:linkage{ string = s, at = {{x, z}, ...} } */
int bind_reading_linkage(lua_State *L)
{
    bind_reader r = bind_begin_reading(L, "linkage");
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
