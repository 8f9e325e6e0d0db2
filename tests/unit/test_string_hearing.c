/* test_string_hearing.c - what coils hear of a string by reciprocity, against differences of its linkage, and the map.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "reading/estimator.h"
#include "string/hearing.h"

static ll_solution *two_coils;

/* One pole between two bars in one coil, and a second coil beside it. */
static int solve(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 18), mm(0, 0, -5), 500);
    add_magnet(scene, block_mm(10, 10, 4), mm(0, 8, -12), magnet(0.38, 1), ll_vec(0, -1, 0));
    add_magnet(scene, block_mm(10, 10, 4), mm(0, -8, -12), magnet(0.38, 1), ll_vec(0, 1, 0));
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, -2), 8000);
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 18, -2), 8000);
    two_coils = solved(scene, 0.7);
    return 0;
}

static int let_go(void **state)
{
    (void)state;
    ll_solution_free(two_coils);
    return 0;
}

static ll_material *stock(int i)
{
    ll_material *m;
    if (i == 0)
        return steel(200);
    assert_ok(ll_material_named("music wire", &m));
    return m;
}

static ll_string string_at(const ll_material *material, double x_mm, double z_mm)
{
    return (ll_string){0.43e-3, 0.43e-3, material, 1e-3 * x_mm, 1e-3 * z_mm, NULL};
}

static void slopes(const double *share, const ll_string *string, double *dz, double *dx)
{
    ll_hearing *h;
    assert_ok(ll_hearing_new(two_coils, share, string, &h));
    ll_hearing_total(h, dz, dx);
    ll_hearing_free(h);
}

/* Central difference of the linkage of coil 0, step 0.05 mm each way. */
static void differences(const ll_string *string, double x_m, double z_m, double *dz, double *dx)
{
    const double h = 0.05e-3;
    const double x[4] = {x_m, x_m, x_m - h, x_m + h}, z[4] = {z_m - h, z_m + h, z_m, z_m};
    double linkage[4];
    assert_ok(ll_string_linkage(two_coils, 0, string, 4, x, z, linkage));
    *dz = (linkage[1] - linkage[0]) / (2 * h);
    *dx = (linkage[3] - linkage[2]) / (2 * h);
}

static const double first[] = {1, 0};

/* Two routes to the voltage: charges against fields at one place, and the difference of the linkage at two. */
static void reciprocity_and_differences_give_one_voltage(void **state)
{
    (void)state;
    static const double place[][2] = {{0, 6.5}, {0.8, 7}, {2.5, 6}, {-3, 8}};
    for (int k = 0; k < 2; k++) {
        ll_material *m = stock(k);
        for (int i = 0; i < 4; i++) {
            const ll_string string = string_at(m, place[i][0], place[i][1]);
            double dz, dx, up, aside;
            slopes(first, &string, &dz, &dx);
            differences(&string, string.x_m, string.z_m, &up, &aside);
            assert_relative(dz, up, 0.008);
            assert_close(dx, aside, 0.008 * fabs(up));
        }
        ll_material_free(m);
    }
}

/* A wrap of nickel, half of the thickness: heard by both routes alike, and more than the core alone. */
static void a_magnetic_wrap_is_heard_by_both_routes(void **state)
{
    (void)state;
    ll_material *m = stock(1), *nickel;
    assert_ok(ll_material_named("nickel", &nickel));
    ll_string string = string_at(m, 0.8, 7);
    double dz, dx, up, aside, core, unused;
    string.diameter_m = 2 * string.core_diameter_m;
    slopes(first, &string, &core, &unused);
    string.wrap = nickel;
    slopes(first, &string, &dz, &dx);
    differences(&string, string.x_m, string.z_m, &up, &aside);
    assert_relative(dz, up, 0.015);
    assert_close(dx, aside, 0.015 * fabs(up));
    assert_true(dz / core > 1.1 && dz / core < 3);
    ll_material_free(m);
    ll_material_free(nickel);
}

