/* reading_magnet.c - where on their curves the magnets of a pickup work.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "module/base/fault.h"
#include "module/readings/query.h"

typedef struct operating_options {
    const char *part;
} operating_options;

static const bind_field operating_table[] = {
    {"part", FIELD_TEXT, offsetof(operating_options, part),
     .meaning = "name of a magnet; all magnets when left out"},
};

static bool is_magnet(const bind_pickup *pickup, size_t i)
{
    const ll_material *m = bind_pickup_part(pickup, i)->material;
    return m && ll_material_kind(m) == LL_MAGNET;
}

/* The magnets that are asked for; returns how many. */
static size_t choose(const bind_query *r, const char *part, size_t *chosen)
{
    size_t n = 0;
    if (part && !r->pickup->head.wrong) {
        chosen[0] = bind_find_part(r, part);
        if (is_magnet(r->pickup, chosen[0]))
            return 1;
        bind_raise(r->L, "%s: %s is no magnet", r->place,
                   bind_part_label(r->L, r->pickup, chosen[0]));
    }
    for (size_t i = 0; i < r->pickup->parts.count; i++)
        if (is_magnet(r->pickup, i))
            chosen[n++] = i;
    if (n == 0 && !r->pickup->head.wrong)
        bind_raise(r->L, "%s: the pickup has no magnet", r->place);
    return n;
}

/* What is asked of the engine: for each magnet three values, all in tesla. */
typedef struct question {
    size_t n;
    const size_t *parts;
} question;

static ll_status read_operating(const ll_solution *s, void *context, double *values)
{
    const question *q = context;
    ll_status status = LL_OK;
    for (size_t i = 0; i < q->n && !status; i++) {
        ll_operating_point point;
        status = ll_solution_operating_point(s, q->parts[i], &point);
        if (status)
            break;
        values[3 * i] = point.b_t;
        values[3 * i + 1] = LL_MU0 * point.h_a_m;
        values[3 * i + 2] = LL_MU0 * point.lowest_h_a_m;
    }
    return status;
}

static const bind_measure measure_operating = {read_operating, (const double[]){5e-3},
                                               "5 mT, as all are smaller"};

/* Placeholders in a check. */
static void ask(const bind_query *r, size_t n, const size_t *parts, ll_operating_point *points)
{
    question q = {n, parts};
    double *values = bind_buffer(r->L, 3 * n, sizeof *values);
    const bool asked = bind_ask(r, &measure_operating, &q, 1, 3 * n, values);
    for (size_t i = 0; i < n; i++)
        points[i] = asked ? (ll_operating_point){values[3 * i], values[3 * i + 1] / LL_MU0,
                                                 values[3 * i + 2] / LL_MU0}
                          : (ll_operating_point){0.8, -40e3, -40e3};
    lua_pop(r->L, 1);
}

/* H of a magnet without a field has no load line; the mean over a volume is never quite zero. */
static void set_load_line(const bind_result *t, const ll_operating_point *p)
{
    const double steepest = 1e4, h_t = -LL_MU0 * p->h_a_m;
    if (p->b_t > 0 && h_t * steepest > p->b_t)
        bind_set(t, "load_line", p->b_t / h_t);
}

static void magnet_row(const bind_query *r, size_t index, const ll_operating_point *p)
{
    bind_row_begin(r->t);
    bind_set_text(r->t, "part", bind_part_name(r->L, r->pickup, index));
    bind_set_text(r->t, "material", ll_material_name(bind_pickup_part(r->pickup, index)->material));
    bind_set(r->t, "b_mt", p->b_t);
    bind_set(r->t, "h_kam", p->h_a_m);
    set_load_line(r->t, p);
    bind_set(r->t, "lowest_kam", p->lowest_h_a_m);
    bind_row_end(r->t);
}

/* pickup:operating{ part = "bar" } */
static int operating_reading(const bind_query *r, const void *said)
{
    lua_State *L = r->L;
    const operating_options *options = said;
    const size_t room = r->pickup->parts.count;
    size_t *chosen = bind_buffer(L, room, sizeof *chosen);
    ll_operating_point *points = bind_buffer(L, room, sizeof *points);
    const size_t n = choose(r, options->part, chosen);
    ask(r, n, chosen, points);
    for (size_t i = 0; i < n; i++)
        magnet_row(r, chosen[i], &points[i]);
    bind_note(r->t, "means over each magnet along its magnetisation; load_line: B over -mu0 H; "
                    "lowest: H that demagnetised it most, from where it recoils");
    return bind_result_end(r->t);
}

static const bind_column operating_columns[] = {
    {"part", UNIT_NONE, ERROR_NONE, .meaning = "name of the magnet", .text = true},
    {"material", UNIT_NONE, ERROR_NONE, .meaning = "what it is made of", .text = true},
    {"b", UNIT_MT, ERROR_MESH,
     .meaning = "flux density along its magnetisation, mean over its volume"},
    {"h", UNIT_KA_M, ERROR_MESH,
     .meaning = "field along its magnetisation, mean over its volume; negative as a rule"},
    {"load_line", UNIT_NONE, ERROR_MESH, .meaning = "B over -mu0 H; none where there is no field"},
    {"lowest", UNIT_KA_M, ERROR_MESH,
     .meaning = "the field that demagnetised it most, from where it recoils"},
};
const bind_reading bind_reading_operating = {
    BIND_READING_NAME("operating", "an operating reading"),
    .title = "operating point",
    .meaning = "where on its curve each magnet works, means over its volume",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(operating_options, operating_table, NULL),
    BIND_READING_COLUMNS(operating_columns),
    .read = operating_reading};
