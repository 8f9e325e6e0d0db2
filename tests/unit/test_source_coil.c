/* test_source_coil.c - coils as sources: Ampere's law, potentials, symmetry, reciprocity, and what is refused.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "field/source.h"
#include <stdlib.h>

/* Round, long with half-round ends, long with small corners, sharp inner corners. */
static const ll_coil_shape coils[] = {{0.006, 0.006, 0.003, 0.005, 0.010},
                                      {0.060, 0.006, 0.003, 0.004, 0.010},
                                      {0.060, 0.009, 0.001, 0.003, 0.006},
                                      {0.020, 0.030, 0.000, 0.003, 0.004}};
#define COILS (sizeof coils / sizeof coils[0])

static ll_pose tilted(void)
{
    return (ll_pose){ll_rotation_about(ll_vec(1, 2, -0.5), 0.8), ll_vec(0.01, -0.02, 0.005)};
}

static ll_vec3 h_at(const ll_coil_shape *c, const ll_pose *pose, ll_vec3 p)
{
    ll_vec3 h;
    assert_ok(ll_coil_h(c, pose, 1, 1, &p, &h));
    return h;
}

typedef ll_status potential(const ll_coil_shape *, const ll_pose *, double, size_t, const ll_vec3 *,
                            double *);

static double psi_at(potential *of, const ll_coil_shape *c, const ll_pose *pose, ll_vec3 p)
{
    double psi;
    assert_ok(of(c, pose, 1, 1, &p, &psi));
    return psi;
}

static double uniform(void)
{
    return 2 * (rand() / (double)RAND_MAX) - 1;
}

static ll_vec3 shifted(ll_vec3 p, int axis, double by)
{
    return ll_vec(p.x + (axis == 0) * by, p.y + (axis == 1) * by, p.z + (axis == 2) * by);
}

/* Fourth-order central differences, step in metres: H there is of the order 1 / m for one turn. */
#define STEP 5e-6
static double slope(potential *of, const ll_coil_shape *c, const ll_pose *pose, ll_vec3 p, int axis)
{
    const double near =
        psi_at(of, c, pose, shifted(p, axis, STEP)) - psi_at(of, c, pose, shifted(p, axis, -STEP));
    const double wide = psi_at(of, c, pose, shifted(p, axis, 2 * STEP)) -
                        psi_at(of, c, pose, shifted(p, axis, -2 * STEP));
    return (8 * near - wide) / (12 * STEP);
}

static void check_gradient(potential *of, const ll_coil_shape *c, const ll_pose *pose, ll_vec3 own)
{
    const ll_vec3 p = ll_to_world(pose, own), h = h_at(c, pose, p);
    const double tolerance = 1e-6 * ll_norm(h) + 1e-7 / c->height_m;
    assert_close(h.x, -slope(of, c, pose, p, 0), tolerance);
    assert_close(h.y, -slope(of, c, pose, p, 1), tolerance);
    assert_close(h.z, -slope(of, c, pose, p, 2), tolerance);
}

static void field_is_minus_the_gradient_outside_the_equivalent_magnet(void **state)
{
    (void)state;
    const ll_pose pose = tilted();
    for (size_t i = 0; i < 200 * COILS; i++) {
        const ll_coil_shape *c = &coils[i % COILS];
        const ll_vec3 over = ll_vec(0.04 * uniform(), 0.04 * uniform(),
                                    0.5 * c->height_m + 5e-5 + 0.01 * fabs(uniform()));
        const ll_vec3 beside =
            ll_vec(0.5 * c->opening_x_m + 1.02 * c->build_m + 0.01 * fabs(uniform()),
                   0.02 * uniform(), 0.7 * c->height_m * uniform());
        check_gradient(ll_coil_potential, c, &pose, over);
        check_gradient(ll_coil_potential, c, &pose, beside);
    }
}

static void potential_in_the_hole_gives_the_field_there_and_above(void **state)
{
    (void)state;
    const ll_pose pose = tilted();
    for (size_t i = 0; i < 200 * COILS; i++) {
        const ll_coil_shape *c = &coils[i % COILS];
        const double z = 1.4 * c->height_m * uniform();
        if (fabs(fabs(z) - 0.5 * c->height_m) < 4 * STEP)
            continue;
        /* 0.68 of a quarter circle's corner is still inside the circle. */
        const ll_vec3 own =
            ll_vec(0.34 * c->opening_x_m * uniform(), 0.34 * c->opening_y_m * uniform(), z);
        check_gradient(ll_coil_potential_in_hole, c, &pose, own);
    }
}

