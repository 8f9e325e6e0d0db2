/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/step.h"
#include "bench/weigh.h"
#include "check.h"

#include <math.h>

/* Two hypotheses about one reading: it is 0, or it is 1. */
static const double zero[] = {0}, one[] = {1};

static void one_reading_follows_bayes_rule(void **state)
{
    (void)state;
    const ll_bench_reading reading = {.absolute = 0.5};
    const ll_bench_hypothesis two[] = {{.prior = 3, .points = 1, .predicted = zero},
                                       {.prior = 1, .points = 1, .predicted = one}};
    const ll_bench bench = {1, 2, 0, &reading, two, NULL};
    const size_t which = 0;
    const double value = 0.7;
    double probability[2], share[2], misfit[2];
    assert_ok(ll_bench_weigh(&bench, 1, &which, &value, probability, share, misfit));
    /* Prior odds 3 : 1 times exp(-(0.7^2 - 0.3^2) / (2 0.25)) = exp(-0.8), by hand. */
    const double odds = 3 * exp(-0.8);
    assert_close(probability[0], odds / (1 + odds), 1e-12);
    assert_close(misfit[0], 0.49 / 0.25, 1e-12);
}

/* Three figures of which two ask for the second hypothesis and one, far off, for neither: by hand, with the densities of what scatters
 * and of what is wrong. Without slips the far one outvotes the two. */
static void one_wrong_figure_does_not_outvote_the_others(void **state)
{
    (void)state;
    enum { N = 3 };
    const double sd = 0.1, broad = 2, rate = 0.005, value[N] = {1, 1, -0.2};
    const double near[N] = {0, 0, 0}, far[N] = {1, 1, 1};
    const size_t which[N] = {0, 1, 2};
    ll_bench_reading reading[N];
    double probability[2], share[2], misfit[2], slip[N], expected[2] = {0, 0}, best = 0;
    const ll_bench_hypothesis two[] = {{.prior = 1, .points = 1, .predicted = near},
                                       {.prior = 1, .points = 1, .predicted = far}};
    const ll_bench bench = {N, 2, 0, reading, two, NULL};
    for (int h = 0; h < 2; h++) {
        double all = 1;
        for (int k = 0; k < N; k++)
            all *= exp(-pow((value[k] - h) / sd, 2) / 2) / sd;
        expected[h] = all;
        for (int k = 0; k < N; k++) {
            const double without = all / (exp(-pow((value[k] - h) / sd, 2) / 2) / sd);
            const double part = rate * without * exp(-pow((value[k] - h) / broad, 2) / 2) / broad;
            expected[h] += part;
            best = h == 1 && k == 2 ? part : best;
        }
    }
    for (int k = 0; k < N; k++)
        reading[k] = (ll_bench_reading){.absolute = sd, .broad = broad};
    assert_ok(ll_bench_weigh(&bench, N, which, value, probability, share, misfit));
    assert_relative(probability[1] / probability[0], expected[1] / expected[0], 1e-6);
    assert_true(probability[1] > 0.99);
    assert_ok(ll_bench_slips(&bench, N, which, value, probability, share, slip));
    assert_close(slip[2], best / (expected[0] + expected[1]), 1e-9);
    assert_true(slip[2] > 0.99 && slip[0] < 0.01);
    for (int k = 0; k < N; k++)
        reading[k].broad = 0;
    reading[2].absolute = 0.03; /* a sharper instrument, and the two are outvoted */
    assert_ok(ll_bench_weigh(&bench, N, which, value, probability, share, misfit));
    assert_true(probability[0] > 0.99);
}

