/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/system.h"
#include "base/constants.h"
#include "base/dense.h"
#include "base/factor.h"
#include "magnetics/coupling.h"
#include "magnetics/krylov.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_STEPS = 300 };
static const double bias_tolerance = 1e-7;
/* Steel nearer than usual_join_m is one piece; a magnet that touches steel keeps this much air, as paint and roughness do. */
static const double usual_join_m = 2e-6, usual_contact_m = 0.02e-3;

/* Bodies that stand close share one factorisation of the single layer. */
typedef struct ll_cluster {
    size_t count, corners;
    size_t *body;
    double *factor; /* [corners][corners]; a lone body uses its form's own and has NULL */
} ll_cluster;

struct ll_system {
    size_t count, unknowns;
    double contact_m;
    ll_body *body;
    ll_interior_work **work; /* one for each body */
    ll_coupling *coupling;   /* [target * count + source] */
    ll_nearness *nearness;   /* of each pair, like coupling */
    size_t *cluster_of;
    size_t clusters;
    ll_cluster *cluster;
};

size_t ll_system_bodies(const ll_system *system)
{
    return system->count;
}

const ll_body *ll_system_body(const ll_system *system, size_t b)
{
    return &system->body[b];
}

size_t ll_system_unknowns(const ll_system *system)
{
    return system->unknowns;
}

void ll_system_free(ll_system *s)
{
    if (!s)
        return;
    for (size_t b = 0; b < s->count; b++) {
        ll_interior_work_free(s->work ? s->work[b] : NULL);
        ll_body_clear(&s->body[b]);
    }
    for (size_t k = 0; s->coupling && k < s->count * s->count; k++)
        ll_coupling_clear(&s->coupling[k]);
    for (size_t c = 0; c < s->clusters; c++) {
        free(s->cluster[c].body);
        free(s->cluster[c].factor);
    }
    free(s->body);
    free(s->work);
    free(s->coupling);
    free(s->nearness);
    free(s->cluster_of);
    free(s->cluster);
    free(s);
}

size_t ll_system_bytes(const ll_system *s)
{
    size_t bytes = s->unknowns * sizeof(double);
    for (size_t b = 0; b < s->count; b++)
        bytes += s->body[b].form->bytes;
    for (size_t k = 0; k < s->count * s->count; k++)
        bytes += ll_coupling_bytes(&s->coupling[k]);
    for (size_t c = 0; c < s->clusters; c++)
        if (s->cluster[c].factor)
            bytes += s->cluster[c].corners * s->cluster[c].corners * sizeof(double);
    return bytes;
}

/* ---- bodies ---- */

const ll_body *ll_system_body_of(const ll_system *s, size_t part, size_t *region)
{
    for (size_t b = 0; b < s->count; b++)
        for (size_t r = 0; r < s->body[b].regions; r++)
            if (s->body[b].region[r].part == part) {
                *region = r;
                return &s->body[b];
            }
    return NULL;
}

static ll_status add_bodies(ll_system *s, const ll_scene *scene, double fineness, double join_m)
{
    ll_status status = ll_bodies_find(scene, fineness, join_m, &s->body, &s->count);
    if (status)
        return status;
    s->work = calloc(s->count + 1, sizeof *s->work);
    for (size_t b = 0; s->work && b < s->count; b++) {
        ll_body *body = &s->body[b];
        body->w = s->unknowns;
        body->lambda = body->w + body->form->mesh->nodes;
        s->unknowns = body->lambda + body->form->mesh->corners;
        s->work[b] = ll_interior_work_new();
        if (!s->work[b])
            return LL_NO_MEMORY;
    }
    return s->work ? LL_OK : LL_NO_MEMORY;
}

/* Two bodies whose tangents are the same matrix. */
static bool are_twins(const ll_body *a, const ll_body *b)
{
    if (a->form != b->form || !a->linear || !b->linear || a->kind != b->kind)
        return false;
    for (size_t r = 0; r < a->regions; r++)
        if (ll_material_mu_r(a->region[r].material) != ll_material_mu_r(b->region[r].material))
            return false;
    return true;
}

