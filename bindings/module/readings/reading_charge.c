/* reading_charge.c - magnets of a pickup that are charged or knocked back elsewhere, and what they are worth once they are back.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/past.h"
#include "magnetics/solve.h"
#include "module/base/fault.h"
#include "module/base/output.h"
#include "module/readings/query.h"
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { BEFORE_VIRGIN, BEFORE_FULL };
static const char *const before_words[] = {"virgin", "full", NULL};

typedef struct charge_options {
    bind_objects through; /* bind_pickup */
    bind_list current_a;
    const char *part;
    int before;
    double standoff_m, coercivity_a_m;
} charge_options;

static const charge_options usual = {.standoff_m = 0.5e-3};

static const bind_field charge_table[] = {
    {"through", FIELD_OBJECTS, offsetof(charge_options, through),
     .meaning = "pickup or list of pickups, such as a charger, where magnets of the same names are "
                "one after the other",
     .required = true, .of = &bind_noun_pickup},
    {"currents", FIELD_LIST, offsetof(charge_options, current_a),
     .meaning = "list of the amperes in the coils of each, positive: field along the coil's axis; "
                "none when left out",
     .unit = UNIT_NONE, .low = -1e6, .high = 1e6, .width = 1},
    {"part", FIELD_TEXT, offsetof(charge_options, part),
     .meaning = "name of a magnet; all whose law is a curve when left out"},
    {"before", FIELD_CHOICE, offsetof(charge_options, before),
     .meaning = "what the magnets are before: virgin, when left out, or full",
     .words = before_words},
    {"standoff", FIELD_NUMBER, offsetof(charge_options, standoff_m),
     .meaning = "height of the probe over the north face; 0.5 mm when left out", .unit = UNIT_MM,
     .high = 100},
    {"coercivity", FIELD_NUMBER, offsetof(charge_options, coercivity_a_m),
     .meaning = "HcJ, for a magnet whose law is straight: ferrite, NdFeB", .unit = UNIT_KA_M,
     .high = 1e4, .above_low = true},
};

/* ---- which magnets, and where they are ---- */

/* A way through pickups: home, those between, home. */
typedef struct way {
    const charge_options *said;
    const bind_pickup *home;
    size_t stages, magnets;
    size_t *magnet;      /* [magnets] part numbers at home */
    ll_past **past;      /* [magnets] */
    struct worth *worth; /* [stages + 1][magnets]; the last: charged to the full, at home */
} way;

typedef struct worth {
    bool here;
    ll_magnetised m;
    double face_t; /* along north */
} worth;

static const bind_pickup *stage_of(const way *w, size_t stage)
{
    return stage == 0 || stage + 1 >= w->stages ? w->home : w->said->through.items[stage - 1];
}

static double current_of(const way *w, size_t stage)
{
    const bind_list *list = &w->said->current_a;
    return list->count && stage > 0 && stage + 1 < w->stages ? list->values[stage - 1] : 0;
}

/* The part of that stage which is the magnet, or SIZE_MAX. */
static size_t find_there(const way *w, size_t stage, size_t magnet)
{
    const bind_pickup *p = stage_of(w, stage);
    if (p == w->home)
        return w->magnet[magnet];
    for (size_t i = 0; i < p->parts.count; i++) {
        const char *name = bind_pickup_part(p, i)->name;
        if (name && strcmp(name, bind_pickup_part(w->home, w->magnet[magnet])->name) == 0)
            return i;
    }
    return SIZE_MAX;
}

static bool is_charged(const charge_options *said, const bind_part *part)
{
    if (!part->material || ll_material_kind(part->material) != LL_MAGNET)
        return false;
    if (said->part)
        return part->name && strcmp(part->name, said->part) == 0;
    return !ll_material_is_linear(part->material);
}

