/* Which parts cut into which, or into a winding.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "magnetics/body.h"
#include "magnetics/scene_data.h"

static const double smallest_cut_m = 1e-6;

/* Signed distance from a rectangle with rounded corners in the plane, negative inside. */
static double rounded_rectangle(double x, double y, double half_x, double half_y, double corner)
{
    const double dx = fabs(x) - half_x + corner, dy = fabs(y) - half_y + corner;
    const double outside = hypot(fmax(dx, 0), fmax(dy, 0));
    return outside + fmin(fmax(dx, dy), 0) - corner;
}

static double from_hole(const ll_coil_shape *c, ll_vec3 own)
{
    return rounded_rectangle(own.x, own.y, c->opening_x_m / 2, c->opening_y_m / 2, c->corner_m);
}

double ll_coil_winding_depth_m(const ll_coil *coil, ll_vec3 point_m)
{
    const ll_vec3 own = ll_to_own(&coil->pose, point_m);
    const double inner = from_hole(&coil->shape, own);
    const double radial = fmin(inner, coil->shape.build_m - inner);
    return fmin(radial, coil->shape.height_m / 2 - fabs(own.z));
}

bool ll_coil_hole_holds(const ll_coil *coil, ll_vec3 point_m)
{
    const ll_vec3 own = ll_to_own(&coil->pose, point_m);
    return from_hole(&coil->shape, own) < coil->shape.build_m / 2 &&
           fabs(own.z) < coil->shape.height_m / 2;
}

/* How far a ray from the coil's axis runs until it meets the winding's layer that has grown by `grow` from the hole. */
static double ray_length(const ll_coil_shape *c, double cosine, double sine, double grow)
{
    const double hx = c->opening_x_m / 2 + grow, hy = c->opening_y_m / 2 + grow;
    double near = 0, far = hx + hy;
    for (int k = 0; k < 40; k++) {
        const double mid = 0.5 * (near + far);
        const double d = rounded_rectangle(mid * cosine, mid * sine, hx, hy, c->corner_m + grow);
        *(d < 0 ? &near : &far) = mid;
    }
    return near;
}

/* The deepest that a part reaches into a winding, seen at points of a lattice through the winding's cross-section all
 * around. */
static double cut_into_coil(const ll_part *part, const ll_coil *coil)
{
    enum { AROUND = 240, ACROSS = 6, ALONG = 12 };
    const ll_coil_shape *c = &coil->shape;
    double deepest = -1;
    for (int k = 0; k < AROUND * (ACROSS + 1); k++) {
        const double angle = 2 * LL_PI * (k % AROUND) / AROUND;
        const double cosine = cos(angle), sine = sin(angle);
        const double r = ray_length(c, cosine, sine, c->build_m * (k / AROUND) / (double)ACROSS);
        for (int z = 0; z <= ALONG; z++) {
            const ll_vec3 own =
                ll_vec(r * cosine, r * sine, c->height_m * ((double)z / ALONG - 0.5));
            const ll_vec3 at = ll_to_own(&part->pose, ll_to_world(&coil->pose, own));
            deepest = fmax(deepest, ll_shape_depth_m(&part->shape, at));
        }
    }
    return deepest;
}

static bool is_steel(const ll_part *part)
{
    return ll_material_kind(part->material) == LL_STEEL;
}

static void report(ll_clash clash, size_t room, ll_clash *clashes, size_t *found)
{
    if (clash.depth_m <= smallest_cut_m)
        return;
    if (*found < room)
        clashes[*found] = clash;
    ++*found;
}

ll_status ll_scene_check(const ll_scene *scene, size_t room, ll_clash *clashes, size_t *found)
{
    *found = 0;
    for (size_t a = 0; a < scene->parts; a++) {
        const ll_part *p = &scene->part[a];
        for (size_t b = a + 1; b < scene->parts; b++) {
            const ll_part *q = &scene->part[b];
            if (is_steel(p) && is_steel(q) && ll_parts_can_join(p, q))
                continue;
            const double depth = ll_shape_overlap_m(&p->shape, &p->pose, &q->shape, &q->pose);
            report((ll_clash){false, a, b, depth}, room, clashes, found);
        }
        for (size_t c = 0; c < scene->coils; c++)
            report((ll_clash){true, a, c, cut_into_coil(p, &scene->coil[c])}, room, clashes, found);
    }
    return LL_OK;
}
