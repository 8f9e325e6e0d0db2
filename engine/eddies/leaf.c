/* Meshes of leaves: which pieces carry currents, how finely, and which values of the stream function T are free.
 * 
 * K = grad T x n has no divergence, so charge is conserved by construction; no current leaves through a free edge, where T is
 * constant, and zero by choice. A hole adds one unknown, T within it: the current around it. T is linear on triangles, K
 * constant on each. Currents crowd at edges within the skin depth and where the field is steep, so steps are shorter
 * towards edges; through a thickness that a skin depth does not exceed by much a few leaves do.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "eddies/leaf.h"
#include "base/constants.h"
#include "scene/scene_data.h"

#include <stdlib.h>
#include <string.h>

/* Elements: as long as this share of a piece's shortest edge in its leaf, within limits. */
static const double share_of_edge = 1.0 / 10, finest_m = 0.3e-3, coarsest_m = 3e-3;
/* Plates thinner than this are one leaf; thicker ones have a leaf for about each of the other, up to MOST_LEAVES. */
static const double thin_m = 0.1e-3, leaf_m = 0.08e-3;
enum { MOST_LEAVES = 8, MOST_STEPS = 28 };
/* Corners closer than this are one. */
static const double same_m = 1e-7;

/* Magnetic metal is a body, whose currents are in its permeability (skin.h) or in its middle plane (plate.h). */
static bool is_leaf(const ll_part *part)
{
    return ll_material_kind(part->material) != LL_MAGNET &&
           ll_material_conductivity_s_m(part->material) > 0 &&
           ll_material_mu_r(part->material) <= 1 + 1e-9;
}

void ll_leaves_clear(ll_leaves *l)
{
    free(l->node_m);
    free(l->unknown);
    free(l->triangle);
    free(l->hole);
    memset(l, 0, sizeof *l);
}

/* ---- growing lists ---- */

/* Room for `more` further items; NULL and nothing changed when memory is short. */
static void *grown(void *list, size_t count, size_t more, size_t size)
{
    return realloc(list, (count + more + 1) * size);
}

/* Nodes of a new patch; unknown is -2: free to vary. */
static ll_status add_nodes(ll_leaves *l, size_t count, const ll_vec3 *at_m)
{
    ll_vec3 *node = grown(l->node_m, l->nodes, count, sizeof *node);
    if (node)
        l->node_m = node;
    int *unknown = node ? grown(l->unknown, l->nodes, count, sizeof *unknown) : NULL;
    if (!unknown)
        return LL_NO_MEMORY;
    l->unknown = unknown;
    memcpy(node + l->nodes, at_m, count * sizeof *node);
    for (size_t i = 0; i < count; i++)
        unknown[l->nodes + i] = -2;
    l->nodes += count;
    return LL_OK;
}

/* Area, normal and the curls of the three hats: K of the triangle is the sum of T times curl, as grad N x n turns the gradient by a
 * quarter within the leaf. */
static void measure(const ll_leaves *l, ll_leaf_triangle *t)
{
    const ll_vec3 p[3] = {l->node_m[t->node[0]], l->node_m[t->node[1]], l->node_m[t->node[2]]};
    const ll_vec3 cross = ll_cross(ll_sub(p[1], p[0]), ll_sub(p[2], p[0]));
    const double twice = ll_norm(cross);
    t->area_m2 = twice / 2;
    t->normal = ll_scale(1 / twice, cross);
    t->centre_m = ll_scale(1.0 / 3, ll_add(p[0], ll_add(p[1], p[2])));
    t->radius_m = 0;
    for (int k = 0; k < 3; k++) {
        /* grad N_k x n runs along the opposite edge. */
        t->curl[k] = ll_scale(1 / twice, ll_sub(p[(k + 2) % 3], p[(k + 1) % 3]));
        t->radius_m = fmax(t->radius_m, ll_norm(ll_sub(p[k], t->centre_m)));
    }
}

