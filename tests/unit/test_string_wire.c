/* test_string_wire.c - a thin wire in a given field: demagnetising factors, saturation, conservation, symmetry.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "string/wire.h"
#include <stdlib.h>

enum { NODES = 161 };
typedef struct wire {
    size_t n;
    double radius_m;
    double y[NODES], psi[NODES], h[NODES - 1], charge[NODES], weight[NODES];
} wire;

static wire wire_of(size_t nodes, double length_m, double diameter_m)
{
    wire w = {.n = nodes, .radius_m = diameter_m / 2};
    for (size_t i = 0; i < nodes; i++)
        w.y[i] = length_m * ((double)i / (double)(nodes - 1) - 0.5);
    return w;
}

/* A plain string's thickness and the reach of a pickup. */
static wire new_wire(void)
{
    return wire_of(NODES, 0.1, 0.43e-3);
}

/* A uniform field along the wire. */
static void apply_uniform(wire *w, double h_a_m)
{
    for (size_t i = 0; i < w->n; i++)
        w->psi[i] = -h_a_m * w->y[i];
}

/* A charge beside the wire: a field that rises, turns and falls. */
static void apply_charge(wire *w, double charge_a_m, double distance_m, double along_m)
{
    for (size_t i = 0; i < w->n; i++)
        w->psi[i] = charge_a_m / (4 * LL_PI * hypot(w->y[i] - along_m, distance_m));
}

static void magnetise(wire *w, ll_material *material)
{
    const ll_wire_make make = {w->radius_m, material, {0, 0}};
    assert_ok(ll_wire_magnetise(w->n, w->y, &make, w->psi, w->h, w->charge));
    ll_wire_weights(w->n, w->y, w->weight);
    ll_material_free(material);
}

static double b_in(ll_material *m, double h)
{
    double b;
    ll_material_b(m, h, &b, NULL);
    return b;
}

/* The charge that a permeable wire gathers in its last element stands for that of the end's face: the wire acts as if it
 * went on by 0.4 radii. */
static const double end_radii = 0.4;

/* Ballistic demagnetising factor (H0 - H) / M in the middle of a rod. */
static double middle_factor(double slenderness, double mu_r, double shorter_radii)
{
    /* Two nodes in a radius at most. */
    const size_t nodes = (size_t)fmin(NODES, 2 * floor(2 * slenderness) + 1);
    wire w = wire_of(nodes, 1 - shorter_radii / slenderness, 1 / slenderness);
    apply_uniform(&w, 1);
    magnetise(&w, steel(mu_r));
    const double h = 0.5 * (w.h[nodes / 2 - 1] + w.h[nodes / 2]);
    return (1 - h) / ((mu_r - 1) * h);
}

/* D.-X. Chen, J. Brug, R. Goldfarb, IEEE Trans. Magn. 27 (1991) 3601: fluxmetric factor of a cylinder by length /
 * diameter, susceptibility going to zero (digits computed from their formula). */
static void weak_wires_have_the_fluxmetric_factor_of_a_cylinder(void **state)
{
    (void)state;
    static const double table[][2] = {{10, 0.00492653}, {20, 0.00124534}, {50, 0.000199880}};
    for (int i = 0; i < 3; i++)
        assert_relative(middle_factor(table[i][0], 1.001, 0), table[i][1], 0.02);
}

/* Axisymmetric finite elements of third order (FreeFEM 4.11, reference/decks/ballistic.edp, error 3e-4), rods of relative
 * permeability 1e6. */
static void permeable_wires_have_the_ballistic_factor_of_rods(void **state)
{
    (void)state;
    static const double table[][2] = {{20, 0.0053610}, {50, 0.001211}};
    for (int i = 0; i < 2; i++)
        assert_relative(middle_factor(table[i][0], 1e6, end_radii), table[i][1], 0.01);
}

static void a_wire_of_air_is_not_magnetised(void **state)
{
    (void)state;
    wire w = new_wire();
    apply_charge(&w, 1, 3e-3, 0.01);
    magnetise(&w, steel(1));
    for (int i = 0; i < NODES - 1; i++)
        assert_close(w.h[i], -(w.psi[i + 1] - w.psi[i]) / (w.y[i + 1] - w.y[i]), 1e-6);
    for (int i = 0; i < NODES; i++)
        assert_close(w.charge[i], 0, 1e-6);
}

static void a_constant_potential_does_nothing(void **state)
{
    (void)state;
    wire w = new_wire();
    for (int i = 0; i < NODES; i++)
        w.psi[i] = 123;
    magnetise(&w, steel(200));
    for (int i = 0; i < NODES - 1; i++)
        assert_close(w.h[i], 0, 1e-9);
}

