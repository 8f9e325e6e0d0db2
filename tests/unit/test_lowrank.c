/* test_lowrank.c - the cross approximation against the full matrix of potentials.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "elements/lowrank.h"
#include <stdlib.h>

enum { TARGETS = 90, CHARGES = 60, DIPOLES = 40, SOURCES = CHARGES + DIPOLES };

/* Two clouds of points on spheres of radius 1, their middles `apart` from each other. */
typedef struct clouds {
    ll_vec3 target[TARGETS], at[SOURCES], moment[DIPOLES];
    double charge[CHARGES];
    ll_cloud source;
} clouds;

static ll_vec3 on_sphere(size_t i, size_t n)
{
    const double z = 2 * ((double)i + 0.5) / (double)n - 1, angle = 2.399963 * (double)i;
    return ll_vec(sqrt(1 - z * z) * cos(angle), sqrt(1 - z * z) * sin(angle), z);
}

static void fill(clouds *c, double apart)
{
    for (size_t i = 0; i < TARGETS; i++)
        c->target[i] = ll_add(on_sphere(i, TARGETS), ll_vec(apart, 0.3, -0.2));
    for (size_t j = 0; j < SOURCES; j++)
        c->at[j] = on_sphere(j, SOURCES);
    for (size_t j = 0; j < CHARGES; j++)
        c->charge[j] = 1 + 0.5 * sin((double)j);
    for (size_t j = 0; j < DIPOLES; j++)
        c->moment[j] = c->at[CHARGES + j];
    c->source = (ll_cloud){CHARGES, DIPOLES, c->at, c->charge, c->moment};
}

/* Coulomb's law and its derivative, written out. */
static double exact(const ll_cloud *c, size_t j, ll_vec3 p)
{
    const ll_vec3 d = ll_sub(p, c->at_m[j]);
    const double r = ll_norm(d);
    return j < c->charges ? c->charge[j] / (4 * LL_PI * r)
                          : ll_dot(c->moment[j - c->charges], d) / (4 * LL_PI * r * r * r);
}

/* Error of u v in the norm of Frobenius, as a share of that of the matrix. */
static double error(const ll_lowrank *m, const ll_vec3 *target, const ll_cloud *source)
{
    double wrong = 0, whole = 0;
    for (size_t i = 0; i < m->rows; i++)
        for (size_t j = 0; j < m->columns; j++) {
            const double a = exact(source, j, target[i]);
            double sum = 0;
            for (size_t k = 0; k < m->rank; k++)
                sum += m->u[k * m->rows + i] * m->v[k * m->columns + j];
            wrong += (a - sum) * (a - sum);
            whole += a * a;
        }
    return sqrt(wrong / whole);
}

/* The stopping rule looks at the last cross only: ten times the tolerance is allowed for what follows it. */
static void product_matches_the_full_matrix_to_its_tolerance(void **state)
{
    (void)state;
    static const double apart[] = {2.5, 4, 10, 100}, tolerance[] = {1e-2, 1e-4, 1e-6, 1e-9};
    clouds c;
    for (int a = 0; a < 4; a++) {
        size_t rank = 0;
        fill(&c, apart[a]);
        for (int t = 0; t < 4; t++) {
            ll_lowrank m;
            assert_ok(ll_lowrank_new(TARGETS, c.target, &c.source, tolerance[t], &m));
            assert_int_equal(m.rows, TARGETS);
            assert_int_equal(m.columns, SOURCES);
            assert_true(error(&m, c.target, &c.source) < 10 * tolerance[t]);
            assert_true(m.rank >= rank && m.rank <= TARGETS);
            rank = m.rank;
            ll_lowrank_clear(&m);
        }
    }
}

/* Far away only charge, dipole and quadrupole are seen: (1 + 3 + 5) terms of falling size. */
static void rank_falls_with_distance(void **state)
{
    (void)state;
    clouds c;
    ll_lowrank near, far;
    fill(&c, 3);
    assert_ok(ll_lowrank_new(TARGETS, c.target, &c.source, 1e-6, &near));
    fill(&c, 300);
    assert_ok(ll_lowrank_new(TARGETS, c.target, &c.source, 1e-6, &far));
    assert_true(far.rank < near.rank && far.rank <= 9);
    ll_lowrank_clear(&near);
    ll_lowrank_clear(&far);
}

static void add_scales_the_product_and_adds_it(void **state)
{
    (void)state;
    clouds c;
    ll_lowrank m;
    double x[SOURCES], y[TARGETS];
    fill(&c, 4);
    assert_ok(ll_lowrank_new(TARGETS, c.target, &c.source, 1e-10, &m));
    for (size_t j = 0; j < SOURCES; j++)
        x[j] = cos((double)j);
    for (size_t i = 0; i < TARGETS; i++)
        y[i] = (double)i;
    ll_lowrank_add(&m, -3, x, y);
    for (size_t i = 0; i < TARGETS; i++) {
        double expected = (double)i;
        for (size_t j = 0; j < SOURCES; j++)
            expected -= 3 * exact(&c.source, j, c.target[i]) * x[j];
        assert_close(y[i], expected, 1e-8);
    }
    ll_lowrank_clear(&m);
}

static void one_target_or_one_source_is_held_exactly(void **state)
{
    (void)state;
    clouds c;
    fill(&c, 3);
    ll_lowrank m;
    assert_ok(ll_lowrank_new(1, c.target, &c.source, 1e-6, &m));
    assert_int_equal(m.rank, 1);
    assert_true(error(&m, c.target, &c.source) < 1e-14);
    ll_lowrank_clear(&m);
    const ll_cloud single = {1, 0, c.at, c.charge, NULL};
    assert_ok(ll_lowrank_new(TARGETS, c.target, &single, 1e-6, &m));
    assert_true(error(&m, c.target, &single) < 1e-14);
    ll_lowrank_clear(&m);
}

/* Dipoles that lie flat do nothing in their own plane. The target looked at first is there, the others are not. */
static void a_target_that_sees_nothing_does_not_hide_the_others(void **state)
{
    (void)state;
    clouds c;
    fill(&c, 6);
    for (int j = 0; j < DIPOLES; j++) {
        c.at[CHARGES + j].z = 0;
        c.moment[j] = ll_vec(0, 0, 1);
    }
    c.target[0].z = 0;
    const ll_cloud flat = {0, DIPOLES, c.at + CHARGES, NULL, c.moment};
    ll_lowrank m;
    assert_ok(ll_lowrank_new(TARGETS, c.target, &flat, 1e-6, &m));
    assert_true(error(&m, c.target, &flat) < 1e-5);
    ll_lowrank_clear(&m);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(product_matches_the_full_matrix_to_its_tolerance),
        cmocka_unit_test(rank_falls_with_distance),
        cmocka_unit_test(add_scales_the_product_and_adds_it),
        cmocka_unit_test(one_target_or_one_source_is_held_exactly),
        cmocka_unit_test(a_target_that_sees_nothing_does_not_hide_the_others),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
