/* R and L of the leaves, and the few patterns of current that stand for all of them.
 * 
 *   R_ij = integral ohm K_i . K_j dS                          power that the metal turns into heat, per squared ampere
 *   L_ij = mu0 integral K_i . K_j' / (4 pi r) dS dS'           energy of the field, twice, per squared ampere
 *   flux_i = mu0 integral N_i H_n dS = integral A . K_i dS     what a field from outside links (Stokes)
 * 
 * so (R + s L) T = -s flux at the complex frequency s = j w. What coils drive is smooth in s, and answers at a few real s > 0,
 * where the matrix is real and positive, span the others: with patterns orthonormal for R and L diagonal the equation falls
 * apart into one for each pattern, (1 + s tau) i = -s flux.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "eddies/currents.h"
#include "base/constants.h"
#include "base/dense.h"
#include "base/factor.h"
#include "base/gsl.h"
#include "base/parallel.h"
#include "field/source.h"
#include "magnetics/system_data.h"

#include <gsl/gsl_eigen.h>
#include <stdlib.h>
#include <string.h>

/* Rule for smooth functions on a triangle, exact to degree 5 (R. Cowper, Int. J. Numer. Methods Eng. 7 (1973) 405). */
enum { POINTS = 7 };
static const double rule[POINTS][4] = {
    {1.0 / 3, 1.0 / 3, 1.0 / 3, 0.225},
    {0.797426985353087, 0.101286507323456, 0.101286507323456, 0.125939180544827},
    {0.101286507323456, 0.797426985353087, 0.101286507323456, 0.125939180544827},
    {0.101286507323456, 0.101286507323456, 0.797426985353087, 0.125939180544827},
    {0.059715871789770, 0.470142064105115, 0.470142064105115, 0.132394152788506},
    {0.470142064105115, 0.059715871789770, 0.470142064105115, 0.132394152788506},
    {0.470142064105115, 0.470142064105115, 0.059715871789770, 0.132394152788506},
};

/* A point of a triangle by its shares of the corners. */
static ll_vec3 point_of(const ll_leaves *l, const ll_leaf_triangle *t, const double *share)
{
    ll_vec3 p = ll_vec(0, 0, 0);
    for (int k = 0; k < 3; k++)
        p = ll_add(p, ll_scale(share[k], l->node_m[t->node[k]]));
    return p;
}

/* ---- resistance and inductance ---- */

/* Triangles nearer than this many radii are integrated in closed form. */
static const double near_radii = 2;

ll_status ll_currents_panels(const ll_leaves *l, ll_panels **out)
{
    int(*triangle)[3] = malloc((l->triangles + 1) * sizeof *triangle);
    if (!triangle)
        return LL_NO_MEMORY;
    for (size_t t = 0; t < l->triangles; t++)
        memcpy(triangle[t], l->triangle[t].node, sizeof *triangle);
    const ll_status status = ll_panels_new(l->triangles, (const int(*)[3])triangle, l->node_m, out);
    free(triangle);
    return status;
}

/* Integral over triangle t, moved by `shift` along its normal, of the potential 1 / 4 pi r of triangle u. */
static double near_pair(const ll_leaves *l, const ll_panels *panels, size_t t, size_t u,
                        double shift)
{
    double x[POINTS], y[POINTS], z[POINTS], s[3 * POINTS], d[3 * POINTS], sum = 0;
    const ll_leaf_triangle *own = &l->triangle[t];
    for (int p = 0; p < POINTS; p++) {
        const ll_vec3 at = ll_add(point_of(l, own, rule[p]), ll_scale(shift, own->normal));
        x[p] = at.x;
        y[p] = at.y;
        z[p] = at.z;
    }
    ll_panel_potentials(panels, u, 0, POINTS, x, y, z, s, d);
    for (int p = 0; p < POINTS; p++)
        sum += rule[p][3] * (s[p] + s[POINTS + p] + s[2 * POINTS + p]);
    return own->area_m2 * sum;
}