static void coils_add_by_their_shares(void **state)
{
    (void)state;
    ll_material *m = stock(1);
    const ll_string string = string_at(m, 0.8, 7);
    const double second[] = {0, 1}, opposed[] = {1, -1};
    double dz[3], dx[3];
    slopes(first, &string, &dz[0], &dx[0]);
    slopes(second, &string, &dz[1], &dx[1]);
    slopes(opposed, &string, &dz[2], &dx[2]);
    assert_relative(dz[2], dz[0] - dz[1], 1e-3);
    assert_close(dx[2], dx[0] - dx[1], 1e-3 * fabs(dz[0]));
    ll_material_free(m);
}

/* Slopes alone, of several coils in one go, are those of the whole hearing; what the steel answers is some hundredths of them, and
 * more where the string is nearer. */
static void slopes_of_several_coils_are_those_of_each(void **state)
{
    (void)state;
    ll_material *m = stock(1);
    static const double both[] = {1, 0, 0, 1};
    double answer[2];
    for (int k = 0; k < 2; k++) {
        const ll_string string = string_at(m, 0.8, k ? 9 : 6);
        double dz[2], dx, whole[2], bare[2];
        assert_ok(ll_hearing_slopes(two_coils, true, 2, both, &string, whole));
        assert_ok(ll_hearing_slopes(two_coils, false, 2, both, &string, bare));
        for (int c = 0; c < 2; c++) {
            slopes(both + 2 * c, &string, &dz[c], &dx);
            assert_relative(whole[c], dz[c], 1e-9);
        }
        answer[k] = whole[0] / bare[0] - 1;
        assert_true(answer[k] > 0.002 && answer[k] < 0.1);
    }
    assert_true(answer[0] > answer[1]);
    ll_material_free(m);
}

/* The slope of a string 2 mm over a blade, and the error told with it. */
static ll_status read_slope(const ll_solution *s, void *context, double *values)
{
    const double share = 1;
    return ll_hearing_slopes(s, true, 1, &share, context, values);
}

static ll_scene *string_over_blade(void)
{
    ll_scene *scene = new_scene();
    add_soft(scene, block_mm(40, 3, 18), mm(0, 0, -5), 500);
    add_magnet(scene, block_mm(40, 12, 5), mm(0, 0, -17), magnet(0.3, 1), ll_vec(0, 0, 1));
    const ll_coil coil = {"coil", {46e-3, 6e-3, 3e-3, 4e-3, 9e-3}, ll_pose_at(mm(0, 0, -1)), 8000};
    assert_ok(ll_scene_add_coil(scene, &coil));
    return scene;
}

/* What a blade answers to a string near it is uneven on the scale of the gap: degree 4 by itself is the truth. */
static void the_error_told_holds_what_the_steel_answers(void **state)
{
    (void)state;
    ll_material *m = stock(1);
    ll_string string = string_at(m, 0, 6);
    ll_scene *scene = string_over_blade();
    ll_estimator *estimator;
    ll_solution *higher;
    double value, error, truth;
    assert_ok(ll_estimator_new(scene, NULL, 0.02, &estimator));
    assert_ok(ll_estimator_read(estimator, NULL, read_slope, &string, 0, 1, &value, &error));
    assert_ok(ll_solve(scene, &(ll_solve_options){.level = 3}, &higher));
    assert_ok(read_slope(higher, &string, &truth));
    assert_true(fabs(value - truth) <= error);
    assert_true(error <= 0.02 * fabs(value));
    ll_solution_free(higher);
    ll_estimator_free(estimator);
    ll_scene_free(scene);
    ll_material_free(m);
}

