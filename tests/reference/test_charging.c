/* test_charging.c - a rod in its charger, charged, half charged, pulsed and knocked back, against finite elements with a law written
 * anew: decks/r16_charging.edp, values in decks/README.md. Tolerance: 1 % for the field inside while it is in, 3 % for what is left
 * after; what is found is told in decks/README.md.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "magnetics/past.h"

/* The deck's rod, d 4.8, z -17 to 0, north up. */
static ll_scene *rod(const char *grade)
{
    ll_scene *scene = new_scene();
    ll_material *m;
    assert_ok(ll_material_named(grade, &m));
    add_magnet(scene, rod_mm(4.8, 17), mm(0, 0, -8.5), m, ll_vec(0, 0, 1));
    return scene;
}

/* The same between two discs of that remanence, d 20, 10 thick. */
static ll_scene *between_discs(const char *grade, double gap_mm, double remanence_t)
{
    ll_scene *scene = rod(grade);
    const ll_vec3 north = ll_vec(0, 0, remanence_t > 0 ? 1 : -1);
    for (int below = 0; below < 2; below++)
        add_magnet(scene, rod_mm(20, 10), mm(0, 0, below ? -22 - gap_mm : 5 + gap_mm),
                   magnet(fabs(remanence_t), 1.05), north);
    return scene;
}

/* Radii 4 to 12, z -16.5 to -0.5, 200 turns. */
static ll_scene *in_coil(const char *grade)
{
    ll_scene *scene = rod(grade);
    add_coil(scene, round_coil_mm(4, 12, 16), mm(0, 0, -8.5), 200);
    return scene;
}

/* What the deck prints of one state. */
typedef struct state_of {
    double h_ka_m, j_t, left, bz_t[2]; /* Bz at 0.5 and 2 */
} state_of;

/* Solves, compares, and goes on with the past; frees the scene and the past that was. */
static void go(ll_scene *scene, double ampere, const state_of *wanted, double within,
               ll_past **past)
{
    const ll_past *all[] = {*past, NULL, NULL};
    const ll_solve_options options = {
        .level = 2, .past = all, .current_a = ampere != 0 ? &ampere : NULL};
    ll_solution *s;
    ll_magnetised m;
    ll_past *after;
    assert_ok(ll_solve(scene, &options, &s));
    ll_scene_free(scene);
    assert_ok(ll_solution_magnetised(s, 0, &m));
    assert_relative(m.h_a_m, 1e3 * wanted->h_ka_m, within);
    assert_relative(m.j_t, wanted->j_t, within);
    assert_relative(m.charge, wanted->left, within);
    /* Near the discs the field in the narrow gap is of no use to anybody: away from them alone. */
    for (int i = 0; i < 2 && within > 0.01; i++)
        assert_relative(b_at(s, mm(0, 0, i ? 2 : 0.5)).z, wanted->bz_t[i], within);
    assert_ok(ll_solution_past(s, 0, &after));
    ll_solution_free(s);
    ll_past_free(*past);
    *past = after;
}

/* While something acts on it, and once it is alone. */
typedef struct way {
    state_of in, out;
} way;

static const double in_charger = 0.01, after_it = 0.03;

static void through(ll_scene *scene, double ampere, const char *grade, const way *wanted,
                    ll_past **past)
{
    go(scene, ampere, &wanted->in, in_charger, past);
    go(rod(grade), 0, &wanted->out, after_it, past);
}

static ll_past *virgin(void)
{
    ll_past *past;
    assert_ok(ll_past_virgin(0, &past));
    return past;
}

static void a_rod_between_strong_discs_is_charged_and_knocked_back(void **state)
{
    (void)state;
    static const way full_5 = {{185.95537, 1.262613, 0.99205452, {0}},
                               {-47.829601, 0.75332402, 0.69573997, {0.14061777, 0.083674031}}},
                     knock_5 = {{-50.882858, 0.09126255, 0.14549676, {0}},
                                {-10.368882, 0.17490793, 0.14549676, {0.031160917, 0.018100451}}},
                     full_2 = {{198.86189, 1.1118016, 0.99336378, {0}},
                               {-29.411189, 0.4507622, 0.89012645, {0.089150774, 0.051948451}}},
                     knock_2 = {{-41.371981, 0.19611424, 0.62945643, {0}},
                                {-20.830162, 0.32326337, 0.62945643, {0.063444159, 0.036776646}}};
    static const struct {
        const char *grade;
        const way *full, *knock;
        double back_t;
    } row[] = {{"AlNiCo 5", &full_5, &knock_5, -0.55}, {"AlNiCo 2", &full_2, &knock_2, -0.35}};
    for (int i = 0; i < 2; i++) {
        ll_past *past = virgin();
        through(between_discs(row[i].grade, 0.1, 1.3), 0, row[i].grade, row[i].full, &past);
        through(between_discs(row[i].grade, 7, row[i].back_t), 0, row[i].grade, row[i].knock,
                &past);
        ll_past_free(past);
    }
}

static void weak_discs_charge_it_in_part(void **state)
{
    (void)state;
    static const way weak_5 = {{48.028602, 0.23684188, 0.13646596, {0}},
                               {-11.388254, 0.16169428, 0.13646595, {0.032556486, 0.020038569}}},
                     weak_2 = {{40.985184, 0.34469922, 0.17737512, {0}},
                               {-5.7958886, 0.092973879, 0.17737486, {0.015734229, 0.0099384557}}};
    ll_past *past = virgin();
    through(between_discs("AlNiCo 2", 0.1, 0.3), 0, "AlNiCo 2", &weak_2, &past);
    ll_past_free(past);
    past = virgin();
    through(between_discs("AlNiCo 5", 0.1, 0.3), 0, "AlNiCo 5", &weak_5, &past);
    ll_past_free(past);
}

static void a_pulse_charges_it_in_part(void **state)
{
    (void)state;
    static const way pulse_5 = {{56.973205, 0.98734408, 0.76570189, {0}},
                                {-43.536069, 0.70960758, 0.64837747, {0.12312159, 0.07516416}}},
                     pulse_2 = {{47.975062, 0.4904038, 0.35485182, {0}},
                                {-10.398661, 0.18963371, 0.35172159, {0.028529067, 0.017549015}}};
    ll_past *past = virgin();
    through(in_coil("AlNiCo 5"), 15, "AlNiCo 5", &pulse_5, &past);
    ll_past_free(past);
    past = virgin();
    through(in_coil("AlNiCo 2"), 10, "AlNiCo 2", &pulse_2, &past);
    ll_past_free(past);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_rod_between_strong_discs_is_charged_and_knocked_back),
        cmocka_unit_test(weak_discs_charge_it_in_part),
        cmocka_unit_test(a_pulse_charges_it_in_part),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
