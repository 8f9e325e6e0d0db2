/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/form_solution.h"
#include "base/cache_kind.h"
#include "base/constants.h"
#include "base/dense.h"
#include "base/pose_key.h"
#include "elements/forms_field.h"
#include "elements/point_sources.h"
#include "field/source.h"
#include "magnetics/contact.h"
#include "magnetics/form_coil.h"
#include "scene/scene_data.h"
#include "scene/source_key.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static const double small_source_tolerance = 1e-6, steady_tolerance = 1e-7;

bool ll_form_solution_has(const ll_form_solution *f, size_t part)
{
    return f->body_of[part] != SIZE_MAX;
}

bool ll_form_solution_is_whole(const ll_form_solution *f, size_t part)
{
    return ll_form_solution_has(f, part) && !f->system->body[f->body_of[part]].own_h;
}

/* ---- sources ---- */

/* The magnetisation of a part that its closed-form field stands for. */
static ll_vec3 remanent(const ll_part *p)
{
    return ll_scale(p->charge * ll_material_remanence_t(p->material) / LL_MU0 / ll_norm(p->north),
                    p->north);
}

/* Adds that of the currents which flow with the bias. */
static ll_status add_currents(const ll_form_solution *f, size_t b, size_t n,
                              const ll_vec3 *points_m, double *psi)
{
    const ll_part *part = &f->scene->part[f->system->body[b].region.part];
    double *own = malloc((n + 1) * sizeof *own);
    ll_status status = own ? LL_OK : LL_NO_MEMORY;
    for (size_t i = 0; f->choice.current_a && i < f->scene->coils && !status; i++) {
        status = ll_form_coil_potential(&f->scene->coil[i], part, n, points_m, own, NULL);
        if (!status)
            ll_dense_add(n, f->choice.current_a[i], own, psi);
    }
    free(own);
    return status;
}

/* Potential of all magnets in closed form, and of currents, but for the body's own, at points of one body. */
static ll_status magnets_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                   double *psi)
{
    const ll_form_solution *f = context;
    const bool steel = ll_material_kind(f->system->body[b].region.material) != LL_MAGNET;
    ll_status status = LL_OK;
    memset(psi, 0, n * sizeof *psi);
    for (size_t i = 0; i < f->scene->parts && !status; i++) {
        const ll_part *p = &f->scene->part[i];
        if (!ll_form_solution_is_whole(f, i) && f->body_of[i] != b &&
            ll_material_kind(p->material) == LL_MAGNET)
            status = ll_contact_add(p, remanent(p), steel ? f->contact_m : 0, n, points_m, psi);
    }
    return status ? status : add_currents(f, b, n, points_m, psi);
}

typedef struct ll_coil_here {
    const ll_form_solution *f;
    const ll_coil *coil;
} ll_coil_here;

static ll_status coil_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                double *psi)
{
    const ll_coil_here *here = context;
    const ll_part *part = &here->f->scene->part[here->f->system->body[b].region.part];
    return ll_form_coil_potential(here->coil, part, n, points_m, psi, NULL);
}

ll_status ll_form_coil_at_body(void *coil, const ll_part *part, size_t n, const ll_vec3 *points_m,
                               double *psi, ll_vec3 *h_per_m)
{
    return ll_form_coil_potential(coil, part, n, points_m, psi, h_per_m);
}

typedef struct ll_charges_here {
    size_t count;
    const ll_vec3 *at_m;
    const double *charge_a_m;
} ll_charges_here;

static ll_status charges_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                   double *psi)
{
    (void)b;
    const ll_charges_here *c = context;
#pragma omp parallel for if (n * c->count > 100000)
    for (size_t i = 0; i < n; i++) {
        psi[i] = 0;
        ll_charges_add_potential(c->count, c->at_m, c->charge_a_m, points_m[i], &psi[i]);
    }
    return LL_OK;
}

static ll_status no_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                              double *psi)
{
    (void)context, (void)b, (void)points_m;
    memset(psi, 0, n * sizeof *psi);
    return LL_OK;
}

