/* bench_rectangle.c - what the potentials of one rectangle cost a point, near and far, for each degree.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/status.h"
#include "elements/legendre.h"
#include "elements/rectangle.h"
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { POINTS = 1872 };

static double seconds(void)
{
    return (double)clock() / CLOCKS_PER_SEC;
}

static void time_one(const ll_rectangle_layers *layers, double side, double height, double *value)
{
    const ll_rectangle_sides r = {{0, 3}, {0, side}};
    double u[POINTS], w[POINTS], z[POINTS];
    for (int i = 0; i < POINTS; i++) {
        u[i] = 1.5 + 0.5 * rand() / RAND_MAX;
        w[i] = 0.5 * side;
        z[i] = height * (1 + 0.1 * rand() / RAND_MAX);
    }
    const double start = seconds();
    int count = 0;
    while (seconds() - start < 0.1) {
        ll_rectangle_potentials(layers, &r, POINTS, u, w, z, value);
        count++;
    }
    printf(" %7.1f", (seconds() - start) / count / POINTS * 1e9);
}

int main(void)
{
    static double value[POINTS * 61];
    printf("ns a point and rectangle\n%8s %7s %7s %7s %7s %7s\n", "degree", "closed", "half",
           "1 side", "3 sides", "10");
    for (int degree = 1; degree <= LL_DEGREE_MOST; degree++) {
        ll_rectangle_layers *layers;
        if (ll_rectangle_layers_new(degree, 1e-5, &layers))
            return 1;
        printf("%8d", degree);
        static const double side[] = {3, 0.4, 3, 3, 3}, height[] = {0.1, 1.2, 3.7, 9, 30};
        for (int i = 0; i < 5; i++)
            time_one(layers, side[i], height[i], value);
        printf("\n");
        ll_rectangle_layers_free(layers);
    }
    return 0;
}