static void potential_has_no_step_at_the_end_planes(void **state)
{
    (void)state;
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    for (size_t i = 0; i < 50 * COILS; i++) {
        const ll_coil_shape *c = &coils[i % COILS];
        const double end = 0.5 * c->height_m, x = 0.02 * uniform(), y = 0.006 * uniform();
        const ll_vec3 above = ll_vec(x, y, end + 1e-12), below = ll_vec(x, y, end - 1e-12);
        assert_close(psi_at(ll_coil_potential, c, &pose, above),
                     psi_at(ll_coil_potential, c, &pose, below), 1e-8);
        assert_close(ll_norm(ll_sub(h_at(c, &pose, above), h_at(c, &pose, below))), 0,
                     1e-5 / c->height_m);
    }
}

/* Around a closed rectangle in the plane y = 0, H adds up to the current through it: Gauss-Legendre, 8 panels of 5
 * points a side. */
static double along_line(const ll_coil_shape *c, const ll_pose *pose, ll_vec3 from, ll_vec3 to)
{
    static const double node[5] = {-0.9061798459386640, -0.5384693101056831, 0, 0.5384693101056831,
                                   0.9061798459386640};
    static const double weight[5] = {0.2369268850561891, 0.4786286704993665, 0.5688888888888889,
                                     0.4786286704993665, 0.2369268850561891};
    const ll_vec3 step = ll_sub(to, from);
    double sum = 0;
    for (int k = 0; k < 8; k++)
        for (int i = 0; i < 5; i++) {
            const double t = (k + 0.5 + 0.5 * node[i]) / 8;
            sum += weight[i] / 16 * ll_dot(step, h_at(c, pose, ll_add(from, ll_scale(t, step))));
        }
    return sum;
}

static double around(const ll_coil_shape *c, double x0, double x1, double z0, double z1)
{
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    const ll_vec3 p[4] = {{x0, 0, z0}, {x0, 0, z1}, {x1, 0, z1}, {x1, 0, z0}};
    double sum = 0;
    for (int i = 0; i < 4; i++)
        sum += along_line(c, &pose, p[i], p[(i + 1) % 4]);
    return sum;
}

static void amperes_law_holds_around_and_inside_the_winding(void **state)
{
    (void)state;
    for (size_t i = 0; i < COILS; i++) {
        const ll_coil_shape *c = &coils[i];
        const double h = c->height_m, in = 0.5 * c->opening_x_m;
        assert_close(around(c, 0.1 * in, in + 2 * c->build_m, -h, h), 1, 1e-5);
        assert_close(around(c, in + 1.2 * c->build_m, in + 3 * c->build_m, -h, h), 0, 1e-5);
        /* The share of the cross-section that the rectangle takes. */
        assert_close(around(c, in + 0.3 * c->build_m, in + 0.8 * c->build_m, -0.1 * h, 0.3 * h),
                     0.5 * 0.4, 1e-6);
    }
}

/* Far away a coil is a dipole of its turns times the mean area of a turn; terms of (size / distance)^2 follow. */
/* Where logarithms and arctangents of the closed forms have their zeros and poles: on edges, in corners, at the centres of
 * rounded corners. Next to such a point potential and field are nearly the same, but for the logarithm of the distance on the
 * end faces: a few per cent of H = turns / height there. */
static void on_its_own_edges_and_corners_a_coil_has_a_finite_field(void **state)
{
    (void)state;
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    for (size_t c = 0; c < COILS; c++) {
        const ll_coil_shape *s = &coils[c];
        const double x[] = {s->opening_x_m / 2 - s->corner_m, s->opening_x_m / 2,
                            s->opening_x_m / 2 + s->build_m};
        const double y[] = {s->opening_y_m / 2 - s->corner_m, s->opening_y_m / 2,
                            s->opening_y_m / 2 + s->build_m};
        for (int k = 0; k < 18; k++) {
            const ll_vec3 p = ll_vec(x[k % 3], -y[k / 3 % 3], (k / 9 - 0.5) * s->height_m);
            const ll_vec3 h = h_at(s, &pose, p), by = ll_vec(1e-9, 1e-9, 1e-9);
            assert_true(isfinite(ll_norm(h)));
            assert_close(psi_at(ll_coil_potential, s, &pose, p),
                         psi_at(ll_coil_potential, s, &pose, ll_add(p, by)), 1e-5);
            assert_close(h.x, h_at(s, &pose, ll_add(p, by)).x, 1e-3 / s->height_m);
            assert_close(h.y, h_at(s, &pose, ll_add(p, by)).y, 1e-3 / s->height_m);
        }
    }
}

