/* bench_magnet.c - what the closed-form field of a block, a rod and a ring costs a point, many at once and one by one.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "field/source.h"
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { POINTS = 20000, TIMES = 20 };

static double ns_a_point(clock_t start, int times)
{
    return 1e9 * (double)(clock() - start) / CLOCKS_PER_SEC / times / POINTS;
}

static void run(const char *name, const ll_shape *shape, ll_vec3 m)
{
    static ll_vec3 at[POINTS], h[POINTS];
    const ll_pose pose = ll_pose_at(ll_vec(1e-3, 2e-3, 3e-3));
    srand(1);
    for (int i = 0; i < POINTS; i++) {
        const double reach = i % 3 == 0 ? 40e-3 : i % 3 == 1 ? 10e-3 : 4e-3;
        at[i] = ll_vec(reach * (2.0 * rand() / RAND_MAX - 1), reach * (2.0 * rand() / RAND_MAX - 1),
                       reach * (2.0 * rand() / RAND_MAX - 1));
    }
    clock_t start = clock();
    for (int k = 0; k < TIMES; k++)
        if (ll_magnet_h(shape, &pose, m, POINTS, at, h))
            exit(1);
    const double many = ns_a_point(start, TIMES);
    start = clock();
    for (int i = 0; i < POINTS; i++)
        if (ll_magnet_h(shape, &pose, m, 1, &at[i], &h[i]))
            exit(1);
    printf("%-28s %6.0f %6.0f\n", name, many, ns_a_point(start, 1));
}

int main(void)
{
    ll_shape block, rod, ring;
    if (ll_shape_block(ll_vec(60e-3, 12.5e-3, 3e-3), &block) || ll_shape_rod(5e-3, 17e-3, &rod) ||
        ll_shape_ring(10e-3, 4e-3, 3e-3, &ring))
        return 1;
    printf("ns a point: %20s %6s\n", "many", "one");
    run("block, along an edge", &block, ll_vec(0, 0, 1e6));
    run("block, askew", &block, ll_vec(3e5, 4e5, 5e5));
    run("rod, along its axis", &rod, ll_vec(0, 0, 1e6));
    run("rod, askew", &rod, ll_vec(3e5, 4e5, 5e5));
    run("ring, along its axis", &ring, ll_vec(0, 0, 1e6));
    return 0;
}