/* ---- history ---- */

/* A copy of a body, alone, with the same form. */
static ll_status system_of_one(const ll_form_body *body, ll_form_system **out)
{
    ll_form_body *copy = calloc(1, sizeof *copy);
    if (!copy)
        return LL_NO_MEMORY;
    *copy = (ll_form_body){
        .region = body->region, .placed = body->placed, .start_h_a_m = body->start_h_a_m};
    copy->region.material = ll_material_share(copy->region.material);
    ll_share(copy->placed.form);
    const ll_status status = ll_form_body_prepare(copy);
    if (status) {
        ll_form_body_clear(copy);
        free(copy);
        return status;
    }
    return ll_form_system_new(1, copy, out);
}

/* The axial field that the magnet alone sees; nowhere did it magnetise further, the charger had done that. */
static void note_lowest(const ll_form_system *lone, const double *x, double *lowest_h)
{
    const ll_form_body *body = &lone->body[0];
    const size_t n = body->placed.form->places;
    const ll_vec3 a = body->region.axis;
    double *h = lone->room[0];
    ll_form_system_h(lone, 0, x, h, h + 3 * n);
    for (size_t i = 0; i < n; i++) {
        const double along = h[i] * a.x + h[n + i] * a.y + h[2 * n + i] * a.z;
        lowest_h[i] = body->region.charge < 0 ? fmax(0, along) : fmin(0, along);
    }
}

static ll_status solve_alone(const ll_form_body *body, double *lowest_h)
{
    ll_form_system *lone;
    size_t steps, count;
    ll_status status = system_of_one(body, &lone);
    if (status)
        return status;
    double *x = calloc(lone->forms->unknowns + 1, sizeof *x);
    status = x ? ll_form_system_bias(lone, no_potential, NULL, x, &steps, &count) : LL_NO_MEMORY;
    if (!status)
        note_lowest(lone, x, lowest_h);
    free(x);
    ll_form_system_free(lone);
    return status;
}

static bool same_history(const ll_form_body *a, const ll_form_body *b)
{
    return a->lowest_h && a->placed.form == b->placed.form &&
           a->region.charge == b->region.charge &&
           ll_norm(ll_sub(a->region.axis, b->region.axis)) < 1e-12 &&
           ll_material_equal(a->region.material, b->region.material);
}

/* Magnets that were charged alone recoil from the field that they saw then. */
static ll_status recall(ll_form_system *s)
{
    ll_status status = LL_OK;
    for (size_t b = 0; b < s->count && !status; b++) {
        ll_form_body *body = &s->body[b];
        if (!body->region.charged_alone || body->region.linear)
            continue;
        const size_t bytes = body->placed.form->places * sizeof(double);
        size_t twin = 0;
        while (twin < b && !same_history(&s->body[twin], body))
            twin++;
        double *lowest_h = malloc(bytes);
        if (!lowest_h)
            return LL_NO_MEMORY;
        if (twin < b)
            memcpy(lowest_h, s->body[twin].lowest_h, bytes);
        else
            status = solve_alone(body, lowest_h);
        body->lowest_h = lowest_h;
    }
    return status;
}

/* ---- solving ---- */

static ll_status raise_answer(const ll_form_system *low, const double *x,
                              const ll_form_system *high, double *to)
{
    for (size_t b = 0; b < low->count; b++) {
        const ll_body_form *form = low->body[b].placed.form;
        form->kind->raise(form, x + low->forms->start[b], high->body[b].placed.form,
                          to + high->forms->start[b]);
    }
    return LL_OK;
}

static ll_status keep(const ll_form_system *s, ll_form_answer *answer)
{
    answer->layers = ll_coupled_forms_layers(s->forms, answer->x);
    return answer->layers ? LL_OK : LL_NO_MEMORY;
}