static const ll_body *twin_before(const ll_system *s, size_t b)
{
    for (size_t a = 0; a < b; a++)
        if (are_twins(&s->body[a], &s->body[b]))
            return &s->body[a];
    return NULL;
}

static ll_status add_interiors(ll_system *s)
{
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *twin = twin_before(s, b);
        const ll_status status = twin ? LL_OK : ll_body_tangent(&s->body[b], NULL, false, true);
        if (status)
            return status;
        if (twin)
            s->body[b].interior = twin->interior;
    }
    return LL_OK;
}

/* ---- clusters and couplings ---- */

static void keep_worse(ll_status *status, ll_status mine)
{
    if (mine) {
#pragma omp critical(ll_system_status)
        *status = mine;
    }
}

static void join(ll_system *s, size_t a, size_t b)
{
    const size_t from = s->cluster_of[b], to = s->cluster_of[a];
    for (size_t k = 0; k < s->count; k++)
        if (s->cluster_of[k] == from)
            s->cluster_of[k] = to;
}

static ll_status find_clusters(ll_system *s)
{
    s->cluster_of = malloc((s->count + 1) * sizeof *s->cluster_of);
    s->cluster = calloc(s->count + 1, sizeof *s->cluster);
    s->nearness = calloc(s->count * s->count + 1, sizeof *s->nearness);
    s->coupling = calloc(s->count * s->count + 1, sizeof *s->coupling);
    if (!s->cluster_of || !s->cluster || !s->nearness || !s->coupling)
        return LL_NO_MEMORY;
    for (size_t b = 0; b < s->count; b++)
        s->cluster_of[b] = b;
    for (size_t a = 0; a < s->count; a++)
        for (size_t b = a + 1; b < s->count; b++) {
            const ll_nearness near = ll_coupling_nearness(&s->body[a], &s->body[b]);
            s->nearness[a * s->count + b] = s->nearness[b * s->count + a] = near;
            if (near == LL_FACING && s->cluster_of[a] != s->cluster_of[b])
                join(s, a, b);
        }
    for (size_t head = 0; head < s->count; head++) {
        ll_cluster *c = &s->cluster[s->clusters];
        c->body = calloc(s->count, sizeof *c->body);
        if (!c->body)
            return LL_NO_MEMORY;
        for (size_t b = 0; b < s->count; b++)
            if (s->cluster_of[b] == head) {
                c->body[c->count++] = b;
                c->corners += s->body[b].form->mesh->corners;
            }
        if (c->count)
            s->clusters++;
        else
            free(c->body), c->body = NULL;
    }
    return LL_OK;
}

/* In closed form: close pairs, and all pairs of one cluster, whose factorisation wants every block. */
static bool wants_closed_form(const ll_system *s, size_t t, size_t o)
{
    return s->cluster_of[t] == s->cluster_of[o] || s->nearness[t * s->count + o] != LL_APART;
}

static ll_status add_couplings(ll_system *s)
{
    ll_status status = LL_OK;
    const size_t pairs = s->count * s->count;
#pragma omp parallel for schedule(dynamic)
    for (size_t k = 0; k < pairs; k++) {
        const size_t t = k / s->count, o = k % s->count;
        if (t != o && !wants_closed_form(s, t, o))
            keep_worse(&status, ll_coupling_new(&s->body[t], &s->body[o], 0, 0, &s->coupling[k]));
    }
    for (size_t k = 0; k < pairs && !status; k++) {
        const size_t t = k / s->count, o = k % s->count;
        if (t != o && wants_closed_form(s, t, o))
            status = ll_coupling_new(&s->body[t], &s->body[o], 1, s->contact_m, &s->coupling[k]);
    }
    return status;
}

/* The block of the cluster's single layer for two of its bodies, which start at rows r and c. */
static void copy_block(const ll_system *s, const ll_cluster *k, size_t t, size_t o, size_t r,
                       size_t c)
{
    const size_t rows = s->body[t].form->mesh->corners, columns = s->body[o].form->mesh->corners;
    const double *block = t == o ? s->body[t].form->single : s->coupling[t * s->count + o].single;
    for (size_t i = 0; i < rows; i++)
        for (size_t j = 0; j < columns; j++) {
            /* The outer rule is not quite symmetric between two bodies: each gives half. */
            k->factor[(r + i) * k->corners + c + j] += 0.5 * block[i * columns + j];
            k->factor[(c + j) * k->corners + r + i] += 0.5 * block[i * columns + j];
        }
}