/* Mean over the metal of both: each leaf as two, at Gauss's points through its thickness, 2 half / sqrt 3 apart. */
static double pair(const ll_leaves *l, const ll_panels *panels, size_t t, size_t u)
{
    const ll_leaf_triangle *a = &l->triangle[t], *b = &l->triangle[u];
    const double distance = ll_norm(ll_sub(a->centre_m, b->centre_m));
    if (distance > near_radii * (a->radius_m + b->radius_m))
        return a->area_m2 * b->area_m2 / (4 * LL_PI * distance);
    const double apart = (a->half_m + b->half_m) / sqrt(3);
    if (distance > 6 * apart)
        return near_pair(l, panels, t, u, 0);
    return 0.5 * near_pair(l, panels, t, u, 0) + 0.25 * near_pair(l, panels, t, u, apart) +
           0.25 * near_pair(l, panels, t, u, -apart);
}

/* row[unknowns][3] += sum over triangles u of pair(t, u) times the curls of u. */
static void add_potential_row(const ll_leaves *l, const ll_panels *panels, size_t t, ll_vec3 *row)
{
    for (size_t u = 0; u < l->triangles; u++) {
        const ll_leaf_triangle *other = &l->triangle[u];
        if (other->ohm == 0)
            continue;
        const double g = pair(l, panels, t, u);
        for (int k = 0; k < 3; k++) {
            const int i = l->unknown[other->node[k]];
            if (i >= 0)
                row[i] = ll_add(row[i], ll_scale(g, other->curl[k]));
        }
    }
}

/* Rows of R and L of the three hats of one triangle: K is constant on it, so both are products of curls with an integral that knows
 * no direction. */
static void add_triangle(const ll_leaves *l, const ll_leaf_triangle *t, const ll_vec3 *row,
                         double *ohm, double *henry)
{
    const size_t n = l->unknowns;
    for (int a = 0; a < 3; a++) {
        const int i = l->unknown[t->node[a]];
        if (i < 0)
            continue;
        for (int b = 0; b < 3; b++)
            if (l->unknown[t->node[b]] >= 0)
                ohm[(size_t)i * n + (size_t)l->unknown[t->node[b]]] +=
                    t->ohm * t->area_m2 * ll_dot(t->curl[a], t->curl[b]);
        for (size_t j = 0; j < n; j++)
            henry[(size_t)i * n + j] += LL_MU0 * ll_dot(t->curl[a], row[j]);
    }
}

/* The outer rule sees the two triangles of a pair unlike; L itself is symmetric. */
static void symmetrise(size_t n, double *m)
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++)
            m[i * n + j] = m[j * n + i] = 0.5 * (m[i * n + j] + m[j * n + i]);
}

/* ohm[n][n], henry[n][n], zeroed before. */
/* All pairs of triangles: n^2 closed forms or points, which is what a cover costs. */
static ll_status fill_matrices(const ll_leaves *l, const ll_panels *panels, double *ohm,
                               double *henry)
{
    ll_status status = LL_OK;
#pragma omp parallel for ordered schedule(dynamic)
    for (size_t t = 0; t < l->triangles; t++) {
        if (l->triangle[t].ohm == 0)
            continue;
        ll_vec3 *row = calloc(l->unknowns, sizeof *row);
        if (row) {
            add_potential_row(l, panels, t, row);
#pragma omp ordered /* a sum's digits depend on its order */
            add_triangle(l, &l->triangle[t], row, ohm, henry);
        } else {
            ll_keep_worse(&status, LL_NO_MEMORY);
        }
        free(row);
    }
    symmetrise(l->unknowns, henry);
    return status;
}

/* ---- linkage ---- */

/* linkage[unknowns] += mu0 integral N H_n dS for h at POINTS points of each triangle. */
static void add_linkage(const ll_leaves *l, const ll_vec3 *h, double *linkage)
{
    for (size_t t = 0; t < l->triangles; t++)
        for (int p = 0; p < POINTS; p++) {
            const ll_leaf_triangle *own = &l->triangle[t];
            const double flux =
                LL_MU0 * own->area_m2 * rule[p][3] * ll_dot(h[t * POINTS + (size_t)p], own->normal);
            for (int k = 0; k < 3; k++)
                if (l->unknown[own->node[k]] >= 0)
                    linkage[l->unknown[own->node[k]]] += flux * rule[p][k];
        }
}

