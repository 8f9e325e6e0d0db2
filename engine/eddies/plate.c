/* Currents around in a plate of steel, driven by the flux through it: the matrices between the leaf in its middle and the unknowns of its
 * body.
 * 
 *   weight    half the flux through front and back, of each hat of the leaf:  integral N (lambda_front - lambda_back) / 2 dS
 *   rhs       H = T n / thickness as a source inside:                         integral mu T / thickness n . grad v dV
 * 
 * Their patterns are spanned as in currents.c, by what the coils drive; the inductance is not in a matrix L but in the bodies,
 * which answer rhs with the flux that weight reads.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "eddies/plate.h"
#include "base/constants.h"
#include "base/dense.h"
#include "eddies/currents.h"

#include <stdlib.h>
#include <string.h>

static const ll_part *part_of(const ll_solution *s, const ll_body *body)
{
    return &s->scene->part[body->region[0].part];
}

/* A body of one piece: joined pieces have no middle plane of their own. */
bool ll_plate_is(const ll_solution *s, size_t b)
{
    const ll_body *body = ll_system_body(s->system, b);
    const ll_part *part = part_of(s, body);
    ll_vec3 normal;
    return body->regions == 1 && body->kind == LL_TOTAL &&
           ll_material_conductivity_s_m(part->material) > 0 && ll_leaf_plate_m(part, &normal) > 0;
}

void ll_plate_clear(ll_plate_currents *plate)
{
    free(plate->weight);
    free(plate->rhs);
    memset(plate, 0, sizeof *plate);
}

/* Unknowns of the body alone, its w and then its lambda. */
static size_t own_unknowns(const ll_body *body)
{
    return body->form->mesh->nodes + body->form->mesh->corners;
}

/* What is known of one plate. */
typedef struct ll_work {
    const ll_solution *s;
    const ll_body *body;
    ll_leaves leaves;
    ll_vec3 normal; /* the leaf's own */
    double thickness_m;
    double volume,
        mu_volume;  /* of the tetrahedra so far, and with their permeability along the plate */
    double *weight; /* [unknowns of the leaf][unknowns of the body] */
    double *rhs;    /* the same */
} ll_work;

/* The leaf's triangle over or under a point, and the point's shares of its corners; false beside the leaf. */
static bool find_triangle(const ll_leaves *l, ll_vec3 at, const ll_leaf_triangle **found,
                          double share[3])
{
    for (size_t t = 0; t < l->triangles; t++) {
        const ll_leaf_triangle *own = &l->triangle[t];
        const ll_vec3 way = ll_sub(at, own->centre_m);
        bool inside = true;
        for (int k = 0; k < 3; k++) {
            /* grad N = normal x curl. */
            share[k] = 1.0 / 3 + ll_dot(way, ll_cross(own->normal, own->curl[k]));
            inside = inside && share[k] > -1e-6;
        }
        if (inside) {
            *found = own;
            return true;
        }
    }
    return false;
}

/* Half the flux through one triangle of the front or the back. */
static void add_face(ll_work *w, size_t t, double side)
{
    const ll_mesh *mesh = w->body->form->mesh;
    const size_t n = own_unknowns(w->body);
    const double area = ll_panels_area(w->body->form->panels, t) / LL_TEST_POINTS;
    for (int p = 0; p < LL_TEST_POINTS; p++) {
        const ll_leaf_triangle *leaf;
        double share[3];
        const ll_vec3 at =
            ll_to_world(&w->body->pose, w->body->form->test_m[t * LL_TEST_POINTS + (size_t)p]);
        if (!find_triangle(&w->leaves, at, &leaf, share))
            continue;
        for (int i = 0; i < 3; i++) {
            const int unknown = w->leaves.unknown[leaf->node[i]];
            for (int k = 0; k < 3 && unknown >= 0; k++)
                w->weight[(size_t)unknown * n + mesh->nodes + (size_t)mesh->corner[t][k]] +=
                    0.5 * side * area * share[i] * ll_test_weight[p][k];
        }
    }
}

/* Faces whose normal is that of the leaf or its opposite; the rim carries little of the flux through the plate. */
static void add_faces(ll_work *w)
{
    for (size_t t = 0; t < w->body->form->mesh->triangles; t++) {
        const ll_vec3 own =
            ll_rotate(&w->body->pose.rotation, ll_panels_normal(w->body->form->panels, t));
        const double along = ll_dot(own, w->normal);
        if (fabs(along) > 0.9)
            add_face(w, t, along > 0 ? 1 : -1);
    }
}