static void choose_magnets(const bind_query *r, way *w)
{
    if (w->said->part)
        bind_find_part(r, w->said->part);
    for (size_t i = 0; i < w->home->parts.count; i++) {
        const bind_part *part = bind_pickup_part(w->home, i);
        if (!is_charged(w->said, part))
            continue;
        if (!part->name)
            bind_raise(r->L, "%s: %s needs a name, by which it is found in the charger", r->place,
                       bind_part_label(r->L, w->home, i));
        if (ll_material_is_linear(part->material) && w->said->coercivity_a_m == 0)
            bind_raise(r->L, "%s: %s has a straight law; give its 'coercivity', HcJ in kA/m",
                       r->place, bind_part_label(r->L, w->home, i));
        if (ll_material_mu_r(part->material) <= 1)
            bind_raise(r->L, "%s: %s has a recoil of 1; give it that of its grade, such as 1.05",
                       r->place, bind_part_label(r->L, w->home, i));
        w->magnet[w->magnets++] = i;
    }
    if (w->magnets == 0)
        bind_raise(r->L,
                   "%s: no magnet whose law is a curve, such as AlNiCo 5; name one of another "
                   "material with 'part'",
                   r->place);
}

/* ---- what would go wrong ---- */

static const char *stage_name(lua_State *L, const way *w, size_t stage)
{
    const bind_pickup *p = stage_of(w, stage);
    if (stage == 0 || stage + 1 == w->stages)
        return stage == 0 ? "before" : "after";
    return p->name ? p->name : lua_pushfstring(L, "stage %I", (lua_Integer)stage);
}

/* The same piece of the same material. */
static void check_same(const bind_query *r, const way *w, size_t stage, size_t magnet, size_t there)
{
    const bind_part *a = bind_pickup_part(w->home, w->magnet[magnet]);
    const bind_part *b = bind_pickup_part(stage_of(w, stage), there);
    const ll_vec3 d = ll_sub(a->shape.size_m, b->shape.size_m);
    if (a->shape.kind != b->shape.kind || ll_norm(d) > 1e-9 ||
        !ll_material_equal(a->material, b->material))
        bind_raise(r->L,
                   "%s: %s is another piece in %s: there it must have the same shape, size and "
                   "material; move it with moved() or turned()",
                   r->place, bind_quoted(r->L, a->name), stage_name(r->L, w, stage));
}

static bool needs_room(const bind_part *part)
{
    return part->material && ll_material_mu_r(part->material) > 1 + 1e-9;
}

static void check_room(const bind_query *r, const way *w, size_t stage)
{
    static const double least_m = 2.5e-6;
    const bind_pickup *p = stage_of(w, stage);
    for (size_t i = 0; i < p->parts.count; i++)
        for (size_t j = 0; j < i; j++) {
            const bind_part *a = bind_pickup_part(p, i), *b = bind_pickup_part(p, j);
            if (needs_room(a) && needs_room(b) &&
                -ll_shape_overlap_m(&a->shape, &a->pose, &b->shape, &b->pose) < least_m)
                bind_raise(r->L,
                           "%s: in %s, %s touches %s; leave the 0.02 mm or more that paint and "
                           "roughness leave",
                           r->place, stage_name(r->L, w, stage), bind_part_label(r->L, p, i),
                           bind_part_label(r->L, p, j));
        }
}

static void check_stage(const bind_query *r, const way *w, size_t stage)
{
    size_t here = 0;
    const bind_pickup *p = stage_of(w, stage);
    if (!p->scene)
        bind_raise(r->L, "%s: %s was closed", r->place, stage_name(r->L, w, stage));
    for (size_t k = 0; k < w->magnets; k++) {
        const size_t there = find_there(w, stage, k);
        here += there != SIZE_MAX;
        if (there != SIZE_MAX)
            check_same(r, w, stage, k, there);
    }
    if (here == 0)
        bind_raise(r->L, "%s: %s holds none of the magnets: give them the same names there",
                   r->place, stage_name(r->L, w, stage));
    if (current_of(w, stage) != 0 && p->coils.count == 0)
        bind_raise(r->L, "%s: a current flows in %s, which has no coil", r->place,
                   stage_name(r->L, w, stage));
    check_room(r, w, stage);
}

/* ---- the way; nothing raises while pasts are held ---- */

static bool tell(void *context, double share_done)
{
    return bind_go_on(context, "charging", share_done);
}

