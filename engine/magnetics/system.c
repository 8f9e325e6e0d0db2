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

/* Bodies that stand close share one factorisation of the single layer. */
typedef struct ll_cluster {
    size_t count, corners;
    size_t *body;
    double *factor; /* [corners][corners]; a lone body uses its form's own and has NULL */
} ll_cluster;

struct ll_system {
    size_t count, unknowns;
    ll_body *body;
    ll_interior_work **work; /* one for each body */
    ll_coupling *coupling;   /* [target * count + source] */
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
        if (s->body[b].owns_interior)
            ll_interior_free(s->body[b].interior);
        ll_interior_work_free(s->work[b]);
        ll_form_release(s->body[b].form);
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

static int takes_part(const ll_part *part)
{
    return ll_material_mu_r(part->material) > 1 + 1e-9;
}

static ll_status describe_body(const ll_part *part, size_t index, double fineness, ll_body *body)
{
    const ll_material *m = part->material;
    const ll_status status = ll_form_get(&part->shape, fineness, &body->form);
    if (status)
        return status;
    body->part = index;
    body->pose = part->pose;
    body->mu_r = ll_material_mu_r(m);
    const int magnet = ll_material_kind(m) == LL_MAGNET;
    body->reaction = magnet && body->mu_r <= LL_MOST_REACTION_MU;
    if (magnet && !body->reaction) {
        const double strength = part->charge * ll_material_remanence_t(m) / ll_norm(part->north);
        body->remanence_t = ll_scale(strength, ll_rotate_back(&part->pose.rotation, part->north));
    }
    return LL_OK;
}

static ll_status add_bodies(ll_system *s, const ll_scene *scene, double fineness)
{
    const size_t parts = ll_scene_part_count(scene);
    s->body = calloc(parts + 1, sizeof *s->body);
    s->work = calloc(parts + 1, sizeof *s->work);
    if (!s->body || !s->work)
        return LL_NO_MEMORY;
    for (size_t i = 0; i < parts; i++) {
        const ll_part *part = ll_scene_part(scene, i);
        if (!takes_part(part))
            continue;
        ll_body *body = &s->body[s->count];
        const ll_status status = describe_body(part, i, fineness, body);
        if (status)
            return status;
        body->w = s->unknowns;
        body->lambda = body->w + body->form->mesh->nodes;
        s->unknowns = body->lambda + body->form->mesh->corners;
        s->work[s->count++] = ll_interior_work_new();
        if (!s->work[s->count - 1])
            return LL_NO_MEMORY;
    }
    return LL_OK;
}

static const ll_body *twin_before(const ll_system *s, size_t b)
{
    for (size_t a = 0; a < b; a++)
        if (s->body[a].form == s->body[b].form && s->body[a].mu_r == s->body[b].mu_r)
            return &s->body[a];
    return NULL;
}

/* The space outside answers a potential of surface nodes about as a sphere of the same size would: w / size. */
static ll_status make_interior(ll_body *body)
{
    const ll_form *form = body->form;
    double *mu = malloc(form->mesh->tets * sizeof *mu);
    double *outside = calloc(form->mesh->nodes, sizeof *outside);
    ll_status status = mu && outside ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        for (size_t t = 0; t < form->mesh->tets; t++)
            mu[t] = body->mu_r;
        for (size_t i = 0; i < form->dipole.count; i++)
            outside[i] = form->dipole.weight[i] / form->size_m;
        status = ll_interior_new(form->mesh, mu, &body->interior);
    }
    if (!status) {
        body->owns_interior = 1;
        status = ll_interior_factorise(body->interior, outside);
    }
    free(mu);
    free(outside);
    return status;
}

static ll_status add_interiors(ll_system *s)
{
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *twin = twin_before(s, b);
        if (twin)
            s->body[b].interior = twin->interior;
        else {
            const ll_status status = make_interior(&s->body[b]);
            if (status)
                return status;
        }
    }
    return LL_OK;
}

/* ---- clusters and couplings ---- */

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
    s->coupling = calloc(s->count * s->count + 1, sizeof *s->coupling);
    if (!s->cluster_of || !s->cluster || !s->coupling)
        return LL_NO_MEMORY;
    for (size_t b = 0; b < s->count; b++)
        s->cluster_of[b] = b;
    for (size_t a = 0; a < s->count; a++)
        for (size_t b = a + 1; b < s->count; b++)
            if (s->cluster_of[a] != s->cluster_of[b] &&
                ll_coupling_is_close(&s->body[a], &s->body[b]))
                join(s, a, b);
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

