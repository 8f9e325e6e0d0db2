/* bench_forms.c - what bodies of revolution of higher degree cost and give; prints, judges nothing.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "elements/forms_field.h"
#include "magnetics/form_scene.h"
#include "magnetics/form_system.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double cpu_ms(void)
{
    return 1e3 * (double)clock() / CLOCKS_PER_SEC;
}

/* A row of rods of AlNiCo 5, their upper ends at z = 0. */
static ll_scene *rods(int count, double pitch_m, double drop_m)
{
    ll_scene *scene;
    ll_material *alnico;
    ll_shape shape;
    assert_ok(ll_scene_new(&scene));
    assert_ok(ll_material_named("AlNiCo 5", &alnico));
    assert_ok(ll_shape_rod(4.8e-3, 17e-3, &shape));
    for (int i = 0; i < count; i++) {
        const ll_vec3 at = ll_vec((i - 0.5 * (count - 1)) * pitch_m, 0, -8.5e-3 - (i % 2) * drop_m);
        const ll_part part = {.name = "rod",
                              .shape = shape,
                              .pose = ll_pose_at(at),
                              .material = alnico,
                              .north = ll_vec(0, 0, 1),
                              .charge = 1};
        assert_ok(ll_scene_add_part(scene, &part));
    }
    ll_material_free(alnico);
    return scene;
}

static ll_status nothing(void *context, size_t b, size_t n, const ll_vec3 *points_m, double *psi)
{
    (void)context, (void)b, (void)points_m;
    memset(psi, 0, n * sizeof *psi);
    return LL_OK;
}

static ll_form_system *build(const ll_scene *scene, int level, int finer)
{
    const ll_form_choice choice = {.level = level, .finer = finer};
    ll_form_body *body;
    size_t count, body_of[16];
    ll_form_system *s;
    assert_ok(ll_form_scene_bodies(scene, &choice, &body, &count, body_of));
    assert_ok(ll_form_system_new(count, body, &s));
    return s;
}

static void read_field(const ll_form_system *s, const double *x, size_t n, const ll_vec3 *at,
                       double *bz_mt)
{
    double *layers = ll_coupled_forms_layers(s->forms, x);
    ll_vec3 h[16] = {{0, 0, 0}};
    ll_coupled_forms_add_h(s->forms, layers, n, at, h);
    for (size_t i = 0; i < n; i++)
        bz_mt[i] = 1e3 * LL_MU0 * h[i].z;
    free(layers);
}

static void raise(const ll_form_system *low, const double *x, const ll_form_system *high, double *X)
{
    for (size_t b = 0; b < low->count; b++)
        low->body[b].placed.form->kind->raise(low->body[b].placed.form, x + low->forms->start[b],
                                              high->body[b].placed.form, X + high->forms->start[b]);
}

static void run(const char *name, const ll_scene *scene, size_t n, const ll_vec3 *at, int levels,
                int finer)
{
    ll_form_system *before = NULL;
    double *x_before = NULL, last[16];
    printf("%s\n", name);
    for (int level = 0; level < levels; level++) {
        const double start = cpu_ms();
        ll_form_system *s = build(scene, level, finer);
        const double built = cpu_ms();
        size_t steps, newton;
        double *x = calloc(s->forms->unknowns, sizeof *x), bz[16], worst = 0, largest = 0;
        if (before)
            raise(before, x_before, s, x);
        const ll_status status = ll_form_system_bias(s, nothing, NULL, x, &steps, &newton);
        const double solved = cpu_ms();
        read_field(s, x, n, at, bz);
        const double read = cpu_ms();
        printf("  degree %d, %zu unknowns: forms and pairs %.1f ms, Newton %.1f ms "
               "(%zu steps, %zu products, status %d), %zu readings %.1f ms\n   ",
               level + 2, s->forms->unknowns, built - start, solved - built, newton, steps,
               (int)status, n, read - solved);
        for (size_t i = 0; i < n; i++) {
            printf(" %.4f", bz[i]);
            worst = fmax(worst, before ? fabs(bz[i] - last[i]) : 0);
            largest = fmax(largest, fabs(bz[i]));
            last[i] = bz[i];
        }
        printf("  (changed by %.4f %%)\n", 100 * worst / largest);
        if (before)
            ll_form_system_free(before);
        free(x_before);
        before = s;
        x_before = x;
    }
    ll_form_system_free(before);
    free(x_before);
}

int main(void)
{
    const ll_vec3 over_one[] = {{0, 0, 0.5e-3}, {0, 0, 1e-3}, {0, 0, 1.5e-3},
                                {0, 0, 2e-3},   {0, 0, 3e-3}, {0, 0, 5e-3}};
    const ll_vec3 over_six[] = {{5.2e-3, 0, 1e-3},  {5.2e-3, 0, 1.5e-3}, {5.2e-3, 0, 2e-3},
                                {5.2e-3, 0, 3e-3},  {5.2e-3, 0, 5e-3},   {26e-3, 0, 1e-3},
                                {26e-3, 0, 1.5e-3}, {26e-3, 0, 2e-3},    {26e-3, 0, 3e-3},
                                {26e-3, 0, 5e-3},   {0, 0, 1.5e-3},      {5.2e-3, 2.4e-3, 1.5e-3}};
    ll_scene *one = rods(1, 0, 0), *six = rods(6, 10.4e-3, 0), *near = rods(4, 5.8e-3, 1e-3);
    run("one rod of AlNiCo 5, 4.8 x 17 mm; FreeFEM 141.012 122.028 101.981 83.7644 56.2076 27.7477",
        one, 6, over_one, 4, 0);
    run("six of them, pitch 10.4 mm; 96.2263 81.0459 67.1902 46.3669 25.3358 108.0308 90.5817 "
        "74.6787 50.6773 26.1319 19.2221 59.2998",
        six, 12, over_six, 3, 0);
    run("the same, the forms kept", six, 12, over_six, 3, 0);
    run("the same, more points in every rule", six, 12, over_six, 3, 2);
    run("four, 1 mm apart, staggered by 1 mm", near, 6, over_one, 3, 0);
    run("the same, more points in every rule", near, 6, over_one, 2, 2);
    ll_scene_free(one);
    ll_scene_free(six);
    ll_scene_free(near);
    return 0;
}
