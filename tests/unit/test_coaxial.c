/* test_coaxial.c - laws that currents around an axis obey: powers of the frequency, a thin ring as a shorted turn, the field as what
 * a small loop links of it, reciprocity, losses. SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "eddies/coaxial.h"
#include "field/source.h"

static ll_coaxial *stack_of(ll_scene *scene)
{
    ll_solution *s = solved(scene, 0.5);
    ll_coaxial *c;
    assert_ok(ll_coaxial_new(s, &c));
    ll_solution_free(s);
    return c;
}

static void add_metal(ll_scene *scene, ll_shape shape, ll_vec3 at_m, double mu_r, double sigma)
{
    ll_material *material;
    if (mu_r > 1)
        assert_ok(ll_material_steel(mu_r, sigma, &material));
    else
        assert_ok(ll_material_conductor(sigma, &material));
    add_posed(scene, shape, ll_pose_at(at_m), material, ll_vec(0, 0, 0));
}

/* Far below the skin depth the resistance grows with the square of the frequency, and so does what the inductance loses; far above
 * it with the root (Landau and Lifshitz, Electrodynamics of Continuous Media, section 60). Copper 20 mm wide, skin depths of
 * 0.47 and 0.23 mm: edges and the second order in depth over radius leave 5 %. */
static void resistance_follows_the_square_and_then_the_root(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_metal(scene, rod_mm(20, 10), mm(0, 0, 0), 1, 58e6);
    add_coil(scene, round_coil_mm(12, 16, 10), mm(0, 0, 0), 1000);
    ll_coaxial *c = stack_of(scene);
    const double complex low = ll_coaxial_inductance(c, 0, 0, 0.5, NULL);
    const double complex twice = ll_coaxial_inductance(c, 0, 0, 1, NULL);
    assert_relative(2 * cimag(twice) / cimag(low), 4, 1e-3);
    assert_relative(creal(twice) / creal(low), 4, 1e-3);
    const double complex high = ll_coaxial_inductance(c, 0, 0, 20e3, NULL);
    const double complex fourfold = ll_coaxial_inductance(c, 0, 0, 80e3, NULL);
    assert_relative(4 * cimag(fourfold) / cimag(high), 2, 0.05);
    ll_coaxial_free(c);
}

/* A thin ring is a shorted turn: it adds w^2 M^2 / (R + j w L), with M and L those of one turn of its section in air and R that of
 * its circumference. Its build is 2 % of its radius, which the mean circumference leaves to second order. */
static void a_thin_ring_is_a_shorted_turn(void **state)
{
    (void)state;
    const ll_coil_shape coil = round_coil_mm(5, 8, 6), turn = round_coil_mm(9.9, 10.1, 0.2);
    const ll_pose at = ll_pose_at(mm(0, 0, 0)), above = ll_pose_at(mm(0, 0, 4));
    const double sigma = 58e6, f_hz = 2e3, ohm = 2 * LL_PI * 10e-3 / (sigma * 0.2e-3 * 0.2e-3);
    double mutual_h, own_h;
    assert_ok(ll_coil_inductance(&coil, &at, 3000, &turn, &above, 1, &mutual_h));
    assert_ok(ll_coil_inductance(&turn, &above, 1, &turn, &above, 1, &own_h));
    ll_scene *scene = new_scene();
    add_metal(scene, ring_mm(20.2, 19.8, 0.2), mm(0, 0, 4), 1, sigma);
    add_coil(scene, coil, mm(0, 0, 0), 3000);
    ll_coaxial *c = stack_of(scene);
    const double complex s = 2 * LL_PI * f_hz * I;
    const double complex expected = -s * mutual_h * mutual_h / (ohm + s * own_h);
    const double complex change = ll_coaxial_inductance(c, 0, 0, f_hz, NULL);
    assert_relative(creal(change), creal(expected), 2e-3);
    assert_relative(cimag(change), cimag(expected), 2e-3);
    ll_coaxial_free(c);
}

/* A pole with a disc joined to it and a ring of plain metal around both, in two coils. */
static ll_scene *two_coils(void)
{
    ll_scene *scene = new_scene();
    add_metal(scene, rod_mm(5, 14), mm(0, 0, 0), 150, 5e6);
    add_metal(scene, rod_mm(16, 1), mm(0, 0, -7.5), 150, 5e6);
    add_metal(scene, ring_mm(20, 18, 3), mm(0, 0, 2), 1, 1.5e7);
    add_coil(scene, round_coil_mm(3, 7, 6), mm(0, 0, -2), 4000);
    add_coil(scene, round_coil_mm(2, 2.2, 0.2), mm(0, 0, 9.5), 1);
    return scene;
}

/* What the field that the first coil's currents change brings through a small loop is what the loop links of it: the loop's flux by
 * Gauss points over its disc against the mutual inductance, two ways that share no integral. */
