/* test_steel.c - what the field of magnets and linear steel must obey whatever the numbers: superposition, symmetry,
 * Gauss's law, invariance, continuity in the recoil permeability, convergence.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/cache.h"
#include "build.h"
#include <stdlib.h>

/* All of this holds for elements of higher degree and for tetrahedra. */
static bool tetrahedra;

static ll_solution *solve_scene(ll_scene *scene, double fineness)
{
    const ll_solve_options options = {.fineness = fineness, .tetrahedra = tetrahedra};
    ll_solution *s;
    assert_ok(ll_solve(scene, &options, &s));
    ll_scene_free(scene);
    return s;
}

/* Two poles over a disc, with a bar and a rod that has a recoil permeability; `which` is a bit for each magnet. */
static ll_solution *two_magnets(int which, double charge)
{
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 18), mm(-5, 0, 0), 500);
    add_soft(scene, rod_mm(5, 18), mm(5, 0, 0), 500);
    add_soft(scene, rod_mm(16, 2), mm(0, 0, -12), 300);
    ll_material *plain = magnet(0.38, 1), *recoiling = magnet(0.38, 1.05);
    const ll_part parts[2] = {{"bar",
                               block_mm(30, 6, 4),
                               ll_pose_at(mm(0, 7, -4)),
                               plain,
                               {0, -1, 0},
                               charge,
                               LL_CHARGED_ASSEMBLED,
                               0,
                               0,
                               {{{0, 0, 0}, 0}}},
                              {"rod",
                               rod_mm(6, 8),
                               ll_pose_at(mm(0, -7, -4)),
                               recoiling,
                               {0.3, 1, 0.5},
                               charge,
                               LL_CHARGED_ASSEMBLED,
                               0,
                               0,
                               {{{0, 0, 0}, 0}}}};
    for (int i = 0; i < 2; i++) {
        ll_part part = parts[i];
        if (!(which & 1 << i))
            part.charge = 0;
        assert_ok(ll_scene_add_part(scene, &part));
    }
    ll_material_free(plain);
    ll_material_free(recoiling);
    return solve_scene(scene, 0.5);
}

/* Both magnets at full charge, for several tests. */
static ll_solution *both;

static int solve_both(void **state)
{
    (void)state;
    both = two_magnets(3, 1);
    return 0;
}

static int free_both(void **state)
{
    (void)state;
    ll_solution_free(both);
    return 0;
}

static const double places_mm[][3] = {
    {5, 0, 9.5}, {0, 0, 12}, {-5, 3, 11}, {40, 10, -5}, {5, 0, 0}};
enum { PLACES = sizeof places_mm / sizeof places_mm[0] };

static ll_vec3 place(int i)
{
    return mm(places_mm[i][0], places_mm[i][1], places_mm[i][2]);
}

/* The solver stops at a residual of 1e-7 of its source. */
static void fields_of_two_magnets_add_up(void **state)
{
    (void)state;
    ll_solution *first = two_magnets(1, 1), *second = two_magnets(2, 1);
    for (int i = 0; i < PLACES; i++) {
        const ll_vec3 sum = ll_add(b_at(first, place(i)), b_at(second, place(i)));
        const ll_vec3 b = b_at(both, place(i));
        assert_close(ll_norm(ll_sub(b, sum)), 0, 1e-5 * ll_norm(b));
    }
    assert_relative(section_t(both, 0, 0), section_t(first, 0, 0) + section_t(second, 0, 0), 1e-5);
    ll_solution_free(first);
    ll_solution_free(second);
}

static void field_follows_the_charge_of_a_magnet_with_its_sign(void **state)
{
    (void)state;
    ll_solution *back = two_magnets(3, -0.4), *none = two_magnets(0, 1);
    for (int i = 0; i < PLACES; i++) {
        const ll_vec3 b = b_at(both, place(i)), r = b_at(back, place(i));
        assert_close(ll_norm(ll_add(ll_scale(0.4, b), r)), 0, 1e-6 * ll_norm(b));
        assert_close(ll_norm(b_at(none, place(i))), 0, 1e-15);
    }
    ll_solution_free(back);
    ll_solution_free(none);
}

