/* bench_blocks.c - what blocks of higher degree cost and give, beside the prototypes' figures; prints, judges nothing.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "field/source.h"
#include "magnetics/form_solution.h"
#include "scene/scene.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { POINTS_MOST = 16 };

static double cpu_ms(void)
{
    return 1e3 * (double)clock() / CLOCKS_PER_SEC;
}

static ll_vec3 mm(double x, double y, double z)
{
    return ll_vec(1e-3 * x, 1e-3 * y, 1e-3 * z);
}

static ll_material *named(const char *name)
{
    ll_material *m;
    assert_ok(ll_material_named(name, &m));
    return m;
}

static ll_material *magnet(double br_t)
{
    ll_material *m;
    assert_ok(ll_material_magnet(br_t, 1, 0, &m));
    return m;
}

/* Takes the material. */
static void add(ll_scene *scene, const ll_shape *shape, ll_vec3 at, ll_material *material,
                ll_vec3 north)
{
    const ll_part part = {.name = "part",
                          .shape = *shape,
                          .pose = ll_pose_at(at),
                          .material = material,
                          .north = north,
                          .charge = 1};
    assert_ok(ll_scene_add_part(scene, &part));
    ll_material_free(material);
}

static void add_block(ll_scene *scene, ll_vec3 size, ll_vec3 at, ll_material *material,
                      ll_vec3 north)
{
    ll_shape block;
    assert_ok(ll_shape_block(size, &block));
    add(scene, &block, at, material, north);
}

static void read_field(const ll_scene *scene, const ll_form_solution *s, size_t n,
                       const ll_vec3 *at, double *bz_mt)
{
    ll_vec3 h[POINTS_MOST] = {{0, 0, 0}}, one[POINTS_MOST];
    ll_form_solution_add_h(s, &s->bias, n, at, h);
    for (size_t p = 0; p < ll_scene_part_count(scene); p++) {
        const ll_part *part = ll_scene_part(scene, p);
        if (ll_form_solution_has(s, p) || ll_material_kind(part->material) != LL_MAGNET)
            continue;
        const double m = ll_material_remanence_t(part->material) / LL_MU0;
        assert_ok(ll_magnet_h(&part->shape, &part->pose, ll_scale(m, part->north), n, at, one));
        for (size_t i = 0; i < n; i++)
            h[i] = ll_add(h[i], one[i]);
    }
    for (size_t i = 0; i < n; i++)
        bz_mt[i] = 1e3 * LL_MU0 * h[i].z;
}

static void run(const char *name, ll_scene *scene, size_t n, const ll_vec3 *at, int levels,
                int finer)
{
    ll_form_solution *before = NULL;
    double last[POINTS_MOST];
    printf("%s\n", name);
    for (int level = 0; level < levels; level++) {
        const ll_form_choice choice = {.level = level, .finer = finer};
        double bz[POINTS_MOST], worst = 0, largest = 0;
        const double start = cpu_ms();
        ll_form_solution *s;
        const ll_status status = ll_form_solution_new(scene, &choice, 0, NULL, before, &s);
        if (status) {
            printf("  status %d\n", (int)status);
            break;
        }
        const double solved = cpu_ms();
        read_field(scene, s, n, at, bz);
        printf(
            "  degree %d, %zu unknowns: %.1f ms (%zu steps of Newton, %zu products, %.1f MB), %zu "
            "readings %.1f ms\n   ",
            level + 2, s->system->forms->unknowns, solved - start, s->newton_steps, s->products,
            1e-6 * (double)ll_form_solution_bytes(s), n, cpu_ms() - solved);
        for (size_t i = 0; i < n; i++) {
            printf(" %.4f", bz[i]);
            worst = fmax(worst, before ? fabs(bz[i] - last[i]) : 0);
            largest = fmax(largest, fabs(bz[i]));
            last[i] = bz[i];
        }
        printf("  (changed by %.4f %%)\n", 100 * worst / largest);
        ll_release(before);
        before = s;
    }
    ll_release(before);
    ll_scene_free(scene);
}

static ll_scene *scene_new(void)
{
    ll_scene *scene;
    assert_ok(ll_scene_new(&scene));
    return scene;
}

