/* reading_winding.c - the pickup on an ohm meter and an LCR bridge. Several coils are in series.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "module/base/fault.h"
#include "module/readings/query.h"
#include <math.h>
#include <stdio.h>

typedef struct winding_options {
    double temperature_c;
} winding_options;

/* The usual room of a workshop, and of IEC 60028. */
enum { ROOM_C = 20 };
static const winding_options winding_defaults = {ROOM_C};

static const bind_field winding_table[] = {
    {"temperature", FIELD_NUMBER, 0,
     .meaning = "of the copper, for the computed resistance; 20 when left out",
     .unit = UNIT_CELSIUS, .low = -40, .high = 120, .usual = USUAL_CELSIUS},
};

typedef struct impedance_options {
    bind_list f_hz;
    double temperature_c;
} impedance_options;
static const impedance_options impedance_defaults = {.temperature_c = ROOM_C};

static const bind_field impedance_table[] = {
    {"f", FIELD_LIST, offsetof(impedance_options, f_hz), .meaning = "list of frequencies",
     .required = true, .unit = UNIT_HZ, .high = 1e7, .above_low = true, .width = 1,
     .usual = USUAL_HZ},
    {"temperature", FIELD_NUMBER, offsetof(impedance_options, temperature_c),
     .meaning = "of the copper, for the computed resistance; 20 when left out",
     .unit = UNIT_CELSIUS, .low = -40, .high = 120, .usual = USUAL_CELSIUS},
};

/* A figure of the whole pickup, and what it rests on. */
typedef struct figure {
    double si;
    size_t measured, computed, unknown; /* coils */
} figure;

/* What was measured wins over what is computed. */
static const char *basis(const figure *f)
{
    if (f->unknown)
        return "unknown";
    return f->measured == 0 ? "computed" : f->computed == 0 ? "measured" : "both";
}

/* What is unknown stays out of the row. */
static void set_figure(const bind_result *t, const char *column, const figure *f)
{
    if (!f->unknown)
        bind_set(t, column, f->si);
}

/* From the length of wire. */
static double computed_dcr_ohm(const bind_query *r, const bind_coil *coil, double temperature_c)
{
    ll_winding sheet = {0};
    bind_demand(
        r->L, ll_winding_sheet(&coil->shape, coil->turns, &coil->wire->wire, temperature_c, &sheet),
        r->place);
    return sheet.dcr_ohm;
}

/* Share of a coil's turns that a short within the winding leaves in use. */
static double in_use(const bind_coil *coil)
{
    return 1 - coil->shorted.turns / coil->turns;
}

/* Of all coils in series. */
static figure dcr(const bind_query *r, double temperature_c)
{
    figure sum = {0};
    for (size_t i = 0; i < r->pickup->coils.count; i++) {
        const bind_coil *coil = bind_pickup_coil(r->pickup, i);
        if (coil->dcr_ohm > 0) {
            sum.si += coil->dcr_ohm;
            sum.measured++;
        } else if (coil->wire) {
            sum.si += in_use(coil) * computed_dcr_ohm(r, coil, temperature_c);
            sum.computed++;
        } else {
            sum.unknown++;
        }
    }
    return sum;
}

/* Own inductances, the measured ones where given, and twice each mutual one with its sign. */
static figure inductance(const bind_query *r)
{
    const bind_pickup *pickup = r->pickup;
    figure sum = {0};
    for (size_t i = 0; i < pickup->coils.count; i++) {
        const bind_coil *coil = bind_pickup_coil(pickup, i);
        bool measured = coil->inductance_h > 0;
        sum.measured += measured;
        sum.computed += !measured;
        sum.si +=
            measured ? coil->inductance_h : pow(in_use(coil), 2) * bind_ask_inductance(r, i, i);
        for (size_t j = 0; j < i; j++)
            sum.si += 2 * bind_coil_sign(pickup, i) * bind_coil_sign(pickup, j) * in_use(coil) *
                      in_use(bind_pickup_coil(pickup, j)) * bind_ask_inductance(r, i, j);
    }
    return sum;
}