/* A6 is its own mirror image in x = 0 and in y = 0 (magnetised along y, so that the second one turns B around). */
static void a_symmetric_pickup_has_a_symmetric_field(void **state)
{
    (void)state;
    ll_solution *s = solve_scene(a6_scene(), 0.5);
    static const double points[][3] = {{5.1, 3, 6}, {25.5, -2, 7}, {10, 8, 10}, {40, 20, -3}};
    for (int i = 0; i < 4; i++) {
        const double *p = points[i];
        const ll_vec3 b = b_at(s, mm(p[0], p[1], p[2])), x = b_at(s, mm(-p[0], p[1], p[2])),
                      y = b_at(s, mm(p[0], -p[1], p[2]));
        const double tolerance = 2e-3 * ll_norm(b); /* the mesh's diagonals are not symmetric */
        assert_close(ll_norm(ll_sub(x, ll_vec(-b.x, b.y, b.z))), 0, tolerance);
        assert_close(ll_norm(ll_sub(y, ll_vec(b.x, -b.y, b.z))), 0, tolerance);
    }
    for (int i = 0; i < 3; i++)
        assert_relative(section_t(s, i, -9), section_t(s, 5 - (size_t)i, -9), 2e-3);
    ll_solution_free(s);
}

/* ---- Gauss's law ---- */

/* Flux through one side of a box by the midpoint rule, axis and sign of its normal given; *size adds |B_n|. */
static double side_flux(const ll_solution *s, ll_vec3 middle, ll_vec3 half, int axis, double sign,
                        double *size)
{
    enum { N = 24 };
    ll_vec3 *at = malloc(2 * N * N * sizeof *at);
    assert_non_null(at);
    double h[3] = {half.x, half.y, half.z}, flux = 0;
    const int u = (axis + 1) % 3, v = (axis + 2) % 3;
    for (int i = 0; i < N; i++)
        for (int j = 0; j < N; j++) {
            double d[3];
            d[axis] = sign * h[axis];
            d[u] = h[u] * ((2 * i + 1.0) / N - 1);
            d[v] = h[v] * ((2 * j + 1.0) / N - 1);
            at[i * N + j] = ll_add(middle, ll_vec(d[0], d[1], d[2]));
        }
    assert_ok(ll_solution_b(s, N * N, at, at + N * N));
    const double cell = 4 * h[u] * h[v] / (N * N);
    for (int k = 0; k < N * N; k++) {
        const ll_vec3 b = at[N * N + k];
        const double normal = sign * (axis == 0 ? b.x : axis == 1 ? b.y : b.z);
        flux += cell * normal;
        *size += cell * fabs(normal);
    }
    free(at);
    return flux;
}

/* Boxes around a pole, around a magnet, and across air only. Tolerance: the midpoint rule on 24 x 24 cells. */
static void no_net_flux_leaves_a_closed_surface(void **state)
{
    (void)state;
    const ll_vec3 boxes[][2] = {{mm(5, 0, 0), mm(4, 3.5, 10)},
                                {mm(0, 7.1, -4), mm(18, 3.9, 4)},
                                {mm(0, 0, 20), mm(10, 10, 5)},
                                {mm(0, 0, -5), mm(30, 20, 30)}};
    for (int i = 0; i < 4; i++) {
        double flux = 0, size = 0;
        for (int axis = 0; axis < 3; axis++)
            for (int sign = -1; sign <= 1; sign += 2)
                flux += side_flux(both, boxes[i][0], boxes[i][1], axis, sign, &size);
        assert_close(flux, 0, 2e-3 * size);
        assert_true(size > 1e-9);
    }
}

/* What goes in through a section leaves through the surface above it: seen from outside as the flux of a box that is cut
 * by the section's plane. */
