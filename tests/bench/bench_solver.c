/* bench_solver.c - what open case A6 costs and how exact it is: time cold and warm, memory, error against finite
 * elements, and the sixteen quarter turns of its bars against one solve. Prints; judges nothing, for times belong to a
 * machine. SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include <stdio.h>
#include <time.h>

/* Wall clock. */
static double now_s(void)
{
    struct timespec t;
    timespec_get(&t, TIME_UTC);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Solves with bars turned by quarter turns; returns the seconds it took, checks included. */
static double timed(int neck_quarters, int bridge_quarters, double fineness, ll_solution **out)
{
    ll_scene *scene = new_scene();
    add_six_poles(scene, 500);
    add_two_bars(scene, 90 * neck_quarters, 90 * bridge_quarters);
    const double start = now_s();
    *out = solved(scene, fineness);
    return now_s() - start;
}

/* A6, GetDP 3.2, 3-D second order: Bz in mT at (5.1, 0, z); error 0.3 %. */
static const double z_b[][2] = {{6, 40.33}, {7, 31.05}, {8, 24.43}, {10, 16.49}};
enum { HEIGHTS = sizeof z_b / sizeof z_b[0] };

static double worst_error(const ll_solution *s)
{
    double worst = 0;
    for (int i = 0; i < HEIGHTS; i++)
        worst = fmax(worst, fabs(1e3 * b_at(s, mm(5.1, 0, z_b[i][0])).z / z_b[i][1] - 1));
    return worst;
}

/* Returns the seconds of the first, cold solve. */
static double one_fineness(double fineness)
{
    ll_solution *cold, *warm;
    const double cold_s = timed(0, 0, fineness, &cold), warm_s = timed(0, 0, fineness, &warm);
    const ll_solve_facts f = ll_solution_facts(warm);
    printf("%8.2f %9zu %8zu %7.3f %7.3f %6.0f %10.2f %11.2f\n", fineness, f.triangles, f.unknowns,
           cold_s, warm_s, (double)f.memory_bytes / 1e6, 100 * worst_error(warm),
           100 * (1e3 * section_t(warm, 3, -9) / 124.5 - 1));
    fflush(stdout);
    ll_solution_free(cold);
    ll_solution_free(warm);
    return cold_s;
}

/* cold_s: one of them with nothing in place. */
static void sixteen_turns(double fineness, double cold_s)
{
    double all = 0;
    for (int i = 0; i < 16; i++) {
        ll_solution *s;
        all += timed(i / 4, i % 4, fineness, &s);
        ll_solution_free(s);
    }
    printf("sixteen quarter turns of the bars: %.3f s, %.1f times one cold solve\n", all,
           all / cold_s);
}

/* Figures from the list of open cases, one thread, a machine of the same kind. */
static void established_code(void)
{
    puts("\nAn established integral code (constant magnetisation, matched at cell centres, dense "
         "matrix),\n"
         "  cells   seconds   MB   Bz at z = 7 (31.05)   mean Bz in the pole (124.5)\n"
         "    864       2.1   62                 31.10                         119\n"
         "   2400      18.5  237                 31.25                         129\n"
         "   4752      81    818                 31.11                           -");
}

int main(void)
{
    static const double fineness[] = {0.35, 0.5, 0.7, 1, 1.4, 2};
    puts("fineness triangles unknowns  cold s  warm s     MB  worst Bz %  section Bz %");
    for (size_t i = 0; i < sizeof fineness / sizeof fineness[0]; i++) {
        const double cold_s = one_fineness(fineness[i]);
        if (fineness[i] == 1)
            sixteen_turns(1, cold_s);
    }
    puts("(worst of Bz at z = 6, 7, 8, 10 mm over a pole, GetDP 3.2, itself within 0.3 %)");
    established_code();
    return 0;
}