/* Pushes how much each coil counts in series: its sign, and the share of its turns in use. */
static double *series_shares(const bind_query *r)
{
    double *share = (double *)bind_shares(r);
    for (size_t i = 0; i < r->pickup->coils.count; i++)
        share[i] *= in_use(bind_pickup_coil(r->pickup, i));
    return share;
}

/* Sum over coils i and j of a[i] b[j] L_ij, computed with no regard to what was measured. */
static double computed_inductance(const bind_query *r, const double *a, const double *b)
{
    const size_t coils = r->pickup->coils.count;
    double sum_h = 0;
    for (size_t k = 0; k < coils * coils; k++)
        if (a[k / coils] * b[k % coils] != 0)
            sum_h += a[k / coils] * b[k % coils] * bind_ask_inductance(r, k / coils, k % coils);
    return sum_h;
}

/* ---- own capacitance ---- */

/* What the whole capacitance is made of: the windings in series, earthed metal in them, the lead; and from how little to how much. */
typedef struct capacitances {
    figure windings;
    double core_f, lead_f, low_f, high_f;
} capacitances;

/* 0.35 m of screened wire of 120 pF/m: lengths are common practice, no source; datasheets of screened instrument wire and cable have
 * 90 to 160 pF/m. */
static const double usual_lead_f = 42e-12, lead_low = 0.6, lead_high = 1.6;
/* A bobbin's wall: common practice, no source; its thickness is what is known least. */
static const double wall_m = 1e-3, wall_permittivity = 3, core_factor = 2;

/* The engine's estimate. */
static ll_capacitance computed_capacitance(const bind_query *r, const bind_coil *coil)
{
    ll_capacitance own = {0};
    bind_demand(r->L,
                ll_winding_capacitance(&coil->shape, coil->turns, &coil->wire->wire,
                                       coil->permittivity, &own),
                r->place);
    return own;
}

/* Of coils in series, each with its own capacitance across it: exact for equal coils, and near for others. */
static void add_windings(const bind_query *r, capacitances *c)
{
    double low = 0, high = 0;
    for (size_t i = 0; i < r->pickup->coils.count; i++) {
        const bind_coil *coil = bind_pickup_coil(r->pickup, i);
        ll_capacitance own = {coil->capacitance_f, coil->capacitance_f, coil->capacitance_f};
        c->windings.measured += coil->capacitance_f > 0;
        c->windings.computed += !(coil->capacitance_f > 0) && coil->wire;
        c->windings.unknown += !(coil->capacitance_f > 0) && !coil->wire;
        if (!(coil->capacitance_f > 0) && coil->wire)
            own = computed_capacitance(r, coil);
        c->windings.si += 1 / own.c_f;
        low += 1 / own.low_f;
        high += 1 / own.high_f;
    }
    c->windings.si = 1 / c->windings.si;
    c->low_f = 1 / low;
    c->high_f = 1 / high;
}

/* Share of a coil's inner wall that metal in its opening faces: two widths of each piece. */
static double faced(const bind_query *r, const bind_coil *coil)
{
    const ll_pose *pose = &coil->pose;
    double sum_m = 0;
    for (size_t i = 0; i < r->pickup->parts.count; i++) {
        const bind_part *part = bind_pickup_part(r->pickup, i);
        const ll_vec3 at = ll_to_own(pose, part->pose.origin_m);
        const ll_vec3 x = ll_rotate(&pose->rotation, ll_vec(1, 0, 0));
        const double reach_m = ll_shape_reach_m(&part->shape, &part->pose.rotation, x);
        if (ll_material_conductivity_s_m(part->material) > 0 &&
            fabs(at.x) < 0.5 * coil->shape.opening_x_m &&
            fabs(at.y) < 0.5 * coil->shape.opening_y_m && fabs(at.z) < coil->shape.height_m)
            sum_m += 4 * reach_m;
    }
    return fmin(1, sum_m / ll_coil_turn_m(&coil->shape, 0));
}