/* Around straight laws the bias is a source like any other. */
static ll_status find_steady_bias(ll_form_solution *f)
{
    ll_status status = f->like ? LL_OK : ll_form_system_reverse(f->system, f->bias.x);
    ll_form_system_settle(f->system);
    return status ? status
                  : ll_form_system_small_source(f->system, magnets_potential, f, steady_tolerance,
                                                f->bias.x, &f->products);
}

static ll_status find_bent_bias(ll_form_solution *f, const ll_form_solution *lower)
{
    ll_status status = recall(f->system);
    if (!status && lower)
        status = raise_answer(lower->system, lower->bias.x, f->system, f->bias.x);
    return status ? status
                  : ll_form_system_bias(f->system, magnets_potential, f, f->bias.x, &f->products,
                                        &f->newton_steps);
}

static ll_status find_bias(ll_form_solution *f, const ll_form_solution *lower)
{
    f->bias.x = calloc(f->system->forms->unknowns + 1, sizeof *f->bias.x);
    ll_status status = f->bias.x ? LL_OK : LL_NO_MEMORY;
    if (!status)
        status = f->steady ? find_steady_bias(f) : find_bent_bias(f, lower);
    return status ? status : keep(f->system, &f->bias);
}

static void clear_answer(ll_form_answer *a)
{
    free(a->x);
    free(a->layers);
    *a = (ll_form_answer){NULL, NULL};
}

/* A coil without an answer has a ring around it: its readings tell. */
static ll_status find_coil(ll_form_solution *f, size_t i)
{
    ll_coil_here here = {f, &f->scene->coil[i]};
    size_t steps = 0;
    f->coil[i].x = calloc(f->system->forms->unknowns + 1, sizeof(double));
    if (!f->coil[i].x)
        return LL_NO_MEMORY;
    ll_status status = ll_form_system_small_source(f->system, coil_potential, &here,
                                                   small_source_tolerance, f->coil[i].x, &steps);
    f->products += steps;
    if (!status)
        status = keep(f->system, &f->coil[i]);
    if (status)
        clear_answer(&f->coil[i]);
    return status == LL_RING_AROUND_COIL ? LL_OK : status;
}

static ll_status find_coils(ll_form_solution *f, const ll_progress *progress)
{
    ll_status status = f->steady ? LL_OK : ll_form_system_reverse(f->system, f->bias.x);
    for (size_t i = 0; i < f->scene->coils && !status; i++) {
        if (!ll_progress_go_on(progress, 0.6 + 0.4 * (double)i / (double)f->scene->coils))
            return LL_CANCELLED;
        status = find_coil(f, i);
    }
    ll_form_system_settle(f->system);
    return status;
}

static ll_status find_answers(ll_form_solution *f, const ll_progress *progress,
                              const ll_form_solution *lower)
{
    if (!ll_progress_go_on(progress, 0.2))
        return LL_CANCELLED;
    const ll_status status = find_bias(f, lower);
    if (status || f->scene->coils == 0 || f->like || f->choice.past)
        return status;
    return find_coils(f, progress);
}

/* ---- steady systems, kept ---- */

static bool is_steady(size_t count, const ll_form_body *body)
{
    for (size_t b = 0; b < count; b++)
        if (!body[b].region.linear || ll_material_kind(body[b].region.material) == LL_MAGNET)
            return false;
    return true;
}

/* Forms live as long as what is kept, so their addresses tell them apart; they know the degree and the mirror. */
static ll_key key_of_steady(const ll_scene *scene, size_t count, const ll_form_body *body)
{
    ll_key key = {0};
    ll_key_add(&key, (double)count);
    for (size_t b = 0; b < count; b++) {
        ll_key_add(&key, (double)(uintptr_t)body[b].placed.form);
        ll_key_add_members(&key, &ll_pose_members, &body[b].placed.pose);
        ll_key_add_part(&key, &scene->part[body[b].region.part]);
    }
    for (size_t i = 0; i < scene->coils; i++)
        ll_key_add_coil(&key, &scene->coil[i]);
    return key;
}

static size_t bytes_of(const void *thing)
{
    return ll_form_solution_bytes(thing);
}

