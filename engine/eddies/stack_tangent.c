/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "eddies/stack_tangent.h"
#include "base/constants.h"
#include "magnetics/solution_data.h"

#include <math.h>
#include <stdlib.h>

/* Around the axis, and in each direction of a cell. */
enum { ANGLES = 6, CORNERS = 4 };

/* Relative permeability along r and z. */
typedef struct ll_flat_tensor {
    double rr, rz, zz;
} ll_flat_tensor;

struct ll_stack_tangent {
    const ll_solution *solution;
    ll_flat_tensor (
        *corner)[CORNERS]; /* [cells] at a cell's Gauss points of two in each direction */
    double *sigma;         /* [cells] */
};

/* ---- the law at a point ---- */

/* Of a steel whose curve bends, at the field h: B / H across h, dB / dH along it. */
static ll_tensor tangent_of(const ll_material *material, ll_vec3 h)
{
    const double size = ll_norm(h);
    double b, slope;
    ll_material_b(material, size, &b, &slope);
    const double along = slope / LL_MU0, across = size > 0 ? b / size / LL_MU0 : along;
    return (ll_tensor){across, along - across, size > 0 ? ll_scale(1 / size, h) : ll_vec(0, 0, 1)};
}

/* H in the tetrahedron of a part whose middle is nearest to a world point. */
static ll_vec3 nearest_h(const ll_solution *s, size_t part, ll_vec3 point_m)
{
    size_t region, best = 0;
    const ll_body *body = ll_system_body_of(s->system, part, &region);
    if (!body)
        return ll_vec(0, 0, 0);
    const ll_mesh *mesh = body->form->mesh;
    const ll_vec3 own = ll_to_own(&body->pose, point_m);
    double least = HUGE_VAL;
    for (size_t t = 0; t < mesh->tets; t++) {
        if ((size_t)mesh->owner[t] != region)
            continue;
        ll_vec3 middle = ll_vec(0, 0, 0);
        for (int k = 0; k < 4; k++)
            middle = ll_add(middle, ll_scale(0.25, mesh->node_m[mesh->tet[t][k]]));
        const double away = ll_norm(ll_sub(middle, own));
        if (away < least) {
            least = away;
            best = t;
        }
    }
    return ll_rotate(&body->pose.rotation, ll_body_h(body, best, s->bias.x + body->w));
}

static ll_vec3 bias_h(const ll_solution *s, size_t part, ll_vec3 point_m)
{
    if (!s->forms || !ll_form_solution_has(s->forms, part))
        return nearest_h(s, part, point_m);
    return ll_form_solution_h_inside(s->forms, part, point_m);
}

/* The mean around the axis at (r, z). */
static ll_flat_tensor mean_at(const ll_solution *s, const ll_pose *axis, size_t part, double r,
                              double z)
{
    const ll_material *material = s->scene->part[part].material;
    const double mu = ll_material_mu_r(material);
    if (ll_material_is_linear(material) || ll_material_kind(material) == LL_MAGNET)
        return (ll_flat_tensor){mu, 0, mu};
    ll_flat_tensor mean = {0, 0, 0};
    for (int k = 0; k < ANGLES; k++) {
        const double angle = 2 * LL_PI * (k + 0.25) / ANGLES, c = cos(angle), sine = sin(angle);
        const ll_vec3 at = ll_to_world(axis, ll_vec(r * c, r * sine, z));
        const ll_tensor t = tangent_of(material, bias_h(s, part, at));
        const ll_vec3 own = ll_rotate_back(&axis->rotation, t.axis);
        const double along_r = own.x * c + own.y * sine;
        mean.rr += (t.across + t.extra * along_r * along_r) / ANGLES;
        mean.rz += t.extra * along_r * own.z / ANGLES;
        mean.zz += (t.across + t.extra * own.z * own.z) / ANGLES;
    }
    return mean;
}

/* ---- over the cells ---- */

/* Gauss's two points, as shares of a cell. */
static const double share[2] = {0.21132486540518712, 0.78867513459481288};

ll_status ll_stack_tangent_new(const ll_solution *solution, const ll_pose *axis,
                               const ll_meridian *meridian, ll_stack_tangent **out)
{
    ll_stack_tangent *t = calloc(1, sizeof *t);
    if (!t)
        return LL_NO_MEMORY;
    t->solution = solution;
    t->corner = calloc(meridian->cells + 1, sizeof *t->corner);
    t->sigma = calloc(meridian->cells + 1, sizeof *t->sigma);
    if (!t->corner || !t->sigma) {
        ll_stack_tangent_free(t);
        return LL_NO_MEMORY;
    }
#pragma omp parallel for schedule(dynamic, 4)
    for (size_t i = 0; i < meridian->cells; i++) {
        const ll_cell *c = &meridian->cell[i];
        t->sigma[i] = ll_material_conductivity_s_m(solution->scene->part[c->region].material);
        for (int k = 0; k < CORNERS; k++)
            t->corner[i][k] =
                mean_at(solution, axis, c->region, c->r[0] + share[k % 2] * (c->r[1] - c->r[0]),
                        c->z[0] + share[k / 2] * (c->z[1] - c->z[0]));
    }
    *out = t;
    return LL_OK;
}

void ll_stack_tangent_free(ll_stack_tangent *t)
{
    if (!t)
        return;
    free(t->corner);
    free(t->sigma);
    free(t);
}

/* Bilinear through Gauss's points, but no further than they lie: a permeability stays positive. */
ll_filling ll_stack_tangent_at(const ll_stack_tangent *t, size_t cell, const ll_cell *c, double r,
                               double z)
{
    const double span = share[1] - share[0];
    const double u = fmin(1, fmax(0, ((r - c->r[0]) / (c->r[1] - c->r[0]) - share[0]) / span));
    const double v = fmin(1, fmax(0, ((z - c->z[0]) / (c->z[1] - c->z[0]) - share[0]) / span));
    ll_flat_tensor mu = {0, 0, 0};
    for (int k = 0; k < CORNERS; k++) {
        const double weight = (k % 2 ? u : 1 - u) * (k / 2 ? v : 1 - v);
        mu.rr += weight * t->corner[cell][k].rr;
        mu.rz += weight * t->corner[cell][k].rz;
        mu.zz += weight * t->corner[cell][k].zz;
    }
    const double d = mu.rr * mu.zz - mu.rz * mu.rz;
    return (ll_filling){mu.zz / d, -mu.rz / d, mu.rr / d, t->sigma[cell]};
}