/* Shared errors: the deviation that counts is from what the other readings of the test say. */
static void a_slip_is_seen_against_its_neighbours(void **state)
{
    (void)state;
    enum { N = 4 };
    ll_bench_reading reading[N];
    const double level[N] = {0}, value[N] = {30, 30.1, 29.9, 31.5};
    const size_t which[N] = {0, 1, 2, 3};
    const ll_bench_hypothesis only[] = {{.prior = 1, .points = 1, .predicted = level}};
    const ll_bench bench = {N, 1, 0, reading, only, NULL};
    double probability, share, misfit, slip[N];
    for (int k = 0; k < N; k++)
        reading[k] = (ll_bench_reading){.absolute = 0.1, .common = 30, .broad = 30};
    assert_ok(ll_bench_weigh(&bench, N, which, value, &probability, &share, &misfit));
    assert_ok(ll_bench_slips(&bench, N, which, value, &probability, &share, slip));
    assert_true(slip[3] > 0.99 && slip[0] < 0.01 && slip[1] < 0.01 && slip[2] < 0.01);
}

/* Three sizes, of which each moves its own reading: the cells' scatter is that of the size's own neighbours. */
static void three_sizes_have_their_own_cells(void **state)
{
    (void)state;
    enum { N = 3, POINTS = 2 * 3 * 4 };
    static const double places[] = {0, 1, 2, 3};
    static double predicted[POINTS][N];
    const ll_bench_reading reading[N] = {{.absolute = 1}, {.absolute = 1}, {.absolute = 1}};
    for (int p = 0; p < POINTS; p++) {
        predicted[p][0] = 10 * (p / 12);
        predicted[p][1] = 20 * (p / 4 % 3);
        predicted[p][2] = 30 * (p % 4);
    }
    const ll_bench_hypothesis only[] = {{.prior = 1,
                                         .points = POINTS,
                                         .predicted = &predicted[0][0],
                                         .count = {2, 3, 4},
                                         .at = {places, places, places}}};
    const ll_bench bench = {N, 1, 0, reading, only, NULL};
    for (size_t p = 0; p < POINTS; p++) {
        double error[N];
        ll_bench_error(&bench, 0, p, error);
        for (int k = 0; k < N; k++)
            assert_relative(error[k], sqrt(1 + pow(10 * (k + 1), 2) / 12), 1e-12);
    }
}

/* What readings share drops out of their difference: a far-off mean says little, a small difference all. */
static void a_shared_error_leaves_differences_sharp(void **state)
{
    (void)state;
    const ll_bench_reading reading[2] = {{.absolute = 0.1, .common = 100},
                                         {.absolute = 0.1, .common = 100}};
    const double level[] = {0, 0}, tilted[] = {0, 1};
    const ll_bench_hypothesis two[] = {{.prior = 1, .points = 1, .predicted = level},
                                       {.prior = 1, .points = 1, .predicted = tilted}};
    const ll_bench bench = {2, 2, 0, reading, two, NULL};
    const size_t which[] = {0, 1};
    const double value[] = {40, 40.1};
    double probability[2], share[2], misfit[2];
    assert_ok(ll_bench_weigh(&bench, 2, which, value, probability, share, misfit));
    /* The difference has variance 0.02: log odds (0.9^2 - 0.1^2) / 0.04 = 20. */
    assert_relative(log(probability[0] / probability[1]), 20, 1e-3);
}

/* Readings of two tests share no error of either: each is as far off as its own says, here a hundred. Of two independent normal
 * readings the log odds are (40.1^2 - 39.1^2) / (2 sigma^2). */
static void tests_do_not_share_their_errors(void **state)
{
    (void)state;
    const ll_bench_reading reading[2] = {{.absolute = 0.1, .common = 100},
                                         {.absolute = 0.1, .common = 100, .test = 1}};
    const double level[] = {0, 0}, tilted[] = {0, 1};
    const ll_bench_hypothesis two[] = {{.prior = 1, .points = 1, .predicted = level},
                                       {.prior = 1, .points = 1, .predicted = tilted}};
    const ll_bench bench = {2, 2, 0, reading, two, NULL};
    const size_t which[] = {0, 1};
    const double value[] = {40, 40.1};
    double probability[2], share[2], misfit[2];
    assert_ok(ll_bench_weigh(&bench, 2, which, value, probability, share, misfit));
    assert_relative(log(probability[1] / probability[0]),
                    (40.1 * 40.1 - 39.1 * 39.1) / (2 * (100 * 100 + 0.1 * 0.1)), 1e-6);
}