static const ll_cache_kind steady_systems = {bytes_of};

/* Takes the bodies over, for a system of their own or because another has the same. */
static ll_status take_bodies(ll_form_solution *f, size_t count, ll_form_body *body, ll_key *key)
{
    f->steady = is_steady(count, body);
    if (f->steady)
        *key = key_of_steady(f->scene, count, body);
    f->like = f->steady ? ll_cache_find(&steady_systems, key) : NULL;
    if (!f->like)
        return ll_form_system_new(count, body, &f->system);
    f->system = f->like->system;
    f->coil = f->like->coil;
    for (size_t b = 0; b < count; b++)
        ll_form_body_clear(&body[b]);
    free(body);
    return LL_OK;
}

static void free_own(ll_form_solution *f)
{
    for (size_t i = 0; f->coil && i < f->scene->coils; i++)
        clear_answer(&f->coil[i]);
    free(f->coil);
    free(f->coil_flux);
    if (f->small_sources != f->system)
        ll_form_system_free(f->small_sources);
    ll_form_system_free(f->system);
}

static void free_solution(void *thing)
{
    ll_form_solution *f = thing;
    clear_answer(&f->bias);
    ll_release(f->lower);
    if (f->like)
        ll_release(f->like);
    else
        free_own(f);
    free(f->body_of);
    ll_scene_free((ll_scene *)f->scene);
    free(f);
}

static ll_status make_coils(ll_form_solution *f)
{
    const size_t coils = f->scene->coils;
    f->coil = calloc(coils + 1, sizeof *f->coil);
    f->coil_flux = malloc((coils * coils + 1) * sizeof *f->coil_flux);
    for (size_t k = 0; f->coil_flux && k < coils * coils; k++)
        f->coil_flux[k] = NAN;
    return f->coil && f->coil_flux ? LL_OK : LL_NO_MEMORY;
}

static ll_status solve(ll_form_solution *f, const ll_progress *progress,
                       const ll_form_solution *lower)
{
    ll_form_body *body;
    size_t count;
    ll_key key = {0};
    ll_status status = ll_form_scene_bodies(f->scene, &f->choice, &body, &count, f->body_of);
    if (!status)
        status = take_bodies(f, count, body, &key);
    if (!status && !f->like)
        status = make_coils(f);
    if (!status)
        status = find_answers(f, progress, lower);
    if (!status && f->steady && !f->like)
        ll_release(ll_cache_keep(&steady_systems, &key, ll_share(f)));
    ll_key_clear(&key);
    return status;
}

ll_status ll_form_solution_new(const ll_scene *scene, const ll_form_choice *choice,
                               double contact_m, const ll_progress *progress,
                               const ll_form_solution *lower, ll_form_solution **out)
{
    ll_form_solution *f = calloc(1, sizeof *f);
    if (!f)
        return LL_NO_MEMORY;
    ll_shared_begin(&f->shared, free_solution);
    f->scene = ll_scene_share(scene);
    f->choice = *choice;
    f->contact_m = contact_m;
    f->body_of = malloc((scene->parts + 1) * sizeof *f->body_of);
    const ll_status status = f->body_of ? solve(f, progress, lower) : LL_NO_MEMORY;
    f->choice.past = NULL;
    f->choice.current_a = NULL;
    if (!status)
        f->lower = ll_share(lower);
    if (status)
        ll_release(f);
    else
        *out = f;
    return status;
}

size_t ll_form_solution_bytes(const ll_form_solution *f)
{
    return ll_coupled_forms_bytes(f->system->forms) +
           f->system->forms->unknowns * (2 + 2 * f->scene->coils) * sizeof(double);
}

/* ---- a system for any source ---- */

