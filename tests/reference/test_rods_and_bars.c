/* test_rods_and_bars.c - bodies of revolution and blocks in one scene, by laws that hold whatever the elements, and against linear
 * tetrahedra, which share neither mesh nor kernels with them.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"

enum { PROBES = 5 };

static const double probe_mm[PROBES][3] = {
    {-4, 0, 9.7}, {4, 0, 10.5}, {0, 1, 10}, {6.5, 2, 9.5}, {0, -3, 12}};

static ll_material *named(const char *name)
{
    ll_material *m;
    assert_ok(ll_material_named(name, &m));
    return m;
}

static ll_pose moved(const ll_pose *by, ll_vec3 at_m)
{
    return (ll_pose){by->rotation, ll_to_world(by, at_m)};
}

/* Two steel rods, a rod magnet between them in closed form, and a bar beside them at 0.4 mm; `strength` of the bar and of the rod
 * magnet; all of it moved. */
static ll_scene *rods_beside_a_bar(double bar, double post, ll_material *of_bar, const ll_pose *by)
{
    ll_scene *scene = new_scene();
    const ll_vec3 north = ll_rotate(&by->rotation, ll_vec(0, 1, 0));
    const ll_vec3 up = ll_rotate(&by->rotation, ll_vec(0, 0, 1));
    for (int side = -1; side <= 1; side += 2)
        add_posed(scene, rod_mm(5, 18), moved(by, mm(4 * side, 0, 0)), steel(60), ll_vec(0, 0, 0));
    add_posed(scene, block_mm(24, 6, 4), moved(by, mm(1, -5.9, -5)), of_bar, ll_scale(bar, north));
    if (post != 0)
        add_posed(scene, rod_mm(2, 6), moved(by, mm(0, 4.5, -4)), magnet(0.8, 1),
                  ll_scale(post, up));
    return scene;
}

static void read_probes(ll_scene *scene, const ll_solve_options *options, const ll_pose *by,
                        ll_vec3 *b)
{
    ll_solution *s;
    assert_ok(ll_solve(scene, options, &s));
    for (int k = 0; k < PROBES; k++)
        b[k] = b_at(s, ll_to_world(by, mm(probe_mm[k][0], probe_mm[k][1], probe_mm[k][2])));
    ll_solution_free(s);
    ll_scene_free(scene);
}

static double largest(const ll_vec3 *b)
{
    double most = 0;
    for (int k = 0; k < PROBES; k++)
        most = fmax(most, ll_norm(b[k]));
    return most;
}

/* 1 % of the largest: the error of the tetrahedra near a gap of 0.4 mm. */
static void they_agree_with_tetrahedra(void **state)
{
    (void)state;
    const ll_pose here = ll_pose_at(mm(0, 0, 0));
    static const char *const bars[] = {"AlNiCo 5", "AlNiCo 8"};
    for (int k = 0; k < 2; k++) {
        ll_vec3 forms[PROBES], linear[PROBES];
        const ll_solve_options level = {.level = 2},
                               tetrahedra = {.tetrahedra = true, .fineness = 1.4};
        read_probes(rods_beside_a_bar(1, 1, named(bars[k]), &here), &level, &here, forms);
        read_probes(rods_beside_a_bar(1, 1, named(bars[k]), &here), &tetrahedra, &here, linear);
        for (int i = 0; i < PROBES; i++)
            assert_close(ll_norm(ll_sub(forms[i], linear[i])) / largest(forms), 0, 0.01);
    }
}

/* The scene lies anywhere in space: 3e-4 of the largest, what couplings leave, for they choose points in another order. */
static void a_scene_that_is_turned_has_its_field_turned(void **state)
{
    (void)state;
    const ll_pose here = ll_pose_at(mm(0, 0, 0));
    const ll_pose there = {ll_rotation_about(ll_vec(1, 2, -0.5), 0.9), mm(7, -20, 31)};
    const ll_solve_options level = {.level = 2};
    ll_vec3 b[PROBES], turned[PROBES];
    read_probes(rods_beside_a_bar(1, 1, named("AlNiCo 5"), &here), &level, &here, b);
    read_probes(rods_beside_a_bar(1, 1, named("AlNiCo 5"), &there), &level, &there, turned);
    for (int i = 0; i < PROBES; i++)
        assert_close(ll_norm(ll_sub(ll_rotate(&there.rotation, b[i]), turned[i])) / largest(b), 0,
                     3e-4);
}

/* Straight laws: what both magnets make is the sum of what each makes beside the other, uncharged. */
static void fields_of_two_magnets_add_up(void **state)
{
    (void)state;
    const ll_pose here = ll_pose_at(mm(0, 0, 0));
    const ll_solve_options level = {.level = 1};
    ll_vec3 both[PROBES], bar[PROBES], post[PROBES];
    read_probes(rods_beside_a_bar(1, 1, magnet(0.4, 1.4), &here), &level, &here, both);
    read_probes(rods_beside_a_bar(1, 0, magnet(0.4, 1.4), &here), &level, &here, bar);
    read_probes(rods_beside_a_bar(-1, 1, magnet(0.4, 1.4), &here), &level, &here, post);
    /* both - bar is the post's; the third is the post's less the bar's. */
    for (int i = 0; i < PROBES; i++) {
        const ll_vec3 of_post = ll_sub(both[i], bar[i]);
        assert_close(ll_norm(ll_sub(ll_sub(of_post, bar[i]), post[i])) / largest(both), 0, 1e-5);
    }
}

/* Each degree more takes at least half of the error away, and two of them leave less than 0.1 %. */
static void each_degree_is_better_than_the_one_below(void **state)
{
    (void)state;
    const ll_pose here = ll_pose_at(mm(0, 0, 0));
    ll_vec3 b[3][PROBES];
    for (int k = 0; k < 3; k++) {
        const ll_solve_options level = {.level = k + 1};
        read_probes(rods_beside_a_bar(1, 1, named("AlNiCo 5"), &here), &level, &here, b[k]);
    }
    double first = 0, second = 0;
    for (int i = 0; i < PROBES; i++) {
        first = fmax(first, ll_norm(ll_sub(b[1][i], b[0][i])));
        second = fmax(second, ll_norm(ll_sub(b[2][i], b[1][i])));
    }
    assert_true(second < 0.5 * first);
    assert_close(second / largest(b[2]), 0, 1e-3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(they_agree_with_tetrahedra),
        cmocka_unit_test(a_scene_that_is_turned_has_its_field_turned),
        cmocka_unit_test(fields_of_two_magnets_add_up),
        cmocka_unit_test(each_degree_is_better_than_the_one_below),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