/* Metal in the coils is earthed as a rule. Of the whole voltage, the first coil's hot end has all and the last one's other end none; the
 * innermost turns are those of the start. */
static double core_capacitance(const bind_query *r)
{
    const bind_pickup *pickup = r->pickup;
    double all = 0, above = 0, sum_f = 0;
    for (size_t i = 0; i < pickup->coils.count; i++)
        all += bind_pickup_coil(pickup, i)->turns;
    for (size_t i = 0; i < pickup->coils.count; i++) {
        const bind_coil *coil = bind_pickup_coil(pickup, i);
        const double below = above + coil->turns / all;
        const double start = 1 - (coil->hot == BIND_HOT_FINISH ? below : above);
        double c_f = 0;
        bind_demand(
            r->L, ll_winding_to_core(&coil->shape, wall_m, wall_permittivity, faced(r, coil), &c_f),
            r->place);
        sum_f += start * start * c_f;
        above = below;
    }
    return sum_f;
}

/* What was measured across coils has all of it but for a lead that is named. */
static capacitances own_capacitance(const bind_query *r)
{
    capacitances c = {{0}, 0, 0, 0, 0};
    add_windings(r, &c);
    const bool usual = r->pickup->lead_f < 0;
    if (c.windings.computed)
        c.core_f = core_capacitance(r);
    c.lead_f = !usual ? r->pickup->lead_f : c.windings.computed ? usual_lead_f : 0;
    c.low_f += c.core_f / core_factor + c.lead_f * (usual ? lead_low : 1);
    c.high_f += c.core_f * core_factor + c.lead_f * (usual ? lead_high : 1);
    return c;
}

static figure capacitance(const bind_query *r)
{
    const capacitances c = own_capacitance(r);
    figure sum = c.windings;
    sum.si += c.core_f + c.lead_f;
    return sum;
}

/* What a computed capacitance is made of. */
static void note_capacitance(const bind_query *r)
{
    const capacitances c = own_capacitance(r);
    if (!c.windings.computed || c.windings.unknown)
        return;
    char text[200];
    snprintf(text, sizeof text,
             "capacitance: windings %.0f pF, earthed metal in them %.0f pF, lead %.0f pF%s; %.0f "
             "to %.0f pF in all, more when potted",
             1e12 * c.windings.si, 1e12 * c.core_f, 1e12 * c.lead_f,
             r->pickup->lead_f < 0 ? " (the usual one: say lead = ...)" : "", 1e12 * c.low_f,
             1e12 * c.high_f);
    bind_note(r->t, "%s", text);
}

/* Without wire and without a measurement there is nothing to go by. */
static double need_figure(const bind_query *r, const figure *f, const char *what, const char *field)
{
    if (f->unknown && !r->pickup->head.wrong)
        bind_raise(r->L,
                   "%s: the pickup's %s is unknown: a coil needs wire = ll.awg(42), or what was "
                   "measured, %s = ...",
                   r->place, what, field);
    return f->si;
}

/* Pushes the whole inductance, with the eddy currents, at each frequency. */
static double complex *inductance_at(const bind_query *r, const double *a, const double *b,
                                     size_t n, const double *f_hz)
{
    double complex *l_h = bind_buffer(r->L, n, sizeof *l_h);
    const double static_h = computed_inductance(r, a, b);
    for (size_t k = 0; k < n; k++)
        l_h[k] = static_h;
    bind_ask_change(r, a, b, n, f_hz, l_h);
    return l_h;
}

/* Of the turns within a short, turn by turn coupled as the rest of the coil is. */
static double short_ohm(const bind_query *r, const bind_coil *coil)
{
    return coil->wire ? (1 - in_use(coil)) * computed_dcr_ohm(r, coil, ROOM_C)
                      : coil->dcr_ohm * (1 / in_use(coil) - 1);
}

