/* test_source.c - magnets as sources: what any magnetostatic field of fixed magnetisation must obey.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "field/source.h"
#include <stdlib.h>

/* Shapes of every kind, and magnetisations along and across. */
static const ll_vec3 oblique = {3e5, -2e5, 7e5};

static int shapes(ll_shape out[4])
{
    assert_ok(ll_shape_block(ll_vec(0.062, 0.0127, 0.0032), &out[0]));
    assert_ok(ll_shape_rod(0.005, 0.017, &out[1]));
    assert_ok(ll_shape_ring(0.02, 0.008, 0.003, &out[2]));
    assert_ok(ll_shape_screw(0.003, 0.02, 0.005, 0.002, &out[3]));
    return 4;
}

static ll_pose tilted(void)
{
    return (ll_pose){ll_rotation_about(ll_vec(1, 2, -0.5), 0.8), ll_vec(0.01, -0.02, 0.005)};
}

static ll_vec3 h_at(const ll_shape *s, const ll_pose *pose, ll_vec3 m, ll_vec3 p)
{
    ll_vec3 h;
    assert_ok(ll_magnet_h(s, pose, m, 1, &p, &h));
    return h;
}

static double psi_at(const ll_shape *s, const ll_pose *pose, ll_vec3 m, ll_vec3 p)
{
    double psi;
    assert_ok(ll_magnet_potential(s, pose, m, 1, &p, &psi));
    return psi;
}

/* Points up to 1.2 half extents from the origin that stay clear of the surface by more than the differences step. */
static bool random_point(const ll_shape *s, ll_vec3 *own)
{
    double u[3];
    for (int i = 0; i < 3; i++)
        u[i] = 1.2 * (rand() / (double)RAND_MAX - 0.5);
    *own = ll_vec(u[0] * s->size_m.x, u[1] * s->size_m.y, u[2] * s->size_m.z);
    return fabs(ll_shape_depth_m(s, *own)) > 2e-4;
}

/* Fourth-order central difference along one axis of the world. */
static ll_vec3 shifted(ll_vec3 p, int axis, double by)
{
    return ll_vec(p.x + (axis == 0) * by, p.y + (axis == 1) * by, p.z + (axis == 2) * by);
}

#define STEP 4e-6
static double psi_slope(const ll_shape *s, const ll_pose *pose, ll_vec3 p, int axis)
{
    const double near = psi_at(s, pose, oblique, shifted(p, axis, STEP)) -
                        psi_at(s, pose, oblique, shifted(p, axis, -STEP));
    const double wide = psi_at(s, pose, oblique, shifted(p, axis, 2 * STEP)) -
                        psi_at(s, pose, oblique, shifted(p, axis, -2 * STEP));
    return (8 * near - wide) / (12 * STEP);
}

static ll_vec3 h_slope(const ll_shape *s, const ll_pose *pose, ll_vec3 p, int axis)
{
    const ll_vec3 near = ll_sub(h_at(s, pose, oblique, shifted(p, axis, STEP)),
                                h_at(s, pose, oblique, shifted(p, axis, -STEP)));
    const ll_vec3 wide = ll_sub(h_at(s, pose, oblique, shifted(p, axis, 2 * STEP)),
                                h_at(s, pose, oblique, shifted(p, axis, -2 * STEP)));
    return ll_scale(1 / (12 * STEP), ll_sub(ll_scale(8, near), wide));
}

/* Rounding in psi over the step limits the comparison to some 1e-9 of M. */
static void field_is_minus_the_gradient_of_the_potential(void **state)
{
    (void)state;
    ll_shape s[4];
    const ll_pose pose = tilted();
    const int count = shapes(s);
    for (int k = 0; k < 200 * count; k++) {
        const ll_shape *shape = &s[k % count];
        ll_vec3 own;
        if (!random_point(shape, &own))
            continue;
        const ll_vec3 p = ll_to_world(&pose, own), h = h_at(shape, &pose, oblique, p);
        assert_close(h.x, -psi_slope(shape, &pose, p, 0), 0.05);
        assert_close(h.y, -psi_slope(shape, &pose, p, 1), 0.05);
        assert_close(h.z, -psi_slope(shape, &pose, p, 2), 0.05);
    }
}

/* Slopes reach some 1e9 A/m2 at the least clearance. */
static void field_has_no_sources_and_no_curl_off_the_surface(void **state)
{
    (void)state;
    ll_shape s[4];
    const ll_pose pose = tilted();
    const int count = shapes(s);
    for (int k = 0; k < 200 * count; k++) {
        ll_vec3 own;
        if (!random_point(&s[k % count], &own))
            continue;
        const ll_vec3 p = ll_to_world(&pose, own);
        ll_vec3 d[3];
        for (int axis = 0; axis < 3; axis++)
            d[axis] = h_slope(&s[k % count], &pose, p, axis);
        assert_close(d[0].x + d[1].y + d[2].z, 0, 3e3);
        assert_close(d[0].y - d[1].x, 0, 3e3);
        assert_close(d[1].z - d[2].y, 0, 3e3);
        assert_close(d[2].x - d[0].z, 0, 3e3);
    }
}