static ll_status add_triangle(ll_leaves *l, int a, int b, int c, double ohm, double half_m)
{
    ll_leaf_triangle *list = l->triangle;
    if (l->triangles % 256 == 0)
        list = grown(l->triangle, l->triangles, 256, sizeof *list);
    if (!list)
        return LL_NO_MEMORY;
    l->triangle = list;
    ll_leaf_triangle t = {.node = {a, b, c}, .ohm = ohm, .half_m = half_m};
    measure(l, &t);
    list[l->triangles++] = t;
    return LL_OK;
}

/* ---- steps along an edge ---- */

/* Steps that are shorter towards both ends, where the current crowds. Depends on the length alone, so that plates that share
 * an edge share its points. */
static int steps_of(double length_m, double pitch_m)
{
    return (int)fmax(4, fmin(MOST_STEPS, ceil(length_m / pitch_m)));
}

/* Half even, half by a cosine: the first step is about half of an even one. */
static double step_at(int i, int count)
{
    const double u = (double)i / count;
    return 0.5 * u + 0.25 * (1 - cos(LL_PI * u));
}

static double pitch_for(double shortest_m)
{
    return fmax(finest_m, fmin(coarsest_m, share_of_edge * shortest_m));
}

/* 0.1 mm takes two leaves, 5 mm takes all. */
static int leaves_for(double thickness_m)
{
    return thickness_m < thin_m ? 1
                                : (int)fmin(MOST_LEAVES, fmax(2, ceil(sqrt(thickness_m / leaf_m))));
}

/* ---- plates ---- */

/* A plate's middle: own axes u, v in it and n across it; edges from low to high along u and v. */
typedef struct ll_plate {
    size_t part;
    ll_vec3 centre_m, axis[3];
    double low[2], high[2], thickness_m, ohm_m;
    bool joined;
} ll_plate;

static double component(ll_vec3 v, int i)
{
    return i == 0 ? v.x : i == 1 ? v.y : v.z;
}

/* The shortest edge is the thickness, across which no current runs. */
static ll_plate plate_of(const ll_part *part, size_t index)
{
    const ll_vec3 size = part->shape.size_m;
    int n = 2;
    for (int i = 0; i < 3; i++)
        if (component(size, i) < component(size, n))
            n = i;
    const int order[3] = {(n + 1) % 3, (n + 2) % 3, n};
    ll_plate p = {.part = index,
                  .centre_m = part->pose.origin_m,
                  .thickness_m = component(size, n),
                  .ohm_m = 1 / ll_material_conductivity_s_m(part->material)};
    for (int k = 0; k < 3; k++) {
        const int i = order[k];
        p.axis[k] = ll_rotate(&part->pose.rotation, ll_vec(i == 0, i == 1, i == 2));
        if (k < 2) {
            p.high[k] = component(size, i) / 2;
            p.low[k] = -p.high[k];
        }
    }
    return p;
}

/* Where plate q stands across the end of p along p's axis k, p reaches to the middle of q: their leaves meet. */
static void reach_for(const ll_scene *scene, ll_plate *p, const ll_plate *q, const double low[2],
                      const double high[2])
{
    const ll_part *a = &scene->part[p->part], *b = &scene->part[q->part];
    if (ll_shape_overlap_m(&a->shape, &a->pose, &b->shape, &b->pose) < -2e-6)
        return;
    for (int k = 0; k < 2; k++) {
        const double way = ll_dot(ll_sub(q->centre_m, p->centre_m), p->axis[k]);
        if (fabs(fabs(ll_dot(p->axis[k], q->axis[2])) - 1) > 1e-6)
            continue;
        const double near = 1.01 * q->thickness_m;
        if (fabs(way - high[k]) < near)
            p->high[k] = way, p->joined = true;
        if (fabs(way - low[k]) < near)
            p->low[k] = way, p->joined = true;
    }
}