static void a_loop_links_the_field_that_is_told(void **state)
{
    (void)state;
    enum { POINTS = 6 };
    static const double node[POINTS] = {0.0337652429, 0.1693953068, 0.3806904070,
                                        0.6193095930, 0.8306046932, 0.9662347571};
    static const double weight[POINTS] = {0.0856622462, 0.1803807865, 0.2339569673,
                                          0.2339569673, 0.1803807865, 0.0856622462};
    ll_coaxial *c = stack_of(two_coils());
    ll_vec3 at[POINTS], real[POINTS], imag[POINTS];
    const double radius = 2.1e-3, f_hz = 3000;
    /* Even in area: r^2 at Gauss's points. */
    for (int i = 0; i < POINTS; i++)
        at[i] = ll_vec(radius * sqrt(node[i]) * 0.6, radius * sqrt(node[i]) * 0.8, 9.5e-3);
    assert_ok(ll_coaxial_h(c, 0, f_hz, POINTS, at, real, imag));
    double complex flux = 0;
    for (int i = 0; i < POINTS; i++)
        flux += LL_MU0 * LL_PI * radius * radius * weight[i] * (real[i].z + I * imag[i].z);
    const double complex mutual = ll_coaxial_inductance(c, 1, 0, f_hz, NULL);
    assert_true(cabs(flux - mutual) < 2e-3 * cabs(mutual));
    /* H across the axis points away from it or towards it. */
    assert_close(real[3].x / real[3].y, 0.75, 1e-9);
    ll_coaxial_free(c);
}

/* Two ways round are the same, and whatever the currents in the coils, energy is lost. */
static void coils_on_the_axis_are_reciprocal_and_lose_energy(void **state)
{
    (void)state;
    ll_coaxial *c = stack_of(two_coils());
    for (double f_hz = 30; f_hz < 1e5; f_hz *= 10) {
        const double complex a = ll_coaxial_inductance(c, 0, 0, f_hz, NULL);
        const double complex b = ll_coaxial_inductance(c, 1, 1, f_hz, NULL);
        const double complex ab = ll_coaxial_inductance(c, 0, 1, f_hz, NULL);
        assert_true(cabs(ab - ll_coaxial_inductance(c, 1, 0, f_hz, NULL)) <= 1e-15 * cabs(ab));
        assert_true(cimag(a) < 0 && cimag(b) < 0);
        assert_true(cimag(ab) * cimag(ab) <= cimag(a) * cimag(b));
    }
    ll_coaxial_free(c);
}

/* Turned about x and moved, and with the coil the other way up, it is the same pickup. */
static void it_does_not_matter_where_the_axis_points(void **state)
{
    (void)state;
    double complex change[2];
    for (int turned = 0; turned < 2; turned++) {
        ll_scene *scene = new_scene();
        ll_pose pose = ll_pose_at(turned ? mm(3, -4, 5) : mm(0, 0, 0)), coil = pose;
        if (turned) {
            pose.rotation = (ll_rotation){{{1, 0, 0}, {0, 0, -1}, {0, 1, 0}}};
            coil.rotation = (ll_rotation){{{1, 0, 0}, {0, 0, 1}, {0, -1, 0}}};
        }
        ll_material *material;
        assert_ok(ll_material_steel(100, 5e6, &material));
        add_posed(scene, rod_mm(5, 14), pose, material, ll_vec(0, 0, 0));
        const ll_coil c = {"coil", round_coil_mm(3, 8, 10), coil, 8000};
        assert_ok(ll_scene_add_coil(scene, &c));
        ll_coaxial *stack = stack_of(scene);
        assert_non_null(stack);
        change[turned] = ll_coaxial_inductance(stack, 0, 0, 2000, NULL);
        ll_coaxial_free(stack);
    }
    assert_true(cabs(change[1] - change[0]) < 1e-9 * cabs(change[0]));
}

/* A coil that is not round, or stands beside the axis, is no part of a stack. */
static void what_stands_beside_the_axis_is_refused(void **state)
{
    (void)state;
    for (int k = 0; k < 3; k++) {
        ll_scene *scene = new_scene();
        add_metal(scene, rod_mm(5, 14), mm(0, 0, 0), 100, 5e6);
        if (k == 0)
            add_coil(scene, round_coil_mm(3, 8, 10), mm(0.01, 0, 0), 8000);
        else
            add_coil(scene, (ll_coil_shape){20e-3, 7e-3, 3.5e-3, 4e-3, 10e-3}, mm(0, 0, 0), 8000);
        if (k == 2)
            add_metal(scene, block_mm(30, 30, 1), mm(0, 0, -9), 1, 1e7);
        assert_null(stack_of(scene));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(resistance_follows_the_square_and_then_the_root),
        cmocka_unit_test(a_thin_ring_is_a_shorted_turn),
        cmocka_unit_test(a_loop_links_the_field_that_is_told),
        cmocka_unit_test(coils_on_the_axis_are_reciprocal_and_lose_energy),
        cmocka_unit_test(it_does_not_matter_where_the_axis_points),
        cmocka_unit_test(what_stands_beside_the_axis_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
