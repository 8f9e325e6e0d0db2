/* test_string_reference.c - tensions that a maker prints, and a steel wire against axisymmetric finite elements.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "field/source.h"
#include "string/string.h"
#include "string/wire.h"
#include "string/wrap.h"

/* D'Addario's tension guide, 25.5 inch scale (unit weights and tensions from memory): gauge in thousandths of an inch, unit
 * weight in lb/in, pitch in Hz, tension in lb. The guide rounds to 0.1 lb. */
static void plain_and_wound_strings_have_the_tension_of_the_makers_guide(void **state)
{
    (void)state;
    static const double table[][3] = {{1.794e-5, 329.63, 13.1},  {2.215e-5, 329.63, 16.2},
                                      {2.680e-5, 246.94, 11.0},  {3.744e-5, 246.94, 15.4},
                                      {6.402e-5, 196.00, 16.6},  {1.2671e-4, 146.83, 18.4},
                                      {2.3964e-4, 110.00, 19.5}, {3.8216e-4, 82.41, 17.5}};
    const double lb = 0.45359237, inch = 0.0254, gravity = 9.80665;
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        const double mass = table[i][0] * lb / inch;
        assert_relative(ll_string_tension_n(mass, 25.5 * inch, table[i][1]) / (lb * gravity),
                        table[i][2], 0.005);
    }
}

