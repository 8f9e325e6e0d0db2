/* bench_newton.c - does Newton's method arrive from a cold start, whatever the materials: every steel, magnet and string
 * stock of the tables and laws of one's own, strong magnets against thin steel, charges from -1 to 1, charged in place or alone. And what a
 * saturating solve costs against a linear one of the same mesh.
 *
 *   bench_newton [scenes [first seed [fineness]]]
 * Prints; judges nothing but a failure, which ends it with status 1. SPDX-License-Identifier: GPL-3.0-or-later */
#include "random_scenes.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* ---- materials ---- */

enum { MOST_ROWS = 200 };
static bool met[MOST_ROWS]; /* rows of the tables, so far */

/* A row of the tables that is a magnet, or none. */
static const char *roll_row(dice *d, bool magnets)
{
    for (;;) {
        const size_t which = (size_t)roll_int(d, (int)ll_material_row_count());
        const ll_material_row *row = ll_material_row_at(which);
        const bool is_magnet = strcmp(row->group, "magnet") == 0;
        if (is_magnet == magnets && (is_magnet || row->mu_r > 1)) {
            met[which] = true;
            return row->name;
        }
    }
}

static void list_not_met(void)
{
    printf("Rows of the tables in none of them, conductors apart:");
    for (size_t i = 0; i < ll_material_row_count(); i++)
        if (!met[i] && strcmp(ll_material_row_at(i)->group, "conductor") != 0)
            printf(" %s;", ll_material_row_at(i)->name);
    puts("");
}

static ll_material *named(const char *name)
{
    ll_material *m;
    assert_ok(ll_material_named(name, &m));
    return m;
}

/* Mostly a row, at times an arctangent law up to very soft ones. */
static ll_material *any_soft(dice *d)
{
    const double js = roll(d, 0.4, 2.2), mu = roll_scale(d, 20, 2e4);
    const char *row = roll_row(d, false);
    if (roll_int(d, 4))
        return named(row);
    ll_material *m;
    assert_ok(ll_material_steel_arctan(js, mu, 0, &m));
    return m;
}

/* The same throws, a straight law. */
static ll_material *straight_soft(dice *d)
{
    ll_material_free(any_soft(d));
    return steel(300);
}

static ll_material *other_straight_soft(dice *d)
{
    ll_material_free(any_soft(d));
    return steel(310);
}

static ll_material *any_hard(dice *d)
{
    return named(roll_row(d, true));
}

static ll_material *strong_hard(dice *d)
{
    return magnet(roll(d, 1.1, 1.45), roll(d, 1, 1.1));
}

/* Full either way as a rule, weaker or none now and then. */
static double any_charge(dice *d)
{
    const double weaker = roll(d, -1, 1);
    static const double usual[] = {1, 1, -1, 0};
    const int which = roll_int(d, 6);
    return which < 4 ? usual[which] : weaker;
}

/* A third were charged before they were built in. */
static ll_charging any_history(dice *d)
{
    return roll_int(d, 3) ? LL_CHARGED_ASSEMBLED : LL_CHARGED_ALONE;
}

/* ---- one scene ---- */

/* facts->seconds are the processor's, which other work on the machine disturbs less; run it with one thread. */
static ll_status solve_it(uint64_t seed, const stock_room *stock, double fineness,
                          const char **kind, ll_solve_facts *facts)
{
    const random_scene scene = random_scene_new(seed, stock);
    const ll_solve_options options = {.fineness = fineness};
    ll_solution *solution = NULL;
    const clock_t started = clock();
    const ll_status status = ll_solve(scene.scene, &options, &solution);
    const clock_t ended = clock();
    *kind = scene.kind;
    if (!status) {
        *facts = ll_solution_facts(solution);
        facts->seconds = (double)(ended - started) / CLOCKS_PER_SEC;
    }
    ll_solution_free(solution);
    ll_scene_free(scene.scene);
    return status;
}

/* ---- all scenes ---- */

enum { MOST_STEPS = 61, MOST_SCENES = 5000 };

static size_t cold_starts(size_t scenes, uint64_t seed, double fineness)
{
    const stock_room any = {any_soft, any_hard, any_charge, any_history},
                     strong = {any_soft, strong_hard, any_charge, NULL};
    size_t failures = 0, steps[MOST_STEPS] = {0};
    for (uint64_t k = seed; k < seed + scenes; k++) {
        const char *kind;
        ll_solve_facts facts;
        const ll_status status = solve_it(k, k % 2 ? &any : &strong, fineness, &kind, &facts);
        if (status) {
            printf("seed %llu, %s: %s\n", (unsigned long long)k, kind, ll_status_text(status));
            failures++;
        } else
            steps[facts.newton_steps]++;
    }
    printf("%zu scenes at fineness %g, %zu without an answer\nNewton steps: scenes\n", scenes,
           fineness, failures);
    for (size_t n = 0; n < MOST_STEPS; n++)
        if (steps[n])
            printf("%4zu: %zu\n", n, steps[n]);
    list_not_met();
    return failures;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Both with everything that depends on geometry alone in place, which a scene with another permeability brought about; the
 * magnets' laws are straight. */
static void cost_ratios(size_t scenes, uint64_t seed, double fineness)
{
    const stock_room first = {other_straight_soft, strong_hard, any_charge, NULL},
                     straight = {straight_soft, strong_hard, any_charge, NULL},
                     curved = {any_soft, strong_hard, any_charge, NULL};
    static double ratio[MOST_SCENES], cold[MOST_SCENES];
    size_t n = 0;
    uint64_t worst = 0;
    double most = 0;
    for (uint64_t k = seed; k < seed + scenes; k++) {
        const char *kind;
        ll_solve_facts f, a, b;
        if (solve_it(k, &first, fineness, &kind, &f) ||
            solve_it(k, &straight, fineness, &kind, &a) ||
            solve_it(k, &curved, fineness, &kind, &b) || b.newton_steps == 0)
            continue;
        ratio[n] = b.seconds / a.seconds;
        worst = ratio[n] > most ? k : worst;
        most = fmax(most, ratio[n]);
        cold[n++] = (f.seconds + b.seconds - a.seconds) / f.seconds;
    }
    qsort(ratio, n, sizeof *ratio, by_size);
    qsort(cold, n, sizeof *cold, by_size);
    printf("cost of a curved law over a straight one, same mesh, %zu scenes: half below, nine in "
           "ten below, worst\n",
           n);
    if (n > 0)
        printf(
            "geometry in place: %.1f %.1f %.1f (seed %llu)\nall from the start: %.1f %.1f %.1f\n",
            ratio[n / 2], ratio[n * 9 / 10], ratio[n - 1], (unsigned long long)worst, cold[n / 2],
            cold[n * 9 / 10], cold[n - 1]);
}

int main(int argc, char **argv)
{
    const size_t scenes = argc > 1 ? (size_t)atol(argv[1]) : 200;
    const uint64_t seed = argc > 2 ? (uint64_t)atol(argv[2]) : 1;
    const double fineness = argc > 3 ? atof(argv[3]) : 0.6;
    if (scenes == 0 || scenes > MOST_SCENES || ll_material_row_count() > MOST_ROWS)
        return 2;
    const size_t failures = cold_starts(scenes, seed, fineness);
    cost_ratios((scenes + 3) / 4, seed, 1);
    return failures > 0;
}