/* The same bodies with all waves, their tangents around the bias. */
static ll_status make_whole(const ll_form_solution *f, ll_form_system **out)
{
    const ll_form_choice choice = {
        .level = f->choice.level, .finer = f->choice.finer, .whole = true};
    size_t *body_of = malloc((f->scene->parts + 1) * sizeof *body_of), count;
    ll_form_body *body;
    ll_form_system *whole;
    ll_status status =
        body_of ? ll_form_scene_bodies(f->scene, &choice, &body, &count, body_of) : LL_NO_MEMORY;
    free(body_of);
    if (!status)
        status = ll_form_system_new(count, body, &whole);
    if (status)
        return status;
    double *x = calloc(whole->forms->unknowns + 1, sizeof *x);
    status = x ? raise_answer(f->system, f->bias.x, whole, x) : LL_NO_MEMORY;
    if (!status)
        status = ll_form_system_reverse(whole, x);
    free(x);
    ll_form_system_settle(whole);
    if (status)
        ll_form_system_free(whole);
    else
        *out = whole;
    return status;
}

static bool is_whole(const ll_form_solution *f, bool *whole)
{
    ll_mirror mirror;
    const ll_status status = ll_form_scene_mirror(f->scene, &mirror);
    *whole = f->choice.whole || !mirror.exists;
    return status == LL_OK;
}

/* f->small_sources, made when first asked for. */
static ll_status get_small_sources(const ll_form_solution *f, const ll_form_system **out)
{
    ll_form_solution *own = (ll_form_solution *)(f->like ? f->like : f);
    ll_status status = LL_OK;
#pragma omp critical(ll_form_small_sources)
    {
        bool whole = false;
        if (!own->small_sources && !is_whole(f, &whole))
            status = LL_NO_MEMORY;
        else if (!own->small_sources && whole) {
            status = own->system->room ? ll_form_system_reverse(own->system, own->bias.x) : LL_OK;
            ll_form_system_settle(own->system);
            own->small_sources = status ? NULL : own->system;
        } else if (!own->small_sources)
            status = make_whole(f, &own->small_sources);
        *out = own->small_sources;
    }
    return status;
}

ll_status ll_form_solution_response(const ll_form_solution *f, double tolerance, size_t m,
                                    const ll_vec3 *charges_at_m, const double *charge_a_m,
                                    const ll_coupled_forms **forms, double **layers)
{
    ll_charges_here charges = {m, charges_at_m, charge_a_m};
    const ll_form_system *s;
    ll_status status = get_small_sources(f, &s);
    if (status)
        return status;
    size_t steps = 0;
    double *own = NULL, *x = calloc(s->forms->unknowns + 1, sizeof *x);
    status = x ? ll_form_system_small_source(s, charges_potential, &charges, tolerance, x, &steps)
               : LL_NO_MEMORY;
    if (!status)
        own = ll_coupled_forms_layers(s->forms, x);
    free(x);
    if (!status && !own)
        status = LL_NO_MEMORY;
    if (!status) {
        *forms = s->forms;
        *layers = own;
    }
    return status;
}

/* ---- readings ---- */

void ll_form_solution_add_h(const ll_form_solution *f, const ll_form_answer *answer, size_t n,
                            const ll_vec3 *points_m, ll_vec3 *h_a_m)
{
    ll_coupled_forms_add_h(f->system->forms, answer->layers, n, points_m, h_a_m);
}

/* Layers of all coils that have a share, each times it; the caller frees them. NULL when memory is short. */
static double *layers_of_coils(const ll_form_solution *f, const double *share)
{
    const size_t size = ll_coupled_forms_layers_size(f->system->forms);
    double *sum = calloc(size + 1, sizeof *sum);
    for (size_t i = 0; sum && i < f->scene->coils; i++)
        if (share[i] != 0)
            ll_dense_add(size, share[i], f->coil[i].layers, sum);
    return sum;
}

