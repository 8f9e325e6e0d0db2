/* test_eddy_sheets.c - metal that is not magnetic beside a coil at a frequency: discs, rings, cans and bars against axisymmetric
 * finite elements (FreeFEM, deck e2_conductors.edp, error 1e-4 to 10 kHz and 1e-3 above), a wide sheet against its
 * closed form, a box against finite elements in three dimensions (deck r15_cover).
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "eddies/eddies.h"

enum { FREQUENCIES = 4 };
static const double f_hz[FREQUENCIES] = {100, 1000, 10000, 20000};

typedef enum metal { DISC, HOOP, CAN, SLUG } metal;

typedef struct sheet_case {
    metal what;
    double core_mu, core_s_m;
    double l_h[FREQUENCIES], extra_ohm[FREQUENCIES];
    double r_share; /* tolerance */
} sheet_case;

/* L within 1 % throughout. Extra resistance within 2.5 % where the metal is thinner than the skin depth; thick copper and
 * brass at 20 kHz, a third of it, asks for finer leaves than there are. */
static const sheet_case cases[] = {
    {DISC,
     1,
     0,
     {0.3466469, 0.3452746, 0.3030456, 0.2877129},
     {0.6025722, 58.94281, 1974.769, 2834.914},
     0.02},
    {HOOP,
     1,
     0,
     {0.3452516, 0.2899365, 0.2462089, 0.2412961},
     {7.260026, 297.6811, 970.823, 1442.418},
     0.055},
    {CAN,
     1,
     0,
     {0.3466598, 0.3465089, 0.3330824, 0.3058201},
     {0.2756638, 27.53304, 2456.827, 7425.747},
     0.02},
    {SLUG,
     1,
     0,
     {0.3466537, 0.3460158, 0.3180795, 0.3030145},
     {0.3751553, 37.05985, 1733.136, 2977.531},
     0.07},
    {DISC,
     100,
     0,
     {0.9438061, 0.9352552, 0.7285736, 0.6727559},
     {3.186035, 308.9367, 8181.549, 10871.45},
     0.02},
    {HOOP,
     100,
     0,
     {0.9364113, 0.7027464, 0.5725769, 0.5585903},
     {32.17401, 1053.772, 2923.96, 4267.226},
     0.05},
    {CAN,
     100,
     0,
     {0.9439019, 0.9429665, 0.8654489, 0.7363459},
     {1.321821, 131.9152, 10980.87, 29241.79},
     0.02},
    {DISC,
     100,
     5e6,
     {0.9417558, 0.868841, 0.5528305, 0.4784631},
     {13.25746, 761.8088, 11522.78, 18262.47},
     0.025},
    {HOOP,
     100,
     5e6,
     {0.9330916, 0.6487847, 0.4548216, 0.4102303},
     {41.99167, 1269.325, 6742.521, 12566.4},
     0.035},
    {CAN,
     100,
     5e6,
     {0.941926, 0.8795199, 0.6308474, 0.4924427},
     {11.40197, 612.7218, 14706.95, 29999.62},
     0.03},
};

static void add_metal(ll_scene *scene, ll_shape shape, ll_vec3 at_m, double conductivity_s_m)
{
    ll_material *material;
    assert_ok(ll_material_conductor(conductivity_s_m, &material));
    add_posed(scene, shape, ll_pose_at(at_m), material, ll_vec(0, 0, 0));
}

static void add_metal_of(ll_scene *scene, metal what)
{
    if (what == DISC)
        add_metal(scene, rod_mm(30, 0.5), mm(0, 0, 5.75), 1.5e7);
    if (what == HOOP)
        add_metal(scene, ring_mm(22, 18, 4), mm(0, 0, 0), 5.8e7);
    if (what == CAN) {
        add_metal(scene, ring_mm(20, 19.2, 12), mm(0, 0, 0), 3.4e6);
        add_metal(scene, rod_mm(20, 0.4), mm(0, 0, 6.2), 3.4e6);
    }
    if (what == SLUG)
        add_metal(scene, rod_mm(5, 13.2), mm(0, 0, -1.4), 1.5e7);
}

/* change[count] of the first coil's inductance. */
static void changes_of(const ll_solution *s, size_t count, const double *f, double complex *change)
{
    ll_eddies *eddies;
    assert_ok(ll_eddies_new(s, NULL, count, f, &eddies));
    assert_ok(ll_eddies_inductance(eddies, 0, 0, count, f, change));
    ll_eddies_free(eddies);
}

static double ohm_of(double f, double complex change_h)
{
    return -2 * LL_PI * f * cimag(change_h);
}