/* Across a face H jumps by M's part along the normal, so B there does not jump; psi does not jump at all. */
static void normal_flux_and_potential_are_continuous_through_every_face(void **state)
{
    (void)state;
    static const struct {
        int shape;
        ll_vec3 at, normal;
    } faces[] = {
        {0, {0.01, 0.002, 0.0016}, {0, 0, 1}},      {0, {0.031, 0.002, 0.0003}, {1, 0, 0}},
        {0, {-0.02, -0.00635, 0.001}, {0, -1, 0}},  {1, {0.001, 0.0005, 0.0085}, {0, 0, 1}},
        {1, {0.0015, 0.002, 0.003}, {0.6, 0.8, 0}}, {2, {0.004, 0, 0.001}, {-1, 0, 0}},
        {2, {0, 0.007, -0.0015}, {0, 0, -1}},       {3, {0.002, 0, 0.008}, {0, 0, -1}},
        {3, {-0.0025, 0, 0.009}, {-1, 0, 0}},       {3, {0, 0.0015, 0.002}, {0, 1, 0}}};
    ll_shape s[4];
    shapes(s);
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    for (size_t i = 0; i < sizeof faces / sizeof faces[0]; i++) {
        const ll_vec3 n = faces[i].normal, step = ll_scale(1e-10, n);
        const ll_vec3 out = ll_add(faces[i].at, step), in = ll_sub(faces[i].at, step);
        const ll_shape *shape = &s[faces[i].shape];
        const ll_vec3 jump =
            ll_sub(h_at(shape, &pose, oblique, out), h_at(shape, &pose, oblique, in));
        assert_close(ll_dot(jump, n), ll_dot(oblique, n), 1.0);
        assert_close(ll_norm(ll_sub(jump, ll_scale(ll_dot(oblique, n), n))), 0, 1.0);
        assert_close(psi_at(shape, &pose, oblique, out), psi_at(shape, &pose, oblique, in), 2e-4);
        assert_close(ll_norm(ll_sub(h_at(shape, &pose, oblique, faces[i].at),
                                    h_at(shape, &pose, oblique, out))),
                     0, 1.0);
    }
}

static void thread_and_head_of_a_screw_meet_without_charge(void **state)
{
    (void)state;
    ll_shape s[4];
    shapes(s);
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    const ll_vec3 m = ll_vec(0, 0, 1e6), neck = ll_vec(0.0004, 0.0003, 0.008);
    const double on = h_at(&s[3], &pose, m, neck).z;
    assert_close(on, h_at(&s[3], &pose, m, ll_add(neck, ll_vec(0, 0, 1e-9))).z, 10);
    assert_close(on, h_at(&s[3], &pose, m, ll_sub(neck, ll_vec(0, 0, 1e-9))).z, 10);
}

/* A block cut in two has the same field as the whole. */
static void two_halves_add_up_to_the_whole(void **state)
{
    (void)state;
    ll_shape whole, half, core, ring;
    assert_ok(ll_shape_block(ll_vec(0.02, 0.01, 0.006), &whole));
    assert_ok(ll_shape_block(ll_vec(0.01, 0.01, 0.006), &half));
    assert_ok(ll_shape_rod(0.008, 0.003, &core));
    assert_ok(ll_shape_ring(0.02, 0.008, 0.003, &ring));
    ll_shape disc;
    assert_ok(ll_shape_rod(0.02, 0.003, &disc));
    const ll_pose mid = ll_pose_at(ll_vec(0, 0, 0)), left = ll_pose_at(ll_vec(-0.005, 0, 0)),
                  right = ll_pose_at(ll_vec(0.005, 0, 0));
    for (int i = 0; i < 20; i++) {
        const ll_vec3 p = ll_vec(0.001 * i - 0.0093, 0.0021, 0.0007 * i - 0.004);
        const ll_vec3 sum = ll_add(h_at(&half, &left, oblique, p), h_at(&half, &right, oblique, p));
        assert_close(ll_norm(ll_sub(sum, h_at(&whole, &mid, oblique, p))), 0, 1e-4);
        const ll_vec3 round = ll_add(h_at(&core, &mid, oblique, p), h_at(&ring, &mid, oblique, p));
        assert_close(ll_norm(ll_sub(round, h_at(&disc, &mid, oblique, p))), 0, 1e-4);
    }
}

/* Far away only the moment M V counts; the next term is (size / distance)^2 smaller, 1e-6 at 1000 sizes. */
static void far_away_every_magnet_is_a_dipole(void **state)
{
    (void)state;
    ll_shape s[4];
    const ll_pose pose = tilted();
    const int count = shapes(s);
    for (int i = 0; i < count; i++) {
        const double r = 1000 * ll_norm(s[i].size_m), volume = ll_shape_volume_m3(&s[i]);
        const ll_vec3 n = ll_vec(0.48, 0.6, -0.64), p = ll_add(pose.origin_m, ll_scale(r, n));
        const double share = volume / (4 * LL_PI * r * r * r), along = ll_dot(oblique, n);
        const ll_vec3 h = ll_scale(share, ll_sub(ll_scale(3 * along, n), oblique));
        /* A screw's centre of volume is not its origin: a first-order shift there. */
        const double accuracy = s[i].kind == LL_SCREW ? 2e-3 : 3e-6;
        assert_close(ll_norm(ll_sub(h_at(&s[i], &pose, oblique, p), h)), 0, accuracy * ll_norm(h));
        assert_relative(psi_at(&s[i], &pose, oblique, p), share * r * along, accuracy);
    }
}