/* A short within coil i is a transformer's secondary: it adds w^2 M^2 / (R + j w L) to the impedance, R, L its own. Turn by turn
 * it is coupled as the rest of the coil is. change_h is Z / (j w). */
static void add_short(const bind_query *r, size_t i, const double *series, size_t n,
                      const double *f_hz, double complex *change_h)
{
    const bind_coil *coil = bind_pickup_coil(r->pickup, i);
    const int top = lua_gettop(r->L);
    double *own = bind_buffer(r->L, r->pickup->coils.count, sizeof *own);
    own[i] = bind_coil_sign(r->pickup, i) * (1 - in_use(coil));
    const double ohm = short_ohm(r, coil);
    const double complex *mutual_h = inductance_at(r, own, series, n, f_hz);
    const double complex *own_h = inductance_at(r, own, own, n, f_hz);
    for (size_t k = 0; k < n && ohm > 0; k++) {
        const double complex s = 2 * LL_PI * f_hz[k] * I;
        change_h[k] -= s * mutual_h[k] * mutual_h[k] / (ohm + s * own_h[k]);
    }
    lua_settop(r->L, top);
}

/* What eddy currents and shorted turns change of the inductance at each frequency; in proportion, when it was measured. */
static const double complex *inductance_changes(const bind_query *r, size_t n, const double *f_hz)
{
    double complex *change_h = bind_buffer(r->L, n, sizeof *change_h);
    const int top = lua_gettop(r->L);
    const double *series = series_shares(r);
    bind_ask_change(r, series, series, n, f_hz, change_h);
    for (size_t i = 0; i < r->pickup->coils.count; i++)
        if (bind_pickup_coil(r->pickup, i)->shorted.turns > 0)
            add_short(r, i, series, n, f_hz, change_h);
    const figure l_h = inductance(r);
    const double computed_h = computed_inductance(r, series, series);
    for (size_t i = 0; l_h.measured && i < n; i++)
        change_h[i] *= l_h.si / computed_h;
    lua_settop(r->L, top);
    return change_h;
}

/* Where a network asks: from the lowest string to beyond every peak. Above, the last row holds. */
static const double lowest_hz = 20, highest_hz = 2e5;
enum { NETWORK_ROWS = 49 };

/* Of several coils with a short the mean; each holds down its own turns' share of the EMF. */
void bind_ask_shorts(const bind_query *r, ll_network_coil *out)
{
    double all = 0, within = 0, time_s = 0;
    for (size_t i = 0; i < r->pickup->coils.count; i++) {
        const bind_coil *coil = bind_pickup_coil(r->pickup, i);
        const double turns = coil->turns * in_use(coil), ohm = short_ohm(r, coil);
        all += turns;
        if (!(coil->shorted.turns > 0) || !(ohm > 0))
            continue;
        within += turns;
        time_s += turns * pow(1 - in_use(coil), 2) * bind_ask_inductance(r, i, i) / ohm;
    }
    out->shorted_share = all > 0 ? within / all : 0;
    out->shorted_s = within > 0 ? time_s / within : 0;
}

