/* reading_hum.c - what a pickup takes up from fields far away, and the screwdriver test of its phase.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "module/base/fault.h"
#include "module/base/rows.h"
#include "module/readings/reader.h"
#include "reading/hum.h"
#include <math.h>

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
const bind_noun bind_hum_noun = {
    .name = "hum", .article = "a hum reading", BIND_NOUN_FIELDS(hum_table)};

/* The even field, and the vertical field that grows along the same direction. */
enum { DIRECTIONS = 3, FIELDS = 2 * DIRECTIONS };
static const char *const direction_names[] = {"x, across the strings", "y, along the strings",
                                              "z, up to the strings"};
/* An uneven field is none in the pickup's middle and grows by as much as the even one has over this. */
static const double grows_over_m = 0.1;

typedef struct hum_question {
    size_t coils;
    double field_t;
    ll_vec3 about_m;
} hum_question;

static ll_outside_field outside(const hum_question *q, size_t k)
{
    const double h = q->field_t / LL_MU0, g = h / grows_over_m;
    ll_outside_field f = {.about_m = q->about_m};
    const size_t d = k % DIRECTIONS;
    if (k < DIRECTIONS) {
        f.even_a_m = ll_vec(d == 0 ? h : 0, d == 1 ? h : 0, d == 2 ? h : 0);
    } else if (d == 2) {
        f.gradient_a_m2[2][2] = g;
        f.gradient_a_m2[0][0] = f.gradient_a_m2[1][1] = -g / 2;
    } else {
        f.gradient_a_m2[2][d] = f.gradient_a_m2[d][2] = g;
    }
    return f;
}

/* values[fields][coils] in Wb. */
static ll_status read_hum(const ll_solution *s, void *context, double *values)
{
    const hum_question *q = context;
    ll_status status = LL_OK;
    for (size_t k = 0; k < FIELDS * q->coils && !status; k++) {
        const ll_outside_field field = outside(q, k / q->coils);
        status = ll_hum_linkage(s, k % q->coils, &field, &values[k]);
    }
    return status;
}

static const bind_measure measure_hum = {read_hum, (const double[]){1e-9},
                                         "1 nWb, as all are smaller"};

/* Halfway between all coils. */
static ll_vec3 middle_of(const bind_pickup *pickup)
{
    ll_vec3 sum = ll_vec(0, 0, 0);
    for (size_t i = 0; i < pickup->coils.count; i++)
        sum = ll_add(sum, bind_pickup_coil(pickup, i)->pose.origin_m);
    return ll_scale(1 / (double)pickup->coils.count, sum);
}

/* Voltage of the hot lead, and by how much the coils' cancellation lowers it: nothing for one coil. */
static void set_field(const bind_reader *r, const char *mv, const char *db, double omega,
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
    bind_set(r->L, mv, -bind_hot_sign(r->pickup) * omega * sum);
    if (coils > 1 && all > 0)
        bind_set(r->L, db, 20 * log10(fmax(fabs(sum) / all, 1e-6)));
}

/* pickup:hum{ f = 50, field = 0.001 } */
int bind_reading_hum(lua_State *L)
{
    bind_reader r = bind_begin_reading(L, "hum");
    hum_options options = hum_defaults;
    bind_reading_options(&r, &bind_hum_noun, &options);
    bind_need_coil(&r);
    const size_t coils = r.pickup->coils.count;
    double *linkage_wb = bind_buffer(L, FIELDS * coils, sizeof *linkage_wb);
    hum_question q = {coils, options.field_t, coils ? middle_of(r.pickup) : ll_vec(0, 0, 0)};
    if (!bind_ask(&r, &measure_hum, &q, 1, FIELDS * coils, linkage_wb))
        for (size_t i = 0; i < FIELDS * coils; i++)
            linkage_wb[i] = 1e-6;
    const double omega = 2 * LL_PI * options.f_hz;
    bind_result_begin(L);
    for (size_t d = 0; d < DIRECTIONS; d++) {
        bind_row_begin(L);
        bind_set_text(L, "direction", direction_names[d]);
        set_field(&r, "even_mv", "even_db", omega, linkage_wb + d * coils);
        set_field(&r, "uneven_mv", "uneven_db", omega, linkage_wb + (DIRECTIONS + d) * coils);
        bind_row_end(L);
    }
    bind_note(L,
              "open-circuit voltage, rms, its sign that of the phase; even: the same field "
              "everywhere, along "
              "the direction; uneven: a vertical field, none in the middle, that grows along the "
              "direction by as much over 100 mm");
    if (coils > 1)
        bind_note(L,
                  "db: against the coils all adding; without screening, leads and eddy currents");
    return bind_result_end(L, "direction even_mv even_db uneven_mv uneven_db", "hum");
}