static ll_status factorise_cluster(ll_system *s, ll_cluster *k)
{
    if (k->count < 2)
        return LL_OK;
    k->factor = calloc(k->corners * k->corners, sizeof *k->factor);
    if (!k->factor)
        return LL_NO_MEMORY;
    for (size_t a = 0, r = 0; a < k->count; a++) {
        for (size_t b = 0, c = 0; b < k->count; b++) {
            copy_block(s, k, k->body[a], k->body[b], r, c);
            c += s->body[k->body[b]].form->mesh->corners;
        }
        r += s->body[k->body[a]].form->mesh->corners;
    }
    for (size_t a = 0; a < k->count; a++)
        for (size_t b = 0; b < k->count; b++) {
            ll_coupling *c = &s->coupling[k->body[a] * s->count + k->body[b]];
            free(c->single);
            c->single = NULL;
        }
    return ll_factorise(k->corners, k->factor);
}

/* ---- the operator ---- */

/* inner[nodes] of the body: y = factorised^-1 (matrix w + flux of lambda). */
static ll_status smooth_inside(const ll_system *s, size_t b, const double *x, double *y)
{
    const ll_body *body = &s->body[b];
    ll_interior_multiply(body->interior, x + body->w, y + body->w);
    ll_form_add_flux(body->form, x + body->lambda, y + body->w);
    return ll_interior_solve(body->interior, s->work[b], y + body->w, y + body->w);
}

/* surface[corners]: (1/2 - K) change - the close bodies' K change; `change` is a vector of all unknowns. */
static void add_close(const ll_system *s, size_t b, const double *change, double *surface)
{
    const ll_body *body = &s->body[b];
    const ll_mesh *mesh = body->form->mesh;
    if (body->kind == LL_CHARGES)
        ll_form_add_mass(body->form, change + body->w, surface);
    else
        ll_dense_multiply_add(mesh->corners, mesh->surface_nodes, 1, body->form->jump,
                              change + body->w, surface);
    for (size_t o = 0; o < s->count; o++)
        if (o != b && s->cluster_of[o] == s->cluster_of[b] && s->body[o].kind != LL_CHARGES)
            ll_coupling_add_close(&s->coupling[b * s->count + o], -1, change + s->body[o].w,
                                  surface);
}

static ll_status add_far(const ll_system *s, size_t b, const double *x, double *surface)
{
    for (size_t o = 0; o < s->count; o++) {
        if (s->cluster_of[o] == s->cluster_of[b])
            continue;
        const ll_status status = ll_coupling_add(&s->coupling[b * s->count + o], &s->body[o],
                                                 x + s->body[o].w, x + s->body[o].lambda, surface);
        if (status)
            return status;
    }
    return LL_OK;
}

static const double *factor_of(const ll_system *s, const ll_cluster *k)
{
    return k->count == 1 ? s->body[k->body[0]].form->factor : k->factor;
}

typedef void (*ll_factor_use)(size_t n, const double *factor, double *x);

/* y's lambdas of one cluster += f * (single layer or its inverse) of t, whose parts stand where the lambdas do. */
static ll_status add_single(const ll_system *s, const ll_cluster *k, ll_factor_use use, double f,
                            const double *t, double *y)
{
    double *in = malloc(k->corners * sizeof *in);
    if (!in)
        return LL_NO_MEMORY;
    for (size_t a = 0, r = 0; a < k->count; a++) {
        const ll_body *body = &s->body[k->body[a]];
        memcpy(in + r, t + body->lambda, body->form->mesh->corners * sizeof *in);
        r += body->form->mesh->corners;
    }
    use(k->corners, factor_of(s, k), in);
    for (size_t a = 0, r = 0; a < k->count; a++) {
        const ll_body *body = &s->body[k->body[a]];
        ll_dense_add(body->form->mesh->corners, f, in + r, y + body->lambda);
        r += body->form->mesh->corners;
    }
    free(in);
    return LL_OK;
}

