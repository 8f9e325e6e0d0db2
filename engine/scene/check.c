/* Which parts cut into which, or into a winding.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "scene/joining.h"
#include "scene/scene_data.h"

enum { LL_MOST_TILES = (2 * LL_MOST_HOLES + 1) * (LL_MOST_HOLES + 1) };

/* Signed distance from a rectangle with rounded corners in the plane, negative inside. */
static double rounded_rectangle(double x, double y, double half_x, double half_y, double corner)
{
    const double dx = fabs(x) - half_x + corner, dy = fabs(y) - half_y + corner;
    const double outside = hypot(fmax(dx, 0), fmax(dy, 0));
    return outside + fmin(fmax(dx, dy), 0) - corner;
}

bool ll_coil_outline_holds(const ll_coil *coil, ll_vec3 own_m)
{
    const ll_coil_shape *c = &coil->shape;
    return rounded_rectangle(own_m.x, own_m.y, c->opening_x_m / 2, c->opening_y_m / 2,
                             c->corner_m) < c->build_m / 2;
}

int ll_coil_ways_up(const ll_coil *coil, ll_vec3 a_m, ll_vec3 b_m)
{
    const double top = coil->shape.height_m / 2;
    if ((a_m.z >= top) == (b_m.z >= top))
        return 0;
    const double share = (top - a_m.z) / (b_m.z - a_m.z);
    const ll_vec3 at = ll_add(a_m, ll_scale(share, ll_sub(b_m, a_m)));
    if (!ll_coil_outline_holds(coil, at))
        return 0;
    return b_m.z >= top ? 1 : -1;
}

/* How far a ray from the coil's axis runs until it meets the winding's layer that has grown by `grow` from the hole: on a straight
 * side or in the rounded corner. */
static double ray_length(const ll_coil_shape *c, double cosine, double sine, double grow)
{
    const double corner = c->corner_m + grow, along_x = fabs(cosine), along_y = fabs(sine);
    const double x = c->opening_x_m / 2 - c->corner_m, y = c->opening_y_m / 2 - c->corner_m;
    if ((x + corner) * along_y <= y * along_x)
        return (x + corner) / along_x;
    if ((y + corner) * along_x <= x * along_y)
        return (y + corner) / along_y;
    /* The corner's centre is at (x, y): where the ray leaves its circle. */
    const double foot = x * along_x + y * along_y, beside = x * along_y - y * along_x;
    return foot + sqrt(fmax(corner * corner - beside * beside, 0));
}

/* A lattice through a winding's cross-section all around, in its own frame. */
enum { AROUND = 240, ACROSS = 7, ALONG = 13, LATTICE = AROUND * ACROSS };

static void find_lattice(const ll_coil_shape *c, double x_m[LATTICE], double y_m[LATTICE])
{
    for (int k = 0; k < LATTICE; k++) {
        const int around = k % AROUND, across = k / AROUND;
        const double angle = 2 * LL_PI * around / AROUND;
        const double grow = c->build_m * across / (ACROSS - 1);
        const double r = ray_length(c, cos(angle), sin(angle), grow);
        x_m[k] = r * cos(angle);
        y_m[k] = r * sin(angle);
    }
}

/* The deepest that a part reaches into one turn of the lattice; below zero where it does not. A point that is farther from the
 * part than its neighbours from the point answers for them. */
static double cut_into_turn(const ll_part *part, const ll_pose *coil, const double x_m[AROUND],
                            const double y_m[AROUND], double z_m)
{
    double deepest = -1;
    for (int k = 0, next; k < AROUND; k = next) {
        const ll_vec3 at = ll_to_world(coil, ll_vec(x_m[k], y_m[k], z_m));
        const double depth = ll_shape_depth_m(&part->shape, ll_to_own(&part->pose, at));
        deepest = fmax(deepest, depth);
        for (next = k + 1; next < AROUND; next++) {
            const double dx = x_m[next] - x_m[k], dy = y_m[next] - y_m[k];
            if (depth >= 0 || dx * dx + dy * dy >= depth * depth)
                break;
        }
    }
    return deepest;
}

/* The same of a whole winding. */
static double cut_into_coil(const ll_part *part, const ll_coil *coil, const double x_m[LATTICE],
                            const double y_m[LATTICE])
{
    double deepest = -1;
    for (int k = 0; k < ALONG * ACROSS; k++) {
        const int along = k / ACROSS, turn = k % ACROSS * AROUND;
        const double z = coil->shape.height_m * ((double)along / (ALONG - 1) - 0.5);
        deepest = fmax(deepest, cut_into_turn(part, &coil->pose, x_m + turn, y_m + turn, z));
    }
    return deepest;
}

static bool is_steel(const ll_part *part)
{
    return ll_material_kind(part->material) == LL_STEEL;
}

static void report(ll_clash clash, size_t room, ll_clash *clashes, size_t *found)
{
    if (clash.depth_m <= LL_SMALLEST_CUT_M)
        return;
    if (*found < room)
        clashes[*found] = clash;
    ++*found;
}

