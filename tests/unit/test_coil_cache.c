/* test_coil_cache.c - what windings give by themselves is found again when nothing of it has changed, and only then.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "field/source.h"
#include "magnetics/coil_cache.h"

#include <stdlib.h>

static ll_coil coil_at(double turns, double z_mm)
{
    return (ll_coil){
        .shape = round_coil_mm(6, 9, 4), .pose = ll_pose_at(mm(0, 0, z_mm)), .turns = turns};
}

/* The body of a steel rod beside the coil; the caller clears it. */
static ll_body *rod_at(double x_mm)
{
    ll_body *body;
    size_t count;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(4, 10), mm(x_mm, 0, 0), 100);
    assert_ok(ll_bodies_find(scene, 0.5, 0, &body, &count));
    assert_int_equal(count, 1);
    ll_scene_free(scene);
    return body;
}

/* Against the closed forms themselves, to rounding. */
static void check(const ll_coil *coil, const ll_body *body)
{
    const size_t n = LL_TEST_POINTS * body->form->mesh->triangles;
    ll_vec3 *at = malloc(3 * n * sizeof *at);
    double *psi = malloc(2 * n * sizeof *psi);
    assert_true(at && psi);
    ll_vec3 *h = at + n, *h_kept = h + n;
    double *psi_kept = psi + n;
    for (size_t i = 0; i < n; i++)
        at[i] = ll_to_world(&body->pose, body->form->test_m[i]);
    assert_ok(ll_coil_h(&coil->shape, &coil->pose, coil->turns, n, at, h));
    assert_ok(ll_coil_potential(&coil->shape, &coil->pose, coil->turns, n, at, psi));
    assert_ok(ll_coil_at_body(coil, body, h_kept, psi_kept));
    for (size_t i = 0; i < n; i++) {
        assert_relative(psi_kept[i], psi[i], 1e-12);
        assert_close(ll_norm(ll_sub(h_kept[i], h[i])), 0, 1e-12 * ll_norm(h[i]));
    }
    free(at);
    free(psi);
}

/* Each twice, and each again after the others. */
static void turns_place_and_body_are_told_apart(void **state)
{
    (void)state;
    ll_body *near = rod_at(0), *aside = rod_at(12);
    const ll_coil coil[] = {coil_at(1000, 0), coil_at(1500, 0), coil_at(1000, 1)};
    for (int k = 0; k < 12; k++)
        check(&coil[k % 3], k / 3 % 2 ? aside : near);
    ll_body_clear(near);
    ll_body_clear(aside);
    free(near);
    free(aside);
}

static void inductances_in_air_follow_turns_and_distance(void **state)
{
    (void)state;
    const ll_coil coil[] = {coil_at(1000, 0), coil_at(2000, 0), coil_at(1000, 8),
                            coil_at(1000, 16)};
    double self, twice, near, far, back;
    assert_ok(ll_coils_in_air(&coil[0], &coil[0], &self));
    assert_ok(ll_coils_in_air(&coil[1], &coil[1], &twice));
    assert_ok(ll_coils_in_air(&coil[0], &coil[2], &near));
    assert_ok(ll_coils_in_air(&coil[0], &coil[3], &far));
    assert_ok(ll_coils_in_air(&coil[2], &coil[0], &back));
    assert_relative(twice, 4 * self, 1e-12);
    assert_true(self > 2 * near && near > 2 * far && far > 0);
    assert_relative(back, near, 1e-5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(turns_place_and_body_are_told_apart),
        cmocka_unit_test(inductances_in_air_follow_turns_and_distance),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
