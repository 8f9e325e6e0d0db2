/* Where a magnet works in its pickup: means of B and H over its volume.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "base/gauss.h"
#include "elements/interior.h"
#include "magnetics/solution_data.h"
#include "reading/readings.h"

#include <stdlib.h>

/* ---- by elements: a magnet whose law bends ---- */

/* Sums over the tetrahedra of one region, along its axis. */
static void sum_elements(const ll_body *body, size_t region, const double *w,
                         ll_operating_point *sum, double *volume)
{
    const ll_mesh *mesh = body->form->mesh;
    const ll_vec3 axis = body->region[region].axis;
    for (size_t t = 0; t < mesh->tets; t++) {
        if ((size_t)mesh->owner[t] != region)
            continue;
        ll_vec3 hat[4], b;
        const double v = ll_tet_hats(mesh, t, hat);
        const ll_vec3 h = ll_body_h(body, t, w);
        ll_body_law(body, t, h, &b, NULL);
        const double along = ll_dot(h, axis), lowest = body->lowest_h ? body->lowest_h[t] : along;
        sum->b_t += v * LL_MU0 * ll_dot(b, axis);
        sum->h_a_m += v * along;
        sum->lowest_h_a_m +=
            v * (body->region[region].charge < 0 ? fmax(along, lowest) : fmin(along, lowest));
        *volume += v;
    }
}

/* ---- by points: a straight law, of which B tells H ---- */

/* Gauss's points along each edge, or along radius and axis; around a circle as many at equal angles. */
enum { ALONG = 12, POINTS = ALONG * ALONG * ALONG };

typedef struct ll_rule {
    double node[ALONG], weight[ALONG]; /* over -1 to 1 */
} ll_rule;

/* The same of a tube from inner to outer radius, which may be solid, between two heights. */
static void fill_tube(const ll_rule *rule, const double radius_m[2], const double z_m[2],
                      ll_vec3 *at, double *weight)
{
    for (size_t k = 0; k < POINTS; k++) {
        const size_t i = k % ALONG, j = k / ALONG % ALONG, l = k / (ALONG * ALONG);
        const double half = 0.5 * (radius_m[1] - radius_m[0]), height = 0.5 * (z_m[1] - z_m[0]);
        const double r = radius_m[0] + half * (1 + rule->node[i]);
        const double angle = 2 * LL_PI * (double)j / ALONG;
        at[k] = ll_vec(r * cos(angle), r * sin(angle), z_m[0] + height * (1 + rule->node[l]));
        weight[k] = rule->weight[i] * rule->weight[l] * r * half * height;
    }
}

/* Points of a whole shape; returns how many. A screw is two solid tubes. */
static size_t fill_shape(const ll_rule *rule, const ll_shape *shape, ll_vec3 *at, double *weight)
{
    const double half = 0.5 * shape->size_m.z;
    const double neck = shape->kind == LL_SCREW ? half - shape->head_height_m : half;
    for (size_t k = 0; k < POINTS && shape->kind == LL_BLOCK; k++) {
        const size_t i = k % ALONG, j = k / ALONG % ALONG, l = k / (ALONG * ALONG);
        at[k] = ll_vec(0.5 * shape->size_m.x * rule->node[i], 0.5 * shape->size_m.y * rule->node[j],
                       half * rule->node[l]);
        weight[k] = rule->weight[i] * rule->weight[j] * rule->weight[l];
    }
    if (shape->kind != LL_BLOCK)
        fill_tube(rule, (double[]){shape->inner_radius_m, shape->radius_m}, (double[]){-half, neck},
                  at, weight);
    if (shape->kind != LL_SCREW)
        return POINTS;
    fill_tube(rule, (double[]){0, shape->head_radius_m}, (double[]){neck, half}, at + POINTS,
              weight + POINTS);
    return 2 * POINTS;
}

static ll_status by_points(const ll_solution *s, size_t index, ll_operating_point *out)
{
    const ll_part *part = &s->scene->part[index];
    const ll_vec3 axis = ll_scale(1 / ll_norm(part->north), part->north);
    ll_vec3 *at = calloc(4 * POINTS, sizeof *at); /* points, then B there */
    double *weight = malloc(2 * POINTS * sizeof *weight);
    ll_rule rule = {{0}, {0}};
    ll_status status = at && weight ? ll_gauss_points(ALONG, rule.node, rule.weight) : LL_NO_MEMORY;
    size_t n = 0;
    if (!status) {
        n = fill_shape(&rule, &part->shape, at, weight);
        for (size_t k = 0; k < n; k++)
            at[k] = ll_to_world(&part->pose, at[k]);
        status = ll_solution_b(s, n, at, at + n);
    }
    if (!status) {
        double sum = 0, all = 0;
        for (size_t k = 0; k < n; k++) {
            sum += weight[k] * ll_dot(at[n + k], axis);
            all += weight[k];
        }
        const double mean = sum / all;
        const double left = mean - part->charge * ll_material_remanence_t(part->material);
        const double h = left / (LL_MU0 * ll_material_mu_r(part->material));
        *out = (ll_operating_point){mean, h, h};
    }
    free(at);
    free(weight);
    return status;
}

ll_status ll_solution_operating_point(const ll_solution *s, size_t part, ll_operating_point *out)
{
    if (part >= s->scene->parts || ll_material_kind(s->scene->part[part].material) != LL_MAGNET)
        return LL_NO_PART;
    size_t region = 0;
    const ll_body *body = ll_system_body_of(s->system, part, &region);
    ll_operating_point point;
    if (s->forms && ll_form_solution_has(s->forms, part)) {
        double mean[3];
        const ll_status status = ll_form_solution_operating_point(s->forms, part, mean);
        if (status)
            return status;
        point = (ll_operating_point){mean[0], mean[1], mean[2]};
    } else if (body && body->kind != LL_CHARGES) {
        ll_operating_point sum = {0, 0, 0};
        double volume = 0;
        sum_elements(body, region, s->bias.x + body->w, &sum, &volume);
        point =
            (ll_operating_point){sum.b_t / volume, sum.h_a_m / volume, sum.lowest_h_a_m / volume};
    } else {
        const ll_status status = by_points(s, part, &point);
        if (status)
            return status;
    }
    const double sign = s->scene->part[part].charge < 0 ? -1 : 1;
    *out = (ll_operating_point){sign * point.b_t, sign * point.h_a_m, sign * point.lowest_h_a_m};
    return LL_OK;
}
