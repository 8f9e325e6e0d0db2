/* reading_winding.c - the pickup on an ohm meter and an LCR bridge. Several coils are in series.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "fault.h"
#include "pickup.h"
#include "rows.h"
#include <math.h>

typedef struct winding_options {
    double temperature_c;
} winding_options;

static const bind_field winding_table[] = {
    {"temperature", FIELD_NUMBER, 0, .meaning = "of the copper, for the computed resistance",
     .unit = UNIT_CELSIUS, .low = -40, .high = 120},
};
const bind_noun bind_winding_noun = {
    .name = "winding", .article = "a winding reading", BIND_NOUN_FIELDS(winding_table)};

typedef struct impedance_options {
    bind_list f_hz;
    double temperature_c;
} impedance_options;

static const bind_field impedance_table[] = {
    {"f", FIELD_LIST, offsetof(impedance_options, f_hz), .meaning = "list of frequencies",
     .required = true, .unit = UNIT_HZ, .high = 1e7, .above_low = true, .width = 1},
    {"temperature", FIELD_NUMBER, offsetof(impedance_options, temperature_c),
     .meaning = "of the copper, for the computed resistance", .unit = UNIT_CELSIUS, .low = -40,
     .high = 120},
};
const bind_noun bind_impedance_noun = {
    .name = "impedance", .article = "an impedance reading", BIND_NOUN_FIELDS(impedance_table)};

/* The usual room of a workshop, and of IEC 60028. */
static const double room_c = 20;

static const bind_wire *wire_of(const bind_reader *r, size_t i, const char *measured)
{
    const bind_wire *wire = bind_pickup_coil(r->pickup, i)->wire;
    if (!wire)
        bind_raise(r->L,
                   "%s: %s has neither wire nor a measured %s; add wire = ll.awg(42) or %s "
                   "= ...",
                   r->place, bind_coil_label(r->L, r->pickup, i), measured, measured);
    return wire;
}

static double coil_dcr_ohm(const bind_reader *r, size_t i, double temperature_c)
{
    const bind_coil *coil = bind_pickup_coil(r->pickup, i);
    ll_winding sheet = {0};
    if (coil->dcr_ohm > 0)
        return coil->dcr_ohm;
    const bind_wire *wire = wire_of(r, i, "dcr");
    bind_demand(r->L,
                ll_winding_sheet(&coil->shape, coil->turns, &wire->wire, temperature_c, &sheet),
                r->place);
    return sheet.dcr_ohm;
}

static double dcr_ohm(const bind_reader *r, double temperature_c)
{
    double sum_ohm = 0;
    for (size_t i = 0; i < r->pickup->coils.count; i++)
        sum_ohm += coil_dcr_ohm(r, i, temperature_c);
    return sum_ohm;
}

/* Own inductances, the measured ones where given, and twice each mutual one with its sign. */
static double inductance_h(const bind_reader *r)
{
    const bind_pickup *pickup = r->pickup;
    double sum_h = 0;
    for (size_t i = 0; i < pickup->coils.count; i++) {
        const bind_coil *coil = bind_pickup_coil(pickup, i);
        sum_h += coil->inductance_h > 0 ? coil->inductance_h : bind_ask_inductance(r, i, i);
        for (size_t j = 0; j < i; j++)
            sum_h += 2 * bind_coil_sign(pickup, i) * bind_coil_sign(pickup, j) *
                     bind_ask_inductance(r, i, j);
    }
    return sum_h;
}

static double coil_capacitance_f(const bind_reader *r, size_t i)
{
    const bind_coil *coil = bind_pickup_coil(r->pickup, i);
    ll_capacitance own = {0};
    if (coil->capacitance_f > 0)
        return coil->capacitance_f;
    const bind_wire *wire = wire_of(r, i, "capacitance");
    bind_demand(
        r->L,
        ll_winding_capacitance(&coil->shape, coil->turns, &wire->wire, coil->permittivity, &own),
        r->place);
    return own.c_f;
}