/* Twenty points, each for a cell five times as wide as the reading's error, do nearly what the integral does, wherever in
 * a cell the reading falls: the ripple of such a sum of normal laws is 2 exp(-2 pi^2 (s / width)^2), here 18 %. */
static void few_points_stand_for_all_sizes_between_them(void **state)
{
    (void)state;
    enum { POINTS = 20 };
    static double anywhere[POINTS], places[POINTS];
    for (int i = 0; i < POINTS; i++) {
        places[i] = i;
        anywhere[i] = -5 + 0.5 * (i + 0.5);
    }
    const ll_bench_reading reading = {.absolute = 0.1};
    const ll_bench_hypothesis two[] = {
        {.prior = 1, .points = 1, .predicted = zero},
        {.prior = 1, .points = POINTS, .predicted = anywhere, .count = {POINTS}, .at = {places}}};
    const ll_bench bench = {1, 2, 0, &reading, two, NULL};
    const size_t which = 0;
    for (double value = -0.1; value < 0.3; value += 0.05) {
        double probability[2], share[POINTS + 1], misfit[2];
        assert_ok(ll_bench_weigh(&bench, 1, &which, &value, probability, share, misfit));
        const double density = exp(-value * value / 0.02) / (0.1 * sqrt(2 * 3.14159265358979));
        assert_relative(probability[1] / probability[0] * density, 0.1, 0.19);
    }
}

/* The integral over a size against its closed form: a flat prior from -5 to 5 leaves 1 / 10 of the density. */
static void a_fault_that_could_mean_anything_pays_for_it(void **state)
{
    (void)state;
    enum { POINTS = 2001 };
    static double anywhere[POINTS];
    for (int i = 0; i < POINTS; i++)
        anywhere[i] = -5 + 10.0 * i / (POINTS - 1);
    const ll_bench_reading reading = {.absolute = 0.1};
    const ll_bench_hypothesis two[] = {{.prior = 1, .points = 1, .predicted = zero},
                                       {.prior = 1, .points = POINTS, .predicted = anywhere}};
    const ll_bench bench = {1, 2, 0, &reading, two, NULL};
    const size_t which = 0;
    const double value = 0;
    double probability[2], share[POINTS + 1], misfit[2];
    assert_ok(ll_bench_weigh(&bench, 1, &which, &value, probability, share, misfit));
    assert_relative(probability[0] / probability[1], 10 / (0.1 * sqrt(2 * 3.14159265358979)), 1e-3);
}

/* A tolerance of parts widens a reading as its square says. */
static void tolerances_add_as_squares(void **state)
{
    (void)state;
    const ll_bench_reading reading = {.absolute = 3};
    const double tolerance[] = {4, 12};
    const ll_bench_hypothesis two[] = {{.prior = 1, .points = 1, .predicted = zero},
                                       {.prior = 1, .points = 1, .predicted = one}};
    const ll_bench bench = {1, 2, 2, &reading, two, tolerance};
    double error;
    ll_bench_error(&bench, 0, 0, &error);
    assert_close(error, 13, 1e-12);
}

static void a_needle_tells_north_from_south(void **state)
{
    (void)state;
    const ll_bench_reading reading = {.kind = LL_BENCH_SIGN, .absolute = 0.1, .weak = 0.5};
    const double north[] = {10}, south[] = {-10};
    const ll_bench_hypothesis two[] = {{.prior = 1, .points = 1, .predicted = north},
                                       {.prior = 1, .points = 1, .predicted = south}};
    const ll_bench bench = {1, 2, 0, &reading, two, NULL};
    const size_t which = 0;
    const double shows = -1;
    double probability[2], share[2], misfit[2];
    assert_ok(ll_bench_weigh(&bench, 1, &which, &shows, probability, share, misfit));
    assert_true(probability[1] > 0.99);
    /* A wrong sign written down must not be beyond belief. */
    assert_true(probability[0] > 0.001);
    /* The likelihood ratio's deviance, as a figure's squared distance is one: twice the log of the odds against what was seen
     * (S. Wilks, Ann. Math. Stat. 9 (1938) 60). What is 10 with a limit of 0.5 shows its own sign for sure. */
    assert_close(misfit[0], 2 * log(probability[1] / probability[0]), 1e-9);
    assert_close(misfit[1], 0, 1e-12);
}