/* y = P^-1 A x. The preconditioner P solves the inside with a stand-in for the space outside and then the
 * surface equation of each cluster exactly, so that S itself is never multiplied:
 *   w' = F^-1 (A w + flux lambda),   lambda' = lambda + S^-1 ((1/2 - K)(w' - w) + far layers). */
static ll_status preconditioned(void *context, const double *x, double *y)
{
    const ll_system *s = context;
    double *work = calloc(2 * s->unknowns, sizeof *work);
    if (!work)
        return LL_NO_MEMORY;
    double *change = work, *surface = work + s->unknowns;
    ll_status status = LL_OK;
#pragma omp parallel for schedule(dynamic)
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        keep_worse(&status, smooth_inside(s, b, x, y));
        for (size_t i = body->w; i < body->lambda; i++)
            change[i] = y[i] - x[i];
    }
#pragma omp parallel for schedule(dynamic)
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        add_close(s, b, change, surface + body->lambda);
        keep_worse(&status, add_far(s, b, x, surface + body->lambda));
        memcpy(y + body->lambda, x + body->lambda, body->form->mesh->corners * sizeof *y);
    }
#pragma omp parallel for schedule(dynamic) if (s->clusters > 1)
    for (size_t k = 0; k < s->clusters; k++)
        keep_worse(&status, add_single(s, &s->cluster[k], ll_factor_solve, 1, surface, y));
    free(work);
    return status;
}

/* P^-1 of a right-hand side in place: inside parts and surface parts. */
static ll_status precondition(const ll_system *s, double *rhs)
{
    double *surface = calloc(s->unknowns, sizeof *surface);
    if (!surface)
        return LL_NO_MEMORY;
    ll_status status = LL_OK;
    for (size_t b = 0; b < s->count && !status; b++)
        status = ll_interior_solve(s->body[b].interior, s->work[b], rhs + s->body[b].w,
                                   rhs + s->body[b].w);
    for (size_t b = 0; b < s->count && !status; b++) {
        const ll_body *body = &s->body[b];
        const size_t nc = body->form->mesh->corners;
        ll_dense_add(nc, -1, rhs + body->lambda, surface + body->lambda);
        add_close(s, b, rhs, surface + body->lambda);
        memset(rhs + body->lambda, 0, nc * sizeof *rhs);
    }
    for (size_t k = 0; k < s->clusters && !status; k++)
        status = add_single(s, &s->cluster[k], ll_factor_solve, 1, surface, rhs);
    free(surface);
    return status;
}

/* ---- sources ---- */

/* World positions of own points. */
static void to_world(const ll_pose *pose, size_t n, const ll_vec3 *own, ll_vec3 *world)
{
    for (size_t i = 0; i < n; i++)
        world[i] = ll_to_world(pose, own[i]);
}

static ll_status source_on_surface(const ll_body *body, size_t b, ll_source_potential psi,
                                   void *context, double *rhs)
{
    const size_t n = LL_TEST_POINTS * body->form->mesh->triangles;
    ll_vec3 *at = malloc(n * sizeof *at);
    double *f = malloc(n * sizeof *f);
    ll_status status = at && f ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        to_world(&body->pose, n, body->form->test_m, at);
        status = psi(context, b, n, at, f);
    }
    if (!status)
        ll_form_test(body->form, f, rhs + body->lambda);
    free(at);
    free(f);
    return status;
}

/* A magnet of reversible susceptibility chi is driven by -chi grad psi inside. */
static ll_status source_inside(const ll_body *body, size_t b, ll_source_potential psi,
                               void *context, double *rhs)
{
    const double mu = ll_material_mu_r(body->region[0].material);
    const size_t n = body->form->mesh->nodes;
    ll_vec3 *at = malloc(n * sizeof *at);
    double *f = malloc(n * sizeof *f);
    ll_status status = at && f ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        to_world(&body->pose, n, body->form->mesh->node_m, at);
        status = psi(context, b, n, at, f);
    }
    if (!status) {
        ll_interior_multiply(body->interior, f, rhs + body->w);
        /* The matrix holds chi or mu. */
        ll_dense_scale(n, body->kind == LL_CHARGES ? -1 : -(mu - 1) / mu, rhs + body->w);
    }
    free(at);
    free(f);
    return status;
}

