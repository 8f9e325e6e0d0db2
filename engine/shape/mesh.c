/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shape/mesh.h"
#include "base/constants.h"
#include "shape/joint.h"
#include "shape/surface.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Levels nearer than this are one. */
static const double same_level_m = 1e-6;

/* A plan, the levels between layers, and who owns each prism of it: owner[triangle * layers + layer], -1 for nobody. */
typedef struct ll_stack {
    ll_plan plan;
    ll_steps level;
    int *owner;
} ll_stack;

void ll_mesh_free(ll_mesh *mesh)
{
    if (!mesh)
        return;
    free(mesh->node_m);
    free(mesh->tet);
    free(mesh->owner);
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
static void add_prism(const ll_plan *plan, size_t t, size_t l, int owner, ll_mesh *mesh)
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
        mesh->owner[mesh->tets] = owner;
        int *out = mesh->tet[mesh->tets++];
        memcpy(out, tets[k], sizeof tets[k]);
        if (swaps % 2) {
            out[1] = tets[k][2];
            out[2] = tets[k][1];
        }
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
    const ll_plan *plan = &stack->plan;
    size_t prisms = 0;
    for (size_t k = 0; k < plan->triangles * (stack->level.count - 1); k++)
        prisms += stack->owner[k] >= 0;
    ll_mesh *mesh = calloc(1, sizeof *mesh);
    if (!mesh)
        return LL_NO_MEMORY;
    mesh->nodes = plan->nodes * stack->level.count;
    mesh->node_m = malloc(mesh->nodes * sizeof *mesh->node_m);
    mesh->tet = malloc((3 * prisms + 1) * sizeof *mesh->tet);
    mesh->owner = malloc((3 * prisms + 1) * sizeof *mesh->owner);
    ll_status status = mesh->node_m && mesh->tet && mesh->owner ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        for (size_t l = 0; l < stack->level.count; l++)
            for (size_t n = 0; n < plan->nodes; n++)
                mesh->node_m[l * plan->nodes + n] =
                    ll_vec(plan->node[n][0], plan->node[n][1], stack->level.at[l]);
        const size_t layers = stack->level.count - 1;
        for (size_t k = 0; layers > 0 && k < plan->triangles * layers; k++)
            if (stack->owner[k] >= 0)
                add_prism(plan, k / layers, k % layers, stack->owner[k], mesh);
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

/* The prisms that shapes are made of. */
typedef struct ll_prisms {
    size_t count;
    ll_prism *prism;
} ll_prisms;

/* Breakpoints where a prism begins or ends, rising and distinct. */
static ll_status find_breaks(const ll_prisms *p, ll_steps *breaks)
{
    breaks->count = 0;
    breaks->at = malloc(2 * p->count * sizeof *breaks->at);
    if (!breaks->at)
        return LL_NO_MEMORY;
    for (size_t k = 0; k < 2 * p->count; k++) {
        const double z = k % 2 ? p->prism[k / 2].to_z : p->prism[k / 2].from_z;
        size_t place = breaks->count;
        while (place > 0 && breaks->at[place - 1] > z)
            place--;
        if ((place > 0 && z - breaks->at[place - 1] < same_level_m) ||
            (place < breaks->count && breaks->at[place] - z < same_level_m))
            continue;
        memmove(breaks->at + place + 1, breaks->at + place,
                (breaks->count - place) * sizeof *breaks->at);
        breaks->at[place] = z;
        breaks->count++;
    }
    return LL_OK;
}

/* Layers between two breakpoints, graded by the thinnest shape that spans them. */
static ll_status add_layers(const ll_prisms *p, double from, double to, const ll_sizing *sizing,
                            ll_steps *level)
{
    const double middle = 0.5 * (from + to);
    double scale = HUGE_VAL;
    for (size_t k = 0; k < p->count; k++)
        if (p->prism[k].from_z < middle && middle < p->prism[k].to_z)
            scale = fmin(scale, p->prism[k].scale);
    if (scale == HUGE_VAL)
        return LL_BAD_VALUE;
    const ll_grading g = ll_outline_grading(scale, to - from, sizing->most_m.z, sizing);
    return ll_steps_add(level, from, to, 1, 1, &g);
}

static ll_status find_levels(const ll_prisms *p, const ll_sizing *sizing, ll_steps *level)
{
    ll_steps breaks;
    ll_status status = find_breaks(p, &breaks);
    for (size_t k = 0; k + 1 < breaks.count && !status; k++)
        status = add_layers(p, breaks.at[k], breaks.at[k + 1], sizing, level);
    ll_steps_clear(&breaks);
    return status;
}

/* The first shape with a prism that holds the middle of plan triangle t at height z; -1 when none does. */
static int owner_of(const ll_prisms *p, const ll_plan *plan, size_t t, double z,
                    const ll_sizing *sizing)
{
    double middle[2] = {0, 0};
    for (int k = 0; k < 3; k++)
        for (int i = 0; i < 2; i++)
            middle[i] += plan->node[plan->triangle[t][k]][i] / 3;
    int owner = -1;
    for (size_t k = 0; k < p->count; k++) {
        const ll_prism *q = &p->prism[k];
        if (q->from_z < z && z < q->to_z && (owner < 0 || q->owner < owner) &&
            ll_outline_depth(q, sizing, middle) > 0)
            owner = q->owner;
    }
    return owner;
}

static ll_status find_owners(const ll_prisms *p, const ll_sizing *sizing, ll_stack *stack)
{
    const size_t layers = stack->level.count - 1;
    stack->owner = malloc((stack->plan.triangles * layers + 1) * sizeof *stack->owner);
    if (!stack->owner)
        return LL_NO_MEMORY;
    for (size_t k = 0; k < stack->plan.triangles * layers; k++) {
        const size_t l = k % layers;
        const double z = 0.5 * (stack->level.at[l] + stack->level.at[l + 1]);
        stack->owner[k] = owner_of(p, &stack->plan, k / layers, z, sizing);
    }
    return LL_OK;
}

/* A lone prism has a plan of its own, graded without disturbance; so has a screw, whose two outlines share their middle. */
static ll_status find_plan(const ll_prisms *p, const ll_sizing *sizing, ll_plan *plan)
{
    if (p->count > 1)
        return ll_joint_plan(p->count, p->prism, sizing, plan);
    ll_drawing drawing;
    const ll_status status = ll_outline_draw(p->prism, sizing, &drawing);
    if (status)
        return status;
    *plan = drawing.plan;
    free(drawing.segment);
    return LL_OK;
}

static ll_status list_prisms(size_t count, const ll_shape *shape, const ll_pose *pose, ll_prisms *p)
{
    p->count = 0;
    p->prism = malloc(2 * count * sizeof *p->prism);
    if (!p->prism)
        return LL_NO_MEMORY;
    for (size_t k = 0; k < count; k++) {
        if (!ll_outline_fits(&shape[k], &pose[k].rotation))
            return LL_BAD_VALUE;
        p->count += (size_t)ll_outline_prisms(&shape[k], &pose[k], (int)k, p->prism + p->count);
    }
    return LL_OK;
}

bool ll_mesh_fits(const ll_shape *shape, const ll_rotation *rotation)
{
    return ll_outline_fits(shape, rotation);
}

ll_status ll_mesh_new(size_t count, const ll_shape *shape, const ll_pose *pose,
                      const ll_sizing *sizing, ll_mesh **out)
{
    if (count == 0 || !(sizing->fineness >= 0.1 && sizing->fineness <= 20) || !(sizing->edge > 0))
        return LL_BAD_VALUE;
    ll_stack stack = {0};
    ll_prisms prisms;
    ll_status status = list_prisms(count, shape, pose, &prisms);
    if (!status)
        status = find_plan(&prisms, sizing, &stack.plan);
    if (!status)
        status = find_levels(&prisms, sizing, &stack.level);
    if (!status)
        status = find_owners(&prisms, sizing, &stack);
    if (!status)
        status = extrude(&stack, out);
    free(prisms.prism);
    ll_plan_clear(&stack.plan);
    ll_steps_clear(&stack.level);
    free(stack.owner);
    return status;
}