static void flux_through_a_section_is_the_flux_that_leaves_above_it(void **state)
{
    (void)state;
    const double area = LL_PI * 2.5e-3 * 2.5e-3;
    double size = 0, flux = 0, through_air = 0;
    const ll_vec3 middle = mm(5, 0, 6), half = mm(3.5, 3.5, 5);
    for (int axis = 0; axis < 3; axis++)
        for (int sign = -1; sign <= 1; sign += 2)
            if (axis < 2 || sign > 0)
                flux += side_flux(both, middle, half, axis, sign, &size);
    enum {
        AROUND = 48,
        ACROSS = 12
    }; /* between the pole and the box, midpoint rule in polar coordinates */
    for (int i = 0; i < AROUND; i++) {
        const double angle = 2 * LL_PI * (i + 0.5) / AROUND;
        const double reach = 3.5 / fmax(fabs(cos(angle)), fabs(sin(angle))) - 2.5;
        for (int j = 0; j < ACROSS; j++) {
            const double r = 2.5 + reach * (j + 0.5) / ACROSS;
            through_air += 1e-6 * r * reach / ACROSS * (2 * LL_PI / AROUND) *
                           b_at(both, mm(5 + r * cos(angle), r * sin(angle), 1)).z;
        }
    }
    assert_relative(through_air + area * section_t(both, 1, 1), flux, 0.005);
}

/* ---- invariance ---- */

static ll_pose after(const ll_pose *world, ll_pose own)
{
    return (ll_pose){ll_rotation_after(world->rotation, own.rotation),
                     ll_to_world(world, own.origin_m)};
}

static ll_solution *placed(const ll_pose *world)
{
    ll_scene *scene = new_scene();
    const ll_pose rod = ll_pose_at(mm(0, 0, 0)), plate = ll_pose_at(mm(0, 0, -11)),
                  bar = ll_pose_at(mm(0, 6, -4));
    add_posed(scene, screw_mm(5, 18, 7, 2), after(world, rod), steel(500), ll_vec(0, 0, 0));
    add_posed(scene, ring_mm(20, 8, 2), after(world, plate), steel(200), ll_vec(0, 0, 0));
    add_posed(scene, block_mm(20, 6, 4), after(world, bar), magnet(0.4, 1.1),
              ll_rotate(&world->rotation, ll_vec(0, -1, 0.2)));
    const ll_coil coil = {"coil", round_coil_mm(3.6, 6, 5), after(world, ll_pose_at(mm(0, 0, 3))),
                          5000};
    assert_ok(ll_scene_add_coil(scene, &coil));
    return solve_scene(scene, 0.5);
}

static void a_turned_and_moved_pickup_has_the_same_field_turned_and_moved(void **state)
{
    (void)state;
    const ll_pose home = ll_pose_at(mm(0, 0, 0)),
                  away = {ll_rotation_about(ll_vec(1, 2, -0.5), 0.8), mm(100, -30, 20)};
    ll_solution *a = placed(&home), *b = placed(&away);
    static const double points[][3] = {{0, 0, 10}, {4, 3, 12}, {0, -6, -4}, {30, 20, 10}};
    for (int i = 0; i < 4; i++) {
        const ll_vec3 p = mm(points[i][0], points[i][1], points[i][2]), q = ll_to_world(&away, p);
        const ll_vec3 there = ll_rotate_back(&away.rotation, b_at(b, q));
        assert_close(ll_norm(ll_sub(b_at(a, p), there)), 0, 1e-5 * ll_norm(there));
        ll_vec3 ha, hb;
        assert_ok(ll_solution_coil_h(a, 0, 1, &p, &ha));
        assert_ok(ll_solution_coil_h(b, 0, 1, &q, &hb));
        assert_close(ll_norm(ll_sub(ha, ll_rotate_back(&away.rotation, hb))), 0,
                     1e-5 * ll_norm(ha));
    }
    assert_relative(inductance(a, 0, 0), inductance(b, 0, 0), 1e-5);
    ll_solution_free(a);
    ll_solution_free(b);
}

static void the_order_of_the_parts_does_not_matter(void **state)
{
    (void)state;
    ll_scene *reversed = new_scene();
    add_two_bars(reversed, 0, 0);
    for (int i = A6_POLES; i-- > 0;)
        add_soft(reversed, rod_mm(5, 18), mm(a6_pole_x_mm[i], 0, -5), 500);
    ll_solution *a = solve_scene(a6_scene(), 0.5), *b = solve_scene(reversed, 0.5);
    assert_relative(b_at(b, mm(5.1, 0, 7)).z, b_at(a, mm(5.1, 0, 7)).z, 1e-5);
    assert_relative(section_t(b, 4, -9), section_t(a, 3, -9), 1e-5);
    ll_solution_free(a);
    ll_solution_free(b);
}