/* Solves one stage with the pasts as they are. */
static ll_status solve_stage(lua_State *L, const way *w, size_t stage, ll_solution **out)
{
    const bind_pickup *p = stage_of(w, stage);
    const ll_past **past = calloc(p->parts.count + 1, sizeof *past);
    double *current = calloc(p->coils.count + 1, sizeof *current);
    ll_status status = past && current ? LL_OK : LL_NO_MEMORY;
    for (size_t k = 0; k < w->magnets && !status; k++) {
        const size_t there = find_there(w, stage, k);
        if (there != SIZE_MAX)
            past[there] = w->past[k];
    }
    for (size_t i = 0; i < p->coils.count && !status; i++)
        current[i] = current_of(w, stage);
    const ll_progress progress = {tell, L};
    const ll_solve_options options = {
        .level = 2, .past = past, .current_a = current, .progress = &progress};
    if (!status)
        status = ll_solve(p->scene, &options, out);
    free(past);
    free(current);
    return status;
}

/* B along north over the middle of a magnet's north face. */
static ll_status read_face(const way *w, const ll_solution *s, size_t part, double *face_t)
{
    const ll_part *p = ll_scene_part(ll_solution_scene(s), part);
    const ll_vec3 north = ll_scale(1 / ll_norm(p->north), p->north);
    const double reach = ll_shape_reach_m(&p->shape, &p->pose.rotation, north);
    const ll_vec3 at = ll_add(p->pose.origin_m, ll_scale(reach + w->said->standoff_m, north));
    ll_vec3 b;
    const ll_status status = ll_solution_b(s, 1, &at, &b);
    if (!status)
        *face_t = ll_dot(b, north);
    return status;
}

/* What one magnet is worth in a solved stage; its past goes on. */
static ll_status read_magnet(const way *w, const ll_solution *s, size_t there, size_t k, worth *out)
{
    ll_past *after;
    worth found = {.here = true};
    ll_status status = ll_solution_magnetised(s, there, &found.m);
    if (!status)
        status = read_face(w, s, there, &found.face_t);
    if (!status)
        status = ll_solution_past(s, there, &after);
    if (status)
        return status;
    ll_past_free(w->past[k]);
    w->past[k] = after;
    *out = found;
    return LL_OK;
}

static ll_status go_stage(lua_State *L, const way *w, size_t stage)
{
    ll_solution *s;
    ll_status status = solve_stage(L, w, stage, &s);
    if (status)
        return status;
    for (size_t k = 0; k < w->magnets && !status; k++) {
        const size_t there = find_there(w, stage, k);
        if (there != SIZE_MAX)
            status = read_magnet(w, s, there, k, &w->worth[stage * w->magnets + k]);
    }
    ll_solution_free(s);
    return status;
}

static void forget(const way *w)
{
    for (size_t k = 0; k < w->magnets; k++) {
        ll_past_free(w->past[k]);
        w->past[k] = NULL;
    }
}

static ll_status begin(const way *w, bool full)
{
    const double hc = w->said->coercivity_a_m;
    ll_status status = LL_OK;
    forget(w);
    for (size_t k = 0; k < w->magnets && !status; k++)
        status = full ? ll_past_full(hc, &w->past[k]) : ll_past_virgin(hc, &w->past[k]);
    return status;
}

static ll_status go(lua_State *L, const way *w)
{
    ll_status status = begin(w, w->said->before == BEFORE_FULL);
    for (size_t stage = 0; stage < w->stages && !status; stage++)
        status = go_stage(L, w, stage);
    /* For comparison: all charged to the full, at home. */
    if (!status)
        status = begin(w, true);
    if (!status)
        status = go_stage(L, w, w->stages);
    forget(w);
    return status;
}

/* ---- the table ---- */

static void add_row(const bind_query *r, const way *w, size_t stage, size_t k)
{
    const worth *here = &w->worth[stage * w->magnets + k];
    const worth *full = &w->worth[w->stages * w->magnets + k];
    if (!here->here)
        return;
    bind_row_begin(r->t);
    bind_set_text(r->t, "stage", stage_name(r->L, w, stage));
    bind_set_text(r->t, "part", bind_part_name(r->L, w->home, w->magnet[k]));
    bind_set(r->t, "h_kam", here->m.h_a_m);
    /* Where it is weakest, whichever way it goes. */
    const double weakest = here->m.h_a_m < 0 ? here->m.most_a_m : here->m.least_a_m;
    bind_set(r->t, "weakest_kam", weakest);
    bind_set(r->t, "weakest_hc", weakest / here->m.coercivity_a_m);
    bind_set(r->t, "turned_percent", here->m.charge);
    if (stage == 0 || stage + 1 == w->stages) {
        bind_set(r->t, "face_gauss", here->face_t);
        bind_set(r->t, "face_mt", here->face_t);
        bind_set(r->t, "of_full_percent", full->m.j_t > 0 ? here->m.j_t / full->m.j_t : 0);
    }
    bind_row_end(r->t);
}

