/* Which parts become bodies, and which of them are one piece.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "magnetics/body.h"
#include "magnetics/load_line.h"
#include "scene/joining.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static bool takes_part(const ll_part *part)
{
    return ll_material_mu_r(part->material) > 1 + 1e-9;
}

static bool is_steel(const ll_part *part)
{
    return ll_material_kind(part->material) != LL_MAGNET;
}

/* Parts in work: group[i] is the first part of the piece that part i belongs to. */
typedef struct ll_part_groups {
    const ll_scene *scene;
    size_t parts;
    size_t *group;
} ll_part_groups;

/* True when all members of two groups are prisms along the z of this frame. */
static bool frame_fits(const ll_part_groups *g, size_t a, size_t b, const ll_rotation *frame)
{
    for (size_t i = 0; i < g->parts; i++) {
        const ll_part *p = ll_scene_part(g->scene, i);
        if (g->group[i] != a && g->group[i] != b)
            continue;
        const ll_rotation turn = ll_rotation_seen_from(frame, &p->pose.rotation);
        if (!ll_mesh_fits(&p->shape, &turn))
            return false;
    }
    return true;
}

/* A frame in which the members of two groups (or of one, a == b) are all prisms; false when there is none. */
static bool find_frame(const ll_part_groups *g, size_t a, size_t b, ll_rotation *frame)
{
    for (size_t i = 0; i < g->parts; i++) {
        ll_rotation turn[3];
        if (g->group[i] != a && g->group[i] != b)
            continue;
        const int turns = ll_part_frames(ll_scene_part(g->scene, i), turn);
        for (int k = 0; k < turns; k++)
            if (frame_fits(g, a, b, &turn[k])) {
                *frame = turn[k];
                return true;
            }
    }
    return false;
}

/* Joins the groups of two parts: pieces of steel in contact, and whatever is pressed into steel. Magnets that only touch
 * stay bodies of their own, whose closed-form field is exact; so do pieces that touch at an angle. */
static ll_status join(ll_part_groups *g, size_t i, size_t j, double join_m)
{
    const ll_part *p = ll_scene_part(g->scene, i), *q = ll_scene_part(g->scene, j);
    const double depth = ll_shape_overlap_m(&p->shape, &p->pose, &q->shape, &q->pose);
    const size_t a = g->group[i], b = g->group[j];
    ll_rotation frame;
    const bool both_steel = is_steel(p) && is_steel(q);
    if (depth < (both_steel ? -join_m : LL_SMALLEST_CUT_M) || a == b)
        return LL_OK;
    if (!find_frame(g, a, b, &frame))
        return depth > LL_SMALLEST_CUT_M ? LL_OVERLAP : LL_OK;
    const size_t first = a < b ? a : b;
    for (size_t k = 0; k < g->parts; k++)
        if (g->group[k] == a || g->group[k] == b)
            g->group[k] = first;
    return LL_OK;
}

static ll_status join_all(ll_part_groups *g, double join_m)
{
    for (size_t i = 0; i < g->parts; i++)
        g->group[i] = takes_part(ll_scene_part(g->scene, i)) ? i : SIZE_MAX;
    for (size_t i = 0; i < g->parts; i++)
        for (size_t j = i + 1; j < g->parts; j++) {
            if (g->group[i] == SIZE_MAX || g->group[j] == SIZE_MAX)
                continue;
            const ll_status status = join(g, i, j, join_m);
            if (status)
                return status;
        }
    return LL_OK;
}

static ll_region region_of(const ll_part *part, size_t index, const ll_rotation *frame)
{
    ll_region r = {.part = index,
                   .material = ll_material_share(part->material),
                   .charge = part->charge,
                   .linear = ll_material_is_linear(part->material)};
    r.charged_alone = !r.linear && part->charged == LL_CHARGED_ALONE;
    if (ll_material_kind(part->material) == LL_MAGNET)
        r.axis = ll_rotate_back(frame, ll_scale(1 / ll_norm(part->north), part->north));
    return r;
}

