/* test_ring_kernel.c - potentials of charged rings against sums over the ring.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "elements/ring_kernel.h"

/* 1 / (4 pi) integral of cos(m phi) / R d phi by the trapezoidal rule, which converges geometrically on a circle. */
static double by_sum(int m, double r, double z, double s, double t)
{
    enum { POINTS = 20000 };
    double sum = 0;
    for (int k = 0; k < POINTS; k++) {
        const double angle = 2 * LL_PI * k / POINTS;
        sum += cos(m * angle) / sqrt(r * r + s * s - 2 * r * s * cos(angle) + (z - t) * (z - t));
    }
    return sum / POINTS / 2;
}

static const double ring_at[][4] = {
    {2.4e-3, 0, 2.4e-3, 10e-3}, {2.4e-3, 0, 2.41e-3, 0},    {1e-3, 5e-3, 1.05e-3, 5.02e-3},
    {9e-3, 3e-3, 0.2e-3, 0},    {0.1e-3, 0, 2.4e-3, 17e-3}, {2e-3, 0, 2.9e-3, 0.2e-3},
};
enum { RINGS = sizeof ring_at / sizeof *ring_at };

static void kernels_are_sums_over_the_ring(void **state)
{
    (void)state;
    for (int k = 0; k < RINGS; k++) {
        const double *a = ring_at[k];
        ll_ring_kernels kernels;
        ll_ring_kernels_find(LL_HARMONIC_MOST, a[0], a[1], 1, &a[2], &a[3], &kernels);
        const double first = by_sum(0, a[0], a[1], a[2], a[3]);
        for (int m = 0; m <= LL_HARMONIC_MOST; m++) {
            const double sum = by_sum(m, a[0], a[1], a[2], a[3]);
            /* The sum itself is good to rounding of its largest term. */
            assert_close(kernels.g[m][0], sum, 1e-9 * fabs(sum) + 1e-13 * first);
        }
    }
}

static void slopes_are_those_of_the_kernels(void **state)
{
    (void)state;
    for (int k = 0; k < RINGS; k++) {
        const double *a = ring_at[k];
        const double step = 1e-4 * fmin(a[2], hypot(a[0] - a[2], a[1] - a[3]));
        const double s[] = {a[2], a[2] - step, a[2] + step, a[2], a[2]};
        const double t[] = {a[3], a[3], a[3], a[3] - step, a[3] + step};
        ll_ring_kernels f;
        ll_ring_kernels_find(4, a[0], a[1], 5, s, t, &f);
        for (int m = 0; m <= 4; m++) {
            const double to_s = (f.g[m][2] - f.g[m][1]) / (2 * step);
            const double to_t = (f.g[m][4] - f.g[m][3]) / (2 * step);
            const double size = hypot(to_s, to_t);
            assert_close(f.to_s[m][0], to_s, 1e-6 * size);
            assert_close(f.to_t[m][0], to_t, 1e-6 * size);
        }
    }
}

/* What stands beside a ring in one call does not change what is told of it: one is near, the others are far. */
static void rings_together_give_what_each_gives_alone(void **state)
{
    (void)state;
    const double s[] = {2.4e-3, 1e-3, 2.3e-3, 30e-3}, t[] = {1e-6, 5e-3, 0.3e-3, 0};
    ll_ring_kernels all, one;
    ll_ring_kernels_find(6, 2.4e-3, 0, 4, s, t, &all);
    for (int k = 0; k < 4; k++) {
        ll_ring_kernels_find(6, 2.4e-3, 0, 1, &s[k], &t[k], &one);
        for (int m = 0; m <= 6; m++) {
            assert_relative(all.g[m][k], one.g[m][0], 1e-9);
            assert_relative(all.to_s[m][k], one.to_s[m][0], 1e-7);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(kernels_are_sums_over_the_ring),
        cmocka_unit_test(slopes_are_those_of_the_kernels),
        cmocka_unit_test(rings_together_give_what_each_gives_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
