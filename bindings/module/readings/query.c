/* query.c - the engine as readings see it: solved once, when first asked.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/readings/query.h"
#include "module/base/fault.h"
#include "module/base/output.h"
#include "module/base/settings.h"
#include "module/nouns/steel_sheets.h"
#include "string/hearing.h"
#include <math.h>

bool bind_go_on(lua_State *L, const char *what, double share_done)
{
    const bind_limits *limits = bind_limits_of(L);
    bind_show_progress(L, what, share_done);
    return !limits->go_on || limits->go_on();
}

/* What the engine calls while it works. */
static bool tell(void *context, double share_done)
{
    return bind_go_on(context, "solving", share_done);
}

bool bind_may_ask(const bind_query *r)
{
    bind_check *check = bind_check_of(r->L);
    if (check->on) {
        check->placeholders_used = true;
        return false;
    }
    if (!r->pickup->estimator)
        bind_raise(r->L, "%s: the pickup was closed", r->place);
    lua_gc(r->L, LUA_GCCOLLECT); /* earlier pickups hold memory that Lua does not see */
    return true;
}

/* Each kind's worst goes to the table. */
static void note_error(const bind_query *r, const bind_measure *m, double wider, size_t kinds,
                       size_t count, const double *values, const double *error)
{
    for (size_t k = 0; k < kinds; k++) {
        double largest = 0, worst = 0;
        for (size_t i = k * count; i < (k + 1) * count; i++) {
            largest = fmax(largest, fabs(values[i]));
            worst = fmax(worst, error[i]);
        }
        const double scale = fmax(largest, m->least[k]);
        if (scale > 0)
            bind_mesh_error_add(
                &r->t->error, &(bind_mesh_error){
                                  .error = worst / scale,
                                  .accuracy = wider * ll_estimator_accuracy(r->pickup->estimator),
                                  .measure = largest < m->least[k] ? m->words : "the largest value",
                                  .widest = largest > 0 ? worst / largest : 0});
    }
}

/* Takes a reading of count values of each kind with its mesh error. */
static ll_status ask_kinds(const bind_query *r, const bind_measure *m, double wider, void *context,
                           size_t kinds, size_t count, double *values)
{
    lua_State *L = r->L;
    const ll_progress progress = {tell, L};
    double *error = bind_buffer(L, kinds * count, sizeof *error);
    const ll_status status =
        ll_estimator_read_kinds(r->pickup->estimator, &progress, m->read, context, kinds, m->least,
                                wider, count, values, error);
    bind_show_progress(L, NULL, 1);
    if (!status)
        note_error(r, m, wider, kinds, count, values, error);
    lua_pop(L, 1);
    return status;
}

static ll_status ask(const bind_query *r, const bind_measure *m, void *context, size_t count,
                     double *values)
{
    return ask_kinds(r, m, 1, context, 1, count, values);
}

bool bind_ask_wider(const bind_query *r, const bind_measure *measure, double wider, void *context,
                    size_t kinds, size_t count, double *values)
{
    if (!bind_may_ask(r))
        return false;
    bind_demand(r->L, ask_kinds(r, measure, wider, context, kinds, count, values), r->place);
    return true;
}

bool bind_ask(const bind_query *r, const bind_measure *measure, void *context, size_t kinds,
              size_t count, double *values)
{
    return bind_ask_wider(r, measure, 1, context, kinds, count, values);
}

/* The solution that one of the estimator's functions gives. */
static const ll_solution *ask_solution(const bind_query *r,
                                       ll_status (*estimator)(ll_estimator *, const ll_progress *,
                                                              const ll_solution **))
{
    const ll_solution *solution = NULL;
    const ll_progress progress = {tell, r->L};
    if (!bind_may_ask(r))
        return NULL;
    bind_demand(r->L, estimator(r->pickup->estimator, &progress, &solution), r->place);
    bind_show_progress(r->L, NULL, 1);
    return solution;
}

const ll_solution *bind_ask_solution(const bind_query *r)
{
    return ask_solution(r, ll_estimator_solution);
}

const ll_solution *bind_ask_draft(const bind_query *r)
{
    return ask_solution(r, ll_estimator_draft);
}

