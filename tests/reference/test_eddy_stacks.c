/* test_eddy_stacks.c - a coil around parts on its axis, one on or in or near another, against axisymmetric finite elements that
 * resolve the skin depth: FreeFEM P3, open reference cases of the trade's shapes, error 2e-4 (they resolve in the same way as
 * deck e1_cores.edp). SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "eddies/coaxial.h"
#include "eddies/eddies.h"
#include "field/source.h"

enum { MOST = 4 };

/* mm and S/m */
typedef struct stacked {
    double inner, outer, from_z, to_z, mu_r, sigma;
} stacked;

typedef struct stack_case {
    const char *what;
    size_t parts;
    stacked part[2];
    int frequencies;
    double f_hz[MOST], l_h[MOST], extra_ohm[MOST];
} stack_case;

static const stack_case cases[] = {
    {"brass in contact with a pole",
     2,
     {{0, 2.5, -8, 5.5, 150, 5e6}, {0, 10, 5.5, 5.9, 1, 1.5e7}},
     4,
     {100, 1000, 5000, 20000},
     {0.99880532, 0.93518121, 0.76753043, 0.54425040},
     {12.948978, 640.73043, 6433.2320, 21306.139}},
    {"a disc of steel joined to a pole",
     2,
     {{0, 2.5, -8, 5.5, 150, 5e6}, {0, 10, 5.5, 6, 150, 5e6}},
     4,
     {100, 1000, 5000, 20000},
     {1.7985958, 1.5586347, 1.1486765, 0.81291095},
     {44.668985, 1793.9430, 11873.729, 39346.142}},
    {"the disc 0.1 mm away",
     2,
     {{0, 2.5, -8, 5.4, 150, 5e6}, {0, 10, 5.5, 6, 150, 5e6}},
     4,
     {100, 1000, 5000, 20000},
     {1.6304019, 1.4406959, 1.0972511, 0.79781016},
     {35.377615, 1477.9931, 10303.083, 35797.412}},
    {"a tube that is not magnetic",
     1,
     {{2.5, 3, -9, 9, 1, 2.1e6}},
     2,
     {1000, 10000},
     {0.38947234, 0.38857709},
     {5.9625260, 590.81614}},
    {"a tube of mu 1.05",
     1,
     {{2.5, 3, -9, 9, 1.05, 2.1e6}},
     2,
     {1000, 10000},
     {0.39107493, 0.39016002},
     {6.0605025, 600.46235}},
    {"a tube of mu 4",
     1,
     {{2.5, 3, -9, 9, 4, 2.1e6}},
     2,
     {1000, 10000},
     {0.47689815, 0.47440121},
     {12.722140, 1252.0490}},
    {"a bar three times as long as wide",
     1,
     {{0, 2.5, -7.5, 7.5, 200, 5e6}},
     3,
     {100, 1000, 10000},
     {1.1204327, 1.0518407, 0.86729722},
     {14.304401, 522.93862, 10050.181}},
};

static void add_stacked(ll_scene *scene, const stacked *p)
{
    ll_material *material;
    const double length = p->to_z - p->from_z;
    if (p->mu_r > 1)
        assert_ok(ll_material_steel(p->mu_r, p->sigma, &material));
    else
        assert_ok(ll_material_conductor(p->sigma, &material));
    add_posed(scene,
              p->inner > 0 ? ring_mm(2 * p->outer, 2 * p->inner, length)
                           : rod_mm(2 * p->outer, length),
              ll_pose_at(mm(0, 0, (p->from_z + p->to_z) / 2)), material, ll_vec(0, 0, 0));
}

static const double turns = 8000;

static ll_solution *stack_in_coil(size_t parts, const stacked *part)
{
    ll_scene *scene = new_scene();
    for (size_t i = 0; i < parts; i++)
        add_stacked(scene, &part[i]);
    add_coil(scene, round_coil_mm(3.5, 8, 10), mm(0, 0, 0), turns);
    return solved(scene, 1);
}

static double in_air_h(void)
{
    const ll_coil_shape shape = round_coil_mm(3.5, 8, 10);
    const ll_pose pose = ll_pose_at(mm(0, 0, 0));
    double l_h;
    assert_ok(ll_coil_inductance(&shape, &pose, turns, &shape, &pose, turns, &l_h));
    return l_h;
}

/* L within 0.03 %, extra R within 0.06 %: the references' own error and as much again. */
static void parts_on_one_axis_are_as_finite_elements_have_them(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const stack_case *c = &cases[i];
        ll_solution *s = stack_in_coil(c->parts, c->part);
        ll_coaxial *stack;
        assert_ok(ll_coaxial_new(s, &stack));
        assert_non_null(stack);
        for (int k = 0; k < c->frequencies; k++) {
            double complex error;
            const double complex change = ll_coaxial_inductance(stack, 0, 0, c->f_hz[k], &error);
            const double l_h = in_air_h() + ll_coaxial_static_h(stack, 0, 0) + creal(change);
            const double ohm = -2 * LL_PI * c->f_hz[k] * cimag(change);
            assert_relative(l_h, c->l_h[k], 3e-4);
            assert_relative(ohm, c->extra_ohm[k], 6e-4);
            /* The error told holds what the references can tell, and stays small. */
            assert_true(fabs(ohm - c->extra_ohm[k]) <
                        2 * LL_PI * c->f_hz[k] * cimag(error) + 2e-4 * c->extra_ohm[k]);
            assert_true(cimag(error) < 2e-3 * fabs(cimag(change)));
        }
        ll_coaxial_free(stack);
        ll_solution_free(s);
    }
}

static double complex change_of(size_t parts, const stacked *part, double f_hz)
{
    ll_solution *s = stack_in_coil(parts, part);
    ll_eddies *eddies;
    double complex change;
    assert_ok(ll_eddies_new(s, NULL, 1, &f_hz, &eddies));
    assert_ok(ll_eddies_inductance(eddies, 0, 0, 1, &f_hz, &change));
    ll_eddies_free(eddies);
    ll_solution_free(s);
    return change;
}

/* Nothing jumps where steel becomes a plain metal, nor where a gap closes. */
static void nothing_jumps_as_mu_goes_to_one_or_a_gap_closes(void **state)
{
    (void)state;
    const stacked plain = {2.5, 3, -9, 9, 1, 2.1e6}, nearly = {2.5, 3, -9, 9, 1 + 1e-6, 2.1e6};
    const double complex a = change_of(1, &plain, 5000), b = change_of(1, &nearly, 5000);
    assert_true(cabs(b - a) < 1e-4 * cabs(a));
    const stacked joined[2] = {{0, 2.5, -8, 5.5, 150, 5e6}, {0, 10, 5.5, 6, 150, 5e6}};
    const double complex closed = change_of(2, joined, 1000);
    double before = HUGE_VAL;
    for (double gap = 1e-2; gap > 1e-4; gap /= 4) {
        stacked apart[2] = {joined[0], joined[1]};
        apart[0].to_z -= gap;
        const double away = cabs(change_of(2, apart, 1000) - closed) / cabs(closed);
        assert_true(away < before);
        before = away;
    }
    assert_true(before < 1e-3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parts_on_one_axis_are_as_finite_elements_have_them),
        cmocka_unit_test(nothing_jumps_as_mu_goes_to_one_or_a_gap_closes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
