/* test_steel_coil.c - coils around and beside steel: Ampere's law, reciprocity, energy, and one flux linkage found by two
 * routes that share no code. SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"

/* Two coils, one round its own pole and one round another; a third pole stands askew. */
static ll_solution *two;

static int solve_two_coils(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 18), mm(-9, 0, 0), 500);
    add_soft(scene, rod_mm(4, 12), mm(9, 0, 1), 100);
    add_posed(scene, rod_mm(3, 10),
              (ll_pose){ll_rotation_about(ll_vec(1, 0.3, 0), 1.1), mm(0, 12, -2)}, steel(1000),
              ll_vec(0, 0, 0));
    add_coil(scene, round_coil_mm(3, 8, 10), mm(-9, 0, 0), 8000);
    add_coil(scene, round_coil_mm(2.5, 6, 6), mm(9, 0, 2), 5000);
    two = solved(scene, 0.7);
    return 0;
}

static int free_two_coils(void **state)
{
    (void)state;
    ll_solution_free(two);
    return 0;
}

/* Tolerance: the scheme is not symmetric by construction, so the difference is an error of the mesh. */
static void mutual_inductance_is_the_same_both_ways(void **state)
{
    (void)state;
    double air, back;
    assert_ok(ll_solution_air_inductance(two, 0, 1, &air));
    assert_ok(ll_solution_air_inductance(two, 1, 0, &back));
    assert_relative(air, back, 1e-5);
    assert_relative(inductance(two, 0, 1), inductance(two, 1, 0), 1e-3);
    /* Side by side, the flux of one comes back through the other. */
    assert_true(inductance(two, 0, 1) < 0 && inductance(two, 0, 1) < air);
}

/* Energy is positive for every pair of currents, and soft steel only adds to it. */
static void steel_adds_to_the_energy_of_any_currents(void **state)
{
    (void)state;
    double a[2][2], l[2][2];
    for (size_t i = 0; i < 2; i++)
        for (size_t j = 0; j < 2; j++) {
            l[i][j] = inductance(two, i, j);
            assert_ok(ll_solution_air_inductance(two, i, j, &a[i][j]));
        }
    assert_true(l[0][0] > a[0][0] && l[1][1] > a[1][1]);
    assert_true(l[0][1] * l[0][1] < l[0][0] * l[1][1]);
    const double more = (l[0][1] + l[1][0] - a[0][1] - a[1][0]) / 2;
    assert_true(more * more < (l[0][0] - a[0][0]) * (l[1][1] - a[1][1]));
}

static ll_solution *core_in_coil(double turns, double fineness)
{
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 16), mm(0, 0, 0), 100);
    add_soft(scene, rod_mm(4, 8), mm(12, 0, 3), 500);
    add_coil(scene, round_coil_mm(3.5, 8, 10), mm(0, 0, 0), turns);
    return solved(scene, fineness);
}

/* A core alone, by elements of higher degree and by tetrahedra: 1 %, the error of the latter. */
static void both_kinds_of_elements_give_one_inductance(void **state)
{
    (void)state;
    double l_h[2];
    for (int tetrahedra = 0; tetrahedra < 2; tetrahedra++) {
        const ll_solve_options options = {.tetrahedra = tetrahedra};
        ll_scene *scene = new_scene();
        ll_solution *s;
        add_soft(scene, rod_mm(5, 16), mm(0, 0, 0), 100);
        add_coil(scene, round_coil_mm(3.5, 8, 10), mm(0, 0, 2), 1000);
        assert_ok(ll_solve(scene, &options, &s));
        l_h[tetrahedra] = inductance(s, 0, 0);
        ll_solution_free(s);
        ll_scene_free(scene);
    }
    assert_relative(l_h[1], l_h[0], 0.01);
}

static void inductance_goes_with_the_square_of_the_turns(void **state)
{
    (void)state;
    ll_solution *few = core_in_coil(100, 0.5), *many = core_in_coil(8000, 0.5);
    assert_relative(inductance(many, 0, 0), inductance(few, 0, 0) * 6400, 1e-6);
    ll_solution_free(few);
    ll_solution_free(many);
}

