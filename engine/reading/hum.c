/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "reading/hum.h"
#include "base/constants.h"
#include "base/dense.h"
#include "magnetics/solution_data.h"
#include "magnetics/system_data.h"

#include <math.h>
#include <stdlib.h>

static ll_vec3 gradient_part(const ll_outside_field *f, ll_vec3 r)
{
    const double(*g)[3] = f->gradient_a_m2;
    return ll_vec(g[0][0] * r.x + g[0][1] * r.y + g[0][2] * r.z,
                  g[1][0] * r.x + g[1][1] * r.y + g[1][2] * r.z,
                  g[2][0] * r.x + g[2][1] * r.y + g[2][2] * r.z);
}

static ll_vec3 field_at(const ll_outside_field *f, ll_vec3 at_m)
{
    return ll_add(f->even_a_m, gradient_part(f, ll_sub(at_m, f->about_m)));
}

/* H = -grad psi. */
static double potential_at(const ll_outside_field *f, ll_vec3 at_m)
{
    const ll_vec3 r = ll_sub(at_m, f->about_m);
    return -ll_dot(f->even_a_m, r) - 0.5 * ll_dot(r, gradient_part(f, r));
}

/* Area of the turn at a depth into the winding, and the mean over all: it is quadratic in the depth. */
static double area_at(const ll_coil_shape *c, double depth_m)
{
    const double x = c->opening_x_m + 2 * depth_m, y = c->opening_y_m + 2 * depth_m;
    const double corner = c->corner_m + depth_m;
    return x * y - (4 - LL_PI) * corner * corner;
}

/* What one body adds to weight . x. */
static ll_status add_body(const ll_solution *s, size_t b, const ll_outside_field *field,
                          double *weight)
{
    const ll_body *body = ll_system_body(s->system, b);
    const size_t n = LL_TEST_POINTS * body->form->mesh->triangles;
    ll_vec3 *at = malloc(n * sizeof *at), *h = malloc(n * sizeof *h);
    double *psi = malloc(n * sizeof *psi);
    const ll_status status = at && h && psi ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        ll_body_to_world(body, n, body->form->test_m, at);
        for (size_t i = 0; i < n; i++) {
            psi[i] = potential_at(field, at[i]);
            h[i] = field_at(field, at[i]);
        }
        ll_linkage_weights(body, h, psi, weight);
    }
    free(at);
    free(h);
    free(psi);
    return status;
}

static ll_status field_at_body(void *context, const ll_part *part, size_t n,
                               const ll_vec3 *points_m, double *psi, ll_vec3 *h_a_m)
{
    (void)part;
    for (size_t i = 0; i < n; i++) {
        psi[i] = potential_at(context, points_m[i]);
        h_a_m[i] = field_at(context, points_m[i]);
    }
    return LL_OK;
}

/* weight . x of all bodies. */
static ll_status added_by_bodies(const ll_solution *s, size_t coil, const ll_outside_field *field,
                                 double *sum)
{
    if (s->forms) {
        const ll_form_source source = {field_at_body, (void *)field, false};
        return ll_form_solution_linkage(s->forms, &s->forms->coil[coil], &source, sum);
    }
    const size_t n = ll_system_unknowns(s->system);
    double *weight = calloc(n + 1, sizeof *weight);
    ll_status status = weight ? LL_OK : LL_NO_MEMORY;
    for (size_t b = 0; b < ll_system_bodies(s->system) && !status; b++)
        status = add_body(s, b, field, weight);
    if (!status)
        *sum = ll_dense_dot(n, weight, s->coil[coil].x);
    free(weight);
    return status;
}

ll_status ll_hum_linkage(const ll_solution *s, size_t coil, const ll_outside_field *field,
                         double *linkage_wb)
{
    if (coil >= s->scene->coils)
        return LL_NO_COIL;
    const ll_coil *c = &s->scene->coil[coil];
    double added;
    ll_status status = ll_coil_answered(s, coil);
    if (!status)
        status = added_by_bodies(s, coil, field, &added);
    if (!status) {
        const ll_vec3 axis = ll_rotate(&c->pose.rotation, ll_vec(0, 0, 1));
        const double build_m = c->shape.build_m;
        const double mean_m2 = (area_at(&c->shape, 0) + 4 * area_at(&c->shape, build_m / 2) +
                                area_at(&c->shape, build_m)) /
                               6;
        *linkage_wb =
            LL_MU0 * (c->turns * mean_m2 * ll_dot(axis, field_at(field, c->pose.origin_m)) + added);
    }
    return status;
}

ll_outside_field ll_hum_field(size_t k, double strength_a_m, double grows_over_m, ll_vec3 about_m)
{
    const double h = strength_a_m, g = h / grows_over_m;
    const size_t d = k % LL_HUM_DIRECTIONS;
    ll_outside_field f = {.about_m = about_m};
    if (k < LL_HUM_DIRECTIONS) {
        f.even_a_m = ll_vec(d == 0 ? h : 0, d == 1 ? h : 0, d == 2 ? h : 0);
    } else if (d == 2) {
        f.gradient_a_m2[2][2] = g;
        f.gradient_a_m2[0][0] = f.gradient_a_m2[1][1] = -g / 2;
    } else {
        f.gradient_a_m2[2][d] = f.gradient_a_m2[d][2] = g;
    }
    return f;
}

ll_status ll_hum_linkages(const ll_solution *s, double strength_a_m, double grows_over_m,
                          ll_vec3 about_m, double *linkage_wb)
{
    const size_t coils = s->scene->coils;
    ll_status status = coils ? LL_OK : LL_NO_COIL;
    for (size_t k = 0; k < LL_HUM_FIELDS * coils && !status; k++) {
        const ll_outside_field field = ll_hum_field(k / coils, strength_a_m, grows_over_m, about_m);
        status = ll_hum_linkage(s, k % coils, &field, &linkage_wb[k]);
    }
    return status;
}

double ll_hum_taken(size_t coils, const double *share, const double *linkage_wb)
{
    double squares = 0;
    for (size_t k = 0; k < LL_HUM_FIELDS; k++) {
        const double sum = ll_dense_dot(coils, share, linkage_wb + k * coils);
        squares += sum * sum;
    }
    return sqrt(squares);
}
