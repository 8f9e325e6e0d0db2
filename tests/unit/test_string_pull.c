/* test_string_pull.c - the magnets' pull at a string against the energy that it costs, and what it must obey.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "string/pull.h"
#include "string/track.h"

#include <string.h>

static ll_solution *screw_and_bars, *bare_rod;

/* One pole in its coil between two bars, and a rod magnet without steel. */
static int solve_both(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 18), mm(0, 0, -5), 500);
    add_magnet(scene, block_mm(10, 10, 4), mm(0, 8, -12), magnet(0.38, 1), ll_vec(0, -1, 0));
    add_magnet(scene, block_mm(10, 10, 4), mm(0, -8, -12), magnet(0.38, 1), ll_vec(0, 1, 0));
    screw_and_bars = solved(scene, 0.7);
    scene = new_scene();
    add_magnet(scene, rod_mm(5, 17), mm(0, 0, -4.5), magnet(1.2, 1), ll_vec(0, 0, 1));
    bare_rod = solved(scene, 0.7);
    return 0;
}

static int free_both(void **state)
{
    (void)state;
    ll_solution_free(screw_and_bars);
    ll_solution_free(bare_rod);
    return 0;
}

/* Half its thickness a magnetic wrap when there is one. */
static const ll_material *wrap;

static ll_string string_at(const ll_material *material, double gauge_mm, double x_mm, double z_mm)
{
    const double core_mm = wrap ? gauge_mm / 2 : gauge_mm;
    return (ll_string){1e-3 * gauge_mm, 1e-3 * core_mm, material, 1e-3 * x_mm, 1e-3 * z_mm, wrap};
}

static void total(const ll_solution *s, const ll_string *string, double *x_n, double *z_n)
{
    ll_pull *pull;
    assert_ok(ll_pull_new(s, string, 0.3, &pull));
    assert_ok(ll_pull_total(pull, 0.648, x_n, z_n));
    ll_pull_free(pull);
}

/* ---- energy ---- */

/* mu0 integral M . H0 dV with the string in the share `lambda` of the bias field H0, the steel answering it. */
static double linked(ll_track *t, double lambda)
{
    static ll_vec3 bias[2000];
    const ll_string *string = t->string;
    double sum = 0;
    assert_ok(ll_track_place(t, NULL, string->x_m, string->z_m));
    assert_true(t->nodes < 2000);
    memcpy(bias, t->h, t->nodes * sizeof *bias);
    for (size_t i = 0; i < t->nodes; i++)
        t->h[i] = ll_scale(lambda, t->h[i]);
    assert_ok(ll_track_magnetise(t, true));
    for (size_t i = 0; i < t->nodes; i++) {
        sum += t->length_m[i] * ll_track_across(t, i) *
               (t->h[i].x * bias[i].x + t->h[i].z * bias[i].z);
        if (i + 1 < t->nodes)
            sum += ll_track_along(t, i) * (t->y_m[i + 1] - t->y_m[i]) *
                   (bias[i].y + bias[i + 1].y) / 2;
    }
    return LL_MU0 * sum;
}

/* The energy of a string without hysteresis in the field of magnets: minus the integral of `linked` over lambda from 0 to 1
 * (textbook: the work of bringing the field up on the string). Five Gauss points: Abramowitz and Stegun, table 25.4. */
static double energy(const ll_solution *s, const ll_string *string)
{
    static const double at[] = {0.0469100770, 0.2307653449, 0.5, 0.7692346551, 0.9530899230},
                        weight[] = {0.1184634425, 0.2393143352, 0.2844444444, 0.2393143352,
                                    0.1184634425};
    ll_track track;
    double sum = 0;
    assert_ok(ll_track_new(s, string, &track));
    for (int i = 0; i < 5; i++)
        sum -= weight[i] * linked(&track, at[i]);
    ll_track_clear(&track);
    return sum;
}

/* Simpson's rule over 0.4 mm of the way up, and across. */
static void work_is_the_change_of_energy(const ll_solution *s, const ll_material *m, double x_mm,
                                         double z_mm)
{
    double up[3], across[3], other;
    const double weight[] = {1 / 6.0, 4 / 6.0, 1 / 6.0}, way_m = 0.4e-3;
    double work_up = 0, work_across = 0;
    for (int i = 0; i < 3; i++) {
        const ll_string higher = string_at(m, 0.43, x_mm, z_mm + 0.2 * i);
        const ll_string aside = string_at(m, 0.43, x_mm + 0.2 * i, z_mm);
        total(s, &higher, &other, &up[i]);
        total(s, &aside, &across[i], &other);
        work_up += weight[i] * way_m * up[i];
        work_across += weight[i] * way_m * across[i];
    }
    const ll_string from = string_at(m, 0.43, x_mm, z_mm);
    const ll_string above = string_at(m, 0.43, x_mm, z_mm + 0.4);
    const ll_string beside = string_at(m, 0.43, x_mm + 0.4, z_mm);
    const double start = energy(s, &from);
    assert_relative(work_up, start - energy(s, &above), 0.01);
    assert_close(work_across, start - energy(s, &beside), 0.01 * fabs(work_up));
}

