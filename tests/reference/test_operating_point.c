/* test_operating_point.c - where magnets work in open air, against published demagnetising factors.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "magnetics/load_line.h"

/* The part of that shape, north up, alone. */
static ll_operating_point alone_with(ll_shape shape, ll_material *m,
                                     const ll_solve_options *options)
{
    ll_scene *scene = new_scene();
    ll_solution *s;
    ll_operating_point p;
    add_magnet(scene, shape, mm(0, 0, 0), m, ll_vec(0, 0, 1));
    assert_ok(ll_solve(scene, options, &s));
    assert_ok(ll_solution_operating_point(s, 0, &p));
    ll_solution_free(s);
    ll_scene_free(scene);
    return p;
}

static ll_operating_point alone(ll_shape shape, ll_material *m, double fineness)
{
    return alone_with(shape, m, &(ll_solve_options){.fineness = fineness});
}

/* -H / M of the means. */
static double factor(ll_operating_point p)
{
    return -p.h_a_m / (p.b_t / LL_MU0 - p.h_a_m);
}

/* Magnetometric factors of evenly magnetised rods (Chen, Brug and Goldfarb, IEEE Trans. Magn. 27 (1991) 3601, tables I and
 * II, digits from the closed form 1 - K of Nagaoka), length over diameter. */
