/* bench_eddies.c - what the frequency costs: 200 frequencies of a covered two-coil pickup against its static solve. Prints;
 * judges nothing, for times belong to a machine.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "eddies/eddies.h"
#include "reading/estimator.h"
#include <stdio.h>
#include <time.h>

enum { FREQUENCIES = 200 };

static double cpu_s(void)
{
    return (double)clock() / CLOCKS_PER_SEC;
}

static void add_conducting(ll_scene *scene, ll_shape shape, ll_vec3 at_m, double mu_r)
{
    ll_material *material;
    assert_ok(ll_material_steel(mu_r, 5.8e6, &material));
    add_posed(scene, shape, ll_pose_at(at_m), material, ll_vec(0, 0, 0));
}

static void add_sheet(ll_scene *scene, ll_vec3 size_mm, ll_vec3 at_m)
{
    ll_material *silver;
    assert_ok(ll_material_conductor(3.4e6, &silver));
    add_posed(scene, block_mm(size_mm.x, size_mm.y, size_mm.z), ll_pose_at(at_m), silver,
              ll_vec(0, 0, 0));
}

/* A box of 70 x 38 x 20, 0.4 thick. */
static void add_cover(ll_scene *scene)
{
    add_sheet(scene, ll_vec(70, 38, 0.4), mm(0, 0, 3.8));
    for (int side = -1; side < 2; side += 2) {
        add_sheet(scene, ll_vec(70, 0.4, 19.6), mm(0, side * 18.8, -6.2));
        add_sheet(scene, ll_vec(0.4, 37.2, 19.6), mm(side * 34.8, 0, -6.2));
    }
}

static ll_scene *two_coils_under_a_cover(bool covered)
{
    ll_scene *scene = new_scene();
    const ll_coil_shape winding = {57e-3, 5.4e-3, 2.7e-3, 3e-3, 8e-3};
    for (int i = 0; i < 6; i++) {
        add_conducting(scene, screw_mm(3.5, 20, 5, 2), mm(-25.5 + 10.2 * i, -9, -9), 300);
        add_conducting(scene, rod_mm(4.8, 14), mm(-25.5 + 10.2 * i, 9, -6), 300);
    }
    add_magnet(scene, block_mm(60, 12, 3.2), mm(0, 0, -14.7), magnet(0.38, 1.05), ll_vec(0, 1, 0));
    if (covered)
        add_cover(scene);
    add_coil(scene, winding, mm(0, -9, -5), 5000);
    add_coil(scene, winding, mm(0, 9, -5), 5000);
    return scene;
}

/* As scripts read it: static inductance from two meshes, the frequencies on the coarser. */
static void one(bool covered)
{
    ll_scene *scene = two_coils_under_a_cover(covered);
    double f[FREQUENCIES];
    double complex change[FREQUENCIES];
    for (int k = 0; k < FREQUENCIES; k++)
        f[k] = 20 * pow(1000, (double)k / (FREQUENCIES - 1));
    ll_estimator *estimator;
    const ll_solution *fine;
    const ll_eddies *eddies;
    const double start = cpu_s();
    assert_ok(ll_estimator_new(scene, NULL, 0, &estimator));
    assert_ok(ll_estimator_solution(estimator, NULL, &fine));
    const double solved_at = cpu_s();
    assert_ok(ll_estimator_eddies(estimator, NULL, FREQUENCIES, f, &eddies));
    for (size_t i = 0; i < 4; i++)
        assert_ok(ll_eddies_inductance(eddies, i / 2, i % 2, FREQUENCIES, f, change));
    const double done = cpu_s();
    printf("%-9s static %.2f s, %d frequencies %.2f s more (%zu solved): %.2f times the static "
           "solve in all\n",
           covered ? "covered" : "open", solved_at - start, FREQUENCIES, done - solved_at,
           ll_eddies_samples(eddies), (done - start) / (solved_at - start));
    ll_estimator_free(estimator);
    ll_scene_free(scene);
}

int main(void)
{
    puts("two coils, six screws, six slugs, a bar magnet; CPU seconds");
    one(true);
    one(false); /* its steel is in store by now: not what it costs cold */
    return 0;
}
