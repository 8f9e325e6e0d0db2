/* test_blade.c - the screwdriver test: where a blade lies, what a coil links of it, and which coil a pole stands in.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "reading/blade.h"
#include "reading/readings.h"
#include "scene/around.h"
#include "string/string.h"

/* ---- where it lies ---- */

static ll_vec3 rest(const ll_scene *scene, size_t part)
{
    ll_vec3 at;
    assert_ok(ll_blade_rest(scene, part, &at));
    return at;
}

static const double off_m = LL_BLADE_RADIUS_M + LL_BLADE_GAP_M;

static void a_blade_lies_on_the_pole_or_on_what_covers_it(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 16), mm(10, 3, -8), 500);
    assert_close(rest(scene, 0).x, 10e-3, 1e-12);
    assert_close(rest(scene, 0).y, 3e-3, 1e-12);
    assert_close(rest(scene, 0).z, off_m, 2e-6);
    add_soft(scene, rod_mm(5, 16), mm(20, 3, -6.5), 500); /* its neighbour stands 1.5 mm higher */
    assert_close(rest(scene, 0).z, off_m, 2e-6);
    assert_close(rest(scene, 1).z, 1.5e-3 + off_m, 2e-6);
    add_soft(scene, block_mm(60, 40, 0.4), mm(0, 0, 2.8), 1.001); /* the top of a cover at 3 mm */
    assert_close(rest(scene, 0).z, 3e-3 + off_m, 2e-6);
    ll_vec3 at = ll_vec(7, 7, 7);
    assert_int_equal(ll_blade_rest(scene, 3, &at), LL_NO_PART);
    assert_close(at.z, 7, 0);
    ll_scene_free(scene);
}

/* A rod leaning by 30 degrees: its upper face's middle is 8 mm sin 30 aside. */
static void a_leaning_pole_is_touched_at_its_end(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    const ll_pose pose = {ll_rotation_about(ll_vec(1, 0, 0), -LL_PI / 6), mm(0, 0, 0)};
    add_posed(scene, rod_mm(5, 16), pose, steel(500), ll_vec(0, 0, 0));
    assert_close(rest(scene, 0).y, 4e-3, 1e-9);
    ll_scene_free(scene);
}

/* ---- what a coil links of it ---- */

/* Field of one ampere on the axis of a thick winding, z from its middle: the textbook's two logarithms. */
static double coil_axis_h(double turns, double r1, double r2, double height, double z)
{
    const double a = z + height / 2, b = z - height / 2;
    return turns / (2 * (r2 - r1) * height) *
           (a * log((r2 + hypot(r2, a)) / (r1 + hypot(r1, a))) -
            b * log((r2 + hypot(r2, b)) / (r1 + hypot(r1, b))));
}

/* On the common axis of a magnet and a coil in air: 3 V B h, B of the rod magnet A1 of the open cases, 1.2 T, 3 mm off. */
static void on_the_axis_it_is_three_volumes_of_the_fields(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(5, 17), mm(0, 0, -8.5), magnet(1.2, 1), ll_vec(0, 0, 1));
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, -8), 8000);
    ll_solution *s = solved(scene, 1);
    double wb, volume = 4 * LL_PI / 3 * pow(LL_BLADE_RADIUS_M, 3);
    assert_ok(ll_blade_linkage(s, mm(0, 0, 3), &wb));
    assert_relative(wb, 3 * volume * 0.134434 * coil_axis_h(8000, 3e-3, 8e-3, 10e-3, 11e-3), 1e-4);
    ll_solution_free(s);
}

/* Two coils and a cube of steel between them: by the same reciprocity it adds mu0 3.6442 V h.h to their mutual inductance, 3.6442
 * the polarisability of a hard cube (A. Sihvola et al., IEEE Trans. Antennas Propag. 52 (2004) 2226, from memory), 3 that of a
 * ball. */
static void a_cube_adds_to_the_mutual_inductance_by_the_same_law(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, block_mm(1, 1, 1), mm(0, 0, 0), 1e4);
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, -20), 1000);
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, 25), 1000);
    ll_solution *s = solved(scene, 2);
    double air;
    assert_ok(ll_solution_air_inductance(s, 0, 1, &air));
    const double h1 = coil_axis_h(1000, 3e-3, 8e-3, 10e-3, 20e-3);
    const double h2 = coil_axis_h(1000, 3e-3, 8e-3, 10e-3, 25e-3);
    assert_relative(inductance(s, 0, 1) - air, LL_MU0 * 3.6442e-9 * h1 * h2, 0.01);
    ll_solution_free(s);
}

/* Two coils side by side with a magnet below, as most pickups have it: over each pole its own coil is stronger than the other,
 * and a string over it says the same sign. */
