/* test_signal_map.c - linkage maps: functions they must give back, slopes, apertures, what is refused.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "string/linkage_map.h"

enum { SIDE = 9, ALL = SIDE * SIDE };

typedef double (*surface)(double x_mm, double z_mm);

static const double at_60_mm = 0.06, one = 1;
static const ll_aperture point = {1, &at_60_mm, &one};

/* Off centre, so that nothing rests on symmetry: x from -2 to 3 mm, z from -1 to 1.5 mm. */
static void grid(surface f, double *x, double *z, double *wb)
{
    for (int i = 0; i < ALL; i++) {
        x[i] = 1e-3 * (-2 + 5.0 * (i % SIDE) / (SIDE - 1));
        z[i] = 1e-3 * (-1 + 2.5 * (i / SIDE) / (SIDE - 1));
        wb[i] = f(1e3 * x[i], 1e3 * z[i]);
    }
}

static ll_linkage_map *map_of(surface f, unsigned degree)
{
    double x[ALL], z[ALL], wb[ALL];
    ll_linkage_map *map = NULL;
    grid(f, x, z, wb);
    assert_ok(ll_linkage_map_new(&(ll_linkage_samples){ALL, x, z, wb}, degree, &point, &map));
    return map;
}

static double cubic(double x, double z)
{
    return 1e-6 * (3 + 2 * x - z + 0.5 * x * z * z - 0.25 * x * x * x + 0.125 * z * z);
}

/* A pole 3 mm below the string, linkage falling as the cube of the distance. */
static double pole(double x, double z)
{
    return 1e-5 * pow(hypot(x, z + 3) / 3, -3);
}

static void a_polynomial_comes_back_with_its_slopes(void **state)
{
    (void)state;
    ll_linkage_map *map = map_of(cubic, 3);
    assert_close(ll_linkage_map_residual_wb(map), 0, 1e-17);
    for (double x = -2; x <= 3; x += 0.37) {
        const double z = 0.4 * x - 0.1, x_m = 1e-3 * x, z_m = 1e-3 * z;
        double value, dx, dz;
        assert_ok(ll_linkage_map_value(map, x_m, z_m, &value));
        assert_ok(ll_linkage_map_gradient(map, 1, &x_m, &z_m, &dx, &dz));
        assert_close(value, cubic(x, z), 1e-17);
        assert_close(dx, 1e-3 * (2 + 0.5 * z * z - 0.75 * x * x), 1e-13);
        assert_close(dz, 1e-3 * (-1 + x * z + 0.25 * z), 1e-13);
    }
    ll_linkage_map_free(map);
}

static void a_poles_linkage_is_followed_better_by_higher_degrees(void **state)
{
    (void)state;
    double before = HUGE_VAL;
    for (unsigned degree = 2; degree <= 8; degree += 2) {
        ll_linkage_map *map = map_of(pole, degree);
        const double residual = ll_linkage_map_residual_wb(map);
        /* Its nearest singularity is 3 mm from rest and the grid reaches 2 mm down and 3 mm across. */
        assert_true(residual < 0.6 * before);
        before = residual;
        ll_linkage_map_free(map);
    }
    assert_close(before, 0, 0.01 * pole(0, -1));
}

/* What a string does in play: 1 mm down, up and across, over a pole 3 mm below. Slopes between the samples, against those
 * at rest: a series in displacement over distance converges to 3 % at the far corners and to 0.2 % half way out. */
