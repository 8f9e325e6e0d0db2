/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shape/surface.h"
#include "base/constants.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* A face of a tetrahedron: corners as seen from outside, and the same sorted, as its key. */
typedef struct ll_face {
    int corner[3], key[3];
} ll_face;

static const int faces_of_tet[4][3] = {{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {2, 0, 3}};

static int by_number(const void *a, const void *b)
{
    return (*(const int *)a > *(const int *)b) - (*(const int *)a < *(const int *)b);
}

static int by_key(const void *a, const void *b)
{
    return memcmp(((const ll_face *)a)->key, ((const ll_face *)b)->key, sizeof(int[3]));
}

static void list_faces(const ll_mesh *mesh, ll_face *face)
{
    for (size_t t = 0; t < mesh->tets; t++)
        for (int f = 0; f < 4; f++, face++) {
            for (int k = 0; k < 3; k++)
                face->corner[k] = mesh->tet[t][faces_of_tet[f][k]];
            memcpy(face->key, face->corner, sizeof face->key);
            qsort(face->key, 3, sizeof(int), by_number);
        }
}

/* A triangle with the middle that it is sorted by. */
typedef struct ll_placed {
    int triangle[3];
    double middle[3];
} ll_placed;

static int by_x(const void *a, const void *b)
{
    const double d = ((const ll_placed *)a)->middle[0] - ((const ll_placed *)b)->middle[0];
    return (d > 0) - (d < 0);
}

static int by_y(const void *a, const void *b)
{
    const double d = ((const ll_placed *)a)->middle[1] - ((const ll_placed *)b)->middle[1];
    return (d > 0) - (d < 0);
}

static int by_z(const void *a, const void *b)
{
    const double d = ((const ll_placed *)a)->middle[2] - ((const ll_placed *)b)->middle[2];
    return (d > 0) - (d < 0);
}

/* Halves a list again and again across its longest side, so that neighbours in it are neighbours in space. */
static void sort_in_space(ll_placed *list, size_t count)
{
    enum { ENOUGH = 8 };
    static int (*const by[3])(const void *, const void *) = {by_x, by_y, by_z};
    if (count <= ENOUGH)
        return;
    int longest = 0;
    double extent[3];
    for (int k = 0; k < 3; k++) {
        double low = HUGE_VAL, high = -HUGE_VAL;
        for (size_t i = 0; i < count; i++) {
            low = fmin(low, list[i].middle[k]);
            high = fmax(high, list[i].middle[k]);
        }
        extent[k] = high - low;
        longest = extent[k] > extent[longest] ? k : longest;
    }
    qsort(list, count, sizeof *list, by[longest]);
    sort_in_space(list, count / 2);
    sort_in_space(list + count / 2, count - count / 2);
}

static bool order_triangles(ll_mesh *mesh)
{
    ll_placed *list = calloc(mesh->triangles + 1, sizeof *list);
    if (!list)
        return false;
    for (size_t t = 0; t < mesh->triangles; t++) {
        memcpy(list[t].triangle, mesh->triangle[t], sizeof list[t].triangle);
        for (int k = 0; k < 3; k++) {
            const ll_vec3 v = mesh->node_m[mesh->triangle[t][k]];
            list[t].middle[0] += v.x;
            list[t].middle[1] += v.y;
            list[t].middle[2] += v.z;
        }
    }
    sort_in_space(list, mesh->triangles);
    for (size_t t = 0; t < mesh->triangles; t++)
        memcpy(mesh->triangle[t], list[t].triangle, sizeof list[t].triangle);
    free(list);
    return true;
}

/* Sorted faces: inner ones stand in pairs. */
ll_status ll_surface_find(ll_mesh *mesh)
{
    const size_t count = 4 * mesh->tets;
    ll_face *face = malloc(count * sizeof *face);
    mesh->triangle = malloc(count * sizeof *mesh->triangle);
    if (!face || !mesh->triangle) {
        free(face);
        return LL_NO_MEMORY;
    }
    list_faces(mesh, face);
    qsort(face, count, sizeof *face, by_key);
    mesh->triangles = 0;
    for (size_t i = 0; i < count; i++) {
        if (i + 1 < count && by_key(&face[i], &face[i + 1]) == 0)
            i++;
        else
            memcpy(mesh->triangle[mesh->triangles++], face[i].corner, sizeof face[i].corner);
    }
    free(face);
    return order_triangles(mesh) ? LL_OK : LL_NO_MEMORY;
}

static ll_vec3 normal(const ll_mesh *mesh, size_t t)
{
    const ll_vec3 a = mesh->node_m[mesh->triangle[t][0]];
    const ll_vec3 n = ll_cross(ll_sub(mesh->node_m[mesh->triangle[t][1]], a),
                               ll_sub(mesh->node_m[mesh->triangle[t][2]], a));
    return ll_scale(1 / ll_norm(n), n);
}

static bool share_edge(const int *a, const int *b)
{
    int shared = 0;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            shared += a[i] == b[j];
    return shared >= 2;
}

/* Where in a triangle a node stands. */
static int place_of(const int *triangle, int node)
{
    return triangle[0] == node ? 0 : triangle[1] == node ? 1 : 2;
}

/* Walks from triangle `from` over smooth edges around `node` and gives all it reaches the corner number. */
static void spread(ll_mesh *mesh, const ll_vec3 *n, const int *around, int count, int from,
                   int node, int number)
{
    const int here = around[from];
    mesh->corner[here][place_of(mesh->triangle[here], node)] = number;
    for (int k = 0; k < count; k++) {
        const int there = around[k];
        if (mesh->corner[there][place_of(mesh->triangle[there], node)] < 0 &&
            share_edge(mesh->triangle[here], mesh->triangle[there]) &&
            ll_dot(n[here], n[there]) > cos(50 * LL_PI / 180))
            spread(mesh, n, around, count, k, node, number);
    }
}

/* Lists of the triangles around each node, one after the other: start[node] to start[node + 1]. */
static void list_around(const ll_mesh *mesh, int *start, int *around)
{
    const int *node = &mesh->triangle[0][0];
    memset(start, 0, (mesh->surface_nodes + 1) * sizeof *start);
    for (size_t k = 0; k < 3 * mesh->triangles; k++)
        start[node[k] + 1]++;
    for (size_t n = 0; n < mesh->surface_nodes; n++)
        start[n + 1] += start[n];
    for (size_t k = 3 * mesh->triangles; k-- > 0;)
        around[--start[node[k] + 1]] = (int)(k / 3);
    /* Filling from the back has moved each start by one place. */
    memmove(start, start + 1, mesh->surface_nodes * sizeof *start);
    start[mesh->surface_nodes] = (int)(3 * mesh->triangles);
}

ll_status ll_surface_corners(ll_mesh *mesh)
{
    ll_vec3 *n = malloc(mesh->triangles * sizeof *n);
    int *start = malloc((mesh->surface_nodes + 1) * sizeof *start);
    int *around = malloc(3 * mesh->triangles * sizeof *around);
    mesh->corner = malloc(mesh->triangles * sizeof *mesh->corner);
    const bool fits = n && start && around && mesh->corner;
    if (fits) {
        memset(mesh->corner, -1, mesh->triangles * sizeof *mesh->corner);
        for (size_t t = 0; t < mesh->triangles; t++)
            n[t] = normal(mesh, t);
        list_around(mesh, start, around);
        int next = 0;
        for (int node = 0; node < (int)mesh->surface_nodes; node++)
            for (int k = start[node]; k < start[node + 1]; k++)
                if (mesh->corner[around[k]][place_of(mesh->triangle[around[k]], node)] < 0)
                    spread(mesh, n, around + start[node], start[node + 1] - start[node],
                           k - start[node], node, next++);
        mesh->corners = (size_t)next;
    }
    free(n);
    free(start);
    free(around);
    return fits ? LL_OK : LL_NO_MEMORY;
}