static void run_blade_by(int finer)
{
    ll_scene *scene = scene_new();
    add_block(scene, mm(60, 2.5, 14), mm(0, 0, -7), named("steel 1018"), mm(0, 0, 0));
    add_block(scene, mm(60, 12, 5), mm(0, 0, -17), magnet(0.38), ll_vec(0, 0, 1));
    const ll_vec3 at[] = {mm(0, 0, 0.5), mm(0, 0, 1),    mm(0, 0, 2),  mm(0, 0, 3),  mm(0, 0, 5),
                          mm(25, 0, 2),  mm(29.5, 0, 2), mm(0, 5, -4), mm(31, 0, -7)};
    run("blade over a bar magnet; prototype, degree 4: 37.6007 33.4914 25.7516 20.5681 14.5851",
        scene, 9, at, 3, finer);
}

static void run_blade(void)
{
    run_blade_by(0);
}

static void run_finer_blade(void)
{
    run_blade_by(2);
}

static void run_plate(void)
{
    ll_scene *scene = scene_new();
    add_block(scene, mm(60, 20, 0.4), mm(0, 0, -0.2), named("steel 1018"), mm(0, 0, 0));
    add_block(scene, mm(60, 12, 5), mm(0, 0, 3), magnet(0.38), ll_vec(0, 0, 1));
    const ll_vec3 at[] = {mm(0, 0, -0.9),  mm(0, 0, -1.4), mm(0, 0, -2.4),  mm(0, 0, -5.4),
                          mm(20, 0, -1.4), mm(0, 8, -1.4), mm(0, 12, -1.4), mm(0, 0, 7.5)};
    run("plate 0.4 mm thick under a magnet, the leak behind it; prototype, degree 4: 19.5145 "
        "19.2403 "
        "18.5276",
        scene, 8, at, 3, 0);
}

static void run_lap_steel(void)
{
    ll_scene *scene = scene_new();
    add_block(scene, mm(76, 3, 20), mm(0, 0, -8), named("steel 1018"), mm(0, 0, 0));
    for (int k = 0; k < 2; k++)
        add_block(scene, mm(36, 12.5, 4), mm(k ? 19 : -19, -8, -15), named("AlNiCo 5"),
                  ll_vec(0, 1, 0));
    add_block(scene, mm(76, 10, 4), mm(0, 6.75, -15), magnet(0.385), ll_vec(0, -1, 0));
    ll_vec3 at[9];
    for (int i = 0; i < 8; i++)
        at[i] = mm((i - 3.5) * 9.5, 0, 5.5);
    at[8] = mm(14.25, 0, 3);
    run("lap steel: blade, two bars of AlNiCo 5, ferrite; prototype, finest: 24.616 22.928 22.437 "
        "22.306",
        scene, 9, at, 2, 0);
}

static void run_rods_and_bars(void)
{
    ll_scene *scene = scene_new();
    ll_shape rod;
    assert_ok(ll_shape_rod(4.9e-3, 18e-3, &rod));
    for (int i = 0; i < 6; i++)
        add(scene, &rod, mm((i - 2.5) * 10.2, 0, -9), named("steel 1018"), mm(0, 0, 0));
    for (int k = 0; k < 2; k++)
        add_block(scene, mm(62, 12.5, 3.2), mm(0, (k ? -1 : 1) * (2.45 + 0.3 + 6.25), -16.4),
                  named("AlNiCo 5"), ll_vec(0, k ? 1 : -1, 0));
    const ll_vec3 at[] = {mm(5.1, 0, 0.5), mm(5.1, 0, 1),  mm(5.1, 0, 3),
                          mm(25.5, 0, 1),  mm(25.5, 0, 3), mm(0, 0, 2)};
    run("six steel rods, two bars of AlNiCo 5 beside them, 0.3 mm clear", scene, 6, at, 2, 0);
}

int main(int argc, char **argv)
{
    static void (*const all[])(void) = {run_blade, run_finer_blade, run_plate, run_lap_steel,
                                        run_rods_and_bars};
    for (int k = 0; k < 5; k++)
        if (argc < 2 || atoi(argv[1]) == k)
            all[k]();
    return 0;
}