static void slopes_between_the_samples_are_the_poles_own(void **state)
{
    (void)state;
    double x[ALL], z[ALL], wb[ALL];
    const double at_rest = 3 * pole(0, 0) / 3e-3;
    for (int i = 0; i < ALL; i++) {
        x[i] = 1e-3 * (-1 + 0.25 * (i % SIDE));
        z[i] = 1e-3 * (-1 + 0.25 * (i / SIDE));
        wb[i] = pole(1e3 * x[i], 1e3 * z[i]);
    }
    ll_linkage_map *map = NULL;
    assert_ok(ll_linkage_map_new(&(ll_linkage_samples){ALL, x, z, wb}, 8, &point, &map));
    for (int i = 0; i < 400; i++) {
        const double x_m = 1e-3 * sin(i), z_m = 1e-3 * sin(1.37 * i + 1);
        const double reach = fmax(fabs(x_m), fabs(z_m)), above = z_m + 3e-3;
        const double per_m = -3 * pole(1e3 * x_m, 1e3 * z_m) / (x_m * x_m + above * above);
        const double tolerance = (reach < 0.5e-3 ? 0.002 : 0.035) * at_rest;
        double dx, dz;
        assert_ok(ll_linkage_map_gradient(map, 1, &x_m, &z_m, &dx, &dz));
        assert_close(dx, per_m * x_m, tolerance);
        assert_close(dz, per_m * above, tolerance);
    }
    ll_linkage_map_free(map);
}

/* Many at once, across the chunks in which they are worked on, are each as if alone. */
static void slopes_of_many_are_the_slopes_of_each(void **state)
{
    (void)state;
    enum { MANY = 200 };
    ll_linkage_map *map = map_of(pole, 6);
    double x[MANY], z[MANY], dx[MANY], dz[MANY];
    for (int i = 0; i < MANY; i++) {
        x[i] = 2e-3 * sin(i);
        z[i] = 1e-3 * cos(1.7 * i);
    }
    assert_ok(ll_linkage_map_gradient(map, MANY, x, z, dx, dz));
    for (int i = 0; i < MANY; i++) {
        double one_dx, one_dz;
        assert_ok(ll_linkage_map_gradient(map, 1, &x[i], &z[i], &one_dx, &one_dz));
        assert_close(dx[i], one_dx, 1e-16);
        assert_close(dz[i], one_dz, 1e-16);
    }
    ll_linkage_map_free(map);
}

static void outside_its_samples_a_map_knows_nothing(void **state)
{
    (void)state;
    ll_linkage_map *map = map_of(cubic, 3);
    static const double outside[][2] = {{-2.01e-3, 0}, {3.01e-3, 0}, {0, -1.01e-3},
                                        {0, 1.51e-3},  {NAN, 0},     {0, NAN}};
    for (size_t i = 0; i < sizeof outside / sizeof outside[0]; i++) {
        const double x[2] = {0, outside[i][0]}, z[2] = {0, outside[i][1]};
        double value = 7, dx[2] = {7, 7}, dz[2] = {7, 7};
        assert_int_equal(ll_linkage_map_value(map, x[1], z[1], &value), LL_OUTSIDE_MAP);
        assert_int_equal(ll_linkage_map_gradient(map, 2, x, z, dx, dz), LL_OUTSIDE_MAP);
        assert_close(value + dx[0] + dx[1] + dz[0] + dz[1], 35, 0);
    }
    ll_linkage_map_free(map);
}

static ll_linkage_map *with_aperture(const ll_aperture *aperture)
{
    double x[ALL], z[ALL], wb[ALL];
    ll_linkage_map *map = NULL;
    grid(cubic, x, z, wb);
    assert_ok(ll_linkage_map_new(&(ll_linkage_samples){ALL, x, z, wb}, 3, aperture, &map));
    return map;
}

/* A narrow pickup hears sin(n pi y / L), one that hears a stretch w alike sin(u) / u of it, u = n pi w / (2 L). */
static void a_wide_aperture_dulls_short_waves(void **state)
{
    (void)state;
    const double y[2] = {0.05, 0.07}, weight[2] = {3, 3}, length = 0.648;
    ll_linkage_map *narrow = with_aperture(&point);
    ll_linkage_map *wide = with_aperture(&(ll_aperture){2, y, weight});
    for (size_t n = 1; n <= 100; n++) {
        const double middle = sin((double)n * LL_PI * 0.06 / length);
        const double u = (double)n * LL_PI * 0.02 / (2 * length);
        assert_close(ll_linkage_map_comb(narrow, length, n), middle, 1e-13);
        assert_close(ll_linkage_map_comb(wide, length, n), middle * sin(u) / u, 1e-13);
    }
    ll_linkage_map_free(narrow);
    ll_linkage_map_free(wide);
}