/* Of coils in series, each with its own capacitance across it: exact for equal coils, and near for others. */
static double capacitance_f(const bind_reader *r)
{
    double sum = 0;
    for (size_t i = 0; i < r->pickup->coils.count; i++)
        sum += 1 / coil_capacitance_f(r, i);
    return 1 / sum;
}

/* The mean turn is the one in the middle of the build: a turn's length grows linearly with its depth. */
static double wire_length_m(const bind_pickup *pickup)
{
    double sum_m = 0;
    for (size_t i = 0; i < pickup->coils.count; i++) {
        const bind_coil *coil = bind_pickup_coil(pickup, i);
        sum_m += coil->turns * ll_coil_turn_m(&coil->shape, coil->build_m / 2);
    }
    return sum_m;
}

static double turns(const bind_pickup *pickup)
{
    double sum = 0;
    for (size_t i = 0; i < pickup->coils.count; i++)
        sum += bind_pickup_coil(pickup, i)->turns;
    return sum;
}

/* "computed", "measured", or both when coils differ. */
static const char *basis(const bind_pickup *pickup, size_t measured_offset)
{
    size_t measured = 0;
    for (size_t i = 0; i < pickup->coils.count; i++)
        measured +=
            *(const double *)((const char *)bind_pickup_coil(pickup, i) + measured_offset) > 0;
    return measured == 0 ? "computed" : measured == pickup->coils.count ? "measured" : "both";
}

/* pickup:winding{ temperature = 20 } */
int bind_reading_winding(lua_State *L)
{
    bind_reader r = bind_begin_reading(L, "winding");
    winding_options options = {room_c};
    bind_reading_options(&r, &bind_winding_noun, &options);
    bind_need_coil(&r);
    double r_ohm = dcr_ohm(&r, options.temperature_c);
    double l_h = inductance_h(&r), c_f = capacitance_f(&r);
    const char *temperature = bind_quantity(L, UNIT_CELSIUS, options.temperature_c);
    bind_result_begin(L);
    bind_row_begin(L);
    bind_set(L, "turns", turns(r.pickup));
    bind_set(L, "wire_m", wire_length_m(r.pickup));
    bind_set(L, "dcr_ohm", r_ohm);
    bind_set(L, "l_h", l_h);
    bind_set(L, "c_f", c_f);
    bind_set(L, "resonance_hz", 1 / (2 * LL_PI * sqrt(l_h * c_f)));
    bind_set_text(L, "dcr_from", basis(r.pickup, offsetof(bind_coil, dcr_ohm)));
    bind_set_text(L, "l_from", basis(r.pickup, offsetof(bind_coil, inductance_h)));
    bind_set_text(L, "c_from", basis(r.pickup, offsetof(bind_coil, capacitance_f)));
    bind_row_end(L);
    bind_note(L,
              "computed: resistance from the length of wire and copper at %s; inductance static, "
              "steel included, without eddy currents; capacitance an estimate from the "
              "winding's shape",
              temperature);
    bind_note(L, "resonance: of the coil alone, from l_h and c_f");
    return bind_result_end(L, "turns wire_m dcr_ohm l_h c_f resonance_hz dcr_from l_from c_from",
                           "winding");
}

/* pickup:impedance{ f = {...} } */
int bind_reading_impedance(lua_State *L)
{
    bind_reader r = bind_begin_reading(L, "impedance");
    impedance_options options = {.temperature_c = room_c};
    bind_reading_options(&r, &bind_impedance_noun, &options);
    bind_need_coil(&r);
    double r_ohm = dcr_ohm(&r, options.temperature_c), l_h = inductance_h(&r);
    bind_result_begin(L);
    for (size_t i = 0; i < options.f_hz.count; i++) {
        bind_row_begin(L);
        bind_set(L, "f_hz", options.f_hz.values[i]);
        bind_set(L, "r_ohm", r_ohm);
        bind_set(L, "l_h", l_h);
        bind_set(L, "extra_ohm", 0);
        bind_row_end(L);
    }
    bind_note(L, "static inductance at every frequency: losses by eddy currents are not in it yet");
    return bind_result_end(L, "f_hz r_ohm l_h extra_ohm", "impedance");
}