/* Integral of H along a rectangle in the plane y = 0 between (x1, z1) and (x2, z2), midpoint rule. */
static double circulation(const ll_solution *s, double x1, double z1, double x2, double z2)
{
    enum { N = 200 };
    ll_vec3 at[4 * N], h[4 * N];
    for (int i = 0; i < N; i++) {
        const double f = (i + 0.5) / N, x = x1 + f * (x2 - x1), z = z1 + f * (z2 - z1);
        at[i] = mm(x1, 0, z);
        at[N + i] = mm(x, 0, z2);
        at[2 * N + i] = mm(x2, 0, z);
        at[3 * N + i] = mm(x, 0, z1);
    }
    assert_ok(ll_solution_coil_h(s, 0, 4 * N, at, h));
    double sum = 0;
    for (int i = 0; i < N; i++)
        sum += 1e-3 / N *
               ((z2 - z1) * (h[i].z - h[2 * N + i].z) + (x2 - x1) * (h[N + i].x - h[3 * N + i].x));
    return sum;
}

/* Through the air between core and winding, up and around outside: the enclosed ampere-turns, for one ampere. */
static void field_of_one_ampere_obeys_amperes_law_beside_steel(void **state)
{
    (void)state;
    ll_solution *s = core_in_coil(8000, 0.5);
    assert_relative(circulation(s, 3, -12, 16, 12), 8000, 2e-4);
    assert_relative(circulation(s, -16, -12, -3, 12), -8000, 2e-4);
    assert_relative(circulation(s, 3, -12, 5.75, 12), 4000, 2e-4); /* half of the winding */
    assert_close(circulation(s, 9, -12, 16, 12), 0, 0.5);
    ll_solution_free(s);
}

/* ---- one linkage, two routes ---- */

/* A magnet of 0.4 mm in the place of a bit of string, magnetised askew, over a pole inside a coil. Its recoil permeability is
 * 1, so that it is nothing but a dipole. */
static const double bit_mm = 0.4, bit_remanence_t = 1.2;
static const double pole_mm = 2.5, inner_mm = 3.5, outer_mm = 8, half_height_mm = 4;

static ll_solution *bit_over_pole(double fineness)
{
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(2 * pole_mm, 16), mm(0, 0, 0), 300);
    add_magnet(scene, block_mm(bit_mm, bit_mm, bit_mm), mm(1, 2, 11), magnet(bit_remanence_t, 1),
               ll_vec(0.2, 0.7, 0.6));
    add_coil(scene, round_coil_mm(inner_mm, outer_mm, 2 * half_height_mm), mm(0, 0, 0), 8000);
    return solved(scene, fineness);
}

/* Reciprocity: mu0 M . H of one ampere, times the volume. */
static double linkage_by_reciprocity(const ll_solution *s)
{
    const ll_vec3 at = mm(1, 2, 11), north = ll_vec(0.2, 0.7, 0.6);
    ll_vec3 h;
    assert_ok(ll_solution_coil_h(s, 0, 1, &at, &h));
    return bit_remanence_t * ll_dot(north, h) / ll_norm(north) * pow(1e-3 * bit_mm, 3);
}

/* Flux of B through discs: in the pole by its section's mean, in the air by points; each turn's disc ends at the turn, so
 * that air within the build counts for the turns outside it. */
static double linkage_by_flux(const ll_solution *s)
{
    enum { LEVELS = 8, RINGS = 24, AROUND = 16 };
    double sum = 0;
    for (int l = 0; l < LEVELS; l++) {
        const double z = half_height_mm * ((2 * l + 1.0) / LEVELS - 1);
        double flux = LL_PI * 1e-6 * pole_mm * pole_mm * section_t(s, 0, z);
        for (int r = 0; r < RINGS; r++) {
            const double wide = (outer_mm - pole_mm) / RINGS, radius = pole_mm + wide * (r + 0.5);
            const double turns_outside = fmin(1, (outer_mm - radius) / (outer_mm - inner_mm));
            ll_vec3 at[AROUND], b[AROUND];
            for (int a = 0; a < AROUND; a++) {
                const double angle = 2 * LL_PI * (a + 0.5) / AROUND;
                at[a] = mm(radius * cos(angle), radius * sin(angle), z);
            }
            assert_ok(ll_solution_b(s, AROUND, at, b));
            for (int a = 0; a < AROUND; a++)
                flux += turns_outside * b[a].z * 2 * LL_PI / AROUND * 1e-6 * radius * wide;
        }
        sum += 8000 * flux / LEVELS;
    }
    return sum;
}

