/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/form_scene.h"
#include "base/constants.h"
#include "elements/revolved_shape.h"
#include "field/source.h"
#include "magnetics/block_neighbours.h"
#include "magnetics/load_line.h"
#include "magnetics/past_data.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* Parts nearer than this touch. */
static const double touching_m = 2e-6;

static bool needs_mesh(const ll_part *part)
{
    return ll_material_mu_r(part->material) > 1 + 1e-9;
}

/* The clearance of two parts, or a lower bound of it; 0 or less where they touch. */
static double clearance(const ll_part *p, const ll_part *q)
{
    return -ll_shape_overlap_m(&p->shape, &p->pose, &q->shape, &q->pose);
}

static bool is_clear(const ll_scene *scene, size_t part)
{
    const ll_part *p = ll_scene_part(scene, part);
    for (size_t j = 0; j < part; j++)
        if (needs_mesh(ll_scene_part(scene, j)) &&
            clearance(p, ll_scene_part(scene, j)) < touching_m)
            return false;
    return true;
}

bool ll_form_scene_is_clear(const ll_scene *scene)
{
    for (size_t i = 0; i < ll_scene_part_count(scene); i++)
        if (needs_mesh(ll_scene_part(scene, i)) && !is_clear(scene, i))
            return false;
    return true;
}

/* Below this a magnet's recoil is a small matter to its neighbours, and cheap in tetrahedra. */
static const double weak_mu_r = 1.3;

/* Rods beside bars are right by forms whatever the bars are of (test_rods_and_bars); beside bars of weak recoil, where strings are asked
 * for, tetrahedra cost less. */
bool ll_form_scene_serves(const ll_scene *scene)
{
    bool round = false, block = false, weak_block = false;
    if (!ll_form_scene_is_clear(scene))
        return false;
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *part = ll_scene_part(scene, i);
        if (!needs_mesh(part))
            continue;
        const bool is_block = part->shape.kind == LL_BLOCK;
        round = round || !is_block;
        block = block || is_block;
        weak_block = weak_block || (is_block && ll_material_mu_r(part->material) < weak_mu_r);
    }
    return (round || block) && !(round && weak_block);
}

/* ---- neighbours ---- */

/* The heights in a part's frame where another part begins and ends, as far as its box tells. */
static void find_ends(const ll_part *p, const ll_part *q, double z_m[2])
{
    const ll_vec3 axis =
        ll_vec(p->pose.rotation.m[0][2], p->pose.rotation.m[1][2], p->pose.rotation.m[2][2]);
    const double middle = ll_to_own(&p->pose, q->pose.origin_m).z;
    const double reach = ll_shape_reach_m(&q->shape, &q->pose.rotation, axis);
    z_m[0] = middle - reach;
    z_m[1] = middle + reach;
}

/* The same for the distances from its axis. */
static void find_sides(const ll_part *p, const ll_part *q, double r_m[2])
{
    const ll_vec3 middle = ll_to_own(&p->pose, q->pose.origin_m);
    const double away = hypot(middle.x, middle.y);
    const ll_vec3 across =
        away > 1e-9 ? ll_vec(middle.x / away, middle.y / away, 0) : ll_vec(1, 0, 0);
    const double reach =
        ll_shape_reach_m(&q->shape, &q->pose.rotation, ll_rotate(&p->pose.rotation, across));
    r_m[0] = away - reach;
    r_m[1] = away + reach;
}

/* Harmonics of what a rod beside it does to a rod fall by e^-acosh(1 + gap / radius) each; the flat face of a block is the same over
 * a wider stretch: at 0.12 of the radius 2 are enough, at 0.02 4 leave 0.4 %. */
static int harmonics_for(const ll_part *neighbour, double gap_m, double radius)
{
    const double fall = acosh(1 + gap_m / radius);
    return (int)fmin(6, ceil(neighbour->shape.kind == LL_BLOCK ? 1 / fall : 2.6 / fall - 1));
}