/* A grid of the plate's own, or of the thickness that a leaf stands for: the resistance of a square is that of its share. */
static ll_status add_plate_leaf(ll_leaves *l, const ll_plate *p, double across_m, int leaves)
{
    const double length[2] = {p->high[0] - p->low[0], p->high[1] - p->low[1]};
    int n[2];
    for (int k = 0; k < 2; k++)
        n[k] = steps_of(length[k], p->joined ? coarsest_m : pitch_for(fmin(length[0], length[1])));
    const size_t nodes = ((size_t)n[0] + 1) * ((size_t)n[1] + 1);
    ll_vec3 *at = malloc(nodes * sizeof *at);
    if (!at)
        return LL_NO_MEMORY;
    const int first = (int)l->nodes;
    for (int j = 0, m = 0; j <= n[1]; j++)
        for (int i = 0; i <= n[0]; i++, m++) {
            const double u = p->low[0] + length[0] * step_at(i, n[0]);
            const double v = p->low[1] + length[1] * step_at(j, n[1]);
            at[m] = ll_add(ll_add(p->centre_m, ll_scale(across_m, p->axis[2])),
                           ll_add(ll_scale(u, p->axis[0]), ll_scale(v, p->axis[1])));
        }
    ll_status status = add_nodes(l, nodes, at);
    free(at);
    const double h = p->thickness_m / leaves;
    for (int j = 0; j < n[1]; j++)
        for (int i = 0; i < n[0] && !status; i++) {
            const int a = first + j * (n[0] + 1) + i, b = a + 1, c = a + n[0] + 1, d = c + 1;
            /* Diagonals towards the middle, so that the mesh has the plate's own symmetry. */
            const bool rising = (2 * i < n[0]) == (2 * j < n[1]);
            status = rising ? add_triangle(l, a, b, d, p->ohm_m / h, h / 2)
                            : add_triangle(l, a, b, c, p->ohm_m / h, h / 2);
            if (!status)
                status = rising ? add_triangle(l, a, d, c, p->ohm_m / h, h / 2)
                                : add_triangle(l, b, d, c, p->ohm_m / h, h / 2);
        }
    return status;
}

/* Plates that meet run into each other as one leaf each: the current goes round the edge, which leaves of a pile could not do. */
static ll_status add_plate(ll_leaves *l, const ll_plate *p)
{
    const int leaves = p->joined ? 1 : leaves_for(p->thickness_m);
    ll_status status = LL_OK;
    for (int k = 0; k < leaves && !status; k++)
        status = add_plate_leaf(l, p, p->thickness_m * ((k + 0.5) / leaves - 0.5), leaves);
    return status;
}

/* All plates, lengthened to where their neighbours' middles are, against the edges as they were before any was. */
static ll_status add_plates(const ll_scene *scene, ll_leaves *l)
{
    ll_plate *plate = calloc(scene->parts + 1, sizeof *plate);
    size_t plates = 0;
    if (!plate)
        return LL_NO_MEMORY;
    for (size_t i = 0; i < scene->parts; i++)
        if (is_leaf(&scene->part[i]) && scene->part[i].shape.kind == LL_BLOCK)
            plate[plates++] = plate_of(&scene->part[i], i);
    for (size_t a = 0; a < plates; a++) {
        const double low[2] = {plate[a].low[0], plate[a].low[1]};
        const double high[2] = {plate[a].high[0], plate[a].high[1]};
        for (size_t b = 0; b < plates; b++)
            if (a != b)
                reach_for(scene, &plate[a], &plate[b], low, high);
    }
    ll_status status = LL_OK;
    for (size_t a = 0; a < plates && !status; a++)
        status = add_plate(l, &plate[a]);
    free(plate);
    return status;
}

/* ---- round pieces ---- */

enum { SIDES = 16, RINGS = 12, HOLE_RINGS = 6 };

/* Radii of the rings of nodes outwards: within the hole only for the flux through it; then from the hole's edge, or the
 * middle, to the rim, closer towards both edges. Returns how many; *in_hole are at or within its edge. */