/* integral mu T / thickness n . grad v dV of one tetrahedron. */
static void add_tet(ll_work *w, size_t t)
{
    const ll_mesh *mesh = w->body->form->mesh;
    const size_t n = own_unknowns(w->body);
    const ll_vec3 normal = ll_rotate_back(&w->body->pose.rotation, w->normal);
    const ll_tensor mu =
        ll_body_reversible(w->body, t, ll_body_h(w->body, t, w->s->bias.x + w->body->w));
    const double along = ll_dot(mu.axis, normal);
    const double mu_n = mu.across + mu.extra * along * along;
    ll_vec3 hat[4], centre = ll_vec(0, 0, 0);
    const double volume = ll_tet_hats(mesh, t, hat);
    w->volume += volume;
    w->mu_volume += volume * (mu.across + mu.extra * (1 - along * along) / 2);
    for (int k = 0; k < 4; k++)
        centre = ll_add(centre, ll_scale(0.25, mesh->node_m[mesh->tet[t][k]]));
    const ll_leaf_triangle *leaf;
    double share[3];
    if (!find_triangle(&w->leaves, ll_to_world(&w->body->pose, centre), &leaf, share))
        return;
    for (int i = 0; i < 3; i++) {
        const int unknown = w->leaves.unknown[leaf->node[i]];
        for (int k = 0; k < 4 && unknown >= 0; k++)
            w->rhs[(size_t)unknown * n + (size_t)mesh->tet[t][k]] +=
                volume * mu_n * share[i] / w->thickness_m * ll_dot(hat[k], normal);
    }
}

/* linkage[coils][unknowns of the leaf] of one ampere in each coil. */
static ll_status link_coils(const ll_work *w, double *linkage)
{
    const size_t n = own_unknowns(w->body), m = w->leaves.unknowns;
    ll_status status = LL_OK;
    for (size_t c = 0; c < w->s->scene->coils && !status; c++) {
        status = ll_coil_answered(w->s, c);
        for (size_t i = 0; i < m && !status; i++)
            linkage[c * m + i] =
                LL_MU0 * ll_dense_dot(n, w->weight + i * n, w->s->coil[c].x + w->body->w);
    }
    return status;
}

/* Sums over the leaf's unknowns for each pattern. */
static ll_status combine(const ll_work *w, const double *basis, ll_plate_currents *out)
{
    const size_t n = own_unknowns(w->body), m = w->leaves.unknowns;
    out->weight = calloc(out->patterns * n + 1, sizeof *out->weight);
    out->rhs = calloc(out->patterns * n + 1, sizeof *out->rhs);
    if (!out->weight || !out->rhs)
        return LL_NO_MEMORY;
    for (size_t k = 0; k < out->patterns; k++)
        for (size_t i = 0; i < m; i++) {
            ll_dense_add(n, basis[k * m + i], w->weight + i * n, out->weight + k * n);
            ll_dense_add(n, basis[k * m + i], w->rhs + i * n, out->rhs + k * n);
        }
    return LL_OK;
}

/* The coils' static flux through each hat drives the leaf; what it answers at the frequencies of currents.c spans the patterns. */
static ll_status find_patterns(ll_work *w, ll_plate_currents *out)
{
    const size_t coils = w->s->scene->coils;
    double *linkage = malloc((coils * w->leaves.unknowns + 1) * sizeof *linkage), *basis = NULL;
    ll_panels *panels = NULL;
    ll_status status = linkage ? link_coils(w, linkage) : LL_NO_MEMORY;
    if (!status)
        status = ll_currents_panels(&w->leaves, &panels);
    if (!status)
        status = ll_currents_span(&w->leaves, panels, coils, linkage, &basis, &out->patterns);
    if (!status)
        status = combine(w, basis, out);
    ll_panels_free(panels);
    free(basis);
    free(linkage);
    return status;
}

/* The mean permeability along the plate goes into kappa of F = tanh(kappa b) / (kappa b), see plate.h. */
ll_status ll_plate_find(const ll_solution *s, size_t b, ll_plate_currents *out)
{
    ll_work w = {.s = s, .body = ll_system_body(s->system, b)};
    const ll_part *part = part_of(s, w.body);
    ll_plate_currents found = {0};
    w.thickness_m = ll_leaf_plate_m(part, &w.normal);
    ll_status status = ll_leaves_of_plate(part, &w.leaves);
    const size_t room = status ? 0 : w.leaves.unknowns * own_unknowns(w.body);
    w.weight = calloc(room + 1, sizeof *w.weight);
    w.rhs = calloc(room + 1, sizeof *w.rhs);
    if (!status && !(w.weight && w.rhs))
        status = LL_NO_MEMORY;
    if (!status) {
        w.normal = w.leaves.triangle[0].normal;
        add_faces(&w);
        for (size_t t = 0; t < w.body->form->mesh->tets; t++)
            add_tet(&w, t);
        found.half_m = w.thickness_m / 2;
        found.mu_r = w.mu_volume / w.volume;
        found.conductivity_s_m = ll_material_conductivity_s_m(part->material);
        status = find_patterns(&w, &found);
    }
    ll_leaves_clear(&w.leaves);
    free(w.weight);
    free(w.rhs);
    if (status)
        ll_plate_clear(&found);
    else
        *out = found;
    return status;
}