/* What leaves the wire is what its flux loses: no charge in all, and from one end to any element the charge makes up the
 * magnetisation there. Newton's method stops at 1e-9 of its first residual. */
static void charge_is_what_the_magnetisation_loses(void **state)
{
    (void)state;
    wire w = new_wire();
    apply_charge(&w, 5, 3e-3, 0.01);
    ll_material *m;
    assert_ok(ll_material_steel_arctan(2.0, 200, 0, &m));
    magnetise(&w, ll_material_share(m));
    const double area = LL_PI * w.radius_m * w.radius_m;
    double sum = 0, most = 0;
    for (int e = 0; e < NODES - 1; e++)
        most = fmax(most, fabs(b_in(m, w.h[e])) * area / LL_MU0);
    for (int i = 0; i < NODES; i++)
        sum += w.weight[i] * w.charge[i];
    assert_close(sum, 0, 1e-6 * most);
    ll_material_free(m);
}

/* Js = 2 T: however strong the field, B - mu0 H stays below it; in a weak one the wire is linear. */
static void polarisation_never_exceeds_saturation(void **state)
{
    (void)state;
    static const double charges[] = {1e-3, 1, 20, 500};
    for (int c = 0; c < 4; c++) {
        wire w = new_wire();
        apply_charge(&w, charges[c], 3e-3, 0);
        ll_material *m;
        assert_ok(ll_material_steel_arctan(2.0, 1001, 0, &m));
        magnetise(&w, ll_material_share(m));
        double most = 0;
        for (int e = 0; e < NODES - 1; e++) {
            const double j = b_in(m, w.h[e]) - LL_MU0 * w.h[e];
            assert_true(fabs(j) < 2.0);
            assert_true(j * w.h[e] >= 0);
            most = fmax(most, fabs(j));
        }
        assert_true(c < 2 ? most < 1 : most > 1.5);
        ll_material_free(m);
    }
}

static void weak_fields_meet_the_initial_permeability(void **state)
{
    (void)state;
    wire soft = new_wire(), straight = soft;
    apply_charge(&soft, 1e-4, 3e-3, 0.01);
    apply_charge(&straight, 1e-4, 3e-3, 0.01);
    ll_material *m;
    assert_ok(ll_material_steel_arctan(2.0, 201, 0, &m));
    magnetise(&soft, m);
    magnetise(&straight, steel(201));
    for (int e = 10; e < NODES - 11; e++)
        assert_close(soft.h[e], straight.h[e], 1e-4 * fabs(straight.h[NODES / 2 - 20]));
}

static void answer_is_odd_in_the_field_and_mirrored_with_it(void **state)
{
    (void)state;
    wire a = new_wire(), b = a, c = a;
    apply_charge(&a, 30, 3e-3, 0.01);
    apply_charge(&b, -30, 3e-3, 0.01);
    apply_charge(&c, 30, 3e-3, -0.01);
    wire *all[3] = {&a, &b, &c};
    for (int i = 0; i < 3; i++) {
        ll_material *m;
        assert_ok(ll_material_steel_arctan(1.8, 500, 0, &m));
        magnetise(all[i], m);
    }
    double most = 0;
    for (int e = 0; e < NODES - 1; e++)
        most = fmax(most, fabs(a.h[e]));
    for (int e = 0; e < NODES - 1; e++) {
        assert_close(b.h[e], -a.h[e], 1e-5 * most);
        assert_close(c.h[NODES - 2 - e], -a.h[e], 1e-5 * most);
    }
}

static void weights_add_up_to_the_length(void **state)
{
    (void)state;
    wire w = wire_of(NODES, 0.12, 0.43e-3);
    double sum = 0, moment = 0;
    ll_wire_weights(NODES, w.y, w.weight);
    for (int i = 0; i < NODES; i++) {
        sum += w.weight[i];
        moment += w.weight[i] * w.y[i];
    }
    assert_relative(sum, 0.12, 1e-13);
    assert_close(moment, 0, 1e-15);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(weak_wires_have_the_fluxmetric_factor_of_a_cylinder),
        cmocka_unit_test(permeable_wires_have_the_ballistic_factor_of_rods),
        cmocka_unit_test(a_wire_of_air_is_not_magnetised),
        cmocka_unit_test(a_constant_potential_does_nothing),
        cmocka_unit_test(charge_is_what_the_magnetisation_loses),
        cmocka_unit_test(polarisation_never_exceeds_saturation),
        cmocka_unit_test(weak_fields_meet_the_initial_permeability),
        cmocka_unit_test(answer_is_odd_in_the_field_and_mirrored_with_it),
        cmocka_unit_test(weights_add_up_to_the_length),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
