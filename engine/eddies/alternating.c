/* The system at one frequency, for one ampere in each coil.
 * 
 * A is the static matrix of the bodies, inside and surface equations of magnetics; x what it answers to the coil, A x = coil;
 * D what the complex permeability changes inside (skin.h), mu(f) - mu in place of mu; i_k the amplitude of pattern k of
 * currents, s_k its right-hand side, p_k the weights by which it links an answer. Of the change y against the static answer
 * 
 *   (A + D) y - sum i_k s_k = -D x
 *   (1 + j w tau_k) i_k + j w (flux_k + mu0 p_k . y) = 0,
 * 
 * flux_k being what pattern k links of the static field. The second line gives each i_k for a given y, so that GMRES has y alone as
 * its unknown, real and imaginary parts as one real vector of twice the length: preconditioners and boundary operators are real
 * and serve both. Solving for y and not for x + y asks for digits of what eddy currents do, which at 100 Hz is little.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "eddies/alternating.h"
#include "base/constants.h"
#include "base/dense.h"
#include "base/parallel.h"
#include "eddies/currents.h"
#include "eddies/plate.h"
#include "eddies/skin.h"
#include "elements/krylov.h"
#include "magnetics/coil_source.h"
#include "magnetics/solution_data.h"
#include "magnetics/system_data.h"

#include <stdlib.h>
#include <string.h>

/* Of what eddy currents change, not of the whole: the change is what is solved for. */
static const double change_tolerance = 2e-4;
enum { MOST_STEPS = 200 };

/* What the frequency adds to the matrix inside one body, real and imaginary part; NULL where nothing conducts. Equal linear
 * bodies share them. The factor of `real` is that of the permeability's size, a preconditioner for both. */
typedef struct ll_lossy {
    ll_interior *real, *imag;
    bool owned;
} ll_lossy;

/* One pattern of currents in the sheets as a source of the bodies. */
typedef struct ll_sheet_source {
    double *weight; /* [n] what it links of an answer, over mu0 */
    double *rhs;    /* [n] its potential on the right-hand side of the static system */
    double *drive;  /* [n] its potential inside bodies where w is only what they add */
    double half_m, mu_r, conductivity_s_m; /* of a magnetic plate, see plate.h; else zero */
} ll_sheet_source;

/* One coil's ampere. */
typedef struct ll_driven {
    double *weight; /* [n] see ll_coil_weights */
    double *drive;  /* [n] the static potential inside the bodies, whole */
    double *
        change; /* [length] at the frequency set last: of the n unknowns, real and imaginary parts, then
                        the amplitudes of the patterns, likewise */
    double complex *flux_wb; /* [patterns] what the patterns link of the static field */
} ll_driven;

struct ll_alternating {
    const ll_solution *solution;
    const ll_system *system;
    size_t n;      /* the system's unknowns */
    size_t length; /* of a change */
    double omega;
    ll_currents currents;
    size_t patterns;        /* of the sheets, then of the magnetic plates */
    ll_sheet_source *sheet; /* of each pattern */
    bool is_static;
    ll_lossy *lossy;   /* of each body */
    ll_driven *driven; /* of each coil */
};

/* ---- making ---- */

/* Twins have the same regions. */
static bool conduct_alike(const ll_alternating *a, size_t b, size_t other)
{
    const ll_body *body = &a->system->body[b], *twin = &a->system->body[other];
    const ll_part *part = a->solution->scene->part;
    for (size_t r = 0; r < body->regions; r++)
        if (ll_material_conductivity_s_m(part[body->region[r].part].material) !=
            ll_material_conductivity_s_m(part[twin->region[r].part].material))
            return false;
    return true;
}

/* A body before this one whose D is the same matrix: same mesh and law, and metals that conduct alike. */
static const ll_lossy *twin_before(const ll_alternating *a, size_t b)
{
    const ll_system *s = a->system;
    for (size_t k = 0; k < b; k++)
        if (s->body[k].interior == s->body[b].interior && conduct_alike(a, k, b))
            return &a->lossy[k];
    return NULL;
}