/* What the closed-form field of a magnet stands for: its remanence where the law is nearly a straight recoil line, else its
 * working point alone in air, so that little is left for the unknowns. */
static ll_status set_reference(ll_region *r, const ll_shape *shape, const ll_pose *pose)
{
    if (ll_material_kind(r->material) != LL_MAGNET)
        return LL_OK;
    if (!r->linear || ll_material_mu_r(r->material) > 1.5)
        return ll_load_line(r, shape, pose, NULL, &r->reference_a_m);
    r->reference_a_m = r->charge * ll_material_remanence_t(r->material) / LL_MU0;
    return LL_OK;
}

/* AlNiCo with a straight law. Magnets of low permeability conduct so little that their eddy currents are left out. */
static bool has_eddies(const ll_body *body)
{
    bool found = false;
    for (size_t r = 0; r < body->regions; r++)
        found |= ll_material_conductivity_s_m(body->region[r].material) > 0 &&
                 ll_material_mu_r(body->region[r].material) > 1.5;
    return found;
}

/* Shapes and regions of one group, in the frame of its first member. */
static ll_status describe(const ll_part_groups *g, size_t group, ll_body *body, ll_shape *shape,
                          ll_pose *pose)
{
    const ll_part *first = ll_scene_part(g->scene, group);
    body->pose.origin_m = first->pose.origin_m;
    if (!find_frame(g, group, group, &body->pose.rotation))
        return LL_OVERLAP;
    if (first->shape.kind == LL_BLOCK)
        body->pose.rotation = ll_rotation_settled(&body->pose.rotation);
    bool all_magnets = true;
    body->linear = true;
    for (size_t i = 0; i < g->parts; i++) {
        if (g->group[i] != group)
            continue;
        const ll_part *p = ll_scene_part(g->scene, i);
        const size_t k = body->regions++;
        shape[k] = p->shape;
        pose[k] = ll_pose_seen_from(&body->pose, &p->pose);
        if (p->shape.kind == LL_BLOCK)
            pose[k].rotation = ll_rotation_settled(&pose[k].rotation);
        body->region[k] = region_of(p, i, &body->pose.rotation);
        const ll_status status = set_reference(&body->region[k], &shape[k], &pose[k]);
        if (status)
            return status;
        all_magnets = all_magnets && !is_steel(p);
        body->linear = body->linear && body->region[k].linear;
    }
    body->kind = !all_magnets                        ? LL_TOTAL
                 : body->linear && !has_eddies(body) ? LL_CHARGES
                                                     : LL_REACTION;
    return LL_OK;
}

/* A neighbour whose reach along an axis is short shows up in the field over about that length: elements must be shorter. */
static const double share_of_neighbour = 0.5;

static double shorter(double most, double reach_m)
{
    const double wanted = 2 * reach_m * share_of_neighbour;
    return most == 0 ? wanted : fmin(most, wanted);
}

/* Limits from all parts near a part that are not of its own group, along the axes of a frame. */
static void limit_by_neighbours(const ll_part_groups *g, size_t part, const ll_rotation *frame,
                                ll_vec3 *most_m)
{
    const ll_part *p = ll_scene_part(g->scene, part);
    const double near = fmin(p->shape.size_m.x, fmin(p->shape.size_m.y, p->shape.size_m.z));
    for (size_t i = 0; i < g->parts; i++) {
        const ll_part *q = ll_scene_part(g->scene, i);
        const bool acts = takes_part(q) || ll_material_kind(q->material) == LL_MAGNET;
        if (i == part || !acts || (g->group[i] != SIZE_MAX && g->group[i] == g->group[part]))
            continue;
        if (ll_shape_overlap_m(&p->shape, &p->pose, &q->shape, &q->pose) < -near)
            continue;
        const ll_vec3 x = ll_vec(1, 0, 0), y = ll_vec(0, 1, 0), z = ll_vec(0, 0, 1);
        const ll_rotation *turn = &q->pose.rotation;
        most_m->x = shorter(most_m->x, ll_shape_reach_m(&q->shape, turn, ll_rotate(frame, x)));
        most_m->y = shorter(most_m->y, ll_shape_reach_m(&q->shape, turn, ll_rotate(frame, y)));
        most_m->z = shorter(most_m->z, ll_shape_reach_m(&q->shape, turn, ll_rotate(frame, z)));
    }
}

