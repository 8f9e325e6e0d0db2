/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/form.h"
#include "base/cache_kind.h"
#include "base/constants.h"
#include "base/factor.h"
#include "base/pose_key.h"
#include "elements/form_layers.h"
#include "shape/shape_key.h"

#include <stdlib.h>
#include <string.h>

/* Exact for quadratics; the points keep clear of edges, where the layers are singular. */
const double ll_test_weight[LL_TEST_POINTS][3] = {
    {2.0 / 3, 1.0 / 6, 1.0 / 6}, {1.0 / 6, 2.0 / 3, 1.0 / 6}, {1.0 / 6, 1.0 / 6, 2.0 / 3}};

void ll_form_add_flux(const ll_form *form, const double *lambda, double *node)
{
    for (size_t t = 0; t < form->mesh->triangles; t++) {
        const int *c = form->mesh->corner[t], *v = form->mesh->triangle[t];
        const double share = ll_panels_area(form->panels, t) / 12;
        const double sum = lambda[c[0]] + lambda[c[1]] + lambda[c[2]];
        for (int k = 0; k < 3; k++)
            node[v[k]] += share * (sum + lambda[c[k]]);
    }
}

void ll_form_add_mass(const ll_form *form, const double *w, double *corner)
{
    for (size_t t = 0; t < form->mesh->triangles; t++) {
        const int *c = form->mesh->corner[t], *v = form->mesh->triangle[t];
        const double share = ll_panels_area(form->panels, t) / 12;
        const double sum = w[v[0]] + w[v[1]] + w[v[2]];
        for (int k = 0; k < 3; k++)
            corner[c[k]] += share * (sum + w[v[k]]);
    }
}

void ll_form_test(const ll_form *form, const double *f, double *corner)
{
    memset(corner, 0, form->mesh->corners * sizeof *corner);
    for (size_t t = 0; t < form->mesh->triangles; t++) {
        const double share = ll_panels_area(form->panels, t) / LL_TEST_POINTS;
        for (int p = 0; p < LL_TEST_POINTS; p++)
            for (int k = 0; k < 3; k++)
                corner[form->mesh->corner[t][k]] +=
                    share * ll_test_weight[p][k] * f[LL_TEST_POINTS * t + (size_t)p];
    }
}

/* jump = mass / 2 - double layer, in place. */
static void add_jump(const ll_form *form)
{
    const size_t ns = form->mesh->surface_nodes;
    for (size_t k = 0; k < form->mesh->corners * ns; k++)
        form->jump[k] = -form->jump[k];
    for (size_t t = 0; t < form->mesh->triangles; t++) {
        const double share = ll_panels_area(form->panels, t) / 24;
        for (int a = 0; a < 3; a++)
            for (int k = 0; k < 3; k++)
                form->jump[ns * (size_t)form->mesh->corner[t][a] +
                           (size_t)form->mesh->triangle[t][k]] += share * (a == k ? 2 : 1);
    }
}

/* The outer rule leaves a small skew part; the operator itself has none. */
static void symmetrise(double *m, size_t n)
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++)
            m[i * n + j] = m[j * n + i] = 0.5 * (m[i * n + j] + m[j * n + i]);
}

/* Test points, and where each unknown sits when seen from afar. */
static void place_points(ll_form *form)
{
    const ll_mesh *mesh = form->mesh;
    double area = 0;
    for (size_t t = 0; t < mesh->triangles; t++) {
        ll_vec3 v[3], sum = {0};
        for (int k = 0; k < 3; k++) {
            v[k] = mesh->node_m[mesh->triangle[t][k]];
            sum = ll_add(sum, v[k]);
        }
        for (int p = 0; p < LL_TEST_POINTS; p++)
            form->test_m[LL_TEST_POINTS * t + (size_t)p] =
                ll_add(ll_scale(1.0 / 6, sum), ll_scale(0.5, v[p]));
        const double a = ll_panels_area(form->panels, t);
        const ll_vec3 n = ll_panels_normal(form->panels, t);
        area += a;
        for (int k = 0; k < 3; k++) {
            /* First moment of a hat over its triangle: (2 own + the other two) / 4 times its integral. */
            const ll_vec3 moment = ll_scale(a / 12, ll_add(sum, v[k]));
            const int c = mesh->corner[t][k], s = mesh->triangle[t][k];
            form->charge.weight[c] += a / 3;
            form->charge.at_m[c] = ll_add(form->charge.at_m[c], moment);
            form->dipole.weight[s] += a / 3;
            form->dipole.at_m[s] = ll_add(form->dipole.at_m[s], moment);
            form->dipole.moment[s] = ll_add(form->dipole.moment[s], ll_scale(a / 3, n));
        }
    }
    for (size_t i = 0; i < form->charge.count; i++)
        form->charge.at_m[i] = ll_scale(1 / form->charge.weight[i], form->charge.at_m[i]);
    for (size_t i = 0; i < form->dipole.count; i++)
        form->dipole.at_m[i] = ll_scale(1 / form->dipole.weight[i], form->dipole.at_m[i]);
    form->size_m = sqrt(area / (4 * LL_PI));
}