/* Adds what a neighbour at a gap wants of the mesh, if it is near at all; *clear_m falls to its gap. */
static void see_neighbour(const ll_part *p, const ll_part *q, ll_revolved_wish *wish)
{
    const double radius = p->shape.kind == LL_SCREW ? p->shape.head_radius_m : p->shape.radius_m;
    const double gap = fmax(clearance(p, q), 0.01e-3);
    double z_m[2], r_m[2];
    if (gap > radius)
        return;
    wish->options.clear_m = fmin(wish->options.clear_m, gap);
    const int harmonics = harmonics_for(q, gap, radius);
    if (wish->options.harmonics < harmonics)
        wish->options.harmonics = harmonics;
    find_ends(p, q, z_m);
    find_sides(p, q, r_m);
    const bool beyond = z_m[0] > 0.5 * p->shape.size_m.z || z_m[1] < -0.5 * p->shape.size_m.z;
    for (int end = 0; end < 2 && wish->marks < LL_MARKS_MOST; end++)
        wish->mark[wish->marks++] = beyond ? (ll_mark){true, r_m[end], fmax(gap, 0.05 * radius)}
                                           : (ll_mark){false, z_m[end], sqrt(2 * radius * gap)};
}

/* Forms are shared: distances are told apart in steps of two. */
static double in_steps(double clear_m, double radius)
{
    return radius * pow(2, floor(log2(fmin(1, clear_m / radius))));
}

static void find_wish(const ll_scene *scene, size_t part, const ll_form_choice *choice, bool sines,
                      ll_revolved_wish *wish)
{
    const ll_part *p = ll_scene_part(scene, part);
    const double radius = p->shape.kind == LL_SCREW ? p->shape.head_radius_m : p->shape.radius_m;
    memset(wish, 0, sizeof *wish);
    wish->shape = p->shape;
    wish->layers = 2;
    wish->options.clear_m = radius;
    wish->options.harmonics = 2;
    for (size_t j = 0; j < ll_scene_part_count(scene); j++)
        if (j != part)
            see_neighbour(p, ll_scene_part(scene, j), wish);
    /* In a row, where harmonics come from both sides, those of one parity cancel: a level that shall tell the error adds two. */
    wish->options = (ll_revolved_options){
        .degree = LL_FORM_LOWEST_DEGREE + choice->level,
        .harmonics = wish->options.harmonics + (choice->level > 0) + choice->level,
        .sines = sines,
        /* Coils and strings come at least as near. */
        .clear_m = in_steps(fmin(wish->options.clear_m, 0.5 * radius), radius),
        .finer = choice->finer,
    };
}

/* ---- the mirror ---- */

static ll_vec3 axis_of(const ll_part *part)
{
    const double(*m)[3] = part->pose.rotation.m;
    return ll_vec(m[0][2], m[1][2], m[2][2]);
}

static bool lies_in(const ll_mirror *mirror, ll_vec3 direction)
{
    return fabs(ll_dot(mirror->normal, direction)) < 1e-9 * ll_norm(direction);
}

/* A direction or, less the mirror's place, a point on its other side. */
static ll_vec3 mirrored(const ll_mirror *mirror, ll_vec3 v)
{
    return ll_sub(v, ll_scale(2 * ll_dot(mirror->normal, v), mirror->normal));
}