ll_status ll_form_solution_add_h_along(const ll_form_solution *f, const double *share, size_t n,
                                       const ll_vec3 *points_m, ll_vec3 *h_a_m, ll_vec3 *h_coil)
{
    const double *layers[2] = {f->bias.layers, NULL};
    double *coils = share ? layers_of_coils(f, share) : NULL;
    ll_vec3 *h = calloc(2 * n + 1, sizeof *h);
    ll_status status = h && (coils || !share) ? LL_OK : LL_NO_MEMORY;
    layers[1] = coils;
    if (!status)
        status =
            ll_coupled_forms_add_h_along(f->system->forms, share ? 2 : 1, layers, n, points_m, h);
    for (size_t i = 0; i < n && !status; i++) {
        h_a_m[i] = ll_add(h_a_m[i], h[i]);
        if (share)
            h_coil[i] = ll_add(h_coil[i], h[n + i]);
    }
    free(coils);
    free(h);
    return status;
}

static const ll_form_body *body_of(const ll_form_solution *f, size_t part)
{
    return &f->system->body[f->body_of[part]];
}

static const double *unknowns_of(const ll_form_solution *f, const ll_form_answer *a, size_t part)
{
    return a->x + f->system->forms->start[f->body_of[part]];
}

/* In the body's own axes: w's gradient, and a closed-form magnet's own field. */
static ll_vec3 h_inside(const ll_form_solution *f, size_t part, ll_vec3 own)
{
    const ll_form_body *body = body_of(f, part);
    const ll_body_form *form = body->placed.form;
    const ll_pose centre = ll_pose_at(ll_vec(0, 0, 0));
    const ll_part *p = &f->scene->part[part];
    ll_vec3 h = form->kind->h_at(form, unknowns_of(f, &f->bias, part), own), source;
    if (body->own_h &&
        !ll_magnet_h(&p->shape, &centre, ll_rotate_back(&body->placed.pose.rotation, remanent(p)),
                     1, &own, &source))
        h = ll_add(h, source);
    return h;
}

ll_vec3 ll_form_solution_h_inside(const ll_form_solution *f, size_t part, ll_vec3 point_m)
{
    const ll_pose *pose = &body_of(f, part)->placed.pose;
    return ll_rotate(&pose->rotation, h_inside(f, part, ll_to_own(pose, point_m)));
}

ll_vec3 ll_form_solution_b_inside(const ll_form_solution *f, size_t part, ll_vec3 point_m)
{
    const ll_form_body *body = body_of(f, part);
    const ll_vec3 own = ll_to_own(&body->placed.pose, point_m);
    const size_t place = body->lowest_h ? ll_nearest_place(body->placed.form->places,
                                                           body->placed.form->place_m, own)
                                        : 0;
    return ll_rotate(&body->placed.pose.rotation,
                     ll_form_body_law(body, place, h_inside(f, part, own)));
}

ll_status ll_form_solution_section(const ll_form_solution *f, size_t part, double z_m, double *bz_t)
{
    const ll_form_body *body = body_of(f, part);
    const ll_body_form *form = body->placed.form;
    const ll_vec3 up = ll_rotate_back(&body->placed.pose.rotation, ll_vec(0, 0, 1));
    const ll_plane plane = {up, z_m - body->placed.pose.origin_m.z};
    double flux, area;
    form->kind->flux_beyond(form, unknowns_of(f, &f->bias, part), &plane, &flux, &area);
    if (!(area > 1e-9 * form->reach_m * form->reach_m))
        return LL_OUTSIDE_PART;
    *bz_t = LL_MU0 * flux / area;
    return LL_OK;
}

ll_status ll_form_solution_operating_point(const ll_form_solution *f, size_t part, double mean[3])
{
    const ll_form_body *body = body_of(f, part);
    const ll_body_form *form = body->placed.form;
    const size_t n = form->places;
    const ll_vec3 a = body->region.axis;
    double *h = malloc((3 * n + form->room_size) * sizeof *h), volume = 0, sum[3] = {0, 0, 0};
    if (!h)
        return LL_NO_MEMORY;
    ll_form_system_h(f->system, f->body_of[part], f->bias.x, h, h + 3 * n);
    for (size_t i = 0; body->own_h && i < 3 * n; i++)
        h[i] += body->own_h[i];
    for (size_t i = 0; i < n; i++) {
        const ll_vec3 own = ll_vec(h[i], h[n + i], h[2 * n + i]);
        const double along = ll_dot(own, a), v = form->volume_m3[i];
        const double lowest = body->lowest_h ? body->lowest_h[i] : along;
        volume += v;
        sum[0] += v * LL_MU0 * ll_dot(ll_form_body_law(body, i, own), a);
        sum[1] += v * along;
        sum[2] += v * (body->region.charge < 0 ? fmax(along, lowest) : fmin(along, lowest));
    }
    free(h);
    for (int k = 0; k < 3; k++)
        mean[k] = sum[k] / volume;
    return LL_OK;
}