/* At the edges of a magnet of low recoil permeability nothing is singular but its own closed-form field, so its first
 * elements there may be longer, unless they would be longer than twice the way to steel, whose edges and corners do matter. */
static double first_elements(const ll_part_groups *g, const ll_body *body)
{
    const double longest = 4;
    const size_t part = body->region[0].part;
    const ll_part *p = ll_scene_part(g->scene, part);
    const double usual =
        LL_USUAL_EDGE * 0.5 * fmin(p->shape.size_m.x, fmin(p->shape.size_m.y, p->shape.size_m.z));
    double edge = longest;
    for (size_t i = 0; i < g->parts; i++) {
        const ll_part *q = ll_scene_part(g->scene, i);
        if (i == part || !takes_part(q) || !is_steel(q))
            continue;
        const double way = -ll_shape_overlap_m(&p->shape, &p->pose, &q->shape, &q->pose);
        edge = fmin(edge, 2 * way / usual);
    }
    return fmax(1, edge);
}

/* A joined piece has far more surface than its parts and is meshed a little coarser; a magnet with a bent curve, whose
 * magnetisation varies along it, finer. */
static ll_sizing sizing_of(const ll_part_groups *g, const ll_body *body, double fineness)
{
    const bool slight =
        body->kind == LL_CHARGES && ll_material_mu_r(body->region[0].material) < 1.5;
    const double share = body->regions > 1           ? 0.8
                         : body->kind == LL_REACTION ? 1.5
                         : slight                    ? 0.8
                                                     : 1;
    ll_sizing s = {share * fineness, slight ? first_elements(g, body) : 1, {0, 0, 0}};
    for (size_t r = 0; r < body->regions; r++)
        limit_by_neighbours(g, body->region[r].part, &body->pose.rotation, &s.most_m);
    s.edge = ll_snapped(s.edge); /* so that pieces in like company have equal forms */
    s.most_m = ll_vec_snapped(s.most_m);
    return s;
}

static ll_status make_body(const ll_part_groups *g, size_t group, double fineness, ll_body *body)
{
    ll_shape *shape = malloc(g->parts * sizeof *shape);
    ll_pose *pose = malloc(g->parts * sizeof *pose);
    memset(body, 0, sizeof *body);
    body->region = calloc(g->parts, sizeof *body->region);
    ll_status status = shape && pose && body->region ? LL_OK : LL_NO_MEMORY;
    if (!status)
        status = describe(g, group, body, shape, pose);
    if (!status) {
        const ll_sizing sizing = sizing_of(g, body, fineness);
        status = ll_form_get(body->regions, shape, pose, &sizing, &body->form);
    }
    free(shape);
    free(pose);
    if (status)
        ll_body_clear(body);
    return status;
}

ll_status ll_bodies_find(const ll_scene *scene, double fineness, double join_m, ll_body **body,
                         size_t *count)
{
    const size_t parts = ll_scene_part_count(scene);
    ll_part_groups g = {scene, parts, malloc((parts + 1) * sizeof *g.group)};
    ll_body *list = calloc(parts + 1, sizeof *list);
    size_t n = 0;
    ll_status status = g.group && list ? join_all(&g, join_m) : LL_NO_MEMORY;
    for (size_t i = 0; i < parts && !status; i++)
        if (g.group[i] == i) {
            status = make_body(&g, i, fineness, &list[n]);
            n += !status;
        }
    free(g.group);
    if (status) {
        for (size_t k = 0; k < n; k++)
            ll_body_clear(&list[k]);
        free(list);
        return status;
    }
    *body = list;
    *count = n;
    return LL_OK;
}