/* ---- the screwdriver ---- */

/* A blade of 5 mm, 0.5 mm above the pole, as soft as any steel at hand. */
static const double blade_m = 5e-3, gap_m = 0.5e-3;
/* A face weaker than this shows neither end of a needle for sure. */
static const double weak_t = 2e-3;

/* Hot against ground, of the coil that the pole is in, while the blade leaves at 1 m/s. */
static double leaving_v(const bind_reader *r, const bind_part *pole, const ll_material *steel,
                        size_t coil)
{
    lua_State *L = r->L;
    const ll_string blade = {.diameter_m = blade_m,
                             .core_diameter_m = blade_m,
                             .material = steel,
                             .x_m = pole->pose.origin_m.x,
                             .z_m = bind_part_top_m(pole) + gap_m + blade_m / 2};
    double *share = bind_buffer(L, r->pickup->coils.count, sizeof *share), slopes_wb_m[2];
    share[coil] = bind_coil_sign(r->pickup, coil);
    bind_ask_slopes(r, 1, &blade, share, slopes_wb_m);
    lua_pop(L, 1);
    return -bind_hot_sign(r->pickup) * slopes_wb_m[0];
}

/* What the bench sees at one pole. */
typedef struct test_result {
    const char *pole, *coil;
    double b_t, v;
} test_result;

/* Pushes the two names, which must stay for as long as the result. */
static test_result try_pole(const bind_reader *r, size_t index, const ll_material *steel)
{
    const bind_part *pole = bind_pickup_part(r->pickup, index);
    const size_t coil = bind_pole_coil(r->pickup, pole);
    const ll_vec3 above =
        ll_vec(pole->pose.origin_m.x, pole->pose.origin_m.y, bind_part_top_m(pole) + gap_m);
    ll_vec3 b_t;
    bind_ask_b(r, 1, &above, &b_t);
    const double v = leaving_v(r, pole, steel, coil);
    const char *label = bind_part_label(r->L, r->pickup, index);
    return (test_result){pole->name ? pole->name : label, bind_coil_name(r->L, r->pickup, coil),
                         b_t.z, v};
}

static void screwdriver_row(lua_State *L, const test_result *t)
{
    const bool weak = fabs(t->b_t) < weak_t;
    bind_row_begin(L);
    bind_set_text(L, "pole", t->pole);
    bind_set_text(L, "coil", t->coil);
    bind_set_text(L, "shows", weak ? "weak" : t->b_t > 0 ? "N" : "S");
    bind_set_text(L, "needle", weak ? "neither" : t->b_t > 0 ? "south" : "north");
    bind_set_text(L, "meter", t->v > 0 ? "positive" : t->v < 0 ? "negative" : "still");
    bind_row_end(L);
}

/* pickup:screwdriver() */
int bind_reading_screwdriver(lua_State *L)
{
    bind_reader r = bind_begin_reading(L, "screwdriver");
    bind_need_coil(&r);
    size_t *poles = bind_buffer(L, r.pickup->parts.count, sizeof *poles);
    const size_t count = r.pickup->head.wrong ? 0 : bind_poles(r.pickup, poles);
    if (count == 0 && !r.pickup->head.wrong)
        bind_raise(L, "%s: the pickup has no poles to lay a blade on", r.place);
    bind_push_named_material(L, "steel 1018");
    const bind_material *steel = bind_test(L, -1, &bind_noun_material);
    test_result *result = bind_buffer(L, count, sizeof *result);
    luaL_checkstack(L, 2 * (int)count + 20, "too many poles");
    for (size_t i = 0; i < count; i++)
        result[i] = try_pole(&r, poles[i], steel->material);
    bind_result_begin(L);
    for (size_t i = 0; i < count; i++)
        screwdriver_row(L, &result[i]);
    bind_note(
        L, "meter: hot lead against ground while a steel blade is pulled off the pole; laid on it, "
           "the "
           "other way. needle: the end of a compass needle that the pole draws. Two pickups are in "
           "phase when all their poles move the meter the same way");
    return bind_result_end(L, "pole coil shows needle meter", "screwdriver");
}
