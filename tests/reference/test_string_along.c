/* test_string_along.c - magnetisation and pull told place by place along a string, against a dipole's field in closed form, finite
 * elements in which the string is meshed, and the pull as a whole. SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "string/along.h"
#include "string/pull.h"

static ll_string string_at(const ll_material *material, double gauge_mm, double x_mm, double z_mm)
{
    return (ll_string){1e-3 * gauge_mm, 1e-3 * gauge_mm, material, 1e-3 * x_mm, 1e-3 * z_mm, NULL};
}

/* H of a dipole m upwards, from the textbook (J. Jackson, Classical Electrodynamics, section 5.6), at r from it. */
static ll_vec3 dipole_h(double m, ll_vec3 r)
{
    const double d = ll_norm(r), c = m / (4 * LL_PI * d * d * d);
    return ll_sub(ll_scale(3 * c * r.z / (d * d), r), ll_vec(0, 0, c));
}

/* Its change in a direction. */
static ll_vec3 slope_of(double m, ll_vec3 at, ll_vec3 way)
{
    const double step = 1e-6;
    const ll_vec3 off = ll_scale(step, way);
    return ll_scale(1 / (2 * step),
                    ll_sub(dipole_h(m, ll_add(at, off)), dipole_h(m, ll_sub(at, off))));
}

/* Of a wire that is hardly magnetic M is chi H, its charge for each length -A chi dHy/dy, and the pull on a length, the charge's and the
 * moment's across, mu0 A chi (-dHy/dy H_u + Hx dHx/du + Hz dHz/du). A rod that is sqrt(3) / 2 as long as
 * wide has no octupole. The string passes beside the dipole, so that all figures but M along in the middle are something. */
static void a_weak_string_over_a_dipole_is_magnetised_and_pulled_as_in_the_textbook(void **state)
{
    (void)state;
    const double chi = 1e-3, gauge_mm = 0.4, side_mm = 3, up_mm = 12;
    const double m = 1 / LL_MU0 * LL_PI / 4 * 2e-3 * 2e-3 * sqrt(3) * 1e-3;
    const double area = LL_PI / 4 * 1e-6 * gauge_mm * gauge_mm;
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(2, sqrt(3)), mm(0, 0, 0), magnet(1, 1), ll_vec(0, 0, 1));
    ll_solution *s = solved(scene, 1);
    ll_material *weak = steel(1 + chi);
    const ll_string string = string_at(weak, gauge_mm, side_mm, up_mm);
    const double y_m[] = {-9e-3, 0, 2e-3, 5e-3};
    ll_string_place place[4];
    assert_ok(ll_string_along(s, &string, 4, y_m, place));
    const double most = ll_norm(dipole_h(m, mm(side_mm, 0, up_mm)));
    const double pull = LL_MU0 * area * chi / 2 * 6 * most * most / (1e-3 * up_mm);
    for (int i = 0; i < 4; i++) {
        const ll_vec3 at = ll_vec(1e-3 * side_mm, y_m[i], 1e-3 * up_mm);
        const ll_vec3 h = dipole_h(m, at);
        const ll_vec3 by_x = slope_of(m, at, ll_vec(1, 0, 0)),
                      by_y = slope_of(m, at, ll_vec(0, 1, 0)),
                      by_z = slope_of(m, at, ll_vec(0, 0, 1));
        const double x_n_m = h.x * by_x.x + h.z * by_x.z - h.x * by_y.y;
        const double z_n_m = h.x * by_z.x + h.z * by_z.z - h.z * by_y.y;
        assert_close(place[i].m_along_a_m, chi * h.y, 0.01 * chi * most);
        assert_close(place[i].b_along_t, LL_MU0 * (1 + chi) * h.y, 0.01 * LL_MU0 * most);
        assert_close(place[i].m_x_a_m, chi * h.x, 0.01 * chi * most);
        assert_close(place[i].m_z_a_m, chi * h.z, 0.01 * chi * most);
        assert_close(place[i].force_x_n_m, LL_MU0 * area * chi * x_n_m, 0.02 * pull);
        assert_close(place[i].force_z_n_m, LL_MU0 * area * chi * z_n_m, 0.02 * pull);
    }
    ll_material_free(weak);
    ll_solution_free(s);
}

/* R12 (decks/README.md): By in a wire of mu 200 over one of six poles, Gmsh and GetDP. Their wire ends 30 mm away, the engine's goes
 * on: 4 % within 8 mm. */
static void flux_along_a_string_over_six_poles_is_that_of_finite_elements(void **state)
{
    (void)state;
    static const double y_m[] = {2e-3, 4e-3, 8e-3}, by_t[] = {1.066, 1.839, 2.320};
    ll_solution *s = solved(a6_scene(), 1);
    ll_material *mu_200 = steel(200);
    const ll_string string = string_at(mu_200, 0.43, 5.1, 7.2);
    ll_string_place place[3];
    assert_ok(ll_string_along(s, &string, 3, y_m, place));
    for (int i = 0; i < 3; i++)
        assert_relative(place[i].b_along_t, by_t[i], 0.04);
    ll_material_free(mu_200);
    ll_solution_free(s);
}

/* The pull of all places is the pull of the string; nothing is beyond; wrong places and silent strings. */
static void places_add_up_to_the_whole(void **state)
{
    (void)state;
    enum { N = 1601 };
    static double y_m[N];
    static ll_string_place place[N];
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(5, 17), mm(1, 0, -8.5), magnet(1.2, 1), ll_vec(0, 0, 1));
    ll_solution *s = solved(scene, 1);
    ll_material *wire;
    assert_ok(ll_material_named("music wire", &wire));
    const ll_string string = string_at(wire, 0.43, 0, 2);
    double sum_x = 0, sum_z = 0, x, z;
    for (int i = 0; i < N; i++)
        y_m[i] = 1e-4 * (i - N / 2);
    assert_ok(ll_string_along(s, &string, N, y_m, place));
    for (int i = 0; i < N; i++) {
        sum_x += 1e-4 * place[i].force_x_n_m;
        sum_z += 1e-4 * place[i].force_z_n_m;
    }
    ll_pull *pull;
    assert_ok(ll_pull_new(s, &string, 0.3, &pull));
    assert_ok(ll_pull_total(pull, 0.648, &x, &z));
    assert_relative(sum_x, x, 2e-3);
    assert_relative(sum_z, z, 2e-3);
    assert_true(z < 0 && x > 0);
    ll_pull_free(pull);
    const double far_m = 0.5, nowhere = NAN;
    assert_ok(ll_string_along(s, &string, 1, &far_m, place));
    assert_true(place[0].m_along_a_m == 0 && place[0].force_z_n_m == 0);
    assert_int_equal(ll_string_along(s, &string, 1, &nowhere, place), LL_BAD_VALUE);
    ll_material *brass;
    assert_ok(ll_material_conductor(1.5e7, &brass));
    const ll_string silent = string_at(brass, 0.43, 0, 2);
    const double middle = 0;
    assert_ok(ll_string_along(s, &silent, 1, &middle, place));
    assert_true(place[0].m_z_a_m == 0 && place[0].force_z_n_m == 0);
    ll_material_free(brass);
    ll_material_free(wire);
    ll_solution_free(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_weak_string_over_a_dipole_is_magnetised_and_pulled_as_in_the_textbook),
        cmocka_unit_test(flux_along_a_string_over_six_poles_is_that_of_finite_elements),
        cmocka_unit_test(places_add_up_to_the_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
