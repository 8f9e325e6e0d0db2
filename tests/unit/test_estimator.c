/* test_estimator.c - the error under every table, on made-up readings whose limits and orders of convergence are known.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "reading/estimator.h"

enum { MOST = 12 };

/* Value i on a mesh of fineness f: limit + error f^-order; every second mesh the other way round where it swings. */
typedef struct made_up {
    size_t count;
    double limit[MOST], error[MOST], order[MOST];
    bool swings;
    bool degrees;    /* asked of two degrees on one mesh, not of two meshes */
    size_t readings; /* how often it was asked */
    double finest, coarsest;
} made_up;

static ll_status read_made_up(const ll_solution *s, void *context, double *values)
{
    made_up *m = context;
    const double fineness = ll_solution_facts(s).fineness;
    m->readings++;
    m->finest = fmax(m->finest, fineness);
    m->coarsest = fmin(m->coarsest, fineness);
    const double swing = m->swings && lround(log(fineness) / log(1.4)) % 2 != 0 ? -1 : 1;
    for (size_t i = 0; i < m->count; i++)
        values[i] = m->limit[i] + swing * m->error[i] * pow(fineness, -m->order[i]);
    return LL_OK;
}

/* Something with a mesh; what it is does not matter. */
static ll_estimator *new_estimator(double accuracy, bool degrees)
{
    ll_estimator *estimator;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 5), mm(0, 0, 0), 100);
    const ll_solve_options options = {.fineness = 0.7, .tetrahedra = !degrees};
    assert_ok(ll_estimator_new(scene, &options, accuracy, &estimator));
    ll_scene_free(scene);
    return estimator;
}

/* Reads, and tells the worst told and the worst true error over the largest value. */
static void read_all(made_up *m, double accuracy, double *values, double *error, double *told,
                     double *off)
{
    double largest = 0;
    ll_estimator *estimator = new_estimator(accuracy, m->degrees);
    m->readings = 0;
    m->finest = 0;
    m->coarsest = 1e9;
    assert_ok(ll_estimator_read(estimator, NULL, read_made_up, m, 0, m->count, values, error));
    ll_estimator_free(estimator);
    *told = *off = 0;
    for (size_t i = 0; i < m->count; i++)
        largest = fmax(largest, fabs(values[i]));
    for (size_t i = 0; i < m->count; i++) {
        *told = fmax(*told, error[i] / largest);
        *off = fmax(*off, fabs(values[i] - m->limit[i]) / largest);
    }
}

/* Values as of a field along a line, with errors of one size and of one order. */
static made_up field(size_t count, double error, double order)
{
    made_up m = {.count = count};
    for (size_t i = 0; i < count; i++) {
        m.limit[i] = 1 / (1 + 0.5 * (double)i);
        m.error[i] = error * (i % 3 == 1 ? -0.6 : 1) * m.limit[i];
        m.order[i] = order;
    }
    return m;
}

/* From the order of a sharp edge to that of a smooth field, and between the two; accurate or coarse. */
static void the_error_told_holds_for_every_order(void **state)
{
    (void)state;
    static const double order[] = {1, 1.5, 2, 3}, accuracy[] = {0.05, 0.005, 0.001};
    double values[MOST], error[MOST], told, off;
    for (size_t count = 1; count <= MOST; count = 3 * count + 1)
        for (int k = 0; k < 4; k++)
            for (int a = 0; a < 3; a++)
                for (int swings = 0; swings < 2; swings++) {
                    made_up m = field(count, 0.004, order[k]);
                    m.swings = swings;
                    read_all(&m, accuracy[a], values, error, &told, &off);
                    for (size_t i = 0; i < count; i++)
                        assert_true(fabs(values[i] - m.limit[i]) <= error[i]);
                    /* What is told may be too careful, but it must tell something; who falls faster than the square is not
                     * believed at once. */
                    assert_true(told < (order[k] > 2 ? 40 : 12) * off + 0.005);
                }
}

/* Between two degrees the difference is most of the error of the lower one, when each is at least twice as good as the one below;
 * the higher one's value stands as it is. */
static void the_difference_of_two_degrees_covers_the_higher(void **state)
{
    (void)state;
    static const double order[] = {2.5, 5, 10}, accuracy[] = {0.05, 0.005, 0.001};
    double values[MOST], error[MOST], told, off;
    for (int k = 0; k < 3; k++)
        for (int a = 0; a < 3; a++)
            for (int swings = 0; swings < 2; swings++) {
                made_up m = field(7, 0.004, order[k]);
                m.swings = swings;
                m.degrees = true;
                read_all(&m, accuracy[a], values, error, &told, &off);
                for (size_t i = 0; i < m.count; i++) {
                    const double left = fabs(m.error[i]) * pow(m.finest, -order[k]);
                    assert_relative(fabs(values[i] - m.limit[i]), left, 1e-6);
                    assert_true(fabs(values[i] - m.limit[i]) <= error[i]);
                }
                assert_true(told <= accuracy[a] || m.finest > 1.3);
            }
}

/* Moved towards the limit, not away: of errors of second order less than half of the finest mesh's is left. */
static void values_are_moved_towards_their_limit(void **state)
{
    (void)state;
    static const double order[] = {1.5, 2, 3};
    double values[MOST], error[MOST], told, off;
    for (int k = 0; k < 3; k++) {
        made_up m = field(4, 0.01, order[k]);
        read_all(&m, 0.05, values, error, &told, &off);
        const double left = pow(m.finest, -order[k]);
        for (size_t i = 0; i < m.count; i++)
            assert_true(fabs(values[i] - m.limit[i]) < 0.6 * fabs(m.error[i]) * left);
    }
}