/* Right-hand side of a small signal's source; zeroed before. */
static ll_status add_signal(const ll_system *s, ll_source_potential psi, void *context, double *rhs)
{
    ll_status status = LL_OK;
    for (size_t b = 0; b < s->count && !status; b++)
        status = s->body[b].kind == LL_TOTAL ? source_on_surface(&s->body[b], b, psi, context, rhs)
                                             : source_inside(&s->body[b], b, psi, context, rhs);
    return status;
}

/* The same for the bias, where magnets keep the sources' potential for their law. */
static ll_status add_sources(ll_system *s, ll_source_potential psi, void *context, double *rhs)
{
    ll_status status = LL_OK;
    for (size_t b = 0; b < s->count && !status; b++) {
        ll_body *body = &s->body[b];
        const size_t n = body->form->mesh->nodes;
        if (body->kind == LL_TOTAL) {
            status = source_on_surface(body, b, psi, context, rhs);
            continue;
        }
        ll_vec3 *at = malloc(n * sizeof *at);
        free(body->psi);
        body->psi = malloc(n * sizeof *body->psi);
        status = at && body->psi ? LL_OK : LL_NO_MEMORY;
        if (!status) {
            to_world(&body->pose, n, body->form->mesh->node_m, at);
            status = psi(context, b, n, at, body->psi);
        }
        free(at);
    }
    return status;
}

/* x += the solution for rhs (which is lost), around the tangents as they stand. */
static ll_status add_linear(const ll_system *s, double *rhs, double tolerance, double *x,
                            size_t *steps)
{
    double *answer = calloc(s->unknowns, sizeof *answer);
    size_t used = 0;
    ll_status status = answer ? precondition(s, rhs) : LL_NO_MEMORY;
    if (!status)
        status = ll_gmres(preconditioned, (void *)s, s->unknowns, rhs, tolerance, MOST_STEPS,
                          answer, &used);
    if (!status)
        ll_dense_add(s->unknowns, 1, answer, x);
    *steps += used;
    free(answer);
    return status;
}

ll_status ll_system_signal(const ll_system *s, ll_source_potential psi, void *context,
                           double tolerance, double *x, size_t *steps)
{
    *steps = 0;
    memset(x, 0, s->unknowns * sizeof *x);
    if (s->count == 0)
        return LL_OK;
    double *rhs = calloc(s->unknowns, sizeof *rhs);
    if (!rhs)
        return LL_NO_MEMORY;
    ll_status status = add_signal(s, psi, context, rhs);
    if (!status)
        status = add_linear(s, rhs, tolerance, x, steps);
    free(rhs);
    return status;
}

/* ---- Newton's method ---- */

/* Each Newton equation is solved this well, the last ones better as they no longer move the working point. */
static const double newton_forcing = 1e-3, first_forcing = 1e-4, newton_tolerance = 1e-6;
enum { MOST_NEWTON = 60, MOST_HALVINGS = 8 };
/* A factorisation is renewed when it took more products than this to use it. */
static const size_t fair_steps = 8;

/* missing[unknowns] = sources - the left-hand sides at x: what a step must still bring about. */
static ll_status find_missing(const ll_system *s, const double *sources, const double *x,
                              double *missing)
{
    double *flux = calloc(s->unknowns, sizeof *flux),
           *surface = calloc(s->unknowns, sizeof *surface);
    ll_status status = flux && surface ? LL_OK : LL_NO_MEMORY;
#pragma omp parallel for schedule(dynamic)
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        if (status)
            continue;
        ll_body_residual(body, x + body->w, missing + body->w);
        ll_form_add_flux(body->form, x + body->lambda, flux + body->w);
        /* add_far gives what the other bodies add, which stands on the left with a minus. */
        add_close(s, b, x, surface + body->lambda);
        ll_dense_scale(body->form->mesh->corners, -1, surface + body->lambda);
        keep_worse(&status, add_far(s, b, x, surface + body->lambda));
    }
    for (size_t k = 0; k < s->clusters && !status; k++)
        status = add_single(s, &s->cluster[k], ll_factor_multiply, 1, x, surface);
    for (size_t b = 0; b < s->count && !status; b++) {
        const ll_body *body = &s->body[b];
        for (size_t i = body->w; i < body->lambda; i++)
            missing[i] = sources[i] - missing[i] - flux[i];
        for (size_t i = body->lambda; i < body->lambda + body->form->mesh->corners; i++)
            missing[i] = sources[i] + surface[i];
    }
    free(flux);
    free(surface);
    return status;
}

