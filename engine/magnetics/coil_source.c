/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/coil_source.h"
#include "field/source.h"
#include "magnetics/coil_cache.h"
#include "scene/scene_data.h"

#include <limits.h>
#include <stdlib.h>

/* Where a body is, seen from a coil. */
typedef struct view {
    const ll_coil *coil;
    const ll_mesh *mesh;
    ll_vec3 *node; /* [nodes], the coil's frame */
    int *ways;     /* [nodes] times up through the hole on the way there; INT_MIN: not known yet */
} view;

/* Tells the unknown one of two neighbours from the known one. */
static bool pass_on(const view *v, int i, int j, bool *changed)
{
    int *wi = &v->ways[i], *wj = &v->ways[j];
    if (*wi == INT_MIN && *wj == INT_MIN)
        return true;
    const int step = ll_coil_ways_up(v->coil, v->node[i], v->node[j]);
    *changed |= *wi == INT_MIN || *wj == INT_MIN;
    if (*wi == INT_MIN)
        *wi = *wj - step;
    else if (*wj == INT_MIN)
        *wj = *wi + step;
    return *wj == *wi + step;
}

/* Counts from the lowest node, so that what stays below the coil is on the branch of its own potential. */
static ll_status count_ways(const view *v)
{
    size_t lowest = 0;
    for (size_t i = 0; i < v->mesh->nodes; i++) {
        v->ways[i] = INT_MIN;
        if (v->node[i].z < v->node[lowest].z)
            lowest = i;
    }
    v->ways[lowest] = 0;
    for (bool changed = true; changed;) { /* over all edges again */
        changed = false;
        for (size_t t = 0; t < v->mesh->tets; t++)
            for (int i = 0; i < 4; i++)
                for (int j = 0; j < i; j++)
                    if (!pass_on(v, v->mesh->tet[t][i], v->mesh->tet[t][j], &changed))
                        return LL_RING_AROUND_COIL; /* two ways disagree */
    }
    return LL_OK;
}

static double fall(const view *v, ll_vec3 at, size_t node)
{
    const double height = v->coil->shape.height_m, turns = v->coil->turns;
    double fallen = v->ways[node] + ll_coil_ways_up(v->coil, v->node[node], at);
    if (ll_coil_outline_holds(v->coil, at) && fabs(at.z) < height / 2)
        fallen += at.z / height + 0.5;
    return turns * fallen;
}

static bool same_point(ll_vec3 a, ll_vec3 b)
{
    return a.x == b.x && a.y == b.y && a.z == b.z;
}

ll_status ll_coil_source_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                   double *psi)
{
    const ll_coil_source *source = context;
    const ll_coil *coil = &source->scene->coil[source->coil];
    const ll_body *body = ll_system_body(source->system, b);
    const ll_mesh *mesh = body->form->mesh;
    view v = {coil, mesh, malloc(mesh->nodes * sizeof *v.node),
              malloc(mesh->nodes * sizeof *v.ways)};
    ll_status status = v.node && v.ways ? LL_OK : LL_NO_MEMORY;
    for (size_t i = 0; !status && i < mesh->nodes; i++)
        v.node[i] = ll_to_own(&coil->pose, ll_to_world(&body->pose, mesh->node_m[i]));
    const bool at_nodes =
        n == mesh->nodes && same_point(points_m[0], ll_to_world(&body->pose, mesh->node_m[0]));
    if (!status)
        status = at_nodes
                     ? ll_coil_potential(&coil->shape, &coil->pose, coil->turns, n, points_m, psi)
                     : ll_coil_at_body(coil, body, NULL, psi);
    if (!status)
        status = count_ways(&v);
    for (size_t i = 0; !status && i < n; i++) {
        const size_t node = at_nodes ? i : (size_t)mesh->triangle[i / LL_TEST_POINTS][0];
        psi[i] -= fall(&v, ll_to_own(&coil->pose, points_m[i]), node);
    }
    free(v.node);
    free(v.ways);
    return status;
}
