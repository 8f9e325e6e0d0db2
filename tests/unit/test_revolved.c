/* test_revolved.c - bodies of revolution of higher degree: what must hold whatever the mesh.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "elements/coupled_forms.h"
#include "elements/revolved.h"

#include <stdlib.h>
#include <string.h>

static const double rod_r[] = {0, 1.4e-3, 2.15e-3, 2.4e-3};
static const double rod_z[] = {-8.5e-3, -8e-3, -6.5e-3, -2e-3, 2e-3, 6.5e-3, 8e-3, 8.5e-3};

static ll_body_form *make_rod(int degree, int harmonics, bool sines)
{
    const ll_rectangle whole = {{0, 2.4e-3}, {-8.5e-3, 8.5e-3}, 0};
    const ll_revolved_options o = {degree, harmonics, sines, HUGE_VAL, 0};
    ll_body_form *form;
    assert_ok(ll_revolved_new(1, &whole, 4, rod_r, 8, rod_z, &o, &form));
    return form;
}

/* A screw: a head wider than the thread. */
static ll_body_form *make_screw(int degree, int harmonics, bool sines)
{
    const double r[] = {0, 0.9e-3, 1.5e-3, 2.4e-3, 2.8e-3};
    const double z[] = {-10e-3, -9e-3, -4e-3, 3e-3, 7e-3, 7.4e-3, 7.9e-3, 8.4e-3, 8.8e-3};
    const ll_rectangle parts[] = {{{0, 1.5e-3}, {-10e-3, 7e-3}, 0},
                                  {{0, 2.8e-3}, {7e-3, 8.8e-3}, 1}};
    const ll_revolved_options o = {degree, harmonics, sines, HUGE_VAL, 0};
    ll_body_form *form;
    assert_ok(ll_revolved_new(2, parts, 5, r, 9, z, &o, &form));
    return form;
}

/* A ring: a bore of 2 mm. */
static ll_body_form *make_ring(int degree, int harmonics, bool sines)
{
    const double r[] = {1e-3, 1.5e-3, 4e-3, 4.6e-3, 5e-3}, z[] = {0, 0.5e-3, 2.5e-3, 3e-3};
    const ll_rectangle whole = {{1e-3, 5e-3}, {0, 3e-3}, 0};
    const ll_revolved_options o = {degree, harmonics, sines, HUGE_VAL, 0};
    ll_body_form *form;
    assert_ok(ll_revolved_new(1, &whole, 5, r, 4, z, &o, &form));
    return form;
}

typedef ll_body_form *(*maker)(int degree, int harmonics, bool sines);
static const maker makers[] = {make_rod, make_screw, make_ring};
static const double volumes[] = {LL_PI * 2.4e-3 * 2.4e-3 * 17e-3,
                                 LL_PI * (1.5e-3 * 1.5e-3 * 17e-3 + 2.8e-3 * 2.8e-3 * 1.8e-3),
                                 LL_PI * (25e-6 - 1e-6) * 3e-3};
static const double areas[] = {
    2 * LL_PI * 2.4e-3 * (2.4e-3 + 17e-3),
    2 * LL_PI * (1.5e-3 * 17e-3 + 2.8e-3 * 1.8e-3 + 2.8e-3 * 2.8e-3),
    2 * LL_PI * (6e-3 * 3e-3 + 24e-6),
};

static void weights_add_up_to_volume_and_surface(void **state)
{
    (void)state;
    for (int k = 0; k < 3; k++)
        for (int sines = 0; sines < 2; sines++) {
            ll_body_form *form = makers[k](2, 2, sines);
            double volume = 0, area = 0;
            for (size_t i = 0; i < form->places; i++)
                volume += form->volume_m3[i];
            for (size_t i = 0; i < form->surface; i++)
                area += form->area_m2[i];
            assert_relative(volume, volumes[k], 1e-12);
            assert_relative(area, areas[k], 1e-12);
            ll_body_form_release(form);
        }
}

/* A body with a tangent of `mu` in a potential of points: x. */
static void answer(const ll_body_form *form, double mu, const double *psi, double *x)
{
    double *tangent = calloc(6 * form->places, sizeof *tangent), *rhs;
    const ll_placed_form placed = {(ll_body_form *)form, ll_pose_at(ll_vec(0, 0, 0))};
    ll_coupled_forms *c;
    ll_body_factor *factor;
    size_t steps = 0;
    for (size_t i = 0; i < 3 * form->places; i++)
        tangent[i] = mu;
    assert_ok(ll_coupled_forms_new(1, &placed, &c));
    assert_ok(form->kind->factorise(form, tangent, &factor));
    rhs = calloc(ll_body_form_unknowns(form), sizeof *rhs);
    memset(x, 0, ll_body_form_unknowns(form) * sizeof *x);
    form->kind->test_surface(form, psi, rhs + form->potentials);
    const double *tangents[] = {tangent};
    const ll_body_factor *factors[] = {factor};
    const ll_tangents t = {tangents, factors};
    assert_ok(ll_coupled_forms_solve(c, &t, rhs, 1e-12, x, &steps));
    form->kind->free_factor(factor);
    ll_coupled_forms_free(c);
    free(tangent);
    free(rhs);
}

/* What has the permeability of air is not there: H inside is the source's and nothing is added outside. */
static void a_body_of_air_changes_nothing(void **state)
{
    (void)state;
    const ll_vec3 field = ll_vec(300, -200, 1000), outside[] = {{1e-3, 0.5e-3, 9.5e-3},
                                                                {6e-3, 2e-3, 1e-3}};
    for (int k = 0; k < 3; k++) {
        ll_body_form *form = makers[k](2, 1, true);
        double *psi = malloc(form->surface * sizeof *psi);
        double *x = malloc(ll_body_form_unknowns(form) * sizeof *x);
        double *h = malloc((3 * form->places + form->room_size) * sizeof *h);
        double *layer = malloc(form->layers * sizeof *layer);
        for (size_t i = 0; i < form->surface; i++)
            psi[i] = -ll_dot(field, form->surface_m[i]);
        answer(form, 1, psi, x);
        form->kind->find_h(form, x, h, h + 3 * form->places);
        for (size_t i = 0; i < form->places; i++) {
            assert_close(h[i], field.x, 0.1);
            assert_close(h[form->places + i], field.y, 0.1);
            assert_close(h[2 * form->places + i], field.z, 0.1);
        }
        ll_vec3 added[2] = {{0, 0, 0}, {0, 0, 0}};
        form->kind->find_layers(form, x, layer);
        form->kind->add_field(form, layer, 2, outside, NULL, added);
        assert_close(ll_norm(added[0]), 0, 0.1);
        assert_close(ll_norm(added[1]), 0, 0.1);
        free(psi);
        free(x);
        free(h);
        free(layer);
        ll_body_form_release(form);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(weights_add_up_to_volume_and_surface),
        cmocka_unit_test(a_body_of_air_changes_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
