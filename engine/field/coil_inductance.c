/* coil_inductance.c - self and mutual inductance in air.
 *
 * The flux linked with a winding is the line integral of the vector potential along its turns (F. E. Neumann 1845):
 * M = turns_b / (build height)_b * integral of A_a . t over b's winding, A_a the potential of a per ampere. A is smooth
 * enough inside a winding for few Gauss points in each direction.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "coil_kernels.h"
#include "source.h"
#include <stdlib.h>

/* Index into the Gauss sizes: over height and build, along half a straight side, along a corner. */
#define ACROSS 2
#define ALONG_SIDE 3
#define ALONG_CORNER 2

/* A piece of winding: where, which way the current goes, its volume, and what it links of the other coil. */
typedef struct element {
    ll_vec3 at, along;
    double volume, linked;
} element;

typedef struct element_list {
    element *items;
    size_t count;
} element_list;

/* Half of a side along x and half of one along y, then the corner between them: the first quadrant at one place of
 * the cross-section, depth below the inside and height z. */
static void add_quadrant(const ll_gauss *g, const ll_racetrack *t, double depth, double z,
                         double area, element_list *list)
{
    const double radius = t->inner + depth;
    for (int i = 0; i < g->count[ALONG_SIDE]; i++) {
        const double share = 0.5 * (1 + g->node[ALONG_SIDE][i]);
        const double volume = 0.5 * g->weight[ALONG_SIDE][i] * area;
        if (t->half_x > 0)
            list->items[list->count++] = (element){ll_vec(share * t->half_x, t->half_y + radius, z),
                                                   ll_vec(-1, 0, 0), volume * t->half_x, 0};
        if (t->half_y > 0)
            list->items[list->count++] = (element){ll_vec(t->half_x + radius, share * t->half_y, z),
                                                   ll_vec(0, 1, 0), volume * t->half_y, 0};
    }
    for (int i = 0; i < g->count[ALONG_CORNER]; i++) {
        const double theta = 0.25 * LL_PI * (1 + g->node[ALONG_CORNER][i]);
        const double c = cos(theta), s = sin(theta);
        list->items[list->count++] =
            (element){ll_vec(t->half_x + radius * c, t->half_y + radius * s, z), ll_vec(-s, c, 0),
                      0.25 * LL_PI * radius * g->weight[ALONG_CORNER][i] * area, 0};
    }
}

/* The potential's curvature has logarithms at the faces of the winding: Gauss points crowd there. */
static double crowded(double t)
{
    return 0.5 * t * (3.0 - t * t);
}

static double crowded_weight(double t, double weight)
{
    return 1.5 * (1.0 - t * t) * weight;
}

/* The first quadrant of the winding; the caller frees the items. */
static ll_status first_quadrant(const ll_gauss *g, const ll_racetrack *t, element_list *list)
{
    const int n = g->count[ACROSS];
    const size_t across = (size_t)n;
    const size_t along = 2 * (size_t)g->count[ALONG_SIDE] + (size_t)g->count[ALONG_CORNER];
    *list = (element_list){malloc(along * across * across * sizeof(element)), 0};
    if (!list->items)
        return LL_NO_MEMORY;
    for (int i = 0; i < n; i++)
        for (int k = 0; k < n; k++) {
            const double u = g->node[ACROSS][i], v = g->node[ACROSS][k];
            const double weight =
                crowded_weight(u, g->weight[ACROSS][i]) * crowded_weight(v, g->weight[ACROSS][k]);
            add_quadrant(g, t, 0.5 * (1 + crowded(u)) * t->build, crowded(v) * t->half_height,
                         0.5 * t->build * t->half_height * weight, list);
        }
    return LL_OK;
}

/* A coil and its place as the sum sees them. */
typedef struct coil_in_space {
    const ll_pose *pose;
    ll_racetrack track;
} coil_in_space;

/* Quadrant 0 to 3 by mirrors; a mirror turns the current round, so along is mirrored the other way. */
static double linked_by(const ll_gauss *gauss, const coil_in_space *a, const coil_in_space *b,
                        const element *e, int quadrant)
{
    const double sx = quadrant & 1 ? -1 : 1, sy = quadrant & 2 ? -1 : 1;
    const ll_vec3 at = ll_vec(sx * e->at.x, sy * e->at.y, e->at.z);
    const ll_vec3 along = ll_vec(sy * e->along.x, sx * e->along.y, 0);
    const ll_vec3 world = ll_rotate(&b->pose->rotation, along);
    const ll_vec3 potential =
        ll_racetrack_vector(gauss, &a->track, ll_to_own(a->pose, ll_to_world(b->pose, at)));
    return e->volume * ll_dot(potential, ll_rotate_back(&a->pose->rotation, world));
}

/* Coils on one axis with their straight sides parallel share both mirror planes; a coil and itself, for one. */
static bool mirror_planes_shared(const ll_pose *a, const ll_pose *b, double size)
{
    const ll_vec3 off = ll_to_own(a, b->origin_m);
    const ll_vec3 x = ll_rotate_back(&a->rotation, ll_rotate(&b->rotation, ll_vec(1, 0, 0)));
    const ll_vec3 z = ll_rotate_back(&a->rotation, ll_rotate(&b->rotation, ll_vec(0, 0, 1)));
    return hypot(off.x, off.y) <= 1e-12 * size && fabs(x.x) > 1 - 1e-14 && fabs(z.z) > 1 - 1e-14;
}

/* Of the quadrants, one is enough where symmetry covers the others. Summed in one order on any number of threads. */
static double linked(const ll_gauss *gauss, const coil_in_space *a, const coil_in_space *b,
                     element_list *list, int quadrants)
{
    double sum = 0.0;
#pragma omp parallel for schedule(dynamic, 16)
    for (size_t i = 0; i < list->count; i++)
        for (int q = 0; q < quadrants; q++)
            list->items[i].linked += linked_by(gauss, a, b, &list->items[i], q);
    for (size_t i = 0; i < list->count; i++)
        sum += list->items[i].linked;
    return sum * 4.0 / quadrants;
}

ll_status ll_coil_inductance(const ll_coil_shape *a, const ll_pose *pa, double turns_a,
                             const ll_coil_shape *b, const ll_pose *pb, double turns_b, double *l_h)
{
    ll_status status = ll_coil_check(a);
    if (status == LL_OK)
        status = ll_coil_check(b);
    if (status == LL_OK && !(isfinite(turns_a) && isfinite(turns_b)))
        status = LL_BAD_VALUE;
    ll_gauss gauss;
    if (status == LL_OK)
        status = ll_gauss_fill(&gauss);
    if (status)
        return status;
    const coil_in_space ca = {pa, ll_racetrack_of(a)}, cb = {pb, ll_racetrack_of(b)};
    element_list list;
    status = first_quadrant(&gauss, &cb.track, &list);
    if (status)
        return status;
    const int quadrants = mirror_planes_shared(pa, pb, a->opening_x_m) ? 1 : 4;
    const double density =
        turns_a / (a->build_m * a->height_m) * turns_b / (b->build_m * b->height_m);
    *l_h = 1e-7 * density * linked(&gauss, &ca, &cb, &list, quadrants);
    free(list.items);
    return LL_OK;
}