/* How far the inside equations are from balance along a step: the slope of the energy, which the full step brings to
 * zero where the law is straight. */
static double slope_along(const ll_system *s, const double *step, const double *missing)
{
    double sum = 0;
    for (size_t b = 0; b < s->count; b++)
        sum +=
            ll_dense_dot(s->body[b].form->mesh->nodes, step + s->body[b].w, missing + s->body[b].w);
    return sum;
}

/* x moves along the step as far as lowers the slope, which is `before` at its start; *length tells how far. */
static ll_status move(const ll_system *s, const double *sources, const double *step, double before,
                      double *x, double *missing, double *length)
{
    double taken = 0;
    ll_status status = LL_OK;
    *length = 1;
    for (int k = 0; k <= MOST_HALVINGS && !status; k++, *length /= 2) {
        ll_dense_add(s->unknowns, *length - taken, step, x);
        taken = *length;
        status = find_missing(s, sources, x, missing);
        if (fabs(slope_along(s, step, missing)) <= (1 - 0.3 * *length) * before)
            break;
    }
    *length = taken;
    return status;
}

static ll_status set_tangents(ll_system *s, const double *x, bool reversible, bool factorise)
{
    ll_status status = LL_OK;
#pragma omp parallel for schedule(dynamic)
    for (size_t b = 0; b < s->count; b++)
        if (!s->body[b].linear)
            keep_worse(&status,
                       ll_body_tangent(&s->body[b], x + s->body[b].w, reversible, factorise));
    return status;
}

static bool all_linear(const ll_system *s)
{
    for (size_t b = 0; b < s->count; b++)
        if (!s->body[b].linear)
            return false;
    return true;
}

typedef struct ll_newton_room {
    double *sources, *missing, *step;
} ll_newton_room;

static ll_status newton(ll_system *s, const ll_newton_room *room, double *x, size_t *steps,
                        size_t *count)
{
    const size_t n = s->unknowns;
    const bool linear = all_linear(s);
    ll_status status = find_missing(s, room->sources, x, room->missing);
    for (*count = 0; !status; ++*count) {
        double length;
        const size_t steps_before = *steps;
        if (*count == MOST_NEWTON)
            return LL_NO_CONVERGENCE;
        const double forcing = linear ? bias_tolerance : *count ? newton_forcing : first_forcing;
        memset(room->step, 0, n * sizeof *room->step);
        memcpy(room->sources + n, room->missing, n * sizeof *room->missing);
        status = add_linear(s, room->sources + n, forcing, room->step, steps);
        /* The first step brings the surface equations into balance, whatever it does inside. */
        const double before = *count ? fabs(slope_along(s, room->step, room->missing)) : HUGE_VAL;
        if (!status)
            status = move(s, room->sources, room->step, before, x, room->missing, &length);
        if (status || linear)
            break;
        const double change = sqrt(ll_dense_dot(n, room->step, room->step) / ll_dense_dot(n, x, x));
        if (!isfinite(change))
            return LL_NO_CONVERGENCE;
        if (length == 1 && change < newton_tolerance)
            break;
        status = set_tangents(s, x, false, *steps - steps_before > fair_steps);
    }
    return status;
}