/* ---- permeability ---- */

static ll_solution *magnet_and_pole(double recoil, double mu_r, double fineness)
{
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(5, 17), mm(0, 0, -8.5), magnet(0.38, recoil), ll_vec(0, 0, 1));
    if (mu_r > 0)
        add_soft(scene, rod_mm(5, 10), mm(0, 0, 5.05), mu_r);
    return solve_scene(scene, fineness);
}

/* Steel of mu_r 1 is air. */
static void steel_that_is_not_magnetic_changes_nothing(void **state)
{
    (void)state;
    ll_solution *with = magnet_and_pole(1, 1, 0.5), *without = magnet_and_pole(1, 0, 0.5);
    for (double z = 10.5; z < 20; z += 3) {
        const double b = b_at(without, mm(0, 0, z)).z;
        assert_relative(b_at(with, mm(0, 0, z)).z, b, 1e-5);
    }
    ll_solution_free(with);
    ll_solution_free(without);
}

static double step_at_recoil(double recoil, double fineness)
{
    ll_solution *below = magnet_and_pole(recoil - 1e-4, 500, fineness),
                *above = magnet_and_pole(recoil + 1e-4, 500, fineness);
    const ll_vec3 p = mm(0, 0, 11.05);
    const double step = b_at(above, p).z / b_at(below, p).z - 1;
    ll_solution_free(below);
    ll_solution_free(above);
    return fabs(step);
}

/* The mesh of a magnet is graded otherwise above a recoil permeability of 1.5; the field knows no such step. What is left of
 * one is the error of the two meshes, 0.5 % at most. */
static void field_is_continuous_in_the_recoil_permeability(void **state)
{
    (void)state;
    assert_true(step_at_recoil(1.5, 2) < 0.005);
    assert_true(step_at_recoil(1.2, 2) < 1e-3);
}

/* A recoil permeability of 1.0001 may shift a field by some 1e-4, beside steel as in air. */
static void a_recoil_permeability_a_hair_above_one_changes_nothing(void **state)
{
    (void)state;
    for (int mu_r = 0; mu_r <= 500; mu_r += 500) {
        ll_solution *plain = magnet_and_pole(1, mu_r, 2), *hair = magnet_and_pole(1.0001, mu_r, 2);
        for (double z = 11; z < 20; z += 4) {
            const double b = b_at(plain, mm(0, 0, z)).z;
            assert_relative(b_at(hair, mm(0, 0, z)).z, b, 1e-3);
        }
        ll_solution_free(plain);
        ll_solution_free(hair);
    }
}

/* With growing permeability the field outside goes to a limit like 1 / mu_r. */
static void field_settles_as_permeability_grows(void **state)
{
    (void)state;
    ll_solution *s[3] = {magnet_and_pole(1, 1e3, 0.5), magnet_and_pole(1, 1e5, 0.5),
                         magnet_and_pole(1, 1e7, 0.5)};
    const ll_vec3 p = mm(0, 0, 12);
    const double b3 = b_at(s[0], p).z, b5 = b_at(s[1], p).z, b7 = b_at(s[2], p).z;
    assert_relative(b5, b7, 1e-4);
    assert_relative(b3, b7, 1e-2);
    assert_relative((b7 - b3) / (b7 - b5), 1e5 / 1e3, 0.05);
    for (int i = 0; i < 3; i++)
        ll_solution_free(s[i]);
}

/* ---- convergence ---- */

static double core_error(double fineness)
{
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 16), mm(0, 0, 0), 100);
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, 0), 8000);
    ll_solution *s = solve_scene(scene, fineness);
    const double l = inductance(s, 0, 0);
    ll_solution_free(s);
    return fabs(l / 1.12955 - 1);
}

/* Open case A4, 1.12955 H (FreeFEM 4.11, error 5e-5): halving the elements takes three quarters of the error away, as
 * second order does. */
static void inductance_converges_with_second_order(void **state)
{
    (void)state;
    const double coarse = core_error(0.5), fine = core_error(1);
    assert_true(coarse < 0.005);
    assert_true(fine < coarse / 4 + 5e-5);
}