/* The surface points of a body in the world, or their images in the own plane y = 0, with their normals. */
static void place_surface(const ll_form_body *body, double side, ll_vec3 *at, ll_vec3 *normal)
{
    const ll_body_form *form = body->placed.form;
    for (size_t i = 0; i < form->surface; i++) {
        const ll_vec3 p = form->surface_m[i], n = form->normal[i];
        at[i] = ll_to_world(&body->placed.pose, ll_vec(p.x, side * p.y, p.z));
        normal[i] = ll_rotate(&body->placed.pose.rotation, ll_vec(n.x, side * n.y, n.z));
    }
}

/* The share of a body's surface, or of one half of it. */
static ll_status linkage_of_side(const ll_form_solution *f, size_t b, double side, const double *x,
                                 const ll_form_source *source, double *sum)
{
    const ll_form_body *body = &f->system->body[b];
    const ll_body_form *form = body->placed.form;
    const size_t n = form->surface;
    ll_vec3 *at = malloc(3 * n * sizeof *at);
    double *psi = malloc(3 * n * sizeof *psi);
    ll_status status = at && psi ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        place_surface(body, side, at, at + n);
        status = source->at_body(source->context, &f->scene->part[body->region.part], n, at, psi,
                                 at + 2 * n);
    }
    if (!status) {
        const ll_vec3 *normal = at + n, *h = at + 2 * n;
        double *w = psi + n, *lambda = psi + 2 * n;
        form->kind->trace(form, x, w, lambda);
        for (size_t i = 0; i < n; i++)
            *sum += form->area_m2[i] * (w[i] * ll_dot(h[i], normal[i]) - psi[i] * lambda[i]);
    }
    free(at);
    free(psi);
    return status;
}

/* A source that the mirror does not hold is asked on both halves, each of which counts for two. */
static ll_status linkage_of_body(const ll_form_solution *f, size_t b, const ll_form_answer *answer,
                                 const ll_form_source *source, double *sum)
{
    const double *x = answer->x + f->system->forms->start[b];
    double here = 0, there = 0;
    ll_status status = linkage_of_side(f, b, 1, x, source, &here);
    const bool both = f->system->body[b].placed.form->half && !source->mirrored;
    if (!status && both)
        status = linkage_of_side(f, b, -1, x, source, &there);
    *sum += both ? 0.5 * (here + there) : here;
    return status;
}

ll_status ll_form_solution_linkage(const ll_form_solution *f, const ll_form_answer *answer,
                                   const ll_form_source *source, double *sum)
{
    ll_status status = LL_OK;
    double all = 0;
    for (size_t b = 0; b < f->system->count && !status; b++)
        status = linkage_of_body(f, b, answer, source, &all);
    if (!status)
        *sum = all;
    return status;
}

ll_status ll_form_solution_coil_flux(const ll_form_solution *f, size_t i, size_t j, double *sum)
{
    const ll_form_source source = {ll_form_coil_at_body, (void *)&f->scene->coil[i], true};
    double *kept = &(f->like ? f->like : f)->coil_flux[i * f->scene->coils + j], found;
    ll_status status = LL_OK;
#pragma omp atomic read
    found = *kept;
    if (isnan(found))
        status = ll_form_solution_linkage(f, &f->coil[j], &source, &found);
    if (status)
        return status;
#pragma omp atomic write
    *kept = found;
    *sum = found;
    return LL_OK;
}