/* Room for D of one body. Where nothing conducts it is zero, and a scene without any such body stays static. */
static ll_status make_lossy(ll_alternating *a, size_t b)
{
    const ll_body *body = &a->system->body[b];
    ll_lossy *own = &a->lossy[b];
    const ll_lossy *twin = twin_before(a, b);
    if (!ll_skin_conducts(body, a->solution->scene))
        return LL_OK;
    a->is_static = false;
    if (twin) {
        *own = (ll_lossy){twin->real, twin->imag, false};
        return LL_OK;
    }
    own->owned = true;
    const ll_status status = ll_interior_new(body->form->mesh, &own->real);
    return status ? status : ll_interior_new(body->form->mesh, &own->imag);
}

/* Where w is what a magnet adds to the sources, the coil's own potential belongs to the whole. */
static ll_status add_coil_inside(const ll_alternating *a, size_t coil, size_t b, double *drive)
{
    const ll_body *body = &a->system->body[b];
    const size_t nodes = body->form->mesh->nodes;
    ll_coil_source source = {a->solution->scene, a->system, coil};
    ll_vec3 *at = malloc(nodes * sizeof *at);
    double *psi = malloc(nodes * sizeof *psi);
    ll_status status = at && psi ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        ll_body_to_world(body, nodes, body->form->mesh->node_m, at);
        status = ll_coil_source_potential(&source, b, nodes, at, psi);
    }
    if (!status)
        ll_dense_add(nodes, 1, psi, drive + body->w);
    free(at);
    free(psi);
    return status;
}

/* What one coil brings: the static potential that D acts on, the weights that read a change as linkage, and the flux of its static field
 * through each pattern, that of its own turns in air and that which the bodies add. */
static ll_status make_driven(ll_alternating *a, size_t coil)
{
    ll_driven *own = &a->driven[coil];
    const size_t patterns = a->patterns;
    own->weight = malloc((a->n + 1) * sizeof(double));
    own->drive = malloc((a->n + 1) * sizeof(double));
    own->change = calloc(a->length + 1, sizeof(double));
    own->flux_wb = calloc(patterns + 1, sizeof *own->flux_wb);
    if (!own->weight || !own->drive || !own->change || !own->flux_wb)
        return LL_NO_MEMORY;
    ll_status status = ll_coil_answered(a->solution, coil);
    if (status)
        return status;
    const double *x = a->solution->coil[coil].x;
    memcpy(own->drive, x, a->n * sizeof(double));
    status = ll_coil_weights(a->solution, coil, own->weight);
    for (size_t b = 0; b < a->system->count && !status; b++)
        if (a->system->body[b].kind == LL_REACTION &&
            ll_skin_conducts(&a->system->body[b], a->solution->scene))
            status = add_coil_inside(a, coil, b, own->drive);
    for (size_t k = 0; k < patterns; k++)
        own->flux_wb[k] =
            (k < a->currents.patterns ? a->currents.linkage_wb[coil * a->currents.patterns + k]
                                      : 0) +
            LL_MU0 * ll_dense_dot(a->n, a->sheet[k].weight, x);
    return status;
}

/* ---- sheets as sources ---- */

/* Values that are there already, given as a source. */
static ll_status stored_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                  double *psi)
{
    (void)b;
    (void)points_m;
    memcpy(psi, context, n * sizeof *psi);
    return LL_OK;
}

/* Weights from the test points of a body's surface; psi and h_n are [patterns][points]. */
static void add_weights(ll_alternating *a, const ll_body *body, const ll_vec3 *normal,
                        const double *psi, const double *h_n, ll_vec3 *h)
{
    const size_t n = LL_TEST_POINTS * body->form->mesh->triangles;
    for (size_t k = 0; k < a->currents.patterns; k++) {
        for (size_t i = 0; i < n; i++)
            h[i] = ll_scale(h_n[k * n + i], normal[i]);
        ll_linkage_weights(body, h, psi + k * n, a->sheet[k].weight);
    }
}

/* Potentials at n points of body b as sources on its right-hand side. */
static ll_status add_sources(ll_alternating *a, size_t b, size_t n, double *psi)
{
    const ll_body *body = &a->system->body[b];
    ll_status status = LL_OK;
    for (size_t k = 0; k < a->currents.patterns && !status; k++) {
        status = ll_system_source(a->system, b, stored_potential, psi + k * n, a->sheet[k].rhs);
        if (body->kind == LL_REACTION)
            memcpy(a->sheet[k].drive + body->w, psi + k * n, n * sizeof *psi);
    }
    return status;
}