static void form_free(void *thing)
{
    ll_form *form = thing;
    free(form->shape);
    free(form->pose);
    ll_mesh_free(form->mesh);
    ll_panels_free(form->panels);
    free(form->test_m);
    free(form->single);
    free(form->jump);
    free(form->factor);
    free(form->charge.at_m);
    free(form->charge.weight);
    free(form->dipole.at_m);
    free(form->dipole.weight);
    free(form->dipole.moment);
    free(form);
}

static ll_status allocate(ll_form *form)
{
    const size_t nc = form->mesh->corners, ns = form->mesh->surface_nodes;
    form->test_m = malloc(LL_TEST_POINTS * form->mesh->triangles * sizeof *form->test_m);
    form->single = malloc(nc * nc * sizeof *form->single);
    form->factor = malloc(nc * nc * sizeof *form->factor);
    form->jump = malloc(nc * ns * sizeof *form->jump);
    form->charge = (ll_far){nc, calloc(nc, sizeof(ll_vec3)), calloc(nc, sizeof(double)), NULL};
    form->dipole = (ll_far){ns, calloc(ns, sizeof(ll_vec3)), calloc(ns, sizeof(double)),
                            calloc(ns, sizeof(ll_vec3))};
    form->bytes = (2 * nc * nc + nc * ns) * sizeof(double) + form->mesh->tets * sizeof(int[4]);
    return form->test_m && form->single && form->factor && form->jump && form->charge.at_m &&
                   form->charge.weight && form->dipole.at_m && form->dipole.weight &&
                   form->dipole.moment
               ? LL_OK
               : LL_NO_MEMORY;
}

static ll_status copy_shapes(ll_form *form, size_t shapes, const ll_shape *shape,
                             const ll_pose *pose)
{
    form->shapes = shapes;
    form->shape = malloc((shapes + 1) * sizeof *form->shape);
    form->pose = malloc((shapes + 1) * sizeof *form->pose);
    if (!form->shape || !form->pose)
        return LL_NO_MEMORY;
    memcpy(form->shape, shape, shapes * sizeof *shape);
    memcpy(form->pose, pose, shapes * sizeof *pose);
    return LL_OK;
}

static ll_status form_new(size_t shapes, const ll_shape *shape, const ll_pose *pose,
                          const ll_sizing *sizing, ll_form **out)
{
    ll_form *form = calloc(1, sizeof *form);
    if (!form)
        return LL_NO_MEMORY;
    ll_shared_begin(&form->shared, form_free);
    form->serial = ll_cache_serial();
    ll_status status = copy_shapes(form, shapes, shape, pose);
    if (!status)
        status = ll_mesh_new(shapes, shape, pose, sizing, &form->mesh);
    if (!status)
        status = ll_panels_new(form->mesh->triangles, (const int(*)[3])form->mesh->triangle,
                               form->mesh->node_m, &form->panels);
    if (!status)
        status = allocate(form);
    if (!status) {
        place_points(form);
        static const ll_pose in_place = {{{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}, {0, 0, 0}};
        status = ll_layers_test(form, &in_place, form, &in_place, 0, form->single, form->jump);
    }
    if (!status) {
        add_jump(form);
        symmetrise(form->single, form->mesh->corners);
        memcpy(form->factor, form->single,
               form->mesh->corners * form->mesh->corners * sizeof *form->single);
        status = ll_factorise(form->mesh->corners, form->factor);
    }
    if (status)
        form_free(form);
    else
        *out = form;
    return status;
}

static size_t bytes_of(const void *thing)
{
    return ((const ll_form *)thing)->bytes;
}

static const ll_cache_kind forms = {bytes_of};

ll_status ll_form_get(size_t shapes, const ll_shape *shape, const ll_pose *pose,
                      const ll_sizing *sizing, const ll_form **out)
{
    ll_key key = {0};
    ll_key_add_members(&key, &ll_sizing_members, sizing);
    for (size_t k = 0; k < shapes; k++) {
        ll_key_add_members(&key, &ll_shape_members, &shape[k]);
        ll_key_add_members(&key, &ll_pose_members, &pose[k]);
    }
    ll_form *form = ll_cache_find(&forms, &key);
    ll_status status = LL_OK;
    if (!form) {
        status = form_new(shapes, shape, pose, sizing, &form);
        form = status ? NULL : ll_cache_keep(&forms, &key, form);
    }
    if (!status)
        *out = form;
    ll_key_clear(&key);
    return status;
}