/* A thin rod of steel that begins hard and bends early, in a weak field; and a rod near saturation. */
static void add_weak(ll_scene *scene)
{
    static const double h_a_m[] = {0, 50, 200, 600, 2000, 1e4},
                        b_t[] = {0, 0.003, 0.1, 0.9, 1.5, 1.9};
    ll_material *bent;
    assert_ok(ll_material_steel_curve(6, h_a_m, b_t, 0, &bent));
    add_posed(scene, rod_mm(2, 40), ll_pose_at(mm(0, 0, 0)), bent, ll_vec(0, 0, 0));
    add_magnet(scene, rod_mm(5, 10), mm(0, 0, -26), magnet(0.02, 1), ll_vec(0, 0, 1));
}

static void add_strong(ll_scene *scene, double x_mm)
{
    ll_material *soft;
    assert_ok(ll_material_named("steel 1018", &soft));
    add_posed(scene, rod_mm(5, 10), ll_pose_at(mm(x_mm, 0, 0)), soft, ll_vec(0, 0, 0));
    add_magnet(scene, rod_mm(5, 10), mm(x_mm, 0, -10.1), magnet(1.2, 1), ll_vec(0, 0, 1));
}

/* What is weak is found as exactly beside something strong two metres away, whose own field is a thousandth of the magnet's here:
 * Newton's method goes on for it. */
static void a_weak_body_is_not_lost_beside_a_strong_one(void **state)
{
    (void)state;
    double bz[2];
    for (int beside = 0; beside < 2; beside++) {
        ll_scene *scene = new_scene();
        add_weak(scene);
        if (beside)
            add_strong(scene, 2000);
        ll_solution *s = solve_scene(scene, 0.7);
        bz[beside] = section_t(s, 0, 0);
        ll_solution_free(s);
    }
    assert_relative(bz[1], bz[0], 1e-3);
}

/* The same place and shape, another permeability: what was solved before has no part in it, and nothing but time hangs on it. */
static void another_permeability_is_another_system(void **state)
{
    (void)state;
    static const double mu[] = {10, 1000, 10};
    double bz[2][3];
    for (int fresh = 0; fresh < 2; fresh++)
        for (int i = 0; i < 3; i++) {
            ll_scene *scene = new_scene();
            add_soft(scene, rod_mm(5, 10), mm(0, 0, 0), mu[i]);
            add_magnet(scene, rod_mm(5, 10), mm(0, 0, -10.1), magnet(1, 1), ll_vec(0, 0, 1));
            if (fresh)
                ll_cache_empty();
            ll_solution *s = solve_scene(scene, 0.7);
            bz[fresh][i] = section_t(s, 0, 0);
            ll_solution_free(s);
        }
    for (int i = 0; i < 3; i++)
        assert_relative(bz[0][i], bz[1][i], 1e-9);
    assert_true(bz[0][1] > 1.1 * bz[0][0]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fields_of_two_magnets_add_up),
        cmocka_unit_test(field_follows_the_charge_of_a_magnet_with_its_sign),
        cmocka_unit_test(a_symmetric_pickup_has_a_symmetric_field),
        cmocka_unit_test(no_net_flux_leaves_a_closed_surface),
        cmocka_unit_test(flux_through_a_section_is_the_flux_that_leaves_above_it),
        cmocka_unit_test(a_turned_and_moved_pickup_has_the_same_field_turned_and_moved),
        cmocka_unit_test(the_order_of_the_parts_does_not_matter),
        cmocka_unit_test(steel_that_is_not_magnetic_changes_nothing),
        cmocka_unit_test(field_is_continuous_in_the_recoil_permeability),
        cmocka_unit_test(a_recoil_permeability_a_hair_above_one_changes_nothing),
        cmocka_unit_test(field_settles_as_permeability_grows),
        cmocka_unit_test(inductance_converges_with_second_order),
        cmocka_unit_test(a_weak_body_is_not_lost_beside_a_strong_one),
        cmocka_unit_test(another_permeability_is_another_system),
    };
    int failed = 0;
    for (int kind = 0; kind < 2; kind++) {
        tetrahedra = kind;
        failed += cmocka_run_group_tests_name(kind ? "tetrahedra" : "as it comes", tests,
                                              solve_both, free_both);
    }
    return failed;
}
