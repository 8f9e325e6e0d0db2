/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shape/mesh.h"
#include "base/constants.h"
#include "shape/plan.h"
#include "shape/surface.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A plan, the levels between layers, and for each zone of the plan the range of levels that is solid. */
typedef struct ll_stack {
    ll_plan plan;
    ll_steps level;
    size_t zone_first[2], zone_last[2];
} ll_stack;

static void stack_clear(ll_stack *stack)
{
    ll_plan_clear(&stack->plan);
    ll_steps_clear(&stack->level);
}

void ll_mesh_free(ll_mesh *mesh)
{
    if (!mesh)
        return;
    free(mesh->node_m);
    free(mesh->tet);
    free(mesh->triangle);
    free(mesh->corner);
    free(mesh);
}

double ll_mesh_volume_m3(const ll_mesh *mesh)
{
    double volume = 0;
    for (size_t t = 0; t < mesh->tets; t++) {
        const ll_vec3 a = mesh->node_m[mesh->tet[t][0]];
        const ll_vec3 b = ll_sub(mesh->node_m[mesh->tet[t][1]], a);
        const ll_vec3 c = ll_sub(mesh->node_m[mesh->tet[t][2]], a);
        const ll_vec3 d = ll_sub(mesh->node_m[mesh->tet[t][3]], a);
        volume += ll_dot(ll_cross(b, c), d) / 6;
    }
    return volume;
}

/* Three tetrahedra of the prism over plan triangle t between levels l and l + 1. Corners are taken by rising node number,
 * so that neighbours cut their common side along the same diagonal. */
static void add_prism(const ll_plan *plan, size_t t, size_t l, ll_mesh *mesh)
{
    int p[3];
    memcpy(p, plan->triangle[t], sizeof p);
    int swaps = 0;
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2 - i; j++)
            if (p[j] > p[j + 1]) {
                const int keep = p[j];
                p[j] = p[j + 1];
                p[j + 1] = keep;
                swaps++;
            }
    const int below = (int)(l * plan->nodes), above = (int)((l + 1) * plan->nodes);
    const int tets[3][4] = {
        {p[0] + below, p[1] + below, p[2] + below, p[2] + above},
        {p[0] + below, p[1] + above, p[1] + below, p[2] + above},
        {p[0] + below, p[0] + above, p[1] + above, p[2] + above},
    };
    /* An odd permutation turns the prism inside out; swapping two corners turns it back. The second row is
     * listed with the other handedness. */
    for (int k = 0; k < 3; k++) {
        int *out = mesh->tet[mesh->tets++];
        memcpy(out, tets[k], sizeof tets[k]);
        if (swaps % 2) {
            out[1] = tets[k][2];
            out[2] = tets[k][1];
        }
    }
}

static void place_nodes(const ll_stack *stack, ll_mesh *mesh)
{
    const ll_plan *plan = &stack->plan;
    for (size_t l = 0; l < stack->level.count; l++)
        for (size_t n = 0; n < plan->nodes; n++)
            mesh->node_m[l * plan->nodes + n] =
                ll_vec(plan->node[n][0], plan->node[n][1], stack->level.at[l]);
}

static void fill_prisms(const ll_stack *stack, ll_mesh *mesh)
{
    for (size_t t = 0; t < stack->plan.triangles; t++) {
        const int zone = stack->plan.zone[t];
        for (size_t l = stack->zone_first[zone]; l < stack->zone_last[zone]; l++)
            add_prism(&stack->plan, t, l, mesh);
    }
}

/* Replaces node numbers in a list by new ones, given in the order of first use. */
static void name_nodes(int *list, size_t count, int *number, int *next)
{
    for (size_t k = 0; k < count; k++) {
        if (number[list[k]] < 0)
            number[list[k]] = (*next)++;
        list[k] = number[list[k]];
    }
}

/* Gives new numbers to the nodes in use, those on the surface first. */
static ll_status renumber(ll_mesh *mesh)
{
    int *number = malloc(mesh->nodes * sizeof *number);
    ll_vec3 *node_m = malloc(mesh->nodes * sizeof *node_m);
    if (!number || !node_m) {
        free(number);
        free(node_m);
        return LL_NO_MEMORY;
    }
    for (size_t n = 0; n < mesh->nodes; n++)
        number[n] = -1;
    int next = 0;
    name_nodes(&mesh->triangle[0][0], 3 * mesh->triangles, number, &next);
    mesh->surface_nodes = (size_t)next;
    name_nodes(&mesh->tet[0][0], 4 * mesh->tets, number, &next);
    for (size_t n = 0; n < mesh->nodes; n++)
        if (number[n] >= 0)
            node_m[number[n]] = mesh->node_m[n];
    free(number);
    free(mesh->node_m);
    mesh->node_m = node_m;
    mesh->nodes = (size_t)next;
    return LL_OK;
}