static void metal_around_a_coil_matches_finite_elements(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const sheet_case *c = &cases[i];
        ll_scene *scene = new_scene();
        ll_material *core;
        double complex change[FREQUENCIES];
        if (c->core_mu > 1) {
            assert_ok(ll_material_steel(c->core_mu, c->core_s_m, &core));
            add_posed(scene, rod_mm(5, 13.2), ll_pose_at(mm(0, 0, -1.4)), core, ll_vec(0, 0, 0));
        }
        add_metal_of(scene, c->what);
        add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, 0), 8000);
        ll_solution *s = solved(scene, 1);
        changes_of(s, FREQUENCIES, f_hz, change);
        for (int k = 0; k < FREQUENCIES; k++) {
            assert_relative(inductance(s, 0, 0) + creal(change[k]), c->l_h[k], 0.01);
            assert_relative(ohm_of(f_hz[k], change[k]), c->extra_ohm[k], c->r_share);
        }
        ll_solution_free(s);
    }
}

/* Bessel's integral, by the trapezoidal rule, which is exact to rounding here. */
static double bessel_j1(double x)
{
    enum { POINTS = 100 };
    double sum = 0;
    for (int k = 0; k < POINTS; k++) {
        const double angle = 2 * LL_PI * k / POINTS;
        sum += cos(angle - x * sin(angle)) / POINTS;
    }
    return sum;
}

/* J. C. Maxwell, Treatise, art. 656: a thin wide sheet answers each spatial frequency k of the field with j w mu0 s h / (2 k +
 * j w mu0 s h). For a loop of radius a at the distance d, as Dodd and Deeds, J. Appl. Phys. 39 (1968) 2829, write it:
 *   change = -mu0 pi a^2 integral J1(k a)^2 exp(-2 k d) j w mu0 s h / (2 k + j w mu0 s h) dk */
static double complex loop_over_sheet(double a, double d, double sheet_s, double omega)
{
    const double complex drag = I * omega * LL_MU0 * sheet_s;
    const double step = 1e-3 / d;
    double complex sum = 0;
    for (double k = step / 2; k < 20 / d; k += step)
        sum += pow(bessel_j1(k * a), 2) * exp(-2 * k * d) * drag / (2 * k + drag) * step;
    return -LL_MU0 * LL_PI * a * a * sum;
}

/* A disc four times as wide as the loop, 0.1 mm thick. From 10 kHz on its currents stay under the loop; below, they spread to
 * the rim, and a wider sheet would carry more. */
static void a_wide_thin_sheet_answers_as_maxwells(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    double complex change[FREQUENCIES];
    add_metal(scene, rod_mm(60, 0.1), mm(0, 0, -4.05), 3e7);
    add_coil(scene, round_coil_mm(6.95, 7.05, 0.1), mm(0, 0, 0), 1);
    ll_solution *s = solved(scene, 1);
    changes_of(s, FREQUENCIES, f_hz, change);
    for (int k = 2; k < FREQUENCIES; k++) {
        const double complex expected = loop_over_sheet(7e-3, 4.05e-3, 3e3, 2 * LL_PI * f_hz[k]);
        assert_true(cabs(change[k] - expected) < 0.02 * cabs(expected));
    }
    ll_solution_free(s);
}

/* Five plates 0.4 mm thick around the coil, whose middle planes lie at +-half_x, +-half_y and z = 6.2, gap between the walls
 * and the top as given. */
static double box_ohm(double half_x, double half_y, double gap_mm, double f)
{
    const double t = 0.4, wall = 12;
    ll_scene *scene = new_scene();
    double complex change;
    add_metal(scene, block_mm(2 * half_x + t, 2 * half_y + t, t), mm(0, 0, 6.2 + gap_mm), 3.4e6);
    for (int side = -1; side < 2; side += 2) {
        add_metal(scene, block_mm(2 * half_x + t, t, wall), mm(0, side * half_y, 0), 3.4e6);
        add_metal(scene, block_mm(t, 2 * half_y - t - 2 * gap_mm, wall), mm(side * half_x, 0, 0),
                  3.4e6);
    }
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, 0), 8000);
    ll_solution *s = solved(scene, 1);
    changes_of(s, 1, &f, &change);
    ll_solution_free(s);
    return ohm_of(f, change);
}

/* Deck r15_cover: a box of sheet, finite elements in three dimensions (Gmsh, GetDP), error 5e-3. */
static void a_box_of_sheet_matches_finite_elements(void **state)
{
    (void)state;
    assert_relative(box_ohm(15, 9, 0, 1000), 18.53, 0.03);
    assert_relative(box_ohm(15, 9, 0, 10000), 1619, 0.03);
}

/* Plates that do not meet cannot carry the current around, and most of the loss is gone. */
static void current_runs_around_the_edges_of_a_box(void **state)
{
    (void)state;
    assert_true(box_ohm(8.7, 8.7, 0.05, 1000) < 0.5 * box_ohm(8.7, 8.7, 0, 1000));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(metal_around_a_coil_matches_finite_elements),
        cmocka_unit_test(a_wide_thin_sheet_answers_as_maxwells),
        cmocka_unit_test(a_box_of_sheet_matches_finite_elements),
        cmocka_unit_test(current_runs_around_the_edges_of_a_box),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