static int radii_of(double hole_m, double rim_m, double *radius, int *in_hole)
{
    const int n = (int)fmax(2, fmin(RINGS, ceil((rim_m - hole_m) / finest_m)));
    /* A polygon of the same area as the circle. */
    const double corner = sqrt(2 * LL_PI / (SIDES * sin(2 * LL_PI / SIDES)));
    *in_hole = hole_m > 0 ? HOLE_RINGS : 0;
    for (int i = 0; i < *in_hole; i++)
        radius[i] = corner * hole_m * (i + 1) / HOLE_RINGS;
    for (int i = 1; i <= n; i++) {
        const double u = (double)i / n;
        const double s = hole_m > 0 ? (1 - cos(LL_PI * u)) / 2 : 0.4 * u + 0.6 * sin(LL_PI / 2 * u);
        radius[*in_hole + i - 1] = corner * (hole_m + (rim_m - hole_m) * s);
    }
    return *in_hole + n;
}

/* Triangles of the rings; those within the hole carry no current but hold its T. */
static ll_status add_rings(ll_leaves *l, int first, int rings, int in_hole, double ohm,
                           double half_m)
{
    ll_status status = LL_OK;
    for (int i = 0; i < rings; i++)
        for (int k = 0; k < SIDES && !status; k++) {
            const int next = (k + 1) % SIDES;
            const int c = first + 1 + i * SIDES + k, d = first + 1 + i * SIDES + next;
            const double own = i < in_hole ? 0 : ohm;
            if (i == 0) {
                status = add_triangle(l, first, c, d, own, half_m);
                continue;
            }
            const int a = c - SIDES, b = d - SIDES;
            status = add_triangle(l, a, c, d, own, half_m);
            if (!status)
                status = add_triangle(l, a, d, b, own, half_m);
        }
    return status;
}

static ll_status add_hole(ll_leaves *l, const ll_part *part, const ll_pose *pose, int unknown)
{
    ll_leaf_hole *list = grown(l->hole, l->holes, 1, sizeof *list);
    if (!list)
        return LL_NO_MEMORY;
    l->hole = list;
    list[l->holes++] = (ll_leaf_hole){*pose, part->shape.inner_radius_m, part->shape.size_m.z / 2,
                                      part->pose.origin_m, unknown};
    return LL_OK;
}

/* Current that runs around follows the polygon's sides, which are closer together than the circles: the resistance of a
 * square that makes up for it. */
static double square_ohm(const ll_part *part, double h_m)
{
    const double closer = 1 - LL_PI * LL_PI / (3.0 * SIDES * SIDES);
    return closer / (ll_material_conductivity_s_m(part->material) * h_m);
}

/* One leaf of a round piece at the height z of its own axis. */
static ll_status add_round_leaf(ll_leaves *l, const ll_part *part, double z_m, double h_m)
{
    const double hole_m = part->shape.kind == LL_RING ? part->shape.inner_radius_m : 0;
    double radius[HOLE_RINGS + RINGS];
    ll_vec3 at[1 + (HOLE_RINGS + RINGS) * SIDES];
    int in_hole;
    const int rings = radii_of(hole_m, part->shape.radius_m, radius, &in_hole);
    size_t count = 0;
    at[count++] = ll_to_world(&part->pose, ll_vec(0, 0, z_m));
    for (int i = 0; i < rings; i++)
        for (int k = 0; k < SIDES; k++) {
            const double angle = 2 * LL_PI * k / SIDES;
            at[count++] = ll_to_world(&part->pose,
                                      ll_vec(radius[i] * cos(angle), radius[i] * sin(angle), z_m));
        }
    const int first = (int)l->nodes;
    ll_status status = add_nodes(l, count, at);
    if (!status)
        status = add_rings(l, first, rings, in_hole, square_ohm(part, h_m), h_m / 2);
    if (status || hole_m == 0)
        return status;
    /* One T for the hole: a number of its own below -2, settled when unknowns are counted. */
    const int shared = -3 - (int)l->holes;
    for (int k = 0; k <= in_hole * SIDES; k++)
        l->unknown[first + k] = shared;
    const ll_pose pose = {part->pose.rotation, at[0]};
    return add_hole(l, part, &pose, shared);
}