/* In a magnet w is what it adds to its sources, and a source drives it by its potential inside, not by that on its surface. */
static ll_status meet_sheets_inside(ll_alternating *a, size_t b)
{
    const ll_body *body = &a->system->body[b];
    const size_t n = body->form->mesh->nodes, m = a->currents.patterns;
    ll_vec3 *at = malloc(2 * n * sizeof *at);
    double *psi = malloc((2 * m * n + 1) * sizeof *psi);
    ll_status status = at && psi ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        ll_body_to_world(body, n, body->form->mesh->node_m, at);
        memset(at + n, 0, n * sizeof *at);
        status = ll_currents_at_body(&a->currents, body, n, at, at + n, psi, psi + m * n);
    }
    if (!status)
        status = add_sources(a, b, n, psi);
    free(at);
    free(psi);
    return status;
}

/* Patterns and one body, once for all frequencies: potential and normal field of each pattern at the body's test points. By
 * reciprocity the same figures are what the body's layers link through the pattern (p_k) and what the pattern does to
 * the body (s_k). */
static ll_status meet_sheets(ll_alternating *a, size_t b)
{
    const ll_body *body = &a->system->body[b];
    const size_t n = LL_TEST_POINTS * body->form->mesh->triangles, m = a->currents.patterns;
    ll_vec3 *at = malloc(n * sizeof *at), *normal = malloc(n * sizeof *normal);
    ll_vec3 *room = malloc(n * sizeof *room);
    double *psi = malloc((2 * m * n + 1) * sizeof *psi);
    ll_status status = at && normal && room && psi ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        ll_body_to_world(body, n, body->form->test_m, at);
        for (size_t i = 0; i < n; i++)
            normal[i] = ll_rotate(&body->pose.rotation,
                                  ll_panels_normal(body->form->panels, i / LL_TEST_POINTS));
        status = ll_currents_at_body(&a->currents, body, n, at, normal, psi, psi + m * n);
    }
    if (!status)
        add_weights(a, body, normal, psi, psi + m * n, room);
    if (!status)
        status = body->kind == LL_TOTAL ? add_sources(a, b, n, psi) : meet_sheets_inside(a, b);
    free(at);
    free(normal);
    free(room);
    free(psi);
    return status;
}

