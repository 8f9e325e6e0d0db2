/* test_steel_elements.c - rings, screws and cores against axisymmetric finite elements of third order: FreeFEM 4.11, decks
 * r2_ring, r3_screw and r4_cores in reference/decks, error 1e-4 or better between their two finest meshes.
 * Tolerances: 0.5 % in the air, 1 % on the mean over a section. SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"

/* A point of the axial half plane with Br and Bz. */
typedef struct reading {
    double r_mm, z_mm, br_t, bz_t;
} reading;

/* Off the axis the two components share one tolerance, a fraction of the field's size. */
static void expect_field(const ll_solution *s, size_t n, const reading *list, double fraction)
{
    for (size_t i = 0; i < n; i++) {
        const ll_vec3 b = b_at(s, mm(list[i].r_mm, 0, list[i].z_mm));
        const double size = hypot(list[i].br_t, list[i].bz_t);
        assert_close(b.x, list[i].br_t, fraction * size);
        assert_close(b.z, list[i].bz_t, fraction * size);
        assert_close(b.y, 0, fraction * size);
    }
}

static void expect_sections(const ll_solution *s, size_t part, size_t n, const double (*z_bz)[2],
                            double fraction)
{
    for (size_t i = 0; i < n; i++)
        assert_relative(section_t(s, part, z_bz[i][0]), z_bz[i][1], fraction);
}

/* R2: a ring (outer 12, inner 7, z 0 to 3, mu_r 300) around a rod magnet (d 5, z -10 to 2, 1.1 T, recoil 1.05). */
static void a_ring_around_a_magnet_takes_its_return_flux(void **state)
{
    (void)state;
    static const reading air[] = {{0, 3, 0, 0.317191},
                                  {0, 4, 0, 0.175094},
                                  {0, 6, 0, 0.060033},
                                  {4.5, 4, 0.024714, 0.012732},
                                  {7, 1.5, 0.040912, -0.004188}};
    static const double sections[][2] = {{0.75, -0.073004}, {1.5, -0.054252}, {2.25, -0.019988}};
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(5, 12), mm(0, 0, -4), magnet(1.1, 1.05), ll_vec(0, 0, 1));
    add_soft(scene, ring_mm(12, 7, 3), mm(0, 0, 1.5), 300);
    ll_solution *s = solved(scene, 2);
    expect_field(s, 5, air, 0.005);
    expect_sections(s, 1, 3, sections, 0.01);
    ll_solution_free(s);
}

/* R3: a screw (thread d 4.8, z -16 to 2; head d 7, z 2 to 4.5; mu_r 400) over a rod magnet (d 8, z -26 to -16.1,
 * 0.38 T, recoil 1.05). */
static void a_screw_carries_a_magnets_flux_to_its_head(void **state)
{
    (void)state;
    static const reading air[] = {{0, 5, 0, 0.0194727},
                                  {0, 5.5, 0, 0.0185568},
                                  {0, 7.5, 0, 0.0126920},
                                  {4, 5, 0.0190416, 0.0172156}};
    static const double sections[][2] = {{-13, 0.505420}, {-10, 0.438118}, {-5, 0.325593},
                                         {0, 0.225359},   {3, 0.066046},   {4, 0.0468466}};
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(8, 9.9), mm(0, 0, -21.05), magnet(0.38, 1.05), ll_vec(0, 0, 1));
    add_soft(scene, screw_mm(4.8, 20.5, 7, 2.5), mm(0, 0, -5.75), 400);
    ll_solution *s = solved(scene, 2);
    expect_field(s, 4, air, 0.005);
    expect_sections(s, 1, 6, sections, 0.01);
    ll_solution_free(s);
}

/* R4: a coil (6000 turns, r 3.2 to 9, z -6 to 6) alone and with soft parts; inductance in henry. */
static double with_parts(double rod_mu, double tube_mu, double plate_mu, double rod_from_mm)
{
    ll_scene *scene = new_scene();
    const double middle = (9 + rod_from_mm) / 2;
    if (rod_mu > 0)
        add_soft(scene, rod_mm(6, 9 - rod_from_mm), mm(0, 0, middle), rod_mu);
    if (tube_mu > 0)
        add_soft(scene, ring_mm(6, 3, 18), mm(0, 0, 0), tube_mu);
    if (plate_mu > 0)
        add_soft(scene, rod_mm(30, 1), mm(0, 0, -7.5), plate_mu);
    add_coil(scene, round_coil_mm(3.2, 9, 12), mm(0, 0, 0), 6000);
    ll_solution *s = solved(scene, 1);
    const double l = inductance(s, 0, 0);
    ll_solution_free(s);
    return l;
}

static void cores_tubes_and_plates_raise_the_inductance(void **state)
{
    (void)state;
    assert_relative(with_parts(0, 0, 0, -9), 0.203698, 1e-4);
    assert_relative(with_parts(4, 0, 0, -9), 0.323156, 0.002); /* AlNiCo */
    assert_relative(with_parts(500, 0, 0, -9), 0.776946, 0.002);
    assert_relative(with_parts(0, 0, 500, -9), 0.230417, 0.002);
    assert_relative(with_parts(500, 0, 500, -6.9), 1.301394, 0.005); /* 0.1 mm apart */
}

/* A tube stands around nothing of the winding, so it closes no ring around it. */
static void a_tube_is_nearly_as_good_a_core_as_a_rod(void **state)
{
    (void)state;
    assert_relative(with_parts(0, 500, 0, -9), 0.771235, 0.002);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_ring_around_a_magnet_takes_its_return_flux),
        cmocka_unit_test(a_screw_carries_a_magnets_flux_to_its_head),
        cmocka_unit_test(cores_tubes_and_plates_raise_the_inductance),
        cmocka_unit_test(a_tube_is_nearly_as_good_a_core_as_a_rod),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