static ll_status add_couplings(ll_system *s)
{
    ll_status status = LL_OK;
#pragma omp parallel for schedule(dynamic)
    for (size_t k = 0; k < s->count * s->count; k++) {
        const size_t t = k / s->count, o = k % s->count;
        if (t == o || s->cluster_of[t] == s->cluster_of[o])
            continue;
        const ll_status mine = ll_coupling_new(&s->body[t], &s->body[o], 0, &s->coupling[k]);
        if (mine) {
#pragma omp critical(ll_coupling_status)
            status = mine;
        }
    }
    for (size_t k = 0; k < s->count * s->count && !status; k++) {
        const size_t t = k / s->count, o = k % s->count;
        if (t != o && s->cluster_of[t] == s->cluster_of[o])
            status = ll_coupling_new(&s->body[t], &s->body[o], 1, &s->coupling[k]);
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
    ll_dense_multiply_add(mesh->corners, mesh->surface_nodes, 1, body->form->jump, change + body->w,
                          surface);
    for (size_t o = 0; o < s->count; o++)
        if (s->coupling[b * s->count + o].dbl)
            ll_coupling_add_close(&s->coupling[b * s->count + o], -1, change + s->body[o].w,
                                  surface);
}

static ll_status add_far(const ll_system *s, size_t b, const double *x, double *surface)
{
    for (size_t o = 0; o < s->count; o++) {
        const ll_coupling *c = &s->coupling[b * s->count + o];
        if (!c->far.u)
            continue;
        const ll_status status =
            ll_coupling_add_far(c, &s->body[o], x + s->body[o].w, x + s->body[o].lambda, surface);
        if (status)
            return status;
    }
    return LL_OK;
}

/* y's lambdas of one cluster += inverse single layer of t, whose parts stand where the lambdas do. */
static ll_status add_solved(const ll_system *s, const ll_cluster *k, const double *t, double *y)
{
    double *in = malloc(k->corners * sizeof *in);
    if (!in)
        return LL_NO_MEMORY;
    for (size_t a = 0, r = 0; a < k->count; a++) {
        const ll_body *body = &s->body[k->body[a]];
        memcpy(in + r, t + body->lambda, body->form->mesh->corners * sizeof *in);
        r += body->form->mesh->corners;
    }
    ll_factor_solve(k->corners, k->count == 1 ? s->body[k->body[0]].form->factor : k->factor, in);
    for (size_t a = 0, r = 0; a < k->count; a++) {
        const ll_body *body = &s->body[k->body[a]];
        ll_dense_add(body->form->mesh->corners, 1, in + r, y + body->lambda);
        r += body->form->mesh->corners;
    }
    free(in);
    return LL_OK;
}

static void keep_worse(ll_status *status, ll_status mine)
{
    if (mine) {
#pragma omp critical(ll_system_status)
        *status = mine;
    }
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
        keep_worse(&status, add_solved(s, &s->cluster[k], surface, y));
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
        status = add_solved(s, &s->cluster[k], surface, rhs);
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

/* A reaction body of susceptibility chi is driven by -chi grad psi inside. */
static ll_status source_inside(const ll_body *body, size_t b, ll_source_potential psi,
                               void *context, double *rhs)
{
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
        ll_dense_scale(n, -(body->mu_r - 1) / body->mu_r, rhs + body->w);
    }
    free(at);
    free(f);
    return status;
}

static void add_remanence(const ll_body *body, double *rhs)
{
    const ll_mesh *mesh = body->form->mesh;
    if (ll_norm(body->remanence_t) == 0)
        return;
    for (size_t t = 0; t < mesh->tets; t++) {
        ll_vec3 hat[4];
        const double volume = ll_tet_hats(mesh, t, hat);
        for (int k = 0; k < 4; k++)
            rhs[body->w + (size_t)mesh->tet[t][k]] +=
                volume * ll_dot(body->remanence_t, hat[k]) / LL_MU0;
    }
}

ll_status ll_system_solve(const ll_system *s, ll_source_potential psi, void *context, int magnets,
                          double tolerance, double *x, size_t *steps)
{
    *steps = 0;
    if (s->count == 0)
        return LL_OK;
    double *work = calloc(2 * s->unknowns, sizeof *work);
    if (!work)
        return LL_NO_MEMORY;
    double *rhs = work, *answer = work + s->unknowns;
    ll_status status = LL_OK;
    for (size_t b = 0; b < s->count && !status; b++) {
        const ll_body *body = &s->body[b];
        status = body->reaction ? source_inside(body, b, psi, context, rhs)
                                : source_on_surface(body, b, psi, context, rhs);
        if (magnets)
            add_remanence(body, rhs);
    }
    if (!status)
        status = precondition(s, rhs);
    if (!status)
        status = ll_gmres(preconditioned, (void *)s, s->unknowns, rhs, tolerance, MOST_STEPS,
                          answer, steps);
    if (!status)
        memcpy(x, answer, s->unknowns * sizeof *x);
    free(work);
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
            next[n + k] = x[body->w + (size_t)node[k]];
        }
        next += 2 * n;
    }
    return out;
}

ll_vec3 ll_system_field(const ll_system *s, const double *densities, ll_vec3 point_m)
{
    ll_vec3 h = {0};
    for (size_t b = 0; b < s->count; b++) {
        const ll_body *body = &s->body[b];
        const size_t n = 3 * body->form->mesh->triangles;
        const ll_vec3 own = ll_panels_field(body->form->panels, densities, densities + n,
                                            ll_to_own(&body->pose, point_m));
        h = ll_add(h, ll_rotate(&body->pose.rotation, own));
        densities += 2 * n;
    }
    return h;
}

/* ---- making ---- */

ll_status ll_system_new(const ll_scene *scene, const ll_solve_options *options, ll_system **out)
{
    ll_system *s = calloc(1, sizeof *s);
    if (!s)
        return LL_NO_MEMORY;
    const double fineness = options && options->fineness > 0 ? options->fineness : 1;
    ll_status status = add_bodies(s, scene, fineness);
    if (!status)
        status = add_interiors(s);
    if (!status)
        status = find_clusters(s);
    if (!status)
        status = add_couplings(s);
    for (size_t k = 0; k < s->clusters && !status; k++)
        status = factorise_cluster(s, &s->cluster[k]);
    if (status)
        ll_system_free(s);
    else
        *out = s;
    return status;
}
