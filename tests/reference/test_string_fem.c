/* test_string_fem.c - a string over six steel poles against finite elements in which the string is meshed.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "string/track.h"
#include "string/wire.h"

/* R12: a straight wire of mu 200 and 60 mm over one of the six poles, in a coil around that pole. Gmsh and GetDP, deck
 * r12_string, quadratic elements: what the wire adds to the linkage from two solutions on one mesh, error 0.5 %. Asked for: 3 %; the
 * tolerances are those of the finite elements and half as much again. */
static const double height_mm[] = {6.7, 7.2, 7.7}, added_wb[] = {1.4010e-3, 1.1166e-3, 0.9018e-3};
static const double half_length_m = 30e-3, share = 1;

static ll_solution *six_poles;
static ll_material *mu_200;

static int solve(void **state)
{
    (void)state;
    ll_scene *scene = a6_scene();
    add_coil(scene, round_coil_mm(3, 5, 8), mm(5.1, 0, -1), 8000);
    six_poles = solved(scene, 1);
    mu_200 = steel(200);
    return 0;
}

static int let_go(void **state)
{
    (void)state;
    ll_solution_free(six_poles);
    ll_material_free(mu_200);
    return 0;
}

/* The string of the engine has no ends near the pickup: its nodes are spread anew over the wire's length, less what the last
 * charges stand for (test_string_reference.c). */
static void shorten(ll_track *t)
{
    const double reach = half_length_m - 0.4 * t->string->core_diameter_m / 2;
    for (size_t i = 0; i < t->nodes; i++)
        t->y_m[i] = reach * (2 * (double)i / (double)(t->nodes - 1) - 1);
    ll_wire_weights(t->nodes, t->y_m, t->length_m);
}

/* The wire magnetised at a height of its axis; the caller clears the track. */
static void magnetise(const ll_string *string, ll_track *t)
{
    assert_ok(ll_track_new(six_poles, string, t));
    shorten(t);
    assert_ok(ll_track_place(t, &share, string->x_m, string->z_m));
    assert_ok(ll_track_magnetise(t, true));
}

static ll_string string_at(double z_mm)
{
    return (ll_string){0.43e-3, 0.43e-3, mu_200, 5.1e-3, 1e-3 * z_mm, NULL};
}

static double linkage_at(double z_mm)
{
    const ll_string string = string_at(z_mm);
    ll_track t;
    magnetise(&string, &t);
    double linkage;
    assert_ok(ll_track_linkage(&t, &linkage));
    ll_track_clear(&t);
    return linkage;
}

static void linkage_of_a_string_matches_finite_elements(void **state)
{
    (void)state;
    for (int i = 0; i < 3; i++)
        assert_relative(linkage_at(height_mm[i]), added_wb[i], 0.008);
}

/* Over half a millimetre each way: its slope is the string's voltage for a velocity. */
static void change_of_linkage_matches_finite_elements(void **state)
{
    (void)state;
    assert_relative(linkage_at(6.7) - linkage_at(7.7), added_wb[0] - added_wb[2], 0.015);
    assert_relative(linkage_at(6.7) - linkage_at(7.2), added_wb[0] - added_wb[1], 0.03);
}

/* Between the middles of two elements. */
static double h_at(const ll_track *t, double y_m)
{
    size_t e = 1;
    while ((t->y_m[e] + t->y_m[e + 1]) / 2 < y_m)
        e++;
    const double from = (t->y_m[e - 1] + t->y_m[e]) / 2, to = (t->y_m[e] + t->y_m[e + 1]) / 2;
    const double part = (y_m - from) / (to - from);
    return (1 - part) * t->bias.h_along[e - 1] + part * t->bias.h_along[e];
}

/* By on the wire's axis, read from the same deck; less sure there than integrals are, 1 %. */
static void flux_density_along_a_string_matches_finite_elements(void **state)
{
    (void)state;
    static const double table[][2] = {{2, 1.066}, {4, 1.839}, {8, 2.320}, {15, 1.628}};
    const ll_string string = string_at(7.2);
    ll_track t;
    magnetise(&string, &t);
    for (int i = 0; i < 4; i++)
        assert_relative(200 * LL_MU0 * h_at(&t, 1e-3 * table[i][0]), table[i][1], 0.01);
    ll_track_clear(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(linkage_of_a_string_matches_finite_elements),
        cmocka_unit_test(change_of_linkage_matches_finite_elements),
        cmocka_unit_test(flux_density_along_a_string_matches_finite_elements),
    };
    return cmocka_run_group_tests(tests, solve, let_go);
}