/* What a question is about; each reading uses what it needs. */
typedef struct question {
    lua_State *L;
    size_t n, part, coil, other_coil;
    const ll_vec3 *points_m;
    const ll_string *string; /* or n of them */
    const double *share;
    const double *x_m, *z_m;
    double height_m;
} question;

/* Three values a point. */
static ll_status read_b(const ll_solution *s, void *context, double *values)
{
    const question *q = context;
    return ll_solution_b(s, q->n, q->points_m, (ll_vec3 *)values);
}

static ll_status read_section(const ll_solution *s, void *context, double *values)
{
    const question *q = context;
    return ll_solution_sections_bz(s, q->part, q->height_m, values);
}

static ll_status read_inductance(const ll_solution *s, void *context, double *values)
{
    const question *q = context;
    return ll_solution_inductance(s, q->coil, q->other_coil, values);
}

/* Place by place, so that limits are met between them. */
static ll_status read_linkage(const ll_solution *s, void *context, double *values)
{
    const question *q = context;
    ll_status status = LL_OK;
    for (size_t i = 0; i < q->n && !status; i++)
        status =
            bind_go_on(q->L, "reading", (double)i / (double)q->n)
                ? ll_string_linkage(s, q->coil, q->string, 1, &q->x_m[i], &q->z_m[i], &values[i])
                : LL_CANCELLED;
    return status;
}

/* Two values a string: up and to the treble side. */
static ll_status read_slopes(const ll_solution *s, void *context, double *values)
{
    const question *q = context;
    for (size_t i = 0; i < q->n; i++) {
        ll_hearing *hearing = NULL;
        if (!bind_go_on(q->L, "reading", (double)i / (double)q->n))
            return LL_CANCELLED;
        const ll_status status = ll_hearing_new(s, q->share, &q->string[i], &hearing);
        if (status)
            return status;
        ll_hearing_total(hearing, &values[2 * i], &values[2 * i + 1]);
        ll_hearing_free(hearing);
    }
    return LL_OK;
}

/* Where magnets cancel little is left, and its error in per cent would say nothing. */
static const bind_measure measure_b = {read_b, (const double[]){5e-3}, "5 mT, as all are smaller"},
                          measure_section = {read_section, (const double[]){5e-3},
                                             "5 mT, as it is smaller"},
                          measure_inductance = {read_inductance, (const double[]){0}, ""},
                          measure_linkage = {read_linkage, (const double[]){1e-6},
                                             "1 uWb, as all are smaller"},
                          measure_slopes = {read_slopes, (const double[]){5e-3},
                                            "5 mV, as all are smaller"};

void bind_ask_b(const bind_query *r, size_t n, const ll_vec3 *points_m, ll_vec3 *b_t)
{
    question q = {.n = n, .points_m = points_m};
    if (bind_may_ask(r)) {
        bind_demand(r->L, ask(r, &measure_b, &q, 3 * n, &b_t[0].x), r->place);
        return;
    }
    for (size_t i = 0; i < n; i++)
        b_t[i] = ll_vec(0, 0, 0.05); /* as if it were a pole's end */
}

double bind_ask_section_bz(const bind_query *r, size_t part, double z_m)
{
    question q = {.part = part, .height_m = z_m};
    double bz_t[LL_SECTIONS] = {0.1};
    if (!bind_may_ask(r))
        return bz_t[0];
    const ll_status status = ask(r, &measure_section, &q, LL_SECTIONS, bz_t);
    if (status == LL_OUTSIDE_PART)
        bind_raise(r->L, "%s: the plane z = %s does not cut %s", r->place,
                   bind_quantity(r->L, UNIT_MM, z_m), bind_part_label(r->L, r->pickup, part));
    bind_demand(r->L, status, r->place);
    return bz_t[0];
}

double bind_ask_inductance(const bind_query *r, size_t i, size_t j)
{
    question q = {.coil = i, .other_coil = j};
    double l_h = i == j ? 2.5 : 0.2;
    if (bind_may_ask(r))
        bind_demand(r->L, ask(r, &measure_inductance, &q, 1, &l_h), r->place);
    return l_h;
}

const ll_eddies *bind_ask_eddies(const bind_query *r, size_t n, const double *f_hz)
{
    const ll_eddies *eddies = NULL;
    const ll_progress progress = {tell, r->L};
    if (n == 0 || !bind_may_ask(r))
        return NULL;
    bind_demand(r->L, ll_estimator_eddies(r->pickup->estimator, &progress, n, f_hz, &eddies),
                r->place);
    bind_show_progress(r->L, NULL, 1);
    return eddies;
}