void bind_ask_lumped(const bind_query *r, ll_network_coil *out)
{
    bind_need_coil(r);
    figure ohm = dcr(r, ROOM_C), farad = capacitance(r);
    const double direct_ohm = need_figure(r, &ohm, "resistance", "dcr");
    out->c_f = need_figure(r, &farad, "own capacitance", "capacitance");
    bind_ask_shorts(r, out);
    const double static_h = inductance(r).si;
    ll_coil_row *rows = bind_buffer(r->L, NETWORK_ROWS, sizeof *rows);
    double f_hz[NETWORK_ROWS];
    for (int k = 0; k < NETWORK_ROWS; k++)
        f_hz[k] = lowest_hz * pow(highest_hz / lowest_hz, (double)k / (NETWORK_ROWS - 1));
    const double complex *change_h = inductance_changes(r, NETWORK_ROWS, f_hz);
    for (int k = 0; k < NETWORK_ROWS; k++)
        rows[k] =
            (ll_coil_row){f_hz[k], direct_ohm + fmax(0, -2 * LL_PI * f_hz[k] * cimag(change_h[k])),
                          static_h + creal(change_h[k])};
    out->row_count = change_h[NETWORK_ROWS - 1] == 0 ? 1 : NETWORK_ROWS;
    out->rows = rows;
    lua_pop(r->L, 1);
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

/* Of all coils together. */
static double turns(const bind_pickup *pickup)
{
    double sum = 0;
    for (size_t i = 0; i < pickup->coils.count; i++)
        sum += bind_pickup_coil(pickup, i)->turns;
    return sum;
}

/* Remarks that the row rests on. */
static void winding_notes(const bind_query *r, double temperature_c, bool wire_missing)
{
    char celsius[32];
    snprintf(celsius, sizeof celsius, "%.6g", temperature_c);
    bind_note(r->t,
              "computed: resistance from the length of wire and copper at %s degrees C; inductance "
              "static, steel included, without eddy currents (see impedance); capacitance an "
              "estimate from the "
              "winding's shape, poles and lead",
              celsius);
    bind_note(r->t, "resonance: of the coil alone, from l_h and c_f");
    note_capacitance(r);
    if (wire_missing)
        bind_note(r->t, "unknown: a coil has no wire; add wire = ll.awg(42), or what was measured");
}

/* pickup:winding{ temperature = 20 } */
static int winding_reading(const bind_query *r, const void *said)
{
    const winding_options *options = said;
    bind_need_coil(r);
    figure r_ohm = dcr(r, options->temperature_c), l_h = inductance(r), c_f = capacitance(r);
    bind_row_begin(r->t);
    bind_set(r->t, "turns", turns(r->pickup));
    bind_set(r->t, "wire_m", wire_length_m(r->pickup));
    set_figure(r->t, "dcr_ohm", &r_ohm);
    set_figure(r->t, "l_h", &l_h);
    set_figure(r->t, "c_f", &c_f);
    if (!c_f.unknown)
        bind_set(r->t, "resonance_hz", 1 / (2 * LL_PI * sqrt(l_h.si * c_f.si)));
    bind_set_text(r->t, "dcr_from", basis(&r_ohm));
    bind_set_text(r->t, "l_from", basis(&l_h));
    bind_set_text(r->t, "c_from", basis(&c_f));
    bind_row_end(r->t);
    winding_notes(r, options->temperature_c, r_ohm.unknown || c_f.unknown);
    return bind_result_end(r->t);
}

static const bind_column winding_columns[] = {
    {"turns", UNIT_NONE, ERROR_NONE, .meaning = "turns of all coils"},
    {"wire", UNIT_M, ERROR_MODEL,
     .meaning = "length of the wire, by the turn in the middle of the build"},
    {"dcr", UNIT_OHM, ERROR_MODEL,
     .meaning = "resistance, measured, or from the length of the wire"},
    {"l", UNIT_H, ERROR_MESH, .meaning = "inductance, measured, or static with all steel"},
    {"c", UNIT_F, ERROR_MODEL,
     .meaning = "own capacitance, measured, or estimated from the shape of the winding"},
    {"resonance", UNIT_HZ, ERROR_MODEL, .meaning = "of the coil alone, from l_h and c_f"},
    {"dcr_from", UNIT_NONE, ERROR_NONE,
     .meaning = "what dcr_ohm rests on: measured, computed, both or unknown", .text = true},
    {"l_from", UNIT_NONE, ERROR_NONE, .meaning = "what l_h rests on", .text = true},
    {"c_from", UNIT_NONE, ERROR_NONE, .meaning = "what c_f rests on", .text = true},
};
const bind_reading bind_reading_winding = {
    BIND_READING_NAME("winding", "a winding reading"),
    .meaning = "what an ohm meter and an LCR bridge read, measured or computed",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(winding_options, winding_table, &winding_defaults),
    BIND_READING_COLUMNS(winding_columns),
    .read = winding_reading};

/* How far eddy currents may put the rows off, the worst of them. */
static void note_eddy_error(const bind_query *r, size_t n, const double *f_hz, double static_h,
                            const double complex *change_h)
{
    const int top = lua_gettop(r->L);
    double complex *error_h = bind_buffer(r->L, n, sizeof *error_h);
    const double *series = series_shares(r);
    bind_ask_change_error(r, series, series, n, f_hz, error_h);
    double of_l = 0, of_r = 0;
    for (size_t k = 0; k < n; k++) {
        of_l = fmax(of_l, creal(error_h[k]) / fabs(static_h + creal(change_h[k])));
        if (cimag(change_h[k]) != 0)
            of_r = fmax(of_r, cimag(error_h[k]) / fabs(cimag(change_h[k])));
    }
    lua_settop(r->L, top);
    if (!(of_r > 0))
        return;
    char l_percent[32], r_percent[32];
    snprintf(l_percent, sizeof l_percent, "%.1g", 100 * of_l);
    snprintf(r_percent, sizeof r_percent, "%.1g", 100 * of_r);
    bind_note(r->t, "eddy currents: extra_ohm within %s %%, l_h by their share within %s %%",
              r_percent, l_percent);
}

/* pickup:impedance{ f = {...} } */
static int impedance_reading(const bind_query *r, const void *said)
{
    const impedance_options *options = said;
    bind_need_coil(r);
    figure r_ohm = dcr(r, options->temperature_c), l_h = inductance(r);
    const double direct_ohm = r_ohm.si, static_h = l_h.si, *f_hz = options->f_hz.values;
    const double complex *change_h = inductance_changes(r, options->f_hz.count, f_hz);
    for (size_t i = 0; i < options->f_hz.count; i++) {
        const double extra_ohm = -2 * LL_PI * f_hz[i] * cimag(change_h[i]);
        r_ohm.si = direct_ohm + extra_ohm;
        l_h.si = static_h + creal(change_h[i]);
        bind_row_begin(r->t);
        bind_set(r->t, "f_hz", f_hz[i]);
        set_figure(r->t, "r_ohm", &r_ohm);
        set_figure(r->t, "l_h", &l_h);
        bind_set(r->t, "extra_ohm", extra_ohm);
        bind_row_end(r->t);
    }
    bind_note(r->t,
              "winding and eddy currents, without the winding's own capacitance; extra_ohm is the "
              "eddy currents' part of r_ohm");
    note_eddy_error(r, options->f_hz.count, f_hz, static_h, change_h);
    bind_note_joined_sheet(r);
    if (r_ohm.unknown)
        bind_note(r->t,
                  "r_ohm unknown: a coil has no wire; add wire = ll.awg(42), or a measured dcr");
    return bind_result_end(r->t);
}

static const bind_column impedance_columns[] = {
    {"f", UNIT_HZ, ERROR_NONE, .meaning = "frequency"},
    {"r", UNIT_OHM, ERROR_MODEL,
     .meaning = "resistance of the wire and of the eddy currents, without own capacitance"},
    {"l", UNIT_H, ERROR_MESH, .meaning = "inductance with eddy currents, without own capacitance"},
    {"extra", UNIT_OHM, ERROR_MESH, .meaning = "the eddy currents' part of r_ohm"},
};
const bind_reading bind_reading_impedance = {
    BIND_READING_NAME("impedance", "an impedance reading"),
    .meaning = "resistance and inductance at each frequency, without own capacitance",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(impedance_options, impedance_table, &impedance_defaults),
    BIND_READING_COLUMNS(impedance_columns),
    .read = impedance_reading};
