/* test_revolved.c - bodies of revolution of higher degree: what must hold whatever the mesh.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "elements/coupled_forms.h"
#include "elements/revolved.h"
#include "elements/revolved_shape.h"

#include <stdlib.h>
#include <string.h>

static const double rod_r[] = {0, 1.4e-3, 2.15e-3, 2.4e-3};
static const double rod_z[] = {-8.5e-3, -8e-3, -6.5e-3, -2e-3, 2e-3, 6.5e-3, 8e-3, 8.5e-3};

static ll_body_form *make_rod(int degree, int harmonics, bool sines)
{
    const ll_rectangle whole = {{0, 2.4e-3}, {-8.5e-3, 8.5e-3}, 0};
    const ll_revolved_options o = {degree, harmonics, sines, 1e-3, 0};
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
    const ll_revolved_options o = {degree, harmonics, sines, 1e-3, 0};
    ll_body_form *form;
    assert_ok(ll_revolved_new(2, parts, 5, r, 9, z, &o, &form));
    return form;
}

/* A ring: a bore of 2 mm. */
static ll_body_form *make_ring(int degree, int harmonics, bool sines)
{
    const double r[] = {1e-3, 1.5e-3, 4e-3, 4.6e-3, 5e-3}, z[] = {0, 0.5e-3, 2.5e-3, 3e-3};
    const ll_rectangle whole = {{1e-3, 5e-3}, {0, 3e-3}, 0};
    const ll_revolved_options o = {degree, harmonics, sines, 1e-3, 0};
    ll_body_form *form;
    assert_ok(ll_revolved_new(1, &whole, 5, r, 4, z, &o, &form));
    return form;
}

typedef ll_body_form *(*maker)(int degree, int harmonics, bool sines);
static const maker makers[] = {make_rod, make_screw, make_ring};
static const double volumes[] = {LL_PI * 2.4e-3 * 2.4e-3 * 17e-3,
                                 LL_PI *(1.5e-3 * 1.5e-3 * 17e-3 + 2.8e-3 * 2.8e-3 * 1.8e-3),
                                 LL_PI *(25e-6 - 1e-6) * 3e-3};
static const double areas[] = {
    2 * LL_PI * 2.4e-3 * (2.4e-3 + 17e-3),
    2 * LL_PI *(1.5e-3 * 17e-3 + 2.8e-3 * 1.8e-3 + 2.8e-3 * 2.8e-3),
    2 * LL_PI *(6e-3 * 3e-3 + 24e-6),
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
            ll_release(form);
        }
}

static double volume_of(const ll_revolved_wish *wish, size_t *places)
{
    ll_body_form *form;
    double volume = 0;
    assert_ok(ll_revolved_get(wish, &form));
    for (size_t i = 0; i < form->places; i++)
        volume += form->volume_m3[i];
    *places = form->places;
    ll_release(form);
    return volume;
}

static void shapes_are_cut_into_their_own_volume(void **state)
{
    (void)state;
    ll_revolved_wish wish[3];
    const double volume[3] = {LL_PI * 2.5e-3 * 2.5e-3 * 18e-3,
                              LL_PI * (4e-3 * 4e-3 - 1.5e-3 * 1.5e-3) * 2e-3,
                              LL_PI * (1.5e-3 * 1.5e-3 * 16e-3 + 2.6e-3 * 2.6e-3 * 2e-3)};
    for (int k = 0; k < 3; k++)
        wish[k] =
            (ll_revolved_wish){.layers = 2, .options = {.degree = 2, .harmonics = 1, .clear_m = 1}};
    assert_ok(ll_shape_rod(5e-3, 18e-3, &wish[0].shape));
    assert_ok(ll_shape_ring(8e-3, 3e-3, 2e-3, &wish[1].shape));
    assert_ok(ll_shape_screw(3e-3, 18e-3, 5.2e-3, 2e-3, &wish[2].shape));
    size_t places;
    for (int k = 0; k < 3; k++)
        assert_relative(volume_of(&wish[k], &places), volume[k], 1e-12);
}