/* What one ampere in a coil links: its own field, and with the field that the steel adds to it. */
static ll_status coil_linkage(const ll_solution *s, const ll_leaves *l, size_t coil, double *alone,
                              double *with_steel)
{
    const size_t n = POINTS * l->triangles;
    const ll_coil *c = &s->scene->coil[coil];
    ll_vec3 *at = malloc((n + 1) * sizeof *at), *h = malloc((n + 1) * sizeof *h);
    ll_status status = at && h ? ll_coil_answered(s, coil) : LL_NO_MEMORY;
    for (size_t i = 0; i < n && !status; i++)
        at[i] = point_of(l, &l->triangle[i / POINTS], rule[i % POINTS]);
    if (!status)
        status = ll_coil_h(&c->shape, &c->pose, c->turns, n, at, h);
    if (!status) {
        add_linkage(l, h, alone);
        ll_system_field(s->system, s->coil[coil].densities, n, at, h);
        add_linkage(l, h, with_steel);
    }
    free(at);
    free(h);
    return status;
}

/* ---- patterns ---- */

/* Real complex frequencies at which the patterns are exact, 1/s: from hum to beyond the audio band. */
static const double shift_per_s[] = {2e2, 1.5e3, 6e3, 2e4, 7e4, 2.5e5, 1e6};
enum { SHIFTS = sizeof shift_per_s / sizeof *shift_per_s };

/* Makes v orthogonal, in the sense of R, to the earlier ones; false when hardly anything is left. */
static bool orthogonalise(size_t n, const double *ohm, size_t count, double *basis, double *room)
{
    double *v = basis + count * n, before = 0, after = 0;
    for (int pass = 0; pass < 2; pass++) {
        memset(room, 0, n * sizeof *room);
        ll_dense_multiply_add(n, n, 1, ohm, v, room);
        if (pass == 0)
            before = ll_dense_dot(n, v, room);
        for (size_t k = 0; k < count; k++)
            ll_dense_add(n, -ll_dense_dot(n, basis + k * n, room), basis + k * n, v);
    }
    memset(room, 0, n * sizeof *room);
    ll_dense_multiply_add(n, n, 1, ohm, v, room);
    after = ll_dense_dot(n, v, room);
    if (!(after > 1e-9 * before) || !(after > 0))
        return false;
    ll_dense_scale(n, 1 / sqrt(after), v);
    return true;
}

/* Answers (R + s L)^-1 linkage for all shifts and sources, orthonormal; *count of them. */
static ll_status span(size_t n, const double *ohm, const double *henry, size_t sources,
                      const double *linkage, double *basis, size_t *count)
{
    double *factor = malloc(n * n * sizeof *factor), *room = malloc(n * sizeof *room);
    ll_status status = factor && room ? LL_OK : LL_NO_MEMORY;
    *count = 0;
    for (int k = 0; k < SHIFTS && !status; k++) {
        memcpy(factor, ohm, n * n * sizeof *factor);
        ll_dense_add(n * n, shift_per_s[k], henry, factor);
        status = ll_factorise(n, factor);
        for (size_t i = 0; i < sources && !status; i++) {
            double *v = basis + *count * n;
            memcpy(v, linkage + i * n, n * sizeof *v);
            ll_factor_solve(n, factor, v);
            *count += orthogonalise(n, ohm, *count, basis, room);
        }
    }
    free(factor);
    free(room);
    return status;
}