/* Between n equally likely faults that a reading tells apart wholly it gives log2 n bits, and none where all agree
 * (C. Shannon 1948). */
static void a_telling_reading_gives_log2_n_bits(void **state)
{
    (void)state;
    const ll_bench_reading reading[2] = {{.absolute = 0.01}, {.absolute = 1, .test = 1}};
    const double predicted[4][2] = {{0, 5}, {1, 5}, {2, 5}, {3, 5}};
    ll_bench_hypothesis four[4];
    double probability[4], share[4], bits[2];
    for (int h = 0; h < 4; h++) {
        four[h] = (ll_bench_hypothesis){.prior = 1, .points = 1, .predicted = predicted[h]};
        probability[h] = 0.25;
        share[h] = 1;
    }
    const ll_bench bench = {2, 4, 0, reading, four, NULL};
    assert_ok(ll_bench_information(&bench, probability, share, bits));
    assert_close(bits[0], 2, 1e-6);
    assert_close(bits[1], 0, 1e-9);
}

/* Two normal laws, equally likely, two standard deviations apart: the mutual information of the binary-input Gaussian channel
 * (T. Cover, J. Thomas, Elements of Information Theory, chapter 9), integrated here step by step. */
static void a_noisy_reading_gives_what_the_channel_gives(void **state)
{
    (void)state;
    const ll_bench_reading reading = {.absolute = 1};
    const double two_away[] = {2};
    const ll_bench_hypothesis two[] = {{.prior = 1, .points = 1, .predicted = zero},
                                       {.prior = 1, .points = 1, .predicted = two_away}};
    const ll_bench bench = {1, 2, 0, &reading, two, NULL};
    const double probability[] = {0.5, 0.5}, share[] = {1, 1};
    double bits, exact = 0;
    for (double y = -8; y < 10; y += 1e-3) {
        const double p = exp(-y * y / 2) / sqrt(2 * 3.14159265358979);
        const double q = exp(-(y - 2) * (y - 2) / 2) / sqrt(2 * 3.14159265358979);
        exact += 1e-3 * 0.5 * (p * log2(2 * p / (p + q)) + q * log2(2 * q / (p + q)));
    }
    assert_ok(ll_bench_information(&bench, probability, share, &bits));
    /* 400 samples: a standard deviation of about 0.03. */
    assert_close(bits, exact, 0.1);
}

static void what_cannot_be_is_refused(void **state)
{
    (void)state;
    const ll_bench_reading reading = {.absolute = 0};
    const ll_bench_hypothesis sound = {.prior = 1, .points = 1, .predicted = zero},
                              never = {.prior = 0, .points = 1, .predicted = zero};
    ll_bench bench = {1, 1, 0, &reading, &sound, NULL};
    const size_t which = 0;
    const double value = 0;
    double probability = -1, share = -1, misfit = -1;
    assert_int_equal(ll_bench_weigh(&bench, 1, &which, &value, &probability, &share, &misfit),
                     LL_BAD_VALUE);
    const ll_bench_reading fine = {.absolute = 1};
    bench.reading = &fine;
    bench.hypothesis = &never;
    assert_int_equal(ll_bench_weigh(&bench, 1, &which, &value, &probability, &share, &misfit),
                     LL_BAD_VALUE);
    assert_close(probability, -1, 0);
}

/* Two unknowns, three readings; without limits in the way the step is the least squares solution. */
static void a_free_step_is_least_squares(void **state)
{
    (void)state;
    const double jacobian[] = {1, 0, 0, 1, 1, 1}, residual[] = {-1, -2, -3};
    const double x[] = {0, 0}, low[] = {-100, -100}, high[] = {100, 100};
    double next[2];
    assert_ok(ll_bench_step(3, 2, jacobian, residual, x, low, high, 1e-6, next));
    assert_close(next[0], 1, 1e-9);
    assert_close(next[1], 2, 1e-9);
}