static void work_of_the_pull_is_the_change_of_energy(void **state)
{
    (void)state;
    ll_material *straight = steel(200), *wire;
    assert_ok(ll_material_named("music wire", &wire));
    work_is_the_change_of_energy(bare_rod, straight, 1, 7);
    work_is_the_change_of_energy(bare_rod, wire, 1, 7);
    work_is_the_change_of_energy(screw_and_bars, straight, 1, 7);
    work_is_the_change_of_energy(screw_and_bars, wire, 1, 7);
    wrap = straight;
    work_is_the_change_of_energy(screw_and_bars, wire, 1, 7);
    wrap = NULL;
    ll_material_free(straight);
    ll_material_free(wire);
}

/* ---- gradient ---- */

/* Integral of a gradient's column over the length, by ll_mode_pairs' own rule for partial 0: the trapezoid. */
static double integral(const ll_pull *p, const double *column)
{
    double sum = 0;
    for (size_t i = 0; i + 1 < p->points; i++)
        sum += (p->from_bridge_m[i + 1] - p->from_bridge_m[i]) * (column[i] + column[i + 1]) / 2;
    return sum;
}

static void gradient_is_the_slope_of_the_force(void **state)
{
    (void)state;
    ll_material *wire;
    assert_ok(ll_material_named("music wire", &wire));
    const double h = 0.2;
    const ll_string rest = string_at(wire, 0.254, 1, 7);
    double x[4], z[4];
    for (int i = 0; i < 4; i++) {
        const double dx = i < 2 ? (i ? h : -h) : 0, dz = i < 2 ? 0 : (i == 3 ? h : -h);
        const ll_string moved = string_at(wire, 0.254, 1 + dx, 7 + dz);
        total(screw_and_bars, &moved, &x[i], &z[i]);
    }
    ll_pull *pull;
    assert_ok(ll_pull_new(screw_and_bars, &rest, 0.3, &pull));
    const double zz = (z[3] - z[2]) / (2e-3 * h);
    assert_relative(integral(pull, pull->gradient_zz_n_m2), zz, 0.02);
    assert_close(integral(pull, pull->gradient_xx_n_m2), (x[1] - x[0]) / (2e-3 * h), 0.02 * zz);
    assert_close(integral(pull, pull->gradient_xz_n_m2), (x[3] - x[2]) / (2e-3 * h), 0.02 * zz);
    assert_close(integral(pull, pull->gradient_xz_n_m2), (z[1] - z[0]) / (2e-3 * h), 0.02 * zz);
    ll_pull_free(pull);
    ll_material_free(wire);
}

/* ---- signs and silence ---- */

static void magnets_pull_towards_the_pole(void **state)
{
    (void)state;
    ll_material *wire;
    assert_ok(ll_material_named("music wire", &wire));
    double left, right, down, before = 0;
    for (double z = 9; z > 5; z -= 1) {
        const ll_string over = string_at(wire, 0.254, 0, z);
        total(screw_and_bars, &over, &left, &down);
        assert_close(left, 0, 0.01 * fabs(down));
        assert_true(down < before);
        before = down;
    }
    const ll_string beside = string_at(wire, 0.254, 2, 6), other = string_at(wire, 0.254, -2, 6);
    total(screw_and_bars, &beside, &right, &down);
    total(screw_and_bars, &other, &left, &down);
    assert_true(right < 0 && left > 0);
    assert_relative(right, -left, 0.02);
    ll_material_free(wire);
}

static void bronze_is_not_pulled_and_parts_are_not_entered(void **state)
{
    (void)state;
    ll_material *bronze, *wire;
    double x, z;
    ll_pull *pull = NULL;
    assert_ok(ll_material_conductor(1e7, &bronze));
    assert_ok(ll_material_named("music wire", &wire));
    const ll_string silent = string_at(bronze, 0.3, 0, 7), inside = string_at(wire, 0.3, 0, 3);
    const ll_string thin = string_at(wire, 0, 0, 7);
    total(screw_and_bars, &silent, &x, &z);
    assert_close(x, 0, 0);
    assert_close(z, 0, 0);
    assert_int_equal(ll_pull_new(screw_and_bars, &inside, 0.06, &pull), LL_STRING_IN_PART);
    assert_int_equal(ll_pull_new(screw_and_bars, &thin, 0.06, &pull), LL_BAD_SIZE);
    assert_null(pull);
    ll_pull_free(NULL);
    ll_material_free(bronze);
    ll_material_free(wire);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(work_of_the_pull_is_the_change_of_energy),
        cmocka_unit_test(gradient_is_the_slope_of_the_force),
        cmocka_unit_test(magnets_pull_towards_the_pole),
        cmocka_unit_test(bronze_is_not_pulled_and_parts_are_not_entered),
    };
    return cmocka_run_group_tests(tests, solve_both, free_both);
}