static void far_away_a_coil_is_a_dipole(void **state)
{
    (void)state;
    const ll_pose pose = tilted();
    for (size_t i = 0; i < COILS; i++) {
        const ll_coil_shape *c = &coils[i];
        const double x = c->opening_x_m, y = c->opening_y_m, b = c->build_m, r = c->corner_m;
        /* Mean over depth of (x + 2 t)(y + 2 t) - (4 - pi)(r + t)^2. */
        const double area =
            x * y + (x + y) * b + 4 * b * b / 3 - (4 - LL_PI) * (r * r + r * b + b * b / 3);
        const double distance = 0.7;
        const ll_vec3 n = ll_vec(0.48, 0.6, -0.64),
                      axis = ll_rotate(&pose.rotation, ll_vec(0, 0, 1));
        const ll_vec3 p = ll_add(pose.origin_m, ll_scale(distance, n));
        const double along = ll_dot(axis, n), share = area / (4 * LL_PI * pow(distance, 3));
        const ll_vec3 h = ll_scale(share, ll_sub(ll_scale(3 * along, n), axis));
        assert_close(ll_norm(ll_sub(h_at(c, &pose, p), h)), 0, 5e-3 * ll_norm(h));
        assert_relative(psi_at(ll_coil_potential, c, &pose, p), share * distance * along, 5e-3);
    }
}

static void field_mirrors_as_the_coil_does(void **state)
{
    (void)state;
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    for (size_t i = 0; i < 40 * COILS; i++) {
        const ll_coil_shape *c = &coils[i % COILS];
        const ll_vec3 p = ll_vec(0.04 * uniform(), 0.02 * uniform(), 0.01 * uniform());
        const ll_vec3 h = h_at(c, &pose, p), left = h_at(c, &pose, ll_vec(-p.x, p.y, p.z)),
                      down = h_at(c, &pose, ll_vec(p.x, p.y, -p.z));
        const double tolerance = 2e-7 * ll_norm(h);
        assert_close(ll_norm(ll_sub(left, ll_vec(-h.x, h.y, h.z))), 0, tolerance);
        assert_close(ll_norm(ll_sub(down, ll_vec(-h.x, -h.y, h.z))), 0, tolerance);
    }
}

static double inductance(const ll_coil_shape *a, ll_pose pa, const ll_coil_shape *b, ll_pose pb)
{
    double l;
    assert_ok(ll_coil_inductance(a, &pa, 100, b, &pb, 200, &l));
    return l;
}

static void mutual_inductance_is_the_same_both_ways(void **state)
{
    (void)state;
    const ll_pose home = ll_pose_at(ll_vec(0, 0, 0));
    ll_pose off = tilted();
    off.origin_m = ll_vec(0.01, -0.02, 0.04);
    for (size_t i = 0; i < COILS; i++)
        for (size_t k = i + 1; k < COILS; k++)
            assert_relative(inductance(&coils[i], home, &coils[k], off),
                            inductance(&coils[k], off, &coils[i], home), 1e-6);
}

/* As the two coils of a pickup stand: no common axis, and less far apart than they are long. */
static void parallel_coils_beside_each_other_are_coupled_the_same_both_ways(void **state)
{
    (void)state;
    const ll_pose home = ll_pose_at(ll_vec(0, 0, 0)),
                  beside = ll_pose_at(ll_vec(0.003, 0.02, 0.025));
    for (size_t i = 0; i < COILS; i++)
        for (size_t k = 0; k < COILS; k++)
            assert_relative(inductance(&coils[i], home, &coils[k], beside),
                            inductance(&coils[k], beside, &coils[i], home), 1e-6);
}

/* Linkage from the field: one turn's flux by H over its area, the turn small beside its distance. */
static void a_small_far_coil_links_the_flux_through_its_turns(void **state)
{
    (void)state;
    const ll_coil_shape probe = {0.001, 0.001, 0.0005, 1e-5, 1e-5};
    const ll_pose home = ll_pose_at(ll_vec(0, 0, 0));
    const ll_pose at = {ll_rotation_about(ll_vec(1, 0, 0), 0.4), ll_vec(0.002, 0.001, 0.03)};
    const double area = LL_PI * 0.000505 * 0.000505;
    const ll_vec3 n = ll_rotate(&at.rotation, ll_vec(0, 0, 1));
    for (size_t i = 0; i < COILS; i++) {
        const double flux = LL_MU0 * area * ll_dot(n, h_at(&coils[i], &home, at.origin_m));
        assert_relative(inductance(&coils[i], home, &probe, at), 100 * 200 * flux, 3e-4);
    }
}