static void a_string_stopped_short_of_the_pickup_is_not_heard(void **state)
{
    (void)state;
    ll_linkage_map *narrow = with_aperture(&point);
    assert_close(ll_linkage_map_comb(narrow, 0.05, 1), 0, 0);
    ll_linkage_map_free(narrow);
}

/* Four places a side tell u^3 v^3, of total degree 6, and no higher power of either. */
static void powers_that_the_places_cannot_tell_are_left_out(void **state)
{
    (void)state;
    enum { SIDE_4 = 4 };
    double a[SIDE_4 * SIDE_4], b[SIDE_4 * SIDE_4], wb[SIDE_4 * SIDE_4];
    for (int i = 0; i < SIDE_4 * SIDE_4; i++) {
        a[i] = i / SIDE_4 - 1.5;
        b[i] = i % SIDE_4 - 1.5;
        wb[i] = pow(a[i], 3) * pow(b[i], 3) + 2 * a[i] * b[i] * b[i];
    }
    const double y[] = {0.06};
    ll_linkage_map *map;
    double dx, dz;
    const double u = 0.7, v = -1.1;
    assert_ok(ll_linkage_map_new(&(ll_linkage_samples){SIDE_4 * SIDE_4, a, b, wb}, 6,
                                 &(ll_aperture){1, y, NULL}, &map));
    assert_ok(ll_linkage_map_gradient(map, 1, &u, &v, &dx, &dz));
    assert_relative(dx, 3 * u * u * pow(v, 3) + 2 * v * v, 1e-10);
    assert_relative(dz, 3 * pow(u, 3) * v * v + 4 * u * v, 1e-10);
    ll_linkage_map_free(map);
}

static void samples_that_do_not_make_a_map_are_refused(void **state)
{
    (void)state;
    double x[ALL], z[ALL], wb[ALL], same[ALL] = {0};
    grid(cubic, x, z, wb);
    const double y[2] = {0.05, 0.07}, back[2] = {0.07, 0.05}, odd[2] = {1, -1},
                 nearly[2] = {1, -1 + 1e-15}, nan_wt[2] = {1, NAN};
    double broken[ALL];
    for (int i = 0; i < ALL; i++)
        broken[i] = i == 5 ? NAN : wb[i];
    const struct {
        ll_linkage_samples samples;
        unsigned degree;
        ll_aperture aperture;
    } cases[] = {{{ALL, x, z, wb}, 0, point},
                 {{ALL, x, z, wb}, LL_LINKAGE_MAP_DEGREE + 1, point},
                 {{9, x, z, wb}, 3, point},      /* ten terms */
                 {{ALL, same, z, wb}, 2, point}, /* a line is no rectangle */
                 {{ALL, z, z, wb}, 2, point},    /* nor is a diagonal */
                 {{ALL, x, z, broken}, 2, point},
                 {{ALL, x, z, wb}, 2, {0, y, odd}},
                 {{ALL, x, z, wb}, 2, {2, back, y}},
                 {{ALL, x, z, wb}, 2, {2, y, odd}},    /* hears nothing */
                 {{ALL, x, z, wb}, 2, {2, y, nearly}}, /* but for rounding */
                 {{ALL, x, z, wb}, 2, {2, y, nan_wt}}};
    ll_linkage_map *map = NULL;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_int_equal(
            ll_linkage_map_new(&cases[i].samples, cases[i].degree, &cases[i].aperture, &map),
            LL_BAD_VALUE);
    assert_null(map);
    ll_linkage_map_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_polynomial_comes_back_with_its_slopes),
        cmocka_unit_test(a_poles_linkage_is_followed_better_by_higher_degrees),
        cmocka_unit_test(slopes_between_the_samples_are_the_poles_own),
        cmocka_unit_test(slopes_of_many_are_the_slopes_of_each),
        cmocka_unit_test(outside_its_samples_a_map_knows_nothing),
        cmocka_unit_test(a_wide_aperture_dulls_short_waves),
        cmocka_unit_test(a_string_stopped_short_of_the_pickup_is_not_heard),
        cmocka_unit_test(powers_that_the_places_cannot_tell_are_left_out),
        cmocka_unit_test(samples_that_do_not_make_a_map_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