/* With the first held at 0.5, the second solves y = 2 and y = 2.5 between them: by hand 2.25. */
static void a_limit_is_kept_and_the_rest_solved_again(void **state)
{
    (void)state;
    const double jacobian[] = {1, 0, 0, 1, 1, 1}, residual[] = {-1, -2, -3};
    const double x[] = {0, 0}, low[] = {-100, -100}, high[] = {0.5, 100};
    double next[2];
    assert_ok(ll_bench_step(3, 2, jacobian, residual, x, low, high, 1e-6, next));
    assert_close(next[0], 0.5, 0);
    assert_close(next[1], 2.25, 1e-9);
}

/* The standard deviation of the mean of four readings with 0.2 each is 0.1. */
static void uncertainty_of_a_mean(void **state)
{
    (void)state;
    const double jacobian[] = {5, 5, 5, 5};
    double sd;
    assert_ok(ll_bench_uncertainty(4, 1, jacobian, 0, NULL, &sd));
    assert_close(sd, 0.1, 1e-12);
}

/* y = x + c with y known to 0.3 and c to 0.4: x is known to 0.5 (JCGM 100, 5.1.2); and with y = 2 x + c to half of that. What two
 * readings share does not average out: sd^2 = 0.3^2 / 2 + 0.4^2. */
static void what_is_taken_as_known_spreads_the_unknown(void **state)
{
    (void)state;
    const double single[] = {1 / 0.3, 1 / 0.3}, twice[] = {2 / 0.3},
                 shift[] = {0.4 / 0.3, 0.4 / 0.3};
    double sd;
    assert_ok(ll_bench_uncertainty(1, 1, single, 1, shift, &sd));
    assert_close(sd, 0.5, 1e-12);
    assert_ok(ll_bench_uncertainty(1, 1, twice, 1, shift, &sd));
    assert_close(sd, 0.25, 1e-12);
    assert_ok(ll_bench_uncertainty(2, 1, single, 1, shift, &sd));
    assert_close(sd, sqrt(0.09 / 2 + 0.16), 1e-12);
    assert_ok(ll_bench_uncertainty(1, 1, single, 2, shift, &sd));
    assert_close(sd, sqrt(0.09 + 2 * 0.16), 1e-12);
}

static void readings_that_settle_nothing_say_so(void **state)
{
    (void)state;
    const double jacobian[] = {1, 1, 2, 2};
    double sd[2];
    assert_int_equal(ll_bench_uncertainty(2, 2, jacobian, 0, NULL, sd), LL_LIBRARY);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_reading_follows_bayes_rule),
        cmocka_unit_test(one_wrong_figure_does_not_outvote_the_others),
        cmocka_unit_test(a_slip_is_seen_against_its_neighbours),
        cmocka_unit_test(three_sizes_have_their_own_cells),
        cmocka_unit_test(a_shared_error_leaves_differences_sharp),
        cmocka_unit_test(tests_do_not_share_their_errors),
        cmocka_unit_test(a_fault_that_could_mean_anything_pays_for_it),
        cmocka_unit_test(few_points_stand_for_all_sizes_between_them),
        cmocka_unit_test(tolerances_add_as_squares),
        cmocka_unit_test(a_needle_tells_north_from_south),
        cmocka_unit_test(a_telling_reading_gives_log2_n_bits),
        cmocka_unit_test(a_noisy_reading_gives_what_the_channel_gives),
        cmocka_unit_test(what_cannot_be_is_refused),
        cmocka_unit_test(a_free_step_is_least_squares),
        cmocka_unit_test(a_limit_is_kept_and_the_rest_solved_again),
        cmocka_unit_test(uncertainty_of_a_mean),
        cmocka_unit_test(what_is_taken_as_known_spreads_the_unknown),
        cmocka_unit_test(readings_that_settle_nothing_say_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