/* Whether block q stands where the mirror shows block p, with the same magnetisation. */
static bool is_image(const ll_mirror *mirror, const ll_part *p, const ll_part *q)
{
    const ll_vec3 at = mirrored(mirror, ll_sub(p->pose.origin_m, mirror->through_m));
    if (ll_norm(ll_sub(ll_sub(q->pose.origin_m, mirror->through_m), at)) > 1e-9 ||
        !ll_material_equal(p->material, q->material))
        return false;
    if (ll_material_kind(p->material) == LL_MAGNET) {
        const ll_vec3 m = ll_scale(p->charge / ll_norm(p->north), mirrored(mirror, p->north));
        if (ll_norm(ll_sub(ll_scale(q->charge / ll_norm(q->north), q->north), m)) > 1e-9)
            return false;
    }
    for (int k = 0; k < 3; k++) {
        const double(*m)[3] = p->pose.rotation.m;
        const ll_vec3 axis = mirrored(mirror, ll_vec(m[0][k], m[1][k], m[2][k]));
        const double a = ll_shape_reach_m(&p->shape, &p->pose.rotation, mirrored(mirror, axis));
        if (fabs(ll_shape_reach_m(&q->shape, &q->pose.rotation, axis) - a) > 1e-9)
            return false;
    }
    return true;
}

static bool has_image(const ll_scene *scene, const ll_mirror *mirror, const ll_part *p)
{
    for (size_t j = 0; j < ll_scene_part_count(scene); j++) {
        const ll_part *q = ll_scene_part(scene, j);
        if (q->shape.kind == LL_BLOCK && needs_mesh(q) && is_image(mirror, p, q))
            return true;
    }
    return false;
}

static bool mirrors_bodies(const ll_scene *scene, const ll_mirror *mirror)
{
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *p = ll_scene_part(scene, i);
        if (!needs_mesh(p))
            continue;
        if (p->shape.kind == LL_BLOCK) {
            if (!has_image(scene, mirror, p))
                return false;
            continue;
        }
        if (!lies_in(mirror, axis_of(p)) ||
            fabs(ll_dot(mirror->normal, ll_sub(p->pose.origin_m, mirror->through_m))) > 1e-9)
            return false;
        if (ll_material_kind(p->material) == LL_MAGNET && !lies_in(mirror, p->north))
            return false;
    }
    return true;
}

enum { LOOKS = 7 };

/* Points on both sides of the mirror around a body. */
static void look_around(const ll_part *p, const ll_mirror *mirror, ll_vec3 *at)
{
    for (int k = 0; k < LOOKS; k++) {
        const double angle = 0.4 + 2.4 * k, height = p->shape.size_m.z * (k / (LOOKS - 1.0) - 0.5);
        const double radius = 0.5 * p->shape.size_m.x;
        const ll_vec3 own = ll_vec(radius * cos(angle), radius * sin(angle), height);
        at[k] = ll_to_world(&p->pose, own);
        const double beyond = ll_dot(mirror->normal, ll_sub(at[k], mirror->through_m));
        at[LOOKS + k] = ll_sub(at[k], ll_scale(2 * beyond, mirror->normal));
    }
}

static bool looks_alike(const double *psi)
{
    double largest = 0, worst = 0;
    for (int k = 0; k < LOOKS; k++) {
        largest = fmax(largest, fabs(psi[k]));
        worst = fmax(worst, fabs(psi[k] - psi[LOOKS + k]));
    }
    return worst <= 1e-7 * largest;
}

static ll_status mirrors_magnets(const ll_scene *scene, const ll_vec3 *at, bool *alike)
{
    double sum[2 * LOOKS] = {0}, psi[2 * LOOKS];
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *p = ll_scene_part(scene, i);
        if (needs_mesh(p) || ll_material_kind(p->material) != LL_MAGNET)
            continue;
        const ll_vec3 m = ll_scale(p->charge * ll_material_remanence_t(p->material), p->north);
        const ll_status status = ll_magnet_potential(&p->shape, &p->pose, m, 2 * LOOKS, at, psi);
        if (status)
            return status;
        for (int k = 0; k < 2 * LOOKS; k++)
            sum[k] += psi[k];
    }
    *alike = *alike && looks_alike(sum);
    return LL_OK;
}

