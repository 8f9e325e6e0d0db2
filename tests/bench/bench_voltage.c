/* bench_voltage.c - how much faster than real time six strings sound through curved linkage maps, on one core.
 * Prints one line; nothing passes or fails. SPDX-License-Identifier: GPL-3.0-or-later */
#include "signal/voltage.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { STRINGS = 6, SIDE = 9, SECONDS = 10, RATE_HZ = 48000 };

/* Whole mass and core of a common set: tension tables of makers, from memory; cores: common practice, no source. */
static const struct {
    double hz, mass_kg_m, diameter_m, core_m;
} set[STRINGS] = {{82.41, 6.8246e-3, 1.168e-3, 0.457e-3}, {110.0, 4.2795e-3, 0.914e-3, 0.406e-3},
                  {146.8, 2.2628e-3, 0.660e-3, 0.356e-3}, {196.0, 1.1433e-3, 0.432e-3, 0.432e-3},
                  {246.9, 0.6686e-3, 0.330e-3, 0.330e-3}, {329.6, 0.3956e-3, 0.254e-3, 0.254e-3}};

static void stop_on(ll_status status)
{
    if (!status)
        return;
    fprintf(stderr, "%s\n", ll_status_text(status));
    exit(1);
}

/* Linkage that falls with the distance to a pole 3 mm below, of degree 6, gathered over some 8 mm of string. */
static ll_linkage_map *map(void)
{
    double x[SIDE * SIDE], z[SIDE * SIDE], wb[SIDE * SIDE];
    for (int i = 0; i < SIDE * SIDE; i++) {
        x[i] = 0.75e-3 * (i % SIDE - SIDE / 2);
        z[i] = 0.5e-3 * (i / SIDE - SIDE / 2);
        wb[i] = 1e-4 / pow(1 + hypot(x[i], z[i] + 3e-3) / 3e-3, 3);
    }
    const double y[] = {56e-3, 60e-3, 64e-3}, weight[] = {0, 1, 0};
    ll_linkage_map *out = NULL;
    stop_on(ll_linkage_map_new(&(ll_linkage_samples){SIDE * SIDE, x, z, wb}, 6,
                               &(ll_aperture){3, y, weight}, &out));
    return out;
}

/* All partials that the rate allows, plucked aslant. */
static ll_motion *motion(int i)
{
    static ll_mode_pair pairs[512];
    ll_stiff_string s;
    ll_motion *out = NULL;
    stop_on(ll_stiff_string_tune(&(ll_string_tuning){0.648, set[i].hz, 0, set[i].mass_kg_m,
                                                     set[i].diameter_m, set[i].core_m,
                                                     LL_YOUNG_MUSIC_WIRE_PA},
                                 &s));
    const size_t partials = ll_stiff_string_partials_below(&s, RATE_HZ / 2.0);
    stop_on(ll_mode_pairs(&s, 1e-3, NULL, partials, pairs));
    const ll_damping *damping =
        set[i].core_m < set[i].diameter_m ? &ll_damping_wound : &ll_damping_plain;
    stop_on(
        ll_motion_new(&s, partials, pairs, damping, &(ll_pluck){0.12, 1e-3, 1, 2e-3, 2e-4}, &out));
    return out;
}

int main(void)
{
    ll_heard_string heard[STRINGS];
    ll_motion *motions[STRINGS];
    ll_linkage_map *shared = map();
    for (int i = 0; i < STRINGS; i++) {
        motions[i] = motion(i);
        heard[i] = (ll_heard_string){motions[i], shared, 0.03 * i};
    }
    const size_t n = (size_t)SECONDS * RATE_HZ;
    double *voltage = malloc(n * sizeof *voltage);
    if (!voltage)
        return 1;
    const clock_t start = clock();
    stop_on(ll_voltage(STRINGS, heard, RATE_HZ, n, voltage, NULL));
    const double took = (double)(clock() - start) / CLOCKS_PER_SEC;
    printf("six strings, %d s of sound: %.3f s of one core, %.0f times faster than real time\n",
           SECONDS, took, SECONDS / took);
    free(voltage);
    for (int i = 0; i < STRINGS; i++)
        ll_motion_free(motions[i]);
    ll_linkage_map_free(shared);
    return 0;
}