static void rods_lie_on_the_load_line_of_chen_brug_and_goldfarb(void **state)
{
    (void)state;
    static const double cases[][2] = {{0.1, 0.796677}, {0.5, 0.474490}, {1, 0.311577},
                                      {2, 0.181864},   {3, 0.127769},   {5, 0.0799073}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_relative(factor(alone(rod_mm(5, 5 * cases[i][0]), magnet(1, 1), 1)), cases[i][1],
                        1e-3);
}

/* Of a magnet that recoils along mu, H is what B lacks to the remanence over mu0 mu: -H / M is the factor of the shape again, a
 * little less than for mu = 1 (by about 1 % for mu 1.1). Whichever elements it is made of. */
static void magnets_that_recoil_lie_on_the_same_load_line(void **state)
{
    (void)state;
    static const double cases[][2] = {{0.5, 0.474490}, {1, 0.311577}, {2, 0.181864}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        for (int tetrahedra = 0; tetrahedra < 2; tetrahedra++) {
            const ll_solve_options options = {.tetrahedra = tetrahedra};
            const ll_shape rod = rod_mm(5, 5 * cases[i][0]);
            assert_relative(factor(alone_with(rod, magnet(0.4, 1.1), &options)), cases[i][1],
                            0.013);
        }
}

/* Before a mesh is made: the point is one of the law, M = Js / mu0 + (mu - 1) H, and H / M that of the rods above. The factor is a mean
 * over a few hundred points within, which leaves out the ends of a long rod: 12 %. */
static void the_load_line_crosses_the_law_at_the_factor_of_the_shape(void **state)
{
    (void)state;
    static const double cases[][2] = {
        {0.5, 0.474490}, {1, 0.311577}, {2, 0.181864}, {5, 0.0799073}};
    static const double mu = 4, js_t = 0.6;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        for (int sign = -1; sign < 2; sign += 2) {
            ll_material *m = magnet(js_t, mu);
            const ll_region region = {.material = m, .axis = ll_vec(0, 0, 1), .charge = sign};
            const ll_shape rod = rod_mm(5, 5 * cases[i][0]);
            const ll_pose pose = ll_pose_at(mm(0, 0, 0));
            double m_a_m, h_a_m;
            assert_ok(ll_load_line(&region, &rod, &pose, &h_a_m, &m_a_m));
            assert_relative(m_a_m, sign * js_t / LL_MU0 + (mu - 1) * h_a_m, 1e-9);
            assert_relative(-h_a_m / m_a_m, cases[i][1], 0.12);
            ll_material_free(m);
        }
}

/* Square prisms and a bar (Aharoni, J. Appl. Phys. 83 (1998) 3432, eq. 1, from memory, its sum rule checked). */
static void prisms_lie_on_the_load_line_of_aharoni(void **state)
{
    (void)state;
    static const struct {
        double x, y, z, factor;
    } cases[] = {{10, 10, 1, 0.805078},    {10, 10, 5, 0.495922}, {10, 10, 10, 1.0 / 3},
                 {5, 5, 10, 0.198316},     {5, 5, 25, 0.0883157}, {62, 12.7, 3.2, 0.741107},
                 {62, 3.2, 12.7, 0.216984}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_relative(
            factor(alone(block_mm(cases[i].x, cases[i].y, cases[i].z), magnet(1, 1), 1)),
            cases[i].factor, 2e-3);
}

/* Where -N M, with N for even magnetisation, meets the grade's curve. */
static ll_operating_point on_load_line(const char *grade, double n)
{
    ll_material *m;
    assert_ok(ll_material_named(grade, &m));
    double low = -200e3, high = 0, b = 0;
    for (int k = 0; k < 60; k++) {
        const double h = 0.5 * (low + high);
        ll_material_b(m, h, &b, NULL);
        *(h + n * (b / LL_MU0 - h) > 0 ? &high : &low) = h;
    }
    ll_material_free(m);
    return (ll_operating_point){b, low, low};
}

/* AlNiCo is not evenly magnetised: its ends work deeper down the curve and carry less, which spares the middle, so that the mean
 * lies above the load line of the even rod by its magnetometric factor Nm, and below that by the fluxmetric Nf of the
 * middle alone (both of the same paper, tables I and II). */
static void alnico_rods_lie_between_the_load_lines_of_their_mean_and_their_middle(void **state)
{
    (void)state;
    static const struct {
        const char *grade;
        double ratio, nm, nf; /* length over diameter */
    } cases[] = {{"AlNiCo 5", 3, 0.127769, 0.0479892},    {"AlNiCo 5", 5, 0.0799073, 0.0188912},
                 {"AlNiCo 5", 10, 0.0411929, 0.00492653}, {"AlNiCo 2", 3, 0.127769, 0.0479892},
                 {"AlNiCo 2", 5, 0.0799073, 0.0188912},   {"AlNiCo 8", 3, 0.127769, 0.0479892}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ll_material *m;
        assert_ok(ll_material_named(cases[i].grade, &m));
        const ll_operating_point p = alone(rod_mm(4.8, 4.8 * cases[i].ratio), m, 0.7),
                                 even = on_load_line(cases[i].grade, cases[i].nm),
                                 middle = on_load_line(cases[i].grade, cases[i].nf);
        assert_true(p.b_t > even.b_t && p.b_t < middle.b_t);
        assert_true(factor(p) < cases[i].nm && factor(p) > cases[i].nf);
    }
}

/* The middle section of a rod on its ballistic load line: N = 0.0935061 at L / D = 2 for even magnetisation, same paper. */
static void the_middle_of_a_rod_has_its_fluxmetric_factor(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(5, 10), mm(0, 0, 0), magnet(1, 1), ll_vec(0, 0, 1));
    ll_solution *s = solved(scene, 1);
    assert_relative(1 - section_t(s, 0, 0), 0.0935061, 2e-3);
    ll_solution_free(s);
}

/* ---- temperature ---- */

static void warmth_takes_its_share_and_no_more(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        double per_k;
    } cases[] = {
        /* Reversible coefficients of remanence: jingxin-magnet.com (ferrite), china-magnet.net (NdFeB, -0.11 to -0.12 %),
         * horizonmagnets.com (SmCo), tmcmagnetics.com (AlNiCo 5), read. */
        {"ferrite C8", -0.0020},
        {"NdFeB N42", -0.00115},
        {"SmCo5", -0.0004},
        {"AlNiCo 5", -0.0002}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ll_scene *scene = new_scene();
        ll_part part = {.name = "magnet",
                        .shape = rod_mm(5, 17),
                        .pose = ll_pose_at(mm(0, 0, 0)),
                        .north = ll_vec(0, 0, 1),
                        .charge = 1,
                        .warmer_k = 40};
        ll_material *m;
        assert_ok(ll_material_named(cases[i].name, &m));
        part.material = m;
        assert_ok(ll_scene_add_part(scene, &part));
        assert_relative(ll_scene_part(scene, 0)->charge, 1 + 40 * cases[i].per_k, 1e-12);
        ll_material_free(m);
        ll_scene_free(scene);
    }
}

static void warmth_without_a_coefficient_is_refused(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    ll_material *made = magnet(0.38, 1.05), *soft = steel(500);
    ll_part part = {.name = "part",
                    .shape = rod_mm(5, 17),
                    .pose = ll_pose_at(mm(0, 0, 0)),
                    .material = made,
                    .north = ll_vec(0, 0, 1),
                    .charge = 1,
                    .warmer_k = 5};
    assert_int_equal(ll_scene_add_part(scene, &part), LL_NO_COEFFICIENT);
    assert_int_equal(ll_scene_part_count(scene), 0);
    part.warmer_k = 0;
    assert_ok(ll_scene_add_part(scene, &part));
    part.material = soft;
    part.warmer_k = 5;
    assert_ok(ll_scene_add_part(scene, &part));
    ll_material_free(made);
    ll_material_free(soft);
    ll_scene_free(scene);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rods_lie_on_the_load_line_of_chen_brug_and_goldfarb),
        cmocka_unit_test(magnets_that_recoil_lie_on_the_same_load_line),
        cmocka_unit_test(the_load_line_crosses_the_law_at_the_factor_of_the_shape),
        cmocka_unit_test(prisms_lie_on_the_load_line_of_aharoni),
        cmocka_unit_test(alnico_rods_lie_between_the_load_lines_of_their_mean_and_their_middle),
        cmocka_unit_test(the_middle_of_a_rod_has_its_fluxmetric_factor),
        cmocka_unit_test(warmth_takes_its_share_and_no_more),
        cmocka_unit_test(warmth_without_a_coefficient_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