/* The bias field of the bit knows nothing of the coil, the coil's field nothing of the bit. */
static void linkage_of_a_bit_of_magnet_agrees_by_reciprocity_and_by_flux(void **state)
{
    (void)state;
    ll_solution *s = bit_over_pole(1);
    const double by_flux = linkage_by_flux(s);
    assert_relative(linkage_by_reciprocity(s), by_flux, 1e-3);
    assert_true(fabs(by_flux) > 1e-7);
    ll_solution_free(s);
}

/* ---- answer to charges ---- */

/* Reciprocity of the steel's answer: what a pair of charges does at the place of another pair. */
static double answer_between(const ll_solution *s, const ll_vec3 from[2], const ll_vec3 to[2])
{
    const double charge[2] = {1, -1};
    enum { N = 20 };
    ll_vec3 at[N], h[N];
    for (int i = 0; i < N; i++)
        at[i] = ll_add(to[0], ll_scale((i + 0.5) / N, ll_sub(to[1], to[0])));
    ll_response *r;
    assert_ok(ll_response_new(s, 1e-4, 2, from, charge, &r));
    assert_ok(ll_response_h(r, N, at, h));
    ll_response_free(r);
    double fall = 0;
    for (int i = 0; i < N; i++)
        fall += ll_dot(h[i], ll_sub(to[1], to[0])) / N;
    return fall;
}

/* Superposition: the same charges in two parts. */
static void an_answer_in_two_parts_is_the_answer_to_both(void **state)
{
    (void)state;
    enum { N = 5 };
    const ll_vec3 from[3] = {mm(-9, -5, 12), mm(-9, 6, 12), mm(2, 3, 12.5)};
    const double all[3] = {1, -1.5, 0.5}, part[3] = {0.6, -1.2, 0.6}, rest[3] = {0.4, -0.3, -0.1};
    ll_vec3 at[N], once[N], twice[N];
    ll_response *r, *q;
    for (int i = 0; i < N; i++)
        at[i] = mm(-8 + 4 * i, 4, 12);
    assert_ok(ll_response_new(two, 1e-6, 3, from, all, &r));
    assert_ok(ll_response_new(two, 1e-6, 3, from, part, &q));
    assert_ok(ll_response_add(q, 1e-6, 3, from, rest));
    assert_ok(ll_response_h(r, N, at, once));
    assert_ok(ll_response_h(q, N, at, twice));
    ll_response_free(r);
    ll_response_free(q);
    for (int i = 0; i < N; i++)
        assert_true(ll_norm(ll_sub(twice[i], once[i])) < 1e-4 * ll_norm(once[i]));
}

static void answer_of_the_steel_is_reciprocal(void **state)
{
    (void)state;
    const ll_vec3 a[2] = {mm(-9, -5, 12), mm(-9, 6, 12)}, b[2] = {mm(0, 4, 11), mm(8, 1, 13)};
    assert_relative(answer_between(two, a, b), answer_between(two, b, a), 3e-3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mutual_inductance_is_the_same_both_ways),
        cmocka_unit_test(steel_adds_to_the_energy_of_any_currents),
        cmocka_unit_test(both_kinds_of_elements_give_one_inductance),
        cmocka_unit_test(inductance_goes_with_the_square_of_the_turns),
        cmocka_unit_test(field_of_one_ampere_obeys_amperes_law_beside_steel),
        cmocka_unit_test(linkage_of_a_bit_of_magnet_agrees_by_reciprocity_and_by_flux),
        cmocka_unit_test(answer_of_the_steel_is_reciprocal),
        cmocka_unit_test(an_answer_in_two_parts_is_the_answer_to_both),
    };
    return cmocka_run_group_tests(tests, solve_two_coils, free_two_coils);
}