static ll_status mirrors_coils(const ll_scene *scene, const ll_vec3 *at, bool *alike)
{
    for (size_t i = 0; i < ll_scene_coil_count(scene) && *alike; i++) {
        const ll_coil *c = ll_scene_coil(scene, i);
        double psi[2 * LOOKS];
        const ll_status status =
            ll_coil_potential(&c->shape, &c->pose, c->turns, 2 * LOOKS, at, psi);
        if (status)
            return status;
        *alike = looks_alike(psi);
    }
    return LL_OK;
}

static ll_status mirrors_sources(const ll_scene *scene, const ll_mirror *mirror, bool *alike)
{
    ll_status status = LL_OK;
    *alike = true;
    for (size_t i = 0; i < ll_scene_part_count(scene) && *alike && !status; i++) {
        ll_vec3 at[2 * LOOKS];
        if (!needs_mesh(ll_scene_part(scene, i)))
            continue;
        look_around(ll_scene_part(scene, i), mirror, at);
        status = mirrors_magnets(scene, at, alike);
        if (!status)
            status = mirrors_coils(scene, at, alike);
    }
    return status;
}

/* Through the first body of revolution and the next that stands beside it; a lone one tries both planes of its own. */
static int candidates(const ll_scene *scene, ll_mirror mirror[2])
{
    const ll_part *first = NULL;
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *p = ll_scene_part(scene, i);
        if (!needs_mesh(p) || p->shape.kind == LL_BLOCK)
            continue;
        first = first ? first : p;
        const ll_vec3 normal =
            ll_cross(axis_of(first), ll_sub(p->pose.origin_m, first->pose.origin_m));
        if (ll_norm(normal) > 1e-9) {
            mirror[0] = (ll_mirror){true, ll_scale(-1 / ll_norm(normal), normal), p->pose.origin_m};
            return 1;
        }
    }
    if (!first)
        return 0;
    for (int k = 0; k < 2; k++) {
        const double(*m)[3] = first->pose.rotation.m;
        mirror[k] =
            (ll_mirror){true, ll_vec(m[0][1 - k], m[1][1 - k], m[2][1 - k]), first->pose.origin_m};
    }
    return 2;
}

ll_status ll_form_scene_mirror(const ll_scene *scene, ll_mirror *out)
{
    ll_mirror mirror[2];
    const int n = candidates(scene, mirror);
    *out = (ll_mirror){.exists = false};
    for (int k = 0; k < n; k++) {
        bool alike = false;
        const ll_status status =
            mirrors_bodies(scene, &mirror[k]) ? mirrors_sources(scene, &mirror[k], &alike) : LL_OK;
        if (status)
            return status;
        if (alike) {
            *out = mirror[k];
            break;
        }
    }
    return LL_OK;
}

/* A pose about the same axis whose own y is the mirror's normal. */
static ll_pose turned_to(const ll_pose *pose, const ll_mirror *mirror)
{
    ll_pose p = *pose;
    const ll_vec3 z =
        ll_vec(pose->rotation.m[0][2], pose->rotation.m[1][2], pose->rotation.m[2][2]);
    if (!mirror->exists)
        return p;
    const ll_vec3 y = mirror->normal, x = ll_cross(y, z);
    p.rotation = (ll_rotation){{{x.x, y.x, z.x}, {x.y, y.y, z.y}, {x.z, y.z, z.z}}};
    return p;
}

/* ---- bodies ---- */

static ll_status start_of_magnet(const ll_part *part, ll_form_body *body)
{
    const ll_pose own = ll_pose_at(ll_vec(0, 0, 0));
    if (ll_material_kind(part->material) != LL_MAGNET || body->region.linear)
        return LL_OK;
    return ll_load_line(&body->region, &part->shape, &own, &body->start_h_a_m, NULL);
}