static void put_room(const bind_query *r, way *w)
{
    const size_t parts = w->home->parts.count;
    w->magnet = bind_buffer(r->L, parts + 1, sizeof *w->magnet);
    w->past = bind_buffer(r->L, parts + 1, sizeof *w->past);
    w->worth = bind_buffer(r->L, (w->stages + 1) * (parts + 1), sizeof *w->worth);
    memset(w->past, 0, (parts + 1) * sizeof *w->past);
    memset(w->worth, 0, (w->stages + 1) * (parts + 1) * sizeof *w->worth);
}

static void put_placeholders(const way *w)
{
    const worth usual_worth = {true, {150e3, 100e3, 200e3, 1, 1, 50e3}, 0.1};
    for (size_t i = 0; i < (w->stages + 1) * w->magnets; i++)
        w->worth[i] = usual_worth;
}

static void run(const bind_query *r, way *w)
{
    choose_magnets(r, w);
    for (size_t stage = 0; stage < w->stages; stage++)
        check_stage(r, w, stage);
    if (bind_may_ask(r)) {
        const ll_status status = go(r->L, w);
        bind_show_progress(r->L, NULL, 1);
        bind_demand(r->L, status, r->place);
    } else
        put_placeholders(w);
    for (size_t stage = 0; stage < w->stages; stage++)
        for (size_t k = 0; k < w->magnets; k++)
            add_row(r, w, stage, k);
}

/* pickup:charge{ through = { charger, ... }, before = "full" } */
static int charge_reading(const bind_query *r, const void *said)
{
    const charge_options *options = said;
    way w = {.said = options, .home = r->pickup, .stages = options->through.count + 2};
    if (options->current_a.count && options->current_a.count != options->through.count)
        bind_mistake(r->L, "%s: 'currents' has %I values for %I pickups in 'through'", r->place,
                     (lua_Integer)options->current_a.count, (lua_Integer)options->through.count);
    put_room(r, &w);
    if (r->fine && !r->pickup->head.wrong)
        run(r, &w);
    bind_note(r->t, "cautions first: docs/cautions.md, Magnets");
    bind_note(r->t, "how far off: a magnet that is charged in part may be off by some tenths of "
                    "full, since grains that act on each other are left out; solved on one mesh, "
                    "fields of a rod to about 0.2 %%");
    return bind_result_end(r->t);
}

static const bind_column charge_columns[] = {
    {"stage", UNIT_NONE, ERROR_NONE,
     .meaning = "before, the name of the pickup gone through, after", .text = true},
    {"part", UNIT_NONE, ERROR_NONE, .meaning = "name of the magnet", .text = true},
    {"h", UNIT_KA_M, ERROR_MODEL,
     .meaning = "field inside it along its north, mean over its volume"},
    {"weakest", UNIT_KA_M, ERROR_MODEL,
     .meaning = "the same at the place where it is weakest, a corner as a rule"},
    {"weakest_hc", UNIT_NONE, ERROR_MODEL,
     .meaning =
         "that over the field which takes all its remanence; common practice wants 3 to 5 to "
         "charge it to the full"},
    {"turned", UNIT_PERCENT, ERROR_MODEL,
     .meaning = "grains magnetised along north less those against it"},
    {"face", UNIT_GAUSS, ERROR_MODEL, .meaning = "B over the middle of its north face, out of it"},
    {"face", UNIT_MT, ERROR_MODEL, .meaning = "the same in millitesla"},
    {"of_full", UNIT_PERCENT, ERROR_MODEL,
     .meaning = "its magnetisation, of what it has when it is charged to the full where it stands"},
};

const bind_reading bind_reading_charge = {
    BIND_READING_NAME("charge", "a charge reading"),
    .title = "charging",
    .meaning =
        "how far a charger charges magnets or knocks them back, and what is left in the pickup",
    .of = &bind_noun_pickup,
    BIND_READING_OPTIONS(charge_options, charge_table, &usual),
    BIND_READING_COLUMNS(charge_columns),
    .read = charge_reading};