/* Turns the basis, orthonormal for R, so that L is diagonal; time_s are its entries. */
static ll_status diagonalise(size_t n, const double *henry, size_t m, double *basis, double *time_s)
{
    double *product = calloc(n, sizeof *product), *turned = calloc(m * n + 1, sizeof *turned);
    gsl_matrix *small = gsl_matrix_alloc(m, m), *vector = gsl_matrix_alloc(m, m);
    gsl_vector *value = gsl_vector_alloc(m);
    gsl_eigen_symmv_workspace *work = gsl_eigen_symmv_alloc(m);
    const bool room = product && turned && small && vector && value && work;
    for (size_t i = 0; room && i < m; i++) {
        memset(product, 0, n * sizeof *product);
        ll_dense_multiply_add(n, n, 1, henry, basis + i * n, product);
        for (size_t j = 0; j < m; j++)
            gsl_matrix_set(small, j, i, ll_dense_dot(n, product, basis + j * n));
    }
    const bool done = room && gsl_eigen_symmv(small, value, vector, work) == 0;
    for (size_t i = 0; done && i < m; i++) {
        time_s[i] = fmax(0, gsl_vector_get(value, i));
        for (size_t j = 0; j < m; j++)
            ll_dense_add(n, gsl_matrix_get(vector, j, i), basis + j * n, turned + i * n);
    }
    if (done)
        memcpy(basis, turned, m * n * sizeof *basis);
    free(product);
    free(turned);
    gsl_matrix_free(small);
    gsl_matrix_free(vector);
    gsl_vector_free(value);
    gsl_eigen_symmv_free(work);
    return done ? LL_OK : room ? LL_LIBRARY : LL_NO_MEMORY;
}

/* The same for leaves whose inductance is elsewhere: only the span is wanted, no time constants. */
ll_status ll_currents_span(const ll_leaves *l, const ll_panels *panels, size_t sources,
                           const double *linkage, double **basis, size_t *count)
{
    const size_t n = l->unknowns;
    double *ohm = calloc(2 * n * n + 1, sizeof *ohm), *henry = ohm ? ohm + n * n : NULL;
    double *found = calloc((SHIFTS * sources + 1) * n + 1, sizeof *found);
    ll_status status = ohm && found ? fill_matrices(l, panels, ohm, henry) : LL_NO_MEMORY;
    if (!status)
        status = span(n, ohm, henry, sources, linkage, found, count);
    free(ohm);
    if (status)
        free(found);
    else
        *basis = found;
    return status;
}

/* From unknowns to nodes, and what the coils link of each pattern. */
static ll_status keep_patterns(ll_currents *c, size_t coils, const double *alone,
                               const double *basis)
{
    const ll_leaves *l = &c->leaves;
    const size_t n = l->unknowns;
    c->t = calloc(c->patterns * l->nodes + 1, sizeof *c->t);
    c->linkage_wb = calloc(coils * c->patterns + 1, sizeof *c->linkage_wb);
    if (!c->t || !c->linkage_wb)
        return LL_NO_MEMORY;
    for (size_t k = 0; k < c->patterns; k++) {
        for (size_t i = 0; i < l->nodes; i++)
            if (l->unknown[i] >= 0)
                c->t[k * l->nodes + i] = basis[k * n + (size_t)l->unknown[i]];
        for (size_t i = 0; i < coils; i++)
            c->linkage_wb[i * c->patterns + k] = ll_dense_dot(n, alone + 2 * i * n, basis + k * n);
    }
    return LL_OK;
}

/* Each coil drives the sheets twice: by its field in air and by that with the steel around it. What steel adds at other frequencies lies
 * between, so both together span what is wanted. */
static ll_status find_patterns(const ll_solution *s, ll_currents *c)
{
    const size_t n = c->leaves.unknowns, coils = s->scene->coils, sources = 2 * coils;
    double *ohm = calloc(2 * n * n, sizeof *ohm), *henry = ohm ? ohm + n * n : NULL;
    double *linkage = calloc(sources * n + 1, sizeof *linkage);
    double *basis = calloc((SHIFTS * sources + 1) * n, sizeof *basis);
    ll_status status = ohm && linkage && basis ? LL_OK : LL_NO_MEMORY;
    c->time_s = calloc(SHIFTS * sources + 1, sizeof *c->time_s);
    if (!c->time_s)
        status = LL_NO_MEMORY;
    if (!status)
        status = fill_matrices(&c->leaves, c->panels, ohm, henry);
    for (size_t i = 0; i < coils && !status; i++)
        status = coil_linkage(s, &c->leaves, i, linkage + 2 * i * n, linkage + (2 * i + 1) * n);
    if (!status)
        status = span(n, ohm, henry, sources, linkage, basis, &c->patterns);
    if (!status)
        status = diagonalise(n, henry, c->patterns, basis, c->time_s);
    if (!status)
        status = keep_patterns(c, coils, linkage, basis);
    free(ohm);
    free(linkage);
    free(basis);
    return status;
}