ll_status ll_system_bias(ll_system *s, ll_source_potential psi, void *context, double *x,
                         size_t *steps, size_t *count)
{
    *steps = *count = 0;
    memset(x, 0, s->unknowns * sizeof *x);
    if (s->count == 0)
        return LL_OK;
    double *room = calloc(4 * s->unknowns, sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    const ll_newton_room r = {room, room + 2 * s->unknowns, room + 3 * s->unknowns};
    ll_status status = add_sources(s, psi, context, r.sources);
    if (!status)
        status = set_tangents(s, x, false, true);
    if (!status)
        status = newton(s, &r, x, steps, count);
    if (!status)
        status = set_tangents(s, x, true, true);
    free(room);
    return status;
}

/* ---- fields ---- */

double *ll_system_densities(const ll_system *s, const double *x)
{
    size_t panels = 0;
    for (size_t b = 0; b < s->count; b++)
        panels += s->body[b].form->mesh->triangles;
    double *out = malloc((6 * panels + 1) * sizeof *out), *next = out;
    for (size_t b = 0; out && b < s->count; b++) {
        const ll_body *body = &s->body[b];
        const size_t n = 3 * body->form->mesh->triangles;
        const int *corner = &body->form->mesh->corner[0][0];
        const int *node = &body->form->mesh->triangle[0][0];
        for (size_t k = 0; k < n; k++) {
            next[k] = x[body->lambda + (size_t)corner[k]];
            next[n + k] = body->kind == LL_CHARGES ? 0 : x[body->w + (size_t)node[k]];
        }
        next += 2 * n;
    }
    return out;
}

/* The same for some points, and room for 2 n vectors. */
static void field_at(const ll_system *s, const double *densities, size_t n, const ll_vec3 *points_m,
                     ll_vec3 *own, ll_vec3 *h_a_m)
{
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        const size_t panels = 3 * body->form->mesh->triangles;
        for (size_t i = 0; i < n; i++) {
            own[i] = ll_to_own(&body->pose, points_m[i]);
            own[n + i] = ll_vec(0, 0, 0);
        }
        ll_panels_field(body->form->panels, densities, densities + panels, n, own, own + n);
        for (size_t i = 0; i < n; i++)
            h_a_m[i] = ll_add(h_a_m[i], ll_rotate(&body->pose.rotation, own[n + i]));
        densities += 2 * panels;
    }
}

void ll_system_field(const ll_system *s, const double *densities, size_t n,
                          const ll_vec3 *points_m, ll_vec3 *h_a_m)
{
    enum { TOGETHER = 32 };
#pragma omp parallel for schedule(dynamic) if (n > TOGETHER)
    for (size_t first = 0; first < n; first += TOGETHER) {
        const size_t left = n - first, count = left < TOGETHER ? left : TOGETHER;
        ll_vec3 own[2 * TOGETHER];
        field_at(s, densities, count, points_m + first, own, h_a_m + first);
    }
}

/* ---- making ---- */

/* Looked at between the steps, each of which needs more than the one before. */
static ll_status within(const ll_system *s, size_t limit_bytes)
{
    return limit_bytes && ll_system_bytes(s) > limit_bytes ? LL_TOO_BIG : LL_OK;
}

ll_status ll_system_new(const ll_scene *scene, const ll_solve_options *options, ll_system **out)
{
    ll_system *s = calloc(1, sizeof *s);
    if (!s)
        return LL_NO_MEMORY;
    const double fineness = options && options->fineness > 0 ? options->fineness : 1;
    const double given = options ? options->contact_gap_m : 0;
    const size_t limit = options ? options->memory_limit_bytes : 0;
    s->contact_m = given > 0 ? given : usual_contact_m;
    ll_status status = add_bodies(s, scene, fineness, given > 0 ? -1e-6 : usual_join_m);
    if (!status)
        status = add_interiors(s);
    if (!status)
        status = find_clusters(s);
    if (!status)
        status = within(s, limit);
    if (!status)
        status = add_couplings(s);
    for (size_t k = 0; k < s->clusters && !status; k++) {
        status = within(s, limit);
        if (!status)
            status = factorise_cluster(s, &s->cluster[k]);
    }
    if (!status)
        status = within(s, limit);
    if (status)
        ll_system_free(s);
    else
        *out = s;
    return status;
}