static ll_status extrude(const ll_stack *stack, ll_mesh **out)
{
    size_t prisms = 0;
    for (size_t t = 0; t < stack->plan.triangles; t++) {
        const int zone = stack->plan.zone[t];
        prisms += stack->zone_last[zone] - stack->zone_first[zone];
    }
    ll_mesh *mesh = calloc(1, sizeof *mesh);
    if (!mesh)
        return LL_NO_MEMORY;
    mesh->nodes = stack->plan.nodes * stack->level.count;
    mesh->node_m = malloc(mesh->nodes * sizeof *mesh->node_m);
    mesh->tet = malloc(3 * prisms * sizeof *mesh->tet);
    ll_status status = mesh->node_m && mesh->tet ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        place_nodes(stack, mesh);
        fill_prisms(stack, mesh);
        status = ll_surface_find(mesh);
    }
    if (!status)
        status = renumber(mesh);
    if (!status)
        status = ll_surface_corners(mesh);
    if (status)
        ll_mesh_free(mesh);
    else
        *out = mesh;
    return status;
}

/* Lengths of the mesh, as fractions of a solid's own. Found by comparing errors: docs/solver.md. */
enum { sides_of_circle = 16 };
static const double edge_fraction = 0.08, growth = 2.0, coarse_fraction = 0.5;

static ll_grading grade(double scale_m, double coarse_m, double fineness)
{
    return (ll_grading){edge_fraction * scale_m / fineness, pow(growth, 1 / fineness),
                        coarse_m / fineness};
}

static size_t sides(double fineness)
{
    return 4 * (size_t)fmax(2, round(sides_of_circle * fineness / 4));
}

static ll_status stack_block(const ll_shape *shape, double fineness, ll_stack *stack)
{
    const ll_vec3 half = ll_scale(0.5, shape->size_m);
    const double thin = fmin(half.x, fmin(half.y, half.z));
    ll_steps x = {0, NULL}, y = {0, NULL};
    const double longest[3] = {half.x, half.y, half.z};
    ll_grading g[3];
    for (int k = 0; k < 3; k++)
        g[k] = grade(thin, fmax(coarse_fraction * thin, longest[k] / 8), fineness);
    ll_status status = ll_steps_add(&x, -half.x, half.x, 1, 1, &g[0]);
    if (!status)
        status = ll_steps_add(&y, -half.y, half.y, 1, 1, &g[1]);
    if (!status)
        status = ll_plan_grid(&x, &y, &stack->plan);
    if (!status)
        status = ll_steps_add(&stack->level, -half.z, half.z, 1, 1, &g[2]);
    ll_steps_clear(&x);
    ll_steps_clear(&y);
    stack->zone_last[0] = stack->level.count ? stack->level.count - 1 : 0;
    return status;
}

/* Rods, rings and screws: rings of the plan between the radii that the shape names. */
static ll_status stack_round(const ll_shape *shape, double fineness, ll_stack *stack)
{
    const int screw = shape->kind == LL_SCREW;
    const double inner = shape->kind == LL_RING ? shape->inner_radius_m : 0;
    const double half = 0.5 * shape->size_m.z;
    const double wall = shape->radius_m - inner;
    const double flange = screw ? shape->head_radius_m - shape->radius_m : 0;
    const double wide = fmin(wall, inner > 0 ? wall / 2 : wall);
    const ll_grading rings = grade(fmin(wide, half), coarse_fraction * wide, fineness);
    const ll_grading layers =
        grade(fmin(wide, half), fmax(coarse_fraction * wide, half / 12), fineness);
    ll_steps radii = {0, NULL};
    ll_status status = ll_steps_add(&radii, inner, shape->radius_m, inner > 0, 1, &rings);
    if (!status && flange > 1e-3 * shape->radius_m)
        status = ll_steps_add(&radii, shape->radius_m, shape->head_radius_m, 1, 1, &rings);
    if (!status)
        status = ll_plan_polar(&radii, sides(fineness), shape->radius_m, &stack->plan);
    size_t neck = 0;
    if (!status && screw) {
        status = ll_steps_add(&stack->level, -half, half - shape->head_height_m, 1, 1, &layers);
        neck = stack->level.count ? stack->level.count - 1 : 0;
    }
    if (!status)
        status = ll_steps_add(&stack->level, screw ? half - shape->head_height_m : -half, half, 1,
                              1, &layers);
    ll_steps_clear(&radii);
    if (status)
        return status;
    stack->zone_last[0] = stack->zone_last[1] = stack->level.count - 1;
    stack->zone_first[1] = neck;
    return LL_OK;
}

ll_status ll_mesh_shape(const ll_shape *shape, double fineness, ll_mesh **out)
{
    if (!(fineness >= 0.1 && fineness <= 20))
        return LL_BAD_VALUE;
    ll_stack stack = {0};
    ll_status status = shape->kind == LL_BLOCK ? stack_block(shape, fineness, &stack)
                                               : stack_round(shape, fineness, &stack);
    if (!status)
        status = extrude(&stack, out);
    stack_clear(&stack);
    return status;
}
