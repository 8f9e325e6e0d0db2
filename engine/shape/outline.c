/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shape/outline.h"
#include "base/constants.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Lengths of the mesh, as fractions of a solid's own. Found by comparing errors: docs/solver.md. */
enum { SIDES_OF_CIRCLE = 12 };
static const double growth = 2.5, coarse_fraction = 0.65, most_wide = 1.5;
enum { COARSE_PIECES = 12 };

static const double aligned = 1e-9;

/* In steps of two, so that from one mesh to the next their number grows nearly as the fineness does: only then do the values
 * of several meshes tell where they are going. Wide rings and discs have more, for the field beside them feels how far a side cuts
 * into the circle. */
size_t ll_outline_sides(const ll_prism *prism, const ll_sizing *sizing)
{
    const double wide = fmin(most_wide, sqrt(prism->radius / prism->scale));
    return 2 * (size_t)fmax(2, round(SIDES_OF_CIRCLE * wide * sizing->fineness / 2));
}

ll_grading ll_outline_grading(double scale_m, double length_m, double most_m,
                              const ll_sizing *sizing)
{
    const double usual = fmax(coarse_fraction * scale_m, length_m / COARSE_PIECES);
    const double coarse = most_m > 0 ? fmin(usual, most_m) : usual;
    return (ll_grading){LL_USUAL_EDGE * scale_m * sizing->edge / sizing->fineness,
                        pow(growth, 1 / sizing->fineness), coarse / sizing->fineness};
}

static bool along_z(const ll_rotation *r, int column)
{
    return fabs(fabs(r->m[2][column]) - 1) < aligned;
}

bool ll_outline_fits(const ll_shape *shape, const ll_rotation *r)
{
    if (shape->kind != LL_BLOCK)
        return along_z(r, 2);
    return along_z(r, 0) || along_z(r, 1) || along_z(r, 2);
}

static ll_prism rectangle(const ll_shape *shape, const ll_pose *pose)
{
    const double half[3] = {shape->size_m.x / 2, shape->size_m.y / 2, shape->size_m.z / 2};
    const ll_rotation *r = &pose->rotation;
    const int up = along_z(r, 0) ? 0 : along_z(r, 1) ? 1 : 2;
    const int side[2] = {(up + 1) % 3, (up + 2) % 3};
    ll_prism p = {.from_z = pose->origin_m.z - half[up],
                  .to_z = pose->origin_m.z + half[up],
                  .scale = fmin(half[0], fmin(half[1], half[2]))};
    for (int k = 0; k < 2; k++) {
        p.axis[k][0] = r->m[0][side[k]];
        p.axis[k][1] = r->m[1][side[k]];
        p.half[k] = half[side[k]];
    }
    /* Right-handed in the plane, whichever end of the block is up: the plan's triangles run counter-clockwise. */
    if (p.axis[0][0] * p.axis[1][1] - p.axis[0][1] * p.axis[1][0] < 0)
        for (int i = 0; i < 2; i++)
            p.axis[1][i] = -p.axis[1][i];
    return p;
}

static ll_prism cylinder(const ll_shape *shape, double radius, double hole, double from, double to)
{
    const double wall = hole > 0 ? (radius - hole) / 2 : radius;
    return (ll_prism){.radius = radius,
                      .hole_radius = hole,
                      .from_z = from,
                      .to_z = to,
                      .scale = fmin(wall, 0.5 * shape->size_m.z)};
}

int ll_outline_prisms(const ll_shape *shape, const ll_pose *pose, int owner, ll_prism out[2])
{
    const double z = pose->origin_m.z, half = shape->size_m.z / 2;
    int count = 1;
    if (shape->kind == LL_BLOCK)
        out[0] = rectangle(shape, pose);
    else if (shape->kind == LL_SCREW) {
        const double up = pose->rotation.m[2][2] > 0 ? 1 : -1;
        const double neck = z + up * (half - shape->head_height_m);
        const double foot = z - up * half, top = z + up * half;
        out[0] = cylinder(shape, shape->radius_m, 0, fmin(foot, neck), fmax(foot, neck));
        out[1] = cylinder(shape, shape->head_radius_m, 0, fmin(neck, top), fmax(neck, top));
        count = 2;
    } else
        out[0] = cylinder(shape, shape->radius_m,
                          shape->kind == LL_RING ? shape->inner_radius_m : 0, z - half, z + half);
    for (int k = 0; k < count; k++) {
        out[k].owner = owner;
        out[k].centre[0] = pose->origin_m.x;
        out[k].centre[1] = pose->origin_m.y;
    }
    return count;
}

void ll_drawing_clear(ll_drawing *drawing)
{
    ll_plan_clear(&drawing->plan);
    free(drawing->segment);
    drawing->segment = NULL;
    drawing->segments = 0;
}