ll_status ll_currents_find(const ll_solution *solution, ll_currents *out)
{
    ll_currents c = {0};
    ll_status status = ll_leaves_find(solution->scene, &c.leaves);
    const bool any = !status && c.leaves.unknowns > 0 && solution->scene->coils > 0;
    if (any)
        status = ll_currents_panels(&c.leaves, &c.panels);
    if (any && !status)
        status = find_patterns(solution, &c);
    if (status)
        ll_currents_clear(&c);
    else
        *out = c;
    return status;
}

void ll_currents_clear(ll_currents *c)
{
    ll_leaves_clear(&c->leaves);
    ll_panels_free(c->panels);
    free(c->t);
    free(c->time_s);
    free(c->linkage_wb);
    memset(c, 0, sizeof *c);
}

/* ---- what they do outside ---- */

/* A triangle seen from a point: g = integral R / 4 pi r^3 dS, whose cross product with K is H, and the double layer of each
 * corner's hat. Seen from near it is cut into 4, 16 or 64. */
typedef struct ll_view {
    ll_vec3 g;
    double layer[3];
} ll_view;

static void add_view(ll_vec3 way, double area, ll_vec3 normal, const double share[3], ll_view *v)
{
    const double r2 = ll_dot(way, way), f = area / (4 * LL_PI * r2 * sqrt(r2));
    const double layer = f * ll_dot(way, normal);
    v->g = ll_add(v->g, ll_scale(f, way));
    for (int k = 0; k < 3; k++)
        v->layer[k] += layer * share[k];
}

/* One point errs by about (size / distance)^2 / 24, less than a per cent at four radii; half the size leaves a quarter of that. */
static int cuts_for(double distance_radii)
{
    return distance_radii > 4 ? 1 : distance_radii > 2 ? 2 : distance_radii > 1 ? 4 : 8;
}

/* Biot and Savart's integral over a triangle of constant K, and the layer of its hats, whose potential is that of the same current: a
 * stream function is a density of dipoles along the normal. */
static ll_view view(const ll_leaves *l, const ll_leaf_triangle *t, ll_vec3 at)
{
    ll_view v = {{0, 0, 0}, {0, 0, 0}};
    const ll_vec3 way = ll_sub(at, t->centre_m);
    const int n = cuts_for(ll_norm(way) / t->radius_m);
    if (n == 1) {
        add_view(way, t->area_m2, t->normal, (const double[3]){1.0 / 3, 1.0 / 3, 1.0 / 3}, &v);
        return v;
    }
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n - i; j++)
            for (int flip = 0; flip < (i + j + 1 < n ? 2 : 1); flip++) {
                const double inset = (flip ? 2.0 : 1.0) / 3;
                const double share[3] = {(i + inset) / n, (j + inset) / n,
                                         1 - (i + j + 2 * inset) / n};
                add_view(ll_sub(at, point_of(l, t, share)), t->area_m2 / (n * n), t->normal, share,
                         &v);
            }
    return v;
}

/* K of a triangle. */
static ll_vec3 current_of(const ll_leaf_triangle *t, const double *stream)
{
    ll_vec3 k = ll_vec(0, 0, 0);
    for (int i = 0; i < 3; i++)
        k = ll_add(k, ll_scale(stream[t->node[i]], t->curl[i]));
    return k;
}

/* The double layers in closed form: near a leaf, and across the hole of a ring, no number of cuts would do. */
static void exact_layers(const ll_panels *panels, size_t t, ll_vec3 at, ll_view *v)
{
    double s[3];
    ll_panel_potentials(panels, t, 0, 1, &at.x, &at.y, &at.z, s, v->layer);
}