static void each_pole_moves_its_own_coil_most(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(4.8, 15), mm(0, -9.5, -8.5), 500);
    add_soft(scene, rod_mm(4.8, 15), mm(0, 9.5, -8), 500);
    add_magnet(scene, block_mm(30, 12, 3), mm(0, 0, -14.5), magnet(0.38, 1), ll_vec(0, 1, 0));
    add_coil(scene, round_coil_mm(3, 6, 7), mm(0, -9.5, -6.5), 5000);
    add_coil(scene, round_coil_mm(3, 6, 7), mm(0, 9.5, -6.5), 5000);
    ll_solution *s = solved(scene, 1);
    for (size_t pole = 0; pole < 2; pole++) {
        double wb[2], dz, dx;
        const ll_vec3 at = rest(ll_solution_scene(s), pole);
        assert_ok(ll_blade_linkage(s, at, wb));
        assert_true(fabs(wb[pole]) > 2 * fabs(wb[1 - pole]));
        const ll_string string = {.diameter_m = 1e-3,
                                  .core_diameter_m = 1e-3,
                                  .material = ll_scene_part(ll_solution_scene(s), 0)->material,
                                  .z_m = 3e-3};
        assert_ok(ll_string_gradient(s, pole, &string, &dz, &dx));
        assert_true(dz * wb[pole] < 0); /* it links less as it rises */
    }
    ll_solution_free(s);
}

static void without_a_coil_nothing_is_linked(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(5, 17), mm(0, 0, -8.5), magnet(1.2, 1), ll_vec(0, 0, 1));
    ll_solution *s = solved(scene, 1);
    double wb = 7;
    assert_int_equal(ll_blade_linkage(s, mm(0, 0, 3), &wb), LL_NO_COIL);
    assert_close(wb, 7, 0);
    ll_solution_free(s);
}

/* ---- which coil a pole stands in ---- */

static ll_coil long_coil(double x, double y, double z)
{
    return (ll_coil){"coil", {18e-3, 6e-3, 3e-3, 3e-3, 7e-3}, ll_pose_at(mm(x, y, z)), 5000};
}

static size_t coil_of(const ll_coil *coil, ll_shape shape, ll_rotation rotation, ll_vec3 at_m)
{
    const ll_pose pose = {rotation, at_m};
    return ll_coil_around(2, coil, &shape, &pose);
}

/* Beside each other along the strings, along the row, and one on the other. */
static void a_pole_stands_in_the_coil_that_goes_around_it(void **state)
{
    (void)state;
    const ll_rotation upright = ll_rotation_identity();
    const ll_coil along_y[] = {long_coil(0, -9.5, -6), long_coil(0, 9.5, -6)};
    const ll_coil along_x[] = {long_coil(-12, 0, -6), long_coil(12, 0, -6)};
    const ll_coil stacked[] = {long_coil(0, 0, -4), long_coil(0, 0, -14)};
    assert_int_equal(coil_of(along_y, rod_mm(5, 15), upright, mm(5, -9.5, -8)), 0);
    assert_int_equal(coil_of(along_y, rod_mm(5, 15), upright, mm(5, 9.5, -8)), 1);
    assert_int_equal(coil_of(along_x, rod_mm(5, 15), upright, mm(-7, 0, -8)), 0);
    assert_int_equal(coil_of(along_x, rod_mm(5, 15), upright, mm(19, 0, -8)), 1);
    assert_int_equal(coil_of(stacked, rod_mm(5, 6), upright, mm(5, 0, -3)), 0);
    assert_int_equal(coil_of(stacked, rod_mm(5, 6), upright, mm(5, 0, -15)), 1);
}

/* The whole pickup turned: pole and coils together keep their places to each other. */
static void turning_the_pickup_changes_nothing(void **state)
{
    (void)state;
    for (int k = 0; k < 24; k++) {
        const ll_rotation turn =
            ll_rotation_about(ll_vec(k % 2, k % 3, 1 + k % 5), k * LL_PI / 11 + 0.1);
        ll_coil coil[] = {long_coil(0, -9.5, -6), long_coil(0, 9.5, -6)};
        for (int c = 0; c < 2; c++)
            coil[c].pose = (ll_pose){turn, ll_rotate(&turn, coil[c].pose.origin_m)};
        for (int side = 0; side < 2; side++) {
            const ll_vec3 at = mm(5, side ? 9.5 : -9.5, -8);
            assert_int_equal(coil_of(coil, rod_mm(5, 15), turn, ll_rotate(&turn, at)), side);
        }
    }
}

/* A long screw that leans: its middle lies under the other coil, what is within the winding's height does not. */
static void a_leaning_screw_is_looked_at_where_the_winding_is(void **state)
{
    (void)state;
    const ll_coil coil[] = {long_coil(0, -9.5, -3), long_coil(0, 9.5, -3)};
    const double angle = 0.5; /* its upper end leans to -y: 20 mm up the line from (0, 1.5, -23) */
    const ll_rotation lean = ll_rotation_about(ll_vec(1, 0, 0), angle);
    const ll_vec3 middle = mm(0, -9.5 + 20 * sin(angle) / cos(angle), -23);
    assert_int_equal(coil_of(coil, screw_mm(3, 44, 5, 2), lean, middle), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_blade_lies_on_the_pole_or_on_what_covers_it),
        cmocka_unit_test(a_leaning_pole_is_touched_at_its_end),
        cmocka_unit_test(on_the_axis_it_is_three_volumes_of_the_fields),
        cmocka_unit_test(a_cube_adds_to_the_mutual_inductance_by_the_same_law),
        cmocka_unit_test(each_pole_moves_its_own_coil_most),
        cmocka_unit_test(without_a_coil_nothing_is_linked),
        cmocka_unit_test(a_pole_stands_in_the_coil_that_goes_around_it),
        cmocka_unit_test(turning_the_pickup_changes_nothing),
        cmocka_unit_test(a_leaning_screw_is_looked_at_where_the_winding_is),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