/* Where a neighbour ends beside the body the mesh is finer, and nowhere else. */
static void marks_cut_the_mesh_along_their_own_axis(void **state)
{
    (void)state;
    ll_revolved_wish plain = {.layers = 2, .options = {.degree = 2, .harmonics = 1, .clear_m = 1}};
    assert_ok(ll_shape_rod(5e-3, 18e-3, &plain.shape));
    ll_revolved_wish along = plain, across = plain, beyond = plain;
    along.marks = across.marks = beyond.marks = 1;
    along.mark[0] = (ll_mark){false, -4e-3, 0.5e-3};
    across.mark[0] = (ll_mark){true, 1.2e-3, 0.2e-3};
    beyond.mark[0] = (ll_mark){true, 4e-3, 0.5e-3};
    size_t none, cut, unused;
    const double volume = volume_of(&plain, &none);
    assert_relative(volume_of(&along, &cut), volume, 1e-12);
    assert_true(cut > none);
    assert_relative(volume_of(&across, &cut), volume, 1e-12);
    assert_true(cut > none);
    assert_relative(volume_of(&beyond, &unused), volume, 1e-12);
    assert_int_equal(unused, none);
}

/* A body with a tangent of `mu` in a potential of points: x, by products inside or by its factor alone. */
static void answer_by(const ll_body_form *form, double mu, bool products, const double *psi,
                      double *x)
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
    const ll_tangents t = {products ? tangents : NULL, factors};
    assert_ok(ll_coupled_forms_solve(c, &t, rhs, 1e-12, x, &steps));
    form->kind->free_factor(factor);
    ll_coupled_forms_free(c);
    free(tangent);
    free(rhs);
}

static void answer(const ll_body_form *form, double mu, const double *psi, double *x)
{
    answer_by(form, mu, true, psi, x);
}

/* A law that is the same everywhere is in the factor as it is. */
static void the_factor_alone_answers_a_straight_law(void **state)
{
    (void)state;
    for (int k = 0; k < 3; k++) {
        ll_body_form *form = makers[k](2, 2, true);
        const size_t n = ll_body_form_unknowns(form);
        double *psi = malloc(form->surface * sizeof *psi), *x = malloc(2 * n * sizeof *x);
        for (size_t i = 0; i < form->surface; i++)
            psi[i] = 1e3 + ll_dot(ll_vec(300, -200, 1000), form->surface_m[i]);
        answer_by(form, 800, true, psi, x);
        answer_by(form, 800, false, psi, x + n);
        for (size_t i = 0; i < n; i++)
            assert_close(x[n + i], x[i], 1e-5);
        free(psi);
        free(x);
        ll_release(form);
    }
}

/* What has the permeability of air is not there: H inside is the source's and nothing is added outside. */
static void a_body_of_air_changes_nothing(void **state)
{
    (void)state;
    const ll_vec3 field = ll_vec(300, -200, 1000),
                  outside[] = {{1e-3, 0.5e-3, 9.5e-3}, {6e-3, 2e-3, 1e-3}};
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
        ll_release(form);
    }
}

/* What a potential of a charge at `at` is on a form's surface. */
static void fill_charge(const ll_body_form *form, ll_vec3 at, double *psi)
{
    for (size_t i = 0; i < form->surface; i++)
        psi[i] = 1 / (4 * LL_PI * ll_norm(ll_sub(form->surface_m[i], at)));
}

/* The potential at b that a body adds when a unit charge is brought to a. */
static double added_at(ll_body_form *form, double mu, ll_vec3 a, ll_vec3 b)
{
    double *psi = malloc(form->surface * sizeof *psi), added = 0;
    double *x = malloc(ll_body_form_unknowns(form) * sizeof *x);
    double *layer = malloc(form->layers * sizeof *layer);
    fill_charge(form, a, psi);
    answer(form, mu, psi, x);
    form->kind->find_layers(form, x, layer);
    form->kind->add_field(form, layer, 1, &b, &added, NULL);
    free(psi);
    free(x);
    free(layer);
    return added;
}

/* Green's reciprocity: a at b is b at a, for places off any plane of the body; without sines it could not be. The equations are not
 * symmetric as they stand, so this tests them and the mesh. */