static void add_segment(ll_drawing *d, size_t a, size_t b)
{
    d->segment[d->segments][0] = (int)a;
    d->segment[d->segments++][1] = (int)b;
}

static ll_status draw_round(const ll_prism *p, const ll_sizing *sizing, ll_drawing *d)
{
    const double hole = p->hole_radius;
    const double most_m = fmin(sizing->most_m.x, sizing->most_m.y);
    const ll_grading g = ll_outline_grading(p->scale, p->radius - hole, most_m, sizing);
    const size_t sides = ll_outline_sides(p, sizing);
    ll_steps radii = {0, NULL};
    ll_status status = ll_steps_add(&radii, hole, p->radius, hole > 0, 1, &g);
    if (!status)
        status = ll_plan_polar(&radii, sides, p->radius, &d->plan);
    ll_steps_clear(&radii);
    d->segment = status ? NULL : malloc(2 * sides * sizeof *d->segment);
    if (!d->segment)
        return status ? status : LL_NO_MEMORY;
    const size_t last = d->plan.nodes - sides;
    for (size_t k = 0; k < sides; k++) {
        add_segment(d, last + k, last + (k + 1) % sides);
        if (hole > 0)
            add_segment(d, k, (k + 1) % sides);
    }
    return LL_OK;
}

static ll_status draw_rectangle(const ll_prism *p, const ll_sizing *sizing, ll_drawing *d)
{
    ll_steps step[2] = {{0, NULL}, {0, NULL}};
    ll_status status = LL_OK;
    for (int k = 0; k < 2 && !status; k++) {
        const bool mostly_x = fabs(p->axis[k][0]) > fabs(p->axis[k][1]);
        const ll_grading g = ll_outline_grading(
            p->scale, 2 * p->half[k], mostly_x ? sizing->most_m.x : sizing->most_m.y, sizing);
        status = ll_steps_add(&step[k], -p->half[k], p->half[k], 1, 1, &g);
    }
    if (!status)
        status = ll_plan_grid(&step[0], &step[1], &d->plan);
    const size_t nx = step[0].count, ny = step[1].count;
    ll_steps_clear(&step[0]);
    ll_steps_clear(&step[1]);
    d->segment = status ? NULL : malloc(2 * (nx + ny) * sizeof *d->segment);
    if (!d->segment)
        return status ? status : LL_NO_MEMORY;
    for (size_t i = 0; i + 1 < nx; i++) {
        add_segment(d, i, i + 1);
        add_segment(d, (ny - 1) * nx + i, (ny - 1) * nx + i + 1);
    }
    for (size_t j = 0; j + 1 < ny; j++) {
        add_segment(d, j * nx, (j + 1) * nx);
        add_segment(d, j * nx + nx - 1, (j + 1) * nx + nx - 1);
    }
    for (size_t n = 0; n < d->plan.nodes; n++) {
        const double u = d->plan.node[n][0], v = d->plan.node[n][1];
        for (int k = 0; k < 2; k++)
            d->plan.node[n][k] = u * p->axis[0][k] + v * p->axis[1][k];
    }
    return LL_OK;
}

ll_status ll_outline_draw(const ll_prism *p, const ll_sizing *sizing, ll_drawing *out)
{
    memset(out, 0, sizeof *out);
    const ll_status status =
        p->radius > 0 ? draw_round(p, sizing, out) : draw_rectangle(p, sizing, out);
    if (status) {
        ll_drawing_clear(out);
        return status;
    }
    for (size_t n = 0; n < out->plan.nodes; n++)
        for (int k = 0; k < 2; k++)
            out->plan.node[n][k] += p->centre[k];
    return LL_OK;
}

/* Distance inside the sides of a regular polygon whose first corner stands at half a step. */
static double polygon_depth(double radius, size_t sides, double x, double y)
{
    const double step = 2 * LL_PI / (double)sides;
    const double apothem = radius * sqrt(step / sin(step)) * cos(step / 2);
    const double side = step * round(atan2(y, x) / step);
    return apothem - (x * cos(side) + y * sin(side));
}

double ll_outline_depth(const ll_prism *p, const ll_sizing *sizing, const double at[2])
{
    const double x = at[0] - p->centre[0], y = at[1] - p->centre[1];
    if (p->radius > 0) {
        const size_t sides = ll_outline_sides(p, sizing);
        const double in = polygon_depth(p->radius, sides, x, y);
        return p->hole_radius > 0 ? fmin(in, -polygon_depth(p->hole_radius, sides, x, y)) : in;
    }
    return fmin(p->half[0] - fabs(x * p->axis[0][0] + y * p->axis[0][1]),
                p->half[1] - fabs(x * p->axis[1][0] + y * p->axis[1][1]));
}