/* Rods, rings, discs and screws, the last as if they were all thread. A long one has thinner leaves towards its ends. */
/* A pile of discs along the axis. Currents in their planes are those that a field along the axis drives; those along the
 * axis, which a field across it would drive, are left out. */
static ll_status add_round(ll_leaves *l, const ll_part *part)
{
    const double length = part->shape.size_m.z;
    const double wide = part->shape.radius_m - part->shape.inner_radius_m;
    const int leaves = length > wide ? MOST_LEAVES : leaves_for(length);
    ll_status status = LL_OK;
    for (int k = 0; k < leaves && !status; k++) {
        const double from = step_at(k, leaves), to = step_at(k + 1, leaves);
        status = add_round_leaf(l, part, length * ((from + to) / 2 - 0.5), length * (to - from));
    }
    return status;
}

/* ---- unknowns ---- */

/* Nodes of joined plates that stand in one place become one; T of the others is nobody's. */
static ll_status merge(ll_leaves *l)
{
    int *same = malloc((l->nodes + 1) * sizeof *same);
    if (!same)
        return LL_NO_MEMORY;
    for (size_t i = 0; i < l->nodes; i++) {
        same[i] = (int)i;
        for (size_t m = 0; m < i && same[i] == (int)i; m++)
            if (ll_norm(ll_sub(l->node_m[m], l->node_m[i])) < same_m)
                same[i] = (int)m;
        if (same[i] != (int)i)
            l->unknown[i] = -1;
    }
    for (size_t t = 0; t < l->triangles; t++)
        for (int k = 0; k < 3; k++)
            l->triangle[t].node[k] = same[l->triangle[t].node[k]];
    free(same);
    return LL_OK;
}

/* A side of a triangle, between two nodes whatever way it runs. */
typedef struct ll_side {
    int low, high, triangle;
    bool rises;
} ll_side;

static int by_nodes(const void *a, const void *b)
{
    const ll_side *p = a, *q = b;
    return p->low != q->low ? p->low - q->low : p->high - q->high;
}

static bool same_side(const ll_side *p, const ll_side *q)
{
    return p->low == q->low && p->high == q->high;
}

static void list_sides(const ll_leaves *l, ll_side *side)
{
    for (size_t t = 0, n = 0; t < l->triangles; t++)
        for (int k = 0; k < 3; k++, n++) {
            const int from = l->triangle[t].node[k], to = l->triangle[t].node[(k + 1) % 3];
            side[n] = (ll_side){from < to ? from : to, from < to ? to : from, (int)t, from < to};
        }
    qsort(side, 3 * l->triangles, sizeof *side, by_nodes);
}

/* T is zero along a side that only one triangle has. */
static void close_free_edges(ll_leaves *l, const ll_side *side)
{
    const size_t n = 3 * l->triangles;
    for (size_t i = 0; i < n; i++) {
        const bool shared = (i > 0 && same_side(&side[i - 1], &side[i])) ||
                            (i + 1 < n && same_side(&side[i], &side[i + 1]));
        if (!shared)
            l->unknown[side[i].low] = l->unknown[side[i].high] = -1;
    }
}

/* Neighbours look to the same side of their leaf when they run through their common side in opposite ways: turns those over
 * that do not, spreading from the first triangle of each leaf. */