/* The deepest that a part cuts into what holes leave of another. */
static double cut_around_holes(const ll_part *plate, const ll_part *q)
{
    ll_tile tile[LL_MOST_TILES];
    ll_vec3 middle_m[LL_MOST_HOLES];
    double radius_m[LL_MOST_HOLES], deepest = -HUGE_VAL;
    const ll_vec3 size = plate->shape.size_m;
    for (size_t i = 0; i < plate->holes; i++) {
        middle_m[i] = ll_to_own(&plate->pose, plate->hole[i].at_m);
        radius_m[i] = plate->hole[i].radius_m;
    }
    const size_t n =
        ll_plate_tiles(size.x, size.y, plate->holes, middle_m, radius_m, LL_MOST_TILES, tile);
    for (size_t i = 0; i < n && i < LL_MOST_TILES; i++) {
        const double x = tile[i].x_m[1] - tile[i].x_m[0], y = tile[i].y_m[1] - tile[i].y_m[0];
        const ll_vec3 middle =
            ll_vec((tile[i].x_m[0] + tile[i].x_m[1]) / 2, (tile[i].y_m[0] + tile[i].y_m[1]) / 2, 0);
        const ll_pose pose = {plate->pose.rotation, ll_to_world(&plate->pose, middle)};
        ll_shape shape;
        if (ll_shape_block(ll_vec(x, y, size.z), &shape) == LL_OK)
            deepest = fmax(deepest, ll_shape_overlap_m(&shape, &pose, &q->shape, &q->pose));
    }
    return deepest;
}

/* How far two parts cut into each other; 0 where they may be one piece. */
static double cut_into_part(const ll_part *p, const ll_part *q)
{
    if (is_steel(p) && is_steel(q) && ll_parts_can_join(p, q))
        return 0;
    const double whole = ll_shape_overlap_m(&p->shape, &p->pose, &q->shape, &q->pose);
    if (whole <= LL_SMALLEST_CUT_M || p->holes + q->holes == 0)
        return whole;
    return p->holes ? cut_around_holes(p, q) : cut_around_holes(q, p);
}

ll_status ll_scene_check(const ll_scene *scene, size_t room, ll_clash *clashes, size_t *found)
{
    *found = 0;
    for (size_t a = 0; a < scene->parts; a++)
        for (size_t b = a + 1; b < scene->parts; b++)
            report((ll_clash){false, a, b, cut_into_part(&scene->part[a], &scene->part[b])}, room,
                   clashes, found);
    for (size_t c = 0; c < scene->coils; c++) {
        double x_m[LATTICE], y_m[LATTICE];
        find_lattice(&scene->coil[c].shape, x_m, y_m);
        for (size_t a = 0; a < scene->parts; a++)
            report(
                (ll_clash){true, a, c, cut_into_coil(&scene->part[a], &scene->coil[c], x_m, y_m)},
                room, clashes, found);
    }
    return LL_OK;
}

/* Whether a part of the scene fits where `moved` is. */
static bool fits(const ll_scene *scene, size_t index, const ll_part *moved)
{
    double x_m[LATTICE], y_m[LATTICE];
    for (size_t i = 0; i < scene->parts; i++)
        if (i != index && cut_into_part(moved, &scene->part[i]) > LL_SMALLEST_CUT_M)
            return false;
    for (size_t c = 0; c < scene->coils; c++) {
        find_lattice(&scene->coil[c].shape, x_m, y_m);
        if (cut_into_coil(moved, &scene->coil[c], x_m, y_m) > LL_SMALLEST_CUT_M)
            return false;
    }
    return true;
}

/* Step by step, lest a thin sheet is passed through, then in halves of the step that was too far. */
ll_status ll_scene_travel(const ll_scene *scene, size_t part, ll_vec3 way, double most_m,
                          double *travel_m)
{
    enum { STEPS = 10, HALVINGS = 5 };
    if (part >= scene->parts)
        return LL_NO_PART;
    if (!(most_m > 0) || !isfinite(most_m))
        return LL_BAD_VALUE;
    double far_m = 0, step_m = most_m / STEPS;
    bool closing = false;
    for (int halvings = 0; far_m < most_m * (1 - 1e-9) && halvings < HALVINGS;) {
        const ll_vec3 by_m = ll_scale(far_m + step_m, way);
        ll_part moved = scene->part[part];
        moved.pose.origin_m = ll_add(moved.pose.origin_m, by_m);
        for (size_t i = 0; i < moved.holes; i++)
            moved.hole[i].at_m = ll_add(moved.hole[i].at_m, by_m);
        const bool fine = fits(scene, part, &moved);
        far_m += fine ? step_m : 0;
        closing = closing || !fine;
        halvings += closing;
        step_m /= closing ? 2 : 1;
    }
    *travel_m = far_m;
    return LL_OK;
}