/* The same guide's plain strings are solid steel within 1 %. */
static void plain_strings_weigh_what_steel_weighs(void **state)
{
    (void)state;
    static const double table[][2] = {
        {9, 1.794e-5}, {10, 2.215e-5}, {11, 2.680e-5}, {13, 3.744e-5}, {17, 6.402e-5}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        assert_relative(ll_string_plain_mass_kg_m(table[i][0] * 25.4e-6, 7850),
                        table[i][1] * 0.45359237 / 0.0254, 0.01);
}

/* ---- R7 ---- */

/* A wire (d 0.43, 3 to 43 mm from the face, mu_r 200) on the axis of a rod magnet (d 5, 17 long, 1.2 T, recoil 1); behind
 * the face a coil (8000 turns, r 3 to 8, 2 to 12 mm deep). FreeFEM 4.11, deck r7_wire: mean B along the wire over its
 * section, T, error 5e-4; linkage added, 240.98 uWb, error 2e-4. */
enum { NODES = 161 };
static double y[NODES], psi[NODES], h[NODES - 1], charge[NODES];
static const double thick_m = 0.215e-3;
/* A thin wire's last charge stands for that of the end's face and acts as if the wire went on by this many radii: what the
 * ballistic factors of rods need too (unit/test_string_wire.c). */
static const double end_radii = 0.4;

static void magnetise_wire(const ll_material *m, double radius_m)
{
    const ll_shape shape = rod_mm(5, 17);
    const ll_pose pose = ll_pose_at(mm(0, 0, -8.5));
    const double end = end_radii * radius_m;
    ll_vec3 at[NODES];
    for (int i = 0; i < NODES; i++) {
        y[i] = 0.003 + end + (0.040 - 2 * end) * i / (NODES - 1);
        at[i] = ll_vec(0, 0, y[i]);
    }
    assert_ok(ll_magnet_potential(&shape, &pose, ll_vec(0, 0, 1.2 / LL_MU0), NODES, at, psi));
    const ll_wire_make make = {radius_m, m, {0, 0}};
    assert_ok(ll_wire_magnetise(NODES, y, &make, psi, h, charge));
}

/* Between the middles of two elements. */
static double h_at_height(double z_m)
{
    const double step = y[1] - y[0], place = (z_m - y[0]) / step - 0.5;
    const int e = (int)floor(place);
    return h[e] + (place - e) * (h[e + 1] - h[e]);
}

/* The material's M at a field. */
static double magnetisation(const ll_material *m, double h_a_m)
{
    double b;
    ll_material_b(m, h_a_m, &b, NULL);
    return b / LL_MU0 - h_a_m;
}

/* What the wire adds to R7's coil. */
static double linkage_wb(const ll_material *m, double radius_m)
{
    const ll_coil_shape coil = round_coil_mm(3, 8, 10);
    const ll_pose pose = ll_pose_at(mm(0, 0, -7));
    double sum = 0;
    for (int e = 0; e < NODES - 1; e++) {
        const ll_vec3 middle = ll_vec(0, 0, 0.5 * (y[e] + y[e + 1]));
        ll_vec3 per_ampere;
        assert_ok(ll_coil_h(&coil, &pose, 8000, 1, &middle, &per_ampere));
        sum += magnetisation(m, h[e]) * per_ampere.z * (y[e + 1] - y[e]);
    }
    return LL_MU0 * LL_PI * radius_m * radius_m * sum;
}

static void a_wire_matches_finite_elements(void **state)
{
    (void)state;
    static const double table[][2] = {
        {4, 3.8180}, {6, 4.4615}, {10, 3.0434}, {20, 0.87506}, {30, 0.30970}};
    ll_material *m = steel(200);
    magnetise_wire(m, thick_m);
    for (int i = 0; i < 5; i++)
        assert_relative(200 * LL_MU0 * h_at_height(1e-3 * table[i][0]), table[i][1], 0.01);
    assert_relative(linkage_wb(m, thick_m), 240.98e-6, 0.01);
    ll_material_free(m);
}

/* R11: d 0.25 in place of 0.43, and a law that saturates: Js 1.95 T, mu_initial 200. FreeFEM, deck r11_thin_wire: mean B over the
 * section to 6e-4, linkage added 39.058 uWb to 2e-4. Asked for: 2 %. */
static void a_saturating_wire_matches_finite_elements(void **state)
{
    (void)state;
    static const double table[][2] = {{4, 1.92736}, {6, 1.80580}, {10, 1.47688}, {20, 0.62656}};
    ll_material *m;
    assert_ok(ll_material_steel_arctan(1.95, 200, 0, &m));
    magnetise_wire(m, 0.125e-3);
    for (int i = 0; i < 4; i++) {
        double b;
        ll_material_b(m, h_at_height(1e-3 * table[i][0]), &b, NULL);
        assert_relative(b, table[i][1], 0.02);
    }
    assert_relative(linkage_wb(m, 0.125e-3), 39.058e-6, 0.02);
    ll_material_free(m);
}

/* R14: bars side by side, a hundredth of their thickness apart, in a field along their row, as a wrap unrolled: M over H. FreeFEM,
 * deck r14_wrap, error 2e-3. Asked for: 2 %, of a figure that how tight it is wound moves by much more. */
static void a_wrap_is_magnetised_like_a_row_of_bars(void **state)
{
    (void)state;
    static const double table[][2] = {{100, 19.16}, {200, 21.87}};
    for (int i = 0; i < 2; i++) {
        ll_material *core = steel(200), *wrap = steel(table[i][0]);
        const ll_string string = {1e-3, 0.4e-3, core, 0, 0, wrap};
        /* Round wire of 0.3 mm on a circle of 0.7: its section times the length of a turn over the pitch. */
        const double area = LL_PI / 4 * 0.3e-3 * 0.3e-3 * LL_PI * 0.7e-3 / 0.3e-3;
        assert_relative(ll_wrap_of(&string).slope_m2 / area, table[i][1], 0.02);
        ll_material_free(core);
        ll_material_free(wrap);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plain_and_wound_strings_have_the_tension_of_the_makers_guide),
        cmocka_unit_test(plain_strings_weigh_what_steel_weighs),
        cmocka_unit_test(a_wire_matches_finite_elements),
        cmocka_unit_test(a_saturating_wire_matches_finite_elements),
        cmocka_unit_test(a_wrap_is_magnetised_like_a_row_of_bars),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