/* Where one form of the kernel hands over to another: a block at 16 half diagonals, a rod near its rim. */
static void forms_agree_where_they_hand_over(void **state)
{
    (void)state;
    ll_shape block, rod;
    assert_ok(ll_shape_block(ll_vec(0.02, 0.01, 0.02), &block));
    assert_ok(ll_shape_rod(0.002, 0.02, &rod));
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    const ll_vec3 n = ll_vec(0.48, 0.6, 0.64);
    const double r = 16.0 * 0.015;
    const ll_vec3 in = h_at(&block, &pose, oblique, ll_scale(r * (1 - 1e-12), n));
    const ll_vec3 out = h_at(&block, &pose, oblique, ll_scale(r * (1 + 1e-12), n));
    assert_close(ll_norm(ll_sub(in, out)), 0, 1e-9 * ll_norm(in));
    /* Height at rho = 1 where the nearest and farthest distance to the rim stand as the kernel's bounds. */
    static const double kc[] = {0.28, 0.5, 0.8};
    for (int i = 0; i < 3; i++) {
        const double zeta = 0.001 * 2 * kc[i] / sqrt(1 - kc[i] * kc[i]);
        const ll_vec3 a = ll_vec(0.001, 0, 0.01 + zeta * (1 - 1e-13));
        const ll_vec3 b = ll_vec(0.001, 0, 0.01 + zeta * (1 + 1e-13));
        const ll_vec3 ha = h_at(&rod, &pose, oblique, a), hb = h_at(&rod, &pose, oblique, b);
        assert_close(ll_norm(ll_sub(ha, hb)), 0, 1e-11 * ll_norm(oblique));
    }
}

static void edges_corners_and_axes_give_large_finite_numbers(void **state)
{
    (void)state;
    static const struct {
        int shape;
        ll_vec3 at;
    } places[] = {{0, {0.031, 0.00635, 0.0016}},
                  {0, {0.031, 0.00635, 0}},
                  {0, {0.031, 0.00635, 1}},
                  {0, {-0.031, 0, -0.0016}},
                  {0, {0, 0, 0}},
                  {1, {0.0025, 0, 0.0085}},
                  {1, {0, 0, 0.0085}},
                  {1, {0, 0, 0}},
                  {1, {0, 0.0025, 0}},
                  {1, {0, -0.0025, -0.0085}},
                  {2, {0.004, 0, 0.0015}},
                  {2, {0, 0.01, -0.0015}},
                  {3, {0.0015, 0, 0.008}},
                  {3, {0.0025, 0, 0.008}},
                  {3, {0, 0, 0.008}},
                  {1, {1e6, 0, 0}},
                  {0, {0, 1e6, 0}},
                  {1, {0, 0, 1e6}}};
    ll_shape s[4];
    shapes(s);
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        const ll_vec3 h = h_at(&s[places[i].shape], &pose, oblique, places[i].at);
        assert_true(ll_norm(h) < 100 * ll_norm(oblique));
        assert_true(fabs(psi_at(&s[places[i].shape], &pose, oblique, places[i].at)) < 1e5);
    }
}

static void numbers_that_are_not_finite_are_refused_and_nothing_is_written(void **state)
{
    (void)state;
    ll_shape s[4];
    shapes(s);
    const ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
    const ll_vec3 good = ll_vec(0, 0, 1), bad = ll_vec(NAN, 0, 0), endless = ll_vec(0, INFINITY, 0);
    ll_vec3 h = ll_vec(1, 2, 3);
    double psi = 4;
    assert_int_equal(ll_magnet_h(&s[0], &pose, good, 1, &bad, &h), LL_BAD_VALUE);
    assert_int_equal(ll_magnet_h(&s[0], &pose, endless, 1, &good, &h), LL_BAD_VALUE);
    assert_int_equal(ll_magnet_potential(&s[1], &pose, good, 1, &endless, &psi), LL_BAD_VALUE);
    assert_close(h.x + h.y + h.z + psi, 10, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(field_is_minus_the_gradient_of_the_potential),
        cmocka_unit_test(field_has_no_sources_and_no_curl_off_the_surface),
        cmocka_unit_test(normal_flux_and_potential_are_continuous_through_every_face),
        cmocka_unit_test(thread_and_head_of_a_screw_meet_without_charge),
        cmocka_unit_test(two_halves_add_up_to_the_whole),
        cmocka_unit_test(far_away_every_magnet_is_a_dipole),
        cmocka_unit_test(forms_agree_where_they_hand_over),
        cmocka_unit_test(edges_corners_and_axes_give_large_finite_numbers),
        cmocka_unit_test(numbers_that_are_not_finite_are_refused_and_nothing_is_written),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