/* Two halves of a winding, one on the other, make the whole: L = L1 + L2 + 2 M with half the turns each. */
static void inductances_of_two_halves_add_up_to_the_whole(void **state)
{
    (void)state;
    const ll_coil_shape whole = coils[1];
    ll_coil_shape half = whole;
    half.height_m *= 0.5;
    const ll_pose mid = ll_pose_at(ll_vec(0, 0, 0)), up = ll_pose_at(ll_vec(0, 0, 0.0025)),
                  down = ll_pose_at(ll_vec(0, 0, -0.0025));
    const double l = inductance(&whole, mid, &whole, mid);
    const double parts = inductance(&half, up, &half, up) + inductance(&half, up, &half, down);
    assert_relative(l, 0.5 * parts, 1e-6);
}

static void coils_that_cannot_be_are_refused_and_nothing_is_written(void **state)
{
    (void)state;
    static const struct {
        ll_coil_shape coil;
        ll_status expected;
    } cases[] = {{{0, 0.006, 0, 0.005, 0.01}, LL_BAD_SIZE},
                 {{0.06, 0.006, 0.003, -0.005, 0.01}, LL_BAD_SIZE},
                 {{0.06, 0.006, 0.003, 0.005, 0}, LL_BAD_SIZE},
                 {{0.06, 0.006, 0.0031, 0.005, 0.01}, LL_BAD_VALUE},
                 {{0.06, 0.006, -0.001, 0.005, 0.01}, LL_BAD_VALUE},
                 {{0.06, NAN, 0.001, 0.005, 0.01}, LL_BAD_VALUE},
                 {{INFINITY, 0.006, 0.001, 0.005, 0.01}, LL_BAD_VALUE}};
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    const ll_vec3 p = ll_vec(0, 0, 0.01);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ll_vec3 h = ll_vec(1, 2, 3);
        double psi = 4, l = 5;
        assert_int_equal(ll_coil_h(&cases[i].coil, &pose, 1, 1, &p, &h), cases[i].expected);
        assert_int_equal(ll_coil_potential(&cases[i].coil, &pose, 1, 1, &p, &psi),
                         cases[i].expected);
        assert_int_equal(ll_coil_inductance(&coils[0], &pose, 1, &cases[i].coil, &pose, 1, &l),
                         cases[i].expected);
        assert_close(h.x + h.y + h.z + psi + l, 15, 0);
    }
    ll_vec3 h;
    double l;
    const ll_vec3 bad = ll_vec(0, 0, NAN);
    assert_int_equal(ll_coil_h(&coils[0], &pose, 1, 1, &bad, &h), LL_BAD_VALUE);
    assert_int_equal(ll_coil_h(&coils[0], &pose, NAN, 1, &p, &h), LL_BAD_VALUE);
    assert_int_equal(ll_coil_inductance(&coils[0], &pose, 1, &coils[0], &pose, INFINITY, &l),
                     LL_BAD_VALUE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(field_is_minus_the_gradient_outside_the_equivalent_magnet),
        cmocka_unit_test(potential_in_the_hole_gives_the_field_there_and_above),
        cmocka_unit_test(potential_has_no_step_at_the_end_planes),
        cmocka_unit_test(amperes_law_holds_around_and_inside_the_winding),
        cmocka_unit_test(on_its_own_edges_and_corners_a_coil_has_a_finite_field),
        cmocka_unit_test(far_away_a_coil_is_a_dipole),
        cmocka_unit_test(field_mirrors_as_the_coil_does),
        cmocka_unit_test(mutual_inductance_is_the_same_both_ways),
        cmocka_unit_test(parallel_coils_beside_each_other_are_coupled_the_same_both_ways),
        cmocka_unit_test(a_small_far_coil_links_the_flux_through_its_turns),
        cmocka_unit_test(inductances_of_two_halves_add_up_to_the_whole),
        cmocka_unit_test(coils_that_cannot_be_are_refused_and_nothing_is_written),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