static ll_status place_form(const ll_scene *scene, size_t part, const ll_form_choice *choice,
                            const ll_mirror *mirror, ll_placed_form *out)
{
    const ll_part *p = ll_scene_part(scene, part);
    if (p->shape.kind == LL_BLOCK) {
        ll_block_wish wish = ll_block_among_neighbours(scene, part);
        wish.degree = LL_FORM_LOWEST_DEGREE + choice->level;
        wish.finer = choice->finer;
        *out = (ll_placed_form){NULL, p->pose};
        return ll_block_get(&wish, &out->form);
    }
    ll_revolved_wish wish;
    find_wish(scene, part, choice, choice->whole || !mirror->exists, &wish);
    *out = (ll_placed_form){NULL, turned_to(&p->pose, mirror)};
    return ll_revolved_get(&wish, &out->form);
}

/* The closed-form field of a magnet with a straight line at its own places. */
static ll_status find_own_field(const ll_part *part, ll_form_body *body)
{
    if (ll_material_kind(part->material) != LL_MAGNET || !body->region.linear)
        return LL_OK;
    const ll_body_form *form = body->placed.form;
    const size_t n = form->places;
    const ll_pose own = ll_pose_at(ll_vec(0, 0, 0));
    const double m = part->charge * ll_material_remanence_t(part->material) / LL_MU0;
    ll_vec3 *h = malloc(n * sizeof *h);
    body->own_h = malloc(3 * n * sizeof *body->own_h);
    ll_status status = h && body->own_h ? LL_OK : LL_NO_MEMORY;
    if (!status)
        status =
            ll_magnet_h(&part->shape, &own, ll_scale(m, body->region.axis), n, form->place_m, h);
    for (size_t i = 0; i < n && !status; i++) {
        body->own_h[i] = h[i].x;
        body->own_h[n + i] = h[i].y;
        body->own_h[2 * n + i] = h[i].z;
    }
    free(h);
    return status;
}

static ll_status make_body(const ll_scene *scene, size_t part, const ll_form_choice *choice,
                           const ll_mirror *mirror, ll_form_body *body)
{
    const ll_part *p = ll_scene_part(scene, part);
    const bool magnet = ll_material_kind(p->material) == LL_MAGNET;
    *body = (ll_form_body){.placed = {NULL, p->pose}};
    ll_status status = place_form(scene, part, choice, mirror, &body->placed);
    if (status)
        return status;
    body->region = (ll_region){
        .part = part,
        .material = ll_material_share(p->material),
        .axis = magnet ? ll_rotate_back(&body->placed.pose.rotation,
                                        ll_scale(1 / ll_norm(p->north), p->north))
                       : ll_vec(0, 0, 1),
        .charge = p->charge,
        .linear = ll_material_is_linear(p->material),
        .charged_alone = magnet && p->charged == LL_CHARGED_ALONE,
    };
    status = start_of_magnet(p, body);
    if (!status && choice->past && choice->past[part])
        status = ll_past_enter(choice->past[part], &p->pose, body);
    if (!status)
        status = find_own_field(p, body);
    if (!status)
        status = ll_form_body_prepare(body);
    if (status)
        ll_form_body_clear(body);
    return status;
}

ll_status ll_form_scene_bodies(const ll_scene *scene, const ll_form_choice *choice,
                               ll_form_body **body, size_t *count, size_t *body_of)
{
    const size_t parts = ll_scene_part_count(scene);
    size_t made = 0;
    ll_mirror mirror;
    ll_form_body *b = calloc(parts + 1, sizeof *b);
    ll_status status = b ? ll_form_scene_mirror(scene, &mirror) : LL_NO_MEMORY;
    for (size_t i = 0; i < parts && !status; i++) {
        body_of[i] = SIZE_MAX;
        if (!needs_mesh(ll_scene_part(scene, i)))
            continue;
        status = make_body(scene, i, choice, &mirror, &b[made]);
        if (!status)
            body_of[i] = made++;
    }
    if (status) {
        for (size_t k = 0; k < made; k++)
            ll_form_body_clear(&b[k]);
        free(b);
        return status;
    }
    *body = b;
    *count = made;
    return LL_OK;
}