/* Meshes are made finer as long as more is asked, by 1.4 each, and no further than the fourth. */
static void meshes_follow_what_is_asked(void **state)
{
    (void)state;
    double values[MOST], error[MOST], told, off;
    made_up good = field(4, 1e-5, 2), middling = field(4, 0.004, 2), hopeless = field(4, 0.2, 1);
    read_all(&good, 0.005, values, error, &told, &off);
    assert_relative(good.finest, 0.7, 1e-9);
    assert_relative(good.coarsest, 0.5, 1e-9);
    assert_true(told <= 0.005);
    read_all(&middling, 0.005, values, error, &told, &off);
    assert_true(middling.finest > 0.8 && told <= 0.005);
    read_all(&hopeless, 0.005, values, error, &told, &off);
    assert_relative(hopeless.finest, 0.7 * 1.4 * 1.4, 1e-9);
    assert_true(told > 0.005 && off <= told);
}

/* Where the values of two meshes agree by chance, the others beside them say that they are not yet sure. */
static void a_value_that_agrees_by_chance_is_not_exact(void **state)
{
    (void)state;
    double values[MOST], error[MOST], told, off;
    made_up m = field(6, 0.01, 2);
    m.error[2] = 0;
    read_all(&m, 0.05, values, error, &told, &off);
    assert_true(error[2] > 0.2 * told);
}

/* Two meshes in succession may agree by chance in all that is asked, here the second and the third of a swing that the first was still
 * 2 % away from. What an error of second order would have fallen to by then is told all the same. */
static ll_status read_agreeing(const ll_solution *s, void *context, double *values)
{
    size_t *readings = context;
    ++*readings;
    values[0] = ll_solution_facts(s).fineness < 0.6 ? 1.03 : 1.01;
    return LL_OK;
}

static void meshes_that_agree_by_chance_do_not_make_the_one_before_forgotten(void **state)
{
    (void)state;
    double value, error;
    size_t readings = 0;
    ll_estimator *estimator = new_estimator(0.025, false);
    assert_ok(ll_estimator_read(estimator, NULL, read_agreeing, &readings, 0, 1, &value, &error));
    assert_int_equal(readings, 2 + 3);
    assert_true(error > 0.02 / (1.4 * 1.4) && error < 0.025);
    ll_estimator_free(estimator);
}

/* Kinds do not lend each other their size: a small kind is judged by its own largest value, or by what is small for it. */
static void kinds_are_judged_by_themselves(void **state)
{
    (void)state;
    double values[MOST], error[MOST];
    made_up m = field(4, 0, 2);
    m.limit[2] = m.limit[3] = 1e-6;
    m.error[3] = 1e-7;
    for (int narrow = 0; narrow < 2; narrow++) {
        const double least[2] = {0, narrow ? 0 : 1e-3};
        ll_estimator *estimator = new_estimator(0.005, false);
        m.finest = 0;
        assert_ok(ll_estimator_read_kinds(estimator, NULL, read_made_up, &m, 2, least, 1, 2, values,
                                          error));
        ll_estimator_free(estimator);
        if (narrow)
            assert_true(m.finest > 1); /* a tenth of the value was missing */
        else
            assert_relative(m.finest, 0.7, 1e-9); /* nobody asks for so little */
        assert_close(values[0], m.limit[0], 1e-12);
    }
}

/* A scene without a mesh is exact, and read once. */
static void without_a_mesh_there_is_no_mesh_error(void **state)
{
    (void)state;
    ll_estimator *estimator;
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(5, 17), mm(0, 0, 0), magnet(1, 1), ll_vec(0, 0, 1));
    assert_ok(ll_estimator_new(scene, NULL, 0.005, &estimator));
    ll_scene_free(scene);
    made_up m = field(3, 0.01, 2);
    double values[MOST], error[MOST];
    assert_ok(ll_estimator_read(estimator, NULL, read_made_up, &m, 0, 3, values, error));
    assert_int_equal(m.readings, 1);
    for (size_t i = 0; i < 3; i++)
        assert_close(error[i], 0, 0);
    ll_estimator_free(estimator);
}

static ll_status fails(const ll_solution *s, void *context, double *values)
{
    (void)s;
    (void)context;
    values[0] = 99;
    return LL_OUTSIDE_PART;
}

static void a_reading_that_fails_leaves_nothing_behind(void **state)
{
    (void)state;
    double value = 7, error = 8;
    ll_estimator *estimator = new_estimator(0.005, false);
    assert_int_equal(ll_estimator_read(estimator, NULL, fails, NULL, 0, 1, &value, &error),
                     LL_OUTSIDE_PART);
    assert_close(value, 7, 0);
    assert_close(error, 8, 0);
    ll_estimator_free(estimator);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_error_told_holds_for_every_order),
        cmocka_unit_test(the_difference_of_two_degrees_covers_the_higher),
        cmocka_unit_test(values_are_moved_towards_their_limit),
        cmocka_unit_test(meshes_follow_what_is_asked),
        cmocka_unit_test(a_value_that_agrees_by_chance_is_not_exact),
        cmocka_unit_test(meshes_that_agree_by_chance_do_not_make_the_one_before_forgotten),
        cmocka_unit_test(kinds_are_judged_by_themselves),
        cmocka_unit_test(without_a_mesh_there_is_no_mesh_error),
        cmocka_unit_test(a_reading_that_fails_leaves_nothing_behind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