/* One more pattern, its vectors zero. */
static ll_status add_pattern(ll_alternating *a)
{
    ll_sheet_source *list = realloc(a->sheet, (a->patterns + 1) * sizeof *list);
    if (!list)
        return LL_NO_MEMORY;
    a->sheet = list;
    double *room = calloc(3 * a->n + 1, sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    list[a->patterns++] =
        (ll_sheet_source){.weight = room, .rhs = room + a->n, .drive = room + 2 * a->n};
    return LL_OK;
}

/* Currents in metal that is not magnetic, as sources of all bodies. */
static ll_status make_sheets(ll_alternating *a)
{
    ll_status status = ll_currents_find(a->solution, &a->currents);
    for (size_t k = 0; k < a->currents.patterns && !status; k++)
        status = add_pattern(a);
    for (size_t b = 0; b < a->system->count && a->patterns > 0 && !status; b++)
        status = meet_sheets(a, b);
    return status;
}

/* Currents that run around in plates of steel. */
static ll_status make_plate(ll_alternating *a, size_t b)
{
    const ll_body *body = &a->system->body[b];
    const size_t n = body->form->mesh->nodes + body->form->mesh->corners;
    ll_plate_currents plate;
    ll_status status = ll_plate_find(a->solution, b, &plate);
    if (status)
        return status;
    for (size_t k = 0; k < plate.patterns && !status; k++) {
        status = add_pattern(a);
        if (status)
            break;
        ll_sheet_source *own = &a->sheet[a->patterns - 1];
        memcpy(own->weight + body->w, plate.weight + k * n, n * sizeof(double));
        memcpy(own->rhs + body->w, plate.rhs + k * n, n * sizeof(double));
        own->half_m = plate.half_m;
        own->mu_r = plate.mu_r;
        own->conductivity_s_m = plate.conductivity_s_m;
    }
    ll_plate_clear(&plate);
    return status;
}

/* All patterns, those of sheets first; a change is y and their amplitudes, real parts before imaginary ones. */
static ll_status make_patterns(ll_alternating *a)
{
    ll_status status = make_sheets(a);
    for (size_t b = 0; b < a->system->count && !status; b++)
        if (ll_plate_is(a->solution, b))
            status = make_plate(a, b);
    a->is_static = a->is_static && a->patterns == 0;
    a->length = 2 * a->n + 2 * a->patterns;
    return status;
}

ll_status ll_alternating_new(const ll_solution *solution, ll_alternating **out)
{
    ll_alternating *a = calloc(1, sizeof *a);
    if (!a)
        return LL_NO_MEMORY;
    a->solution = solution;
    a->system = solution->system;
    a->n = ll_system_unknowns(solution->system);
    a->is_static = true;
    a->lossy = calloc(a->system->count + 1, sizeof *a->lossy);
    a->driven = calloc(solution->scene->coils + 1, sizeof *a->driven);
    ll_status status = a->lossy && a->driven ? LL_OK : LL_NO_MEMORY;
    for (size_t b = 0; b < a->system->count && !status; b++)
        status = make_lossy(a, b);
    if (!status)
        status = make_patterns(a);
    for (size_t i = 0; i < solution->scene->coils && !status; i++)
        status = make_driven(a, i);
    if (status)
        ll_alternating_free(a);
    else
        *out = a;
    return status;
}

static void free_lossy(ll_lossy *lossy)
{
    if (lossy->owned) {
        ll_interior_free(lossy->real);
        ll_interior_free(lossy->imag);
    }
}

void ll_alternating_free(ll_alternating *a)
{
    if (!a)
        return;
    for (size_t b = 0; a->lossy && b < a->system->count; b++)
        free_lossy(&a->lossy[b]);
    for (size_t i = 0; a->driven && i < a->solution->scene->coils; i++) {
        free(a->driven[i].weight);
        free(a->driven[i].drive);
        free(a->driven[i].change);
        free(a->driven[i].flux_wb);
    }
    for (size_t k = 0; a->sheet && k < a->patterns; k++)
        free(a->sheet[k].weight);
    ll_currents_clear(&a->currents);
    free(a->sheet);
    free(a->lossy);
    free(a->driven);
    free(a);
}

/* ---- the matrix at a frequency ---- */

/* The real or the imaginary part of D, along the mesh's three axes. */
static void fill_part(ll_interior *interior, size_t tets, const double complex (*change)[3],
                      double (*room)[3], bool imaginary)
{
    for (size_t t = 0; t < tets; t++)
        for (int i = 0; i < 3; i++)
            room[t][i] = imaginary ? cimag(change[t][i]) : creal(change[t][i]);
    ll_interior_fill_axes(interior, (const double(*)[3])room);
}

/* The preconditioner inside: the static matrix with the size of the complex permeability, which is real and positive as
 * CHOLMOD wants it. Its phase, 45 degrees at most, costs GMRES a few steps. */
static ll_status factorise_size(const ll_body *body, ll_interior *interior, const double (*size)[3])
{
    double *outside = calloc(body->form->mesh->nodes, sizeof *outside);
    if (!outside)
        return LL_NO_MEMORY;
    ll_body_outside(body->form, outside);
    ll_interior_fill_axes(interior, size);
    const ll_status status = ll_interior_factorise(interior, outside);
    free(outside);
    return status;
}

/* D of one body and its preconditioner at a frequency; the factor outlives the values with which it was made. */
static ll_status set_body(ll_alternating *a, size_t b, double f_hz)
{
    const ll_body *body = &a->system->body[b];
    const ll_lossy *own = &a->lossy[b];
    const size_t tets = body->form->mesh->tets;
    double complex(*change)[3] = malloc(tets * sizeof *change);
    double(*size)[3] = malloc(tets * sizeof *size);
    const double *w = a->solution->bias.x + body->w;
    ll_status status = change && size
                           ? ll_skin_body(body, a->solution->scene, w, f_hz, change, size)
                           : LL_NO_MEMORY;
    if (!status)
        status = factorise_size(body, own->real, (const double(*)[3])size);
    if (!status) {
        fill_part(own->real, tets, (const double complex(*)[3])change, size, false);
        fill_part(own->imag, tets, (const double complex(*)[3])change, size, true);
    }
    free(change);
    free(size);
    return status;
}

/* ---- products ---- */

/* y[nodes] += f matrix x. */
static ll_status add_product(const ll_interior *interior, size_t nodes, double f, const double *x,
                             double *y)
{
    double *product = malloc(nodes * sizeof *product);
    if (!product)
        return LL_NO_MEMORY;
    ll_interior_multiply(interior, x, product);
    ll_dense_add(nodes, f, product, y);
    free(product);
    return LL_OK;
}

/* F^-1 of a residual inside, with the factor for the frequency or the static one. */
static ll_status solve_inside(const ll_alternating *a, size_t b, double *w)
{
    const ll_interior *factor = a->lossy[b].real ? a->lossy[b].real : a->system->body[b].factorised;
    return ll_interior_solve(factor, a->system->work[b], 1, &w);
}

/* Amplitude of a pattern for the flux that it links: (1 + j w tau) i + j w flux = 0. */
static double complex answer_to(const ll_alternating *a, size_t k, double complex flux_wb)
{
    const double complex s = I * a->omega;
    if (k < a->currents.patterns)
        return -s * flux_wb / (1 + s * a->currents.time_s[k]);
    const ll_sheet_source *own = &a->sheet[k];
    const double complex kappa =
        ll_skin_kappa(a->omega / (2 * LL_PI), own->mu_r, own->conductivity_s_m);
    return -s * flux_wb * ll_skin_plate(kappa, own->half_m, -own->half_m, own->half_m);
}

/* Amplitudes that the bodies' unknowns x [2 n] drive. */
static void drive_sheets(const ll_alternating *a, const double *x, double complex *amplitude)
{
    for (size_t k = 0; k < a->patterns; k++) {
        const double *weight = a->sheet[k].weight;
        amplitude[k] = answer_to(
            a, k,
            LL_MU0 * (ll_dense_dot(a->n, weight, x) + I * ll_dense_dot(a->n, weight, x + a->n)));
    }
}

/* Sums over the patterns, [2 n] each: their right-hand sides, and their potentials inside magnets. */
static void sum_sheets(const ll_alternating *a, const double complex *amplitude, double *rhs,
                       double *drive)
{
    memset(rhs, 0, 2 * a->n * sizeof *rhs);
    memset(drive, 0, 2 * a->n * sizeof *drive);
    for (size_t k = 0; k < a->patterns; k++)
        for (int part = 0; part < 2; part++) {
            const double f = part ? cimag(amplitude[k]) : creal(amplitude[k]);
            ll_dense_add(a->n, f, a->sheet[k].rhs, rhs + part * a->n);
            ll_dense_add(a->n, f, a->sheet[k].drive, drive + part * a->n);
        }
}

/* out[nodes] += what the frequency adds to the matrix inside body b, times u [2 n]. */
static ll_status add_change(const ll_alternating *a, size_t b, int part, double f, const double *u,
                            double *out)
{
    const ll_body *body = &a->system->body[b];
    const ll_lossy *own = &a->lossy[b];
    const size_t nodes = body->form->mesh->nodes;
    const double *mine = u + (part ? a->n : 0), *other = u + (part ? 0 : a->n);
    if (!own->real)
        return LL_OK;
    const ll_status status = add_product(own->real, nodes, f, mine + body->w, out);
    return status ? status : add_product(own->imag, nodes, part ? f : -f, other + body->w, out);
}

/* Room for one product: sums over the sheets, and the whole potential inside bodies. */
typedef struct ll_room {
    double complex *amplitude; /* [patterns] */
    double *rhs, *potential;   /* [2 n] each */
} ll_room;

static ll_status room_new(const ll_alternating *a, ll_room *room)
{
    room->amplitude = malloc((a->patterns + 1) * sizeof *room->amplitude);
    room->rhs = malloc((4 * a->n + 1) * sizeof *room->rhs);
    room->potential = room->rhs ? room->rhs + 2 * a->n : NULL;
    return room->amplitude && room->rhs ? LL_OK : LL_NO_MEMORY;
}

static void room_free(ll_room *room)
{
    free(room->amplitude);
    free(room->rhs);
}

/* The inside half of both parts of y = P^-1 A x, where A holds the sheets' answer to x. */
static ll_status smooth_inside(const ll_alternating *a, size_t b, const double *x,
                               const ll_room *room, double *y)
{
    const ll_body *body = &a->system->body[b];
    const size_t nodes = body->form->mesh->nodes;
    ll_status status = LL_OK;
    for (int part = 0; part < 2 && !status; part++) {
        const double *mine = x + (part ? a->n : 0);
        double *out = y + (part ? a->n : 0) + body->w;
        ll_interior_multiply(body->interior, mine + body->w, out);
        ll_form_add_flux(body->form, mine + body->lambda, out);
        ll_dense_add(nodes, -1, room->rhs + (part ? a->n : 0) + body->w, out);
        status = add_change(a, b, part, 1, room->potential, out);
        if (!status)
            status = solve_inside(a, b, out);
    }
    return status;
}

/* P^-1 ((A + D) y - sum i_k(y) s_k), the product that GMRES asks for; P is the static preconditioner of operator.c but for the
 * factors inside. D meets the whole potential: y, and in magnets the patterns' own. */
static ll_status apply(void *context, const double *x, double *y)
{
    const ll_alternating *a = context;
    ll_room room;
    ll_status status = room_new(a, &room);
    if (!status) {
        drive_sheets(a, x, room.amplitude);
        sum_sheets(a, room.amplitude, room.rhs, room.potential);
        ll_dense_add(2 * a->n, 1, x, room.potential);
#pragma omp parallel for schedule(dynamic)
        for (size_t b = 0; b < a->system->count; b++)
            ll_keep_worse(&status, smooth_inside(a, b, x, &room, y));
    }
    for (int part = 0; part < 2 && !status; part++)
        status = ll_system_finish_product(a->system, x + part * a->n, room.rhs + part * a->n,
                                          y + part * a->n);
    room_free(&room);
    return status;
}

/* P^-1 of the right-hand side: minus what the frequency changes of the matrix, times the static answer, and the sheets'
 * answer to the static field. */
static ll_status find_rhs(const ll_alternating *a, const ll_driven *d, double *rhs)
{
    double *zero = calloc(a->n + 1, sizeof *zero);
    ll_room room;
    ll_status status = room_new(a, &room);
    if (!zero)
        status = LL_NO_MEMORY;
    if (!status) {
        for (size_t k = 0; k < a->patterns; k++)
            room.amplitude[k] = answer_to(a, k, d->flux_wb[k]);
        sum_sheets(a, room.amplitude, room.rhs, room.potential);
        ll_dense_add(a->n, 1, d->drive, room.potential);
        memcpy(rhs, room.rhs, 2 * a->n * sizeof *rhs);
    }
    for (size_t b = 0; b < a->system->count; b++)
        for (int part = 0; part < 2 && !status; part++) {
            double *out = rhs + (part ? a->n : 0) + a->system->body[b].w;
            status = add_change(a, b, part, -1, room.potential, out);
            if (!status)
                status = solve_inside(a, b, out);
        }
    /* With zero unknowns the sources on the surface stand on the right, with the sign of the layers. */
    if (!status)
        ll_dense_scale(2 * a->n, -1, room.rhs);
    for (int part = 0; part < 2 && !status; part++)
        status =
            ll_system_finish_product(a->system, zero, room.rhs + part * a->n, rhs + part * a->n);
    room_free(&room);
    free(zero);
    return status;
}

/* The currents that the change settles at. */
static ll_status keep_amplitudes(const ll_alternating *a, ll_driven *d)
{
    const size_t m = a->patterns;
    double complex *amplitude = malloc((m + 1) * sizeof *amplitude);
    if (!amplitude)
        return LL_NO_MEMORY;
    drive_sheets(a, d->change, amplitude);
    for (size_t k = 0; k < m; k++) {
        amplitude[k] += answer_to(a, k, d->flux_wb[k]);
        d->change[2 * a->n + k] = creal(amplitude[k]);
        d->change[2 * a->n + m + k] = cimag(amplitude[k]);
    }
    free(amplitude);
    return LL_OK;
}

/* y from zero at the first frequency, from the last one's afterwards: neighbours differ little. */
static ll_status solve_coil(const ll_alternating *a, ll_driven *d)
{
    double *rhs = malloc((2 * a->n + 1) * sizeof *rhs);
    size_t steps;
    ll_status status = rhs ? LL_OK : LL_NO_MEMORY;
    if (!status && a->n > 0) {
        status = find_rhs(a, d, rhs);
        if (!status)
            status = ll_gmres(apply, (void *)a, 2 * a->n, rhs, change_tolerance, MOST_STEPS,
                              d->change, &steps);
    }
    free(rhs);
    return status ? status : keep_amplitudes(a, d);
}

ll_status ll_alternating_set(ll_alternating *a, double f_hz)
{
    if (!(f_hz > 0) || !isfinite(f_hz))
        return LL_BAD_VALUE;
    ll_status status = LL_OK;
    a->omega = 2 * LL_PI * f_hz;
    if (a->is_static)
        return LL_OK;
    for (size_t b = 0; b < a->system->count && !status; b++)
        if (a->lossy[b].owned)
            status = set_body(a, b, f_hz);
            /* A system has one set of work space for its factors, and solutions may share a system. */
#pragma omp critical(ll_system_in_use)
    for (size_t i = 0; i < a->solution->scene->coils && !status; i++)
        status = solve_coil(a, &a->driven[i]);
    return status;
}

/* ---- readings ---- */

struct ll_alternating_state {
    double change[1]; /* as in ll_driven */
};

ll_status ll_alternating_keep(const ll_alternating *a, size_t coil, ll_alternating_state **out)
{
    const size_t bytes = a->length * sizeof(double);
    double *copy = malloc(bytes + sizeof *copy);
    if (!copy)
        return LL_NO_MEMORY;
    memcpy(copy, a->driven[coil].change, bytes);
    *out = (ll_alternating_state *)copy;
    return LL_OK;
}

/* Linkage of coil i with the change: mu0 weights . y through the bodies, and straight from the sheets' currents. Plates of steel act
 * through the bodies alone. */
double complex ll_alternating_inductance(const ll_alternating *a, size_t i,
                                         const ll_alternating_state *state)
{
    const double *weight = a->driven[i].weight, *change = state->change;
    const size_t m = a->currents.patterns;
    double complex sum = LL_MU0 * (ll_dense_dot(a->n, weight, change) +
                                   I * ll_dense_dot(a->n, weight, change + a->n));
    if (m > 0) {
        const double *linkage = a->currents.linkage_wb + i * m, *real = change + 2 * a->n;
        sum += ll_dense_dot(m, linkage, real) + I * ll_dense_dot(m, linkage, real + a->patterns);
    }
    return sum;
}

/* H of one part of a change: layers of the bodies and currents of the sheets, both real here. */
static ll_status field_of(const ll_alternating *a, const double *x, const double *amplitude,
                          size_t n, const ll_vec3 *points_m, ll_vec3 *h)
{
    double *densities = ll_system_densities(a->system, x);
    if (!densities)
        return LL_NO_MEMORY;
    memset(h, 0, n * sizeof *h);
    ll_system_field(a->system, densities, n, points_m, h);
    ll_currents_field(&a->currents, amplitude, n, points_m, h);
    free(densities);
    return LL_OK;
}

ll_status ll_alternating_coil_h(const ll_alternating *a, const ll_alternating_state *state,
                                size_t n, const ll_vec3 *points_m, ll_vec3 *real_per_m,
                                ll_vec3 *imag_per_m)
{
    const double *change = state->change, *amplitude = change + 2 * a->n;
    const ll_status status = field_of(a, change, amplitude, n, points_m, real_per_m);
    return status ? status
                  : field_of(a, change + a->n, amplitude + a->patterns, n, points_m, imag_per_m);
}