/* Potential and field along `normal` of each node's hat, then of the patterns. layer, along: [nodes], room. */
static void at_point(const ll_currents *c, ll_vec3 at, ll_vec3 normal, double *layer, double *along,
                     size_t n, double *psi, double *h_n)
{
    const ll_leaves *l = &c->leaves;
    memset(layer, 0, l->nodes * sizeof *layer);
    memset(along, 0, l->nodes * sizeof *along);
    for (size_t t = 0; t < l->triangles; t++) {
        const ll_leaf_triangle *own = &l->triangle[t];
        ll_view v = view(l, own, at);
        if (ll_norm(ll_sub(at, own->centre_m)) < 2 * own->radius_m)
            exact_layers(c->panels, t, at, &v);
        const ll_vec3 across = ll_cross(v.g, normal);
        for (int i = 0; i < 3; i++) {
            layer[own->node[i]] += v.layer[i];
            along[own->node[i]] += ll_dot(own->curl[i], across);
        }
    }
    for (size_t k = 0; k < c->patterns; k++) {
        psi[k * n] = ll_dense_dot(l->nodes, layer, c->t + k * l->nodes);
        h_n[k * n] = ll_dense_dot(l->nodes, along, c->t + k * l->nodes);
    }
}

/* The body passes through a ring's hole: there the potential goes on through the leaf's disc, so that above it the fall by T
 * is behind. */
static bool passes_through(const ll_body *body, const ll_leaf_hole *hole)
{
    const ll_pose middle = {hole->pose.rotation, hole->centre_m};
    for (size_t i = 0; i < body->form->mesh->surface_nodes; i++) {
        const ll_vec3 p = ll_to_own(&middle, ll_to_world(&body->pose, body->form->mesh->node_m[i]));
        if (hypot(p.x, p.y) < hole->radius_m && fabs(p.z) < hole->half_length_m)
            return true;
    }
    return false;
}

/* Across the disc in the hole T is constant, and the dipole layer there makes psi jump by T. The points above belong to a body that comes
 * through from below: what the jump added is taken off, so that psi has one branch all along it. */
static void settle_branch(const ll_currents *c, const ll_leaf_hole *hole, size_t n,
                          const ll_vec3 *points_m, double *psi)
{
    const ll_leaves *l = &c->leaves;
    size_t node = 0;
    while (l->unknown[node] != hole->unknown)
        node++;
    for (size_t i = 0; i < n; i++)
        if (ll_to_own(&hole->pose, points_m[i]).z > 0)
            for (size_t k = 0; k < c->patterns; k++)
                psi[k * n + i] -= c->t[k * l->nodes + node];
}

/* Point by point, each a sum over all triangles; every thread has room of its own, so no sum's order changes. */
ll_status ll_currents_at_body(const ll_currents *c, const ll_body *body, size_t n,
                              const ll_vec3 *points_m, const ll_vec3 *normal, double *psi,
                              double *h_n)
{
    ll_status status = LL_OK;
#pragma omp parallel
    {
        double *room = malloc((2 * c->leaves.nodes + 1) * sizeof *room);
        if (!room)
            ll_keep_worse(&status, LL_NO_MEMORY);
#pragma omp for schedule(dynamic, 16)
        for (size_t i = 0; i < n; i++)
            if (room)
                at_point(c, points_m[i], normal[i], room, room + c->leaves.nodes, n, psi + i,
                         h_n + i);
        free(room);
    }
    for (size_t h = 0; h < c->leaves.holes; h++)
        if (passes_through(body, &c->leaves.hole[h]))
            settle_branch(c, &c->leaves.hole[h], n, points_m, psi);
    return status;
}

/* Only H is wanted here, so the layers of the views are not looked at. */
void ll_currents_field(const ll_currents *c, const double *amplitude, size_t n,
                       const ll_vec3 *points_m, ll_vec3 *h_a_m)
{
    const ll_leaves *l = &c->leaves;
    double *stream = calloc(l->nodes + 1, sizeof *stream);
    for (size_t k = 0; stream && k < c->patterns; k++)
        ll_dense_add(l->nodes, amplitude[k], c->t + k * l->nodes, stream);
#pragma omp parallel for schedule(dynamic, 16)
    for (size_t i = 0; i < n; i++)
        for (size_t t = 0; stream && t < l->triangles; t++) {
            const ll_leaf_triangle *own = &l->triangle[t];
            const ll_view v = view(l, own, points_m[i]);
            h_a_m[i] = ll_add(h_a_m[i], ll_cross(current_of(own, stream), v.g));
        }
    free(stream);
}