/* The coil hears the stretch over the pole: within two gaps and radii each way lies most of it, and far out nothing. */
static void hearing_is_over_the_pole(void **state)
{
    (void)state;
    ll_material *m = stock(1);
    const ll_string string = string_at(m, 0, 6.5);
    ll_hearing *h;
    double dz, dx, near = 0;
    assert_ok(ll_hearing_new(two_coils, first, &string, &h));
    ll_hearing_total(h, &dz, &dx);
    for (size_t i = 0; i + 1 < h->points; i++)
        if (fabs(h->y_m[i]) < 9e-3)
            near += (h->y_m[i + 1] - h->y_m[i]) * (h->dz_wb_m2[i] + h->dz_wb_m2[i + 1]) / 2;
    assert_true(near / dz > 0.8);
    assert_close(h->dz_wb_m2[0], 0, 1e-4 * fabs(dz) / 10e-3);
    ll_hearing_free(h);
    ll_material_free(m);
}

/* The map with the aperture that the coil has, y = 0 being 60 mm from the bridge. */
static ll_status map_of(const ll_string *string, double half_x_m, double half_z_m,
                        ll_linkage_map **out)
{
    ll_hearing *h;
    assert_ok(ll_hearing_new(two_coils, first, string, &h));
    ll_hearing_from_bridge(h, 0.06);
    const ll_aperture aperture = ll_hearing_aperture(h);
    const ll_status status =
        ll_hearing_map(two_coils, first, string, &aperture, half_x_m, half_z_m, out);
    ll_hearing_free(h);
    return status;
}

/* A map of 1 mm each way and one of 0.6, against the whole model at places between its samples. */
static void map_holds_the_whole_models_slopes_to_1_percent(void **state)
{
    (void)state;
    static const double way[] = {1e-3, 0.6e-3}, place[][2] = {{0, 0},    {0.7, 0},    {0, 0.7},
                                                              {0, -0.7}, {0.5, -0.5}, {-0.4, 0.6}};
    ll_material *m = stock(1);
    const ll_string string = string_at(m, 0.5, 6.7);
    for (int w = 0; w < 2; w++) {
        ll_linkage_map *map;
        assert_ok(map_of(&string, way[w], way[w], &map));
        for (int i = 0; i < 6; i++) {
            const double x = way[w] * place[i][0], z = way[w] * place[i][1];
            double dx, dz, up, aside;
            assert_ok(ll_linkage_map_gradient(map, 1, &x, &z, &dx, &dz));
            differences(&string, string.x_m + x, string.z_m + z, &up, &aside);
            assert_relative(dz, up, 0.01);
            assert_close(dx, aside, 0.01 * fabs(up));
        }
        ll_linkage_map_free(map);
    }
    ll_material_free(m);
}

static void maps_that_cannot_be_are_refused(void **state)
{
    (void)state;
    ll_material *m = stock(1), *bronze;
    assert_ok(ll_material_conductor(1e7, &bronze));
    const ll_string string = string_at(m, 0, 6.7), silent = string_at(bronze, 0, 6.7);
    ll_linkage_map *map = NULL;
    assert_int_equal(map_of(&string, 1e-3, 0, &map), LL_BAD_VALUE);
    assert_int_equal(map_of(&silent, 1e-3, 1e-3, &map), LL_BAD_VALUE);
    /* It would swing into the pole. */
    assert_int_equal(map_of(&string, 1e-3, 3e-3, &map), LL_STRING_IN_PART);
    assert_null(map);
    double dz, dx;
    slopes(first, &silent, &dz, &dx);
    assert_close(dz, 0, 0);
    assert_close(dx, 0, 0);
    ll_material_free(m);
    ll_material_free(bronze);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reciprocity_and_differences_give_one_voltage),
        cmocka_unit_test(a_magnetic_wrap_is_heard_by_both_routes),
        cmocka_unit_test(coils_add_by_their_shares),
        cmocka_unit_test(slopes_of_several_coils_are_those_of_each),
        cmocka_unit_test(the_error_told_holds_what_the_steel_answers),
        cmocka_unit_test(hearing_is_over_the_pole),
        cmocka_unit_test(map_holds_the_whole_models_slopes_to_1_percent),
        cmocka_unit_test(maps_that_cannot_be_are_refused),
    };
    return cmocka_run_group_tests(tests, solve, let_go);
}