static void turn_alike(ll_leaves *l, const ll_side *side, int *turned)
{
    const size_t n = 3 * l->triangles;
    for (size_t first = 0; first < l->triangles; first++) {
        if (turned[first])
            continue;
        turned[first] = 1;
        for (bool moved = true; moved;) {
            moved = false;
            for (size_t i = 0; i + 1 < n; i++) {
                const ll_side *a = &side[i], *b = &side[i + 1];
                if (!same_side(a, b) || !turned[a->triangle] == !turned[b->triangle])
                    continue;
                const bool known_first = turned[a->triangle] != 0;
                const ll_side *known = known_first ? a : b, *other = known_first ? b : a;
                turned[other->triangle] = (a->rises != b->rises ? 1 : -1) * turned[known->triangle];
                moved = true;
            }
        }
    }
    for (size_t t = 0; t < l->triangles; t++)
        if (turned[t] < 0) {
            int *node = l->triangle[t].node;
            const int keep = node[1];
            node[1] = node[2];
            node[2] = keep;
            measure(l, &l->triangle[t]);
        }
}

static ll_status settle_sides(ll_leaves *l)
{
    ll_side *side = malloc((3 * l->triangles + 1) * sizeof *side);
    int *turned = calloc(l->triangles + 1, sizeof *turned);
    if (side && turned) {
        list_sides(l, side);
        close_free_edges(l, side);
        turn_alike(l, side, turned);
    }
    const ll_status status = side && turned ? LL_OK : LL_NO_MEMORY;
    free(side);
    free(turned);
    return status;
}

/* Holes first, each all of its nodes at once; then every node that no edge holds at zero. */
static void number_unknowns(ll_leaves *l)
{
    for (size_t h = 0; h < l->holes; h++) {
        const int shared = l->hole[h].unknown;
        l->hole[h].unknown = (int)l->unknowns;
        for (size_t i = 0; i < l->nodes; i++)
            if (l->unknown[i] == shared)
                l->unknown[i] = (int)l->unknowns;
        l->unknowns++;
    }
    for (size_t i = 0; i < l->nodes; i++)
        if (l->unknown[i] == -2)
            l->unknown[i] = (int)l->unknowns++;
}

/* A magnetic piece is a plate in the same sense as for skin.c: flux along it is in the permeability, flux through it is not. */
double ll_leaf_plate_m(const ll_part *part, ll_vec3 *normal)
{
    const ll_shape *shape = &part->shape;
    if (shape->kind == LL_ROD && shape->size_m.z < LL_PLATE_SHARE * 2 * shape->radius_m) {
        *normal = ll_rotate(&part->pose.rotation, ll_vec(0, 0, 1));
        return shape->size_m.z;
    }
    if (shape->kind != LL_BLOCK)
        return 0;
    const ll_plate p = plate_of(part, 0);
    if (p.thickness_m > LL_PLATE_SHARE * 2 * fmin(p.high[0], p.high[1]))
        return 0;
    *normal = p.axis[2];
    return p.thickness_m;
}

/* After all nodes are there and merged: edges, sides, numbers. */
static ll_status settle(ll_leaves *l)
{
    const ll_status status = settle_sides(l);
    if (!status)
        number_unknowns(l);
    return status;
}

/* Hands the leaves over, or clears them where something failed. */
static ll_status finish(ll_leaves *l, ll_status status, ll_leaves *out)
{
    if (!status)
        status = settle(l);
    if (status)
        ll_leaves_clear(l);
    else
        *out = *l;
    return status;
}

ll_status ll_leaves_of_plate(const ll_part *part, ll_leaves *out)
{
    ll_leaves l = {0};
    ll_status status;
    if (part->shape.kind == LL_BLOCK) {
        const ll_plate plate = plate_of(part, 0);
        status = add_plate_leaf(&l, &plate, 0, 1);
    } else {
        status = add_round_leaf(&l, part, 0, part->shape.size_m.z);
    }
    return finish(&l, status, out);
}

ll_status ll_leaves_find(const ll_scene *scene, ll_leaves *out)
{
    ll_leaves l = {0};
    ll_status status = add_plates(scene, &l);
    if (!status)
        status = merge(&l);
    for (size_t i = 0; i < scene->parts && !status; i++)
        if (is_leaf(&scene->part[i]) && scene->part[i].shape.kind != LL_BLOCK)
            status = add_round(&l, &scene->part[i]);
    return finish(&l, status, out);
}