/* A change of inductance, or how far it may be off. */
typedef ll_status (*of_two_coils)(const ll_eddies *eddies, size_t i, size_t j, size_t n,
                                  const double *f_hz, double complex *values);

/* Sum over coils i and j of a[i] b[j] (errors: of its size) times what is asked of them, added. */
static ll_status sum_over_coils(const bind_query *r, const ll_eddies *eddies, of_two_coils asked,
                                const double *a, const double *b, size_t n, const double *f_hz,
                                double complex *own, double complex *sum)
{
    const size_t coils = r->pickup->coils.count;
    ll_status status = LL_OK;
    for (size_t k = 0; k < coils * coils && !status; k++) {
        const double product = a[k / coils] * b[k % coils];
        const double factor = asked == ll_eddies_inductance_error ? fabs(product) : product;
        if (factor == 0)
            continue;
        status = asked(eddies, k / coils, k % coils, n, f_hz, own);
        for (size_t m = 0; m < n && !status; m++)
            sum[m] += factor * own[m];
    }
    return status;
}

static void ask_two_coils(const bind_query *r, of_two_coils asked, const double *a, const double *b,
                          size_t n, const double *f_hz, double complex *sum)
{
    lua_State *L = r->L;
    const ll_eddies *eddies = bind_ask_eddies(r, n, f_hz);
    double complex *own = bind_buffer(L, n, sizeof *own);
    if (eddies)
        bind_demand(L, sum_over_coils(r, eddies, asked, a, b, n, f_hz, own, sum), r->place);
    lua_pop(L, 1);
}

void bind_ask_change(const bind_query *r, const double *a, const double *b, size_t n,
                     const double *f_hz, double complex *change_h)
{
    ask_two_coils(r, ll_eddies_inductance, a, b, n, f_hz, change_h);
}

void bind_ask_change_error(const bind_query *r, const double *a, const double *b, size_t n,
                           const double *f_hz, double complex *error_h)
{
    ask_two_coils(r, ll_eddies_inductance_error, a, b, n, f_hz, error_h);
}

void bind_ask_linkage(const bind_query *r, size_t coil, const ll_string *string, double factor,
                      size_t n, const double *x_m, const double *z_m, double *sum_wb)
{
    lua_State *L = r->L;
    question q = {.L = L, .coil = coil, .string = string, .n = n, .x_m = x_m, .z_m = z_m};
    if (!bind_may_ask(r))
        return;
    double *linkage_wb = bind_buffer(L, n, sizeof *linkage_wb);
    bind_demand(L, ask(r, &measure_linkage, &q, n, linkage_wb), r->place);
    for (size_t i = 0; i < n; i++)
        sum_wb[i] += factor * linkage_wb[i];
    lua_pop(L, 1);
}

void bind_ask_slopes(const bind_query *r, size_t n, const ll_string *strings, const double *share,
                     double *slopes_wb_m)
{
    question q = {.L = r->L, .n = n, .string = strings, .share = share};
    if (!bind_ask(r, &measure_slopes, &q, 1, 2 * n, slopes_wb_m))
        for (size_t i = 0; i < 2 * n; i++)
            slopes_wb_m[i] = i % 2 ? -0.01 : -0.1;
}

const double *bind_shares(const bind_query *r)
{
    const size_t coils = r->pickup->coils.count;
    double *share = bind_buffer(r->L, coils, sizeof *share);
    for (size_t i = 0; i < coils; i++)
        share[i] = bind_coil_sign(r->pickup, i);
    return share;
}

void bind_note_joined_sheet(const bind_query *r)
{
    if (!bind_push_joined_sheet(r->L, r->pickup))
        return;
    bind_note(r->t, "%s", lua_tostring(r->L, -1));
    lua_pop(r->L, 1);
}

void bind_need_coil(const bind_query *r)
{
    if (r->pickup->coils.count == 0 && !r->pickup->head.wrong)
        bind_raise(r->L,
                   "%s: it needs a coil and the pickup has none; add coils = { ll.coil{...} }",
                   r->place);
}