static void what_charges_see_of_each_other_is_mutual(void **state)
{
    (void)state;
    const ll_vec3 a = ll_vec(3e-3, 5e-3, 10e-3), b = ll_vec(-6e-3, 2e-3, 4e-3);
    for (int k = 0; k < 3; k++) {
        ll_body_form *form = makers[k](3, 5, true);
        const double there = added_at(form, 300, a, b), back = added_at(form, 300, b, a);
        assert_relative(there, back, 3e-3);
        ll_release(form);
    }
}

/* A raised answer is the same function: the same H inside, the same field outside. */
static void a_higher_degree_holds_the_lower_one(void **state)
{
    (void)state;
    ll_body_form *low = make_screw(2, 2, false), *high = make_screw(4, 3, true);
    double *psi = malloc(low->surface * sizeof *psi);
    double *x = malloc(ll_body_form_unknowns(low) * sizeof *x);
    double *up = malloc(ll_body_form_unknowns(high) * sizeof *up);
    const ll_vec3 in = ll_vec(0.7e-3, 0.3e-3, 2e-3);
    fill_charge(low, ll_vec(4e-3, 0, 3e-3), psi);
    answer(low, 10, psi, x);
    low->kind->raise(low, x, high, up);
    const ll_vec3 h = low->kind->h_at(low, x, in), raised = high->kind->h_at(high, up, in);
    assert_close(ll_norm(ll_sub(h, raised)), 0, 1e-12 * ll_norm(h));
    double *layer = malloc((low->layers + high->layers) * sizeof *layer);
    const ll_vec3 out = ll_vec(3e-3, 2e-3, 12e-3);
    double before = 0, after = 0;
    low->kind->find_layers(low, x, layer);
    high->kind->find_layers(high, up, layer + low->layers);
    low->kind->add_field(low, layer, 1, &out, &before, NULL);
    high->kind->add_field(high, layer + low->layers, 1, &out, &after, NULL);
    assert_relative(after, before, 1e-5); /* their rules differ */
    free(psi);
    free(x);
    free(up);
    free(layer);
    ll_release(low);
    ll_release(high);
}

/* Lambda of a uniform field is its normal component: what leaves beyond a plane is the field times the section. */
static void a_plane_cuts_off_as_much_flux_as_enters_it(void **state)
{
    (void)state;
    const ll_vec3 field = ll_vec(200, 100, 1000);
    ll_body_form *form = make_rod(2, 1, true);
    double *psi = malloc(form->surface * sizeof *psi);
    double *x = malloc(ll_body_form_unknowns(form) * sizeof *x), flux, area;
    for (size_t i = 0; i < form->surface; i++)
        psi[i] = -ll_dot(field, form->surface_m[i]);
    answer(form, 1, psi, x);
    const ll_plane level = {ll_vec(0, 0, 1), 1e-3};
    form->kind->flux_beyond(form, x, &level, &flux, &area);
    assert_relative(area, LL_PI * 2.4e-3 * 2.4e-3, 1e-9);
    assert_relative(flux, area * field.z, 1e-3);
    /* An ellipse across a leaning plane. */
    const ll_plane leaning = {ll_vec(0.6, 0, 0.8), 1e-3};
    form->kind->flux_beyond(form, x, &leaning, &flux, &area);
    assert_relative(area, LL_PI * 2.4e-3 * 2.4e-3 / 0.8, 1e-5);
    assert_relative(flux, area * ll_dot(field, leaning.normal), 1e-3);
    free(psi);
    free(x);
    ll_release(form);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(weights_add_up_to_volume_and_surface),
        cmocka_unit_test(shapes_are_cut_into_their_own_volume),
        cmocka_unit_test(marks_cut_the_mesh_along_their_own_axis),
        cmocka_unit_test(a_body_of_air_changes_nothing),
        cmocka_unit_test(the_factor_alone_answers_a_straight_law),
        cmocka_unit_test(what_charges_see_of_each_other_is_mutual),
        cmocka_unit_test(a_higher_degree_holds_the_lower_one),
        cmocka_unit_test(a_plane_cuts_off_as_much_flux_as_enters_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
