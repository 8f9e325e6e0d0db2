/* bench_error.c - is the mesh error that readings tell as large as the true one, and not much larger? Random pickups are
 * read through a study as scripts read them; the truth is extrapolated from two much finer meshes.
 *
 *   bench_error [scenes [first seed]]
 * Scenes whose fine meshes would need more than 1 GB are left out. Prints; judges nothing.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/study.h"
#include "random_scenes.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- materials: half the steels and two thirds of the magnets are straight ---- */

static ll_material *usual_soft(dice *d)
{
    static const char *const names[] = {"steel 1006",       "steel 1010",   "steel 1018",
                                        "steel 1020",       "pure iron",    "stainless 416",
                                        "cold drawn steel", "stainless 430"};
    if (roll_int(d, 2))
        return steel(roll_scale(d, 50, 1000));
    ll_material *m;
    assert_ok(ll_material_named(names[roll_int(d, 8)], &m));
    return m;
}

static ll_material *usual_hard(dice *d)
{
    static const char *const names[] = {"AlNiCo 2", "AlNiCo 3", "AlNiCo 4",
                                        "AlNiCo 5", "AlNiCo 8", "AlNiCo LNG44"};
    const double recoil = roll(d, 1, 1.1);
    switch (roll_int(d, 3)) {
    case 0:
        return magnet(roll(d, 0.2, 0.42), recoil);
    case 1:
        return magnet(roll(d, 1.1, 1.4), recoil);
    default:;
        ll_material *m;
        assert_ok(ll_material_named(names[roll_int(d, 6)], &m));
        return m;
    }
}

static double full_charge(dice *d)
{
    (void)d;
    return 1;
}

/* ---- readings ---- */

enum { MOST_VALUES = 3 * PROBES };

static ll_status read_probes(const ll_solution *s, void *context, double *values)
{
    const random_scene *scene = context;
    return ll_solution_b(s, PROBES, scene->probe_m, (ll_vec3 *)values);
}

static ll_status read_one_probe(const ll_solution *s, void *context, double *values)
{
    const random_scene *scene = context;
    return ll_solution_b(s, 1, scene->probe_m, (ll_vec3 *)values);
}

static ll_status read_section(const ll_solution *s, void *context, double *values)
{
    const random_scene *scene = context;
    return ll_solution_section_bz(s, scene->section_part, scene->section_z_m, values);
}

static ll_status read_inductance(const ll_solution *s, void *context, double *values)
{
    (void)context;
    return ll_solution_inductance(s, 0, 0, values);
}

typedef struct kind_of_reading {
    const char *name;
    ll_reading read;
    size_t values;
    bool of_coil;
} kind_of_reading;

static const kind_of_reading kinds[] = {
    {"B at six points", read_probes, MOST_VALUES, false},
    {"B at one point", read_one_probe, 3, false},
    {"section mean", read_section, 1, false},
    {"inductance", read_inductance, 1, true},
};
enum { KINDS = sizeof kinds / sizeof kinds[0] };

/* ---- truth ---- */

/* Errors fall about as the square of the lengths. */
static const double fine = 2.24, finer_by = 1.4, rest = 0.7;

typedef struct truth {
    ll_solution *fine, *coarse;
} truth;

static ll_status find_truth(const random_scene *scene, truth *t)
{
    ll_solve_options options = {.fineness = fine, .memory_limit_bytes = (size_t)1 << 30};
    *t = (truth){NULL, NULL};
    ll_status status = ll_solve(scene->scene, &options, &t->fine);
    options.fineness /= finer_by;
    if (!status)
        status = ll_solve(scene->scene, &options, &t->coarse);
    return status;
}

static void true_values(const truth *t, const kind_of_reading *k, random_scene *scene,
                        double *values)
{
    double coarse[MOST_VALUES];
    assert_ok(k->read(t->fine, scene, values));
    assert_ok(k->read(t->coarse, scene, coarse));
    for (size_t i = 0; i < k->values; i++)
        values[i] += rest * (values[i] - coarse[i]);
}

/* ---- comparison ---- */

static double largest(size_t n, const double *values)
{
    double most = 0;
    for (size_t i = 0; i < n; i++)
        most = fmax(most, fabs(values[i]));
    return most;
}

/* One reading: shares of its largest value. */
typedef struct outcome {
    uint64_t seed;
    const char *kind;
    double gap_mm, error, estimate;
    size_t values, covered;
} outcome;

typedef struct tally {
    size_t count;
    outcome *each;
} tally;

/* Truths closer than this to each other are the same. */
static const double resolution = 1e-6;

static void compare(const kind_of_reading *k, size_t n, const double *values, const double *error,
                    const double *wanted, outcome *out)
{
    const double scale = largest(n, wanted);
    double miss[MOST_VALUES];
    out->values = k->values;
    for (size_t i = 0; i < n; i++) {
        miss[i] = values[i] - wanted[i];
        out->covered += fabs(miss[i]) <= error[i] + resolution * scale;
    }
    out->error = largest(n, miss) / scale;
    out->estimate = largest(n, error) / scale;
}

static ll_status one_scene(uint64_t seed, tally *tallies)
{
    static const stock_room usual = {usual_soft, usual_hard, full_charge};
    random_scene scene = random_scene_new(seed, &usual);
    ll_study *study;
    truth t;
    assert_ok(ll_study_new(scene.scene, NULL, 0, &study));
    ll_status status = find_truth(&scene, &t);
    for (size_t k = 0; k < KINDS && !status; k++) {
        double values[MOST_VALUES], error[MOST_VALUES], wanted[MOST_VALUES];
        if (kinds[k].of_coil && !scene.has_coil)
            continue;
        status = ll_study_read(study, NULL, kinds[k].read, &scene, 0, kinds[k].values, values, error);
        if (status)
            break;
        true_values(&t, &kinds[k], &scene, wanted);
        outcome *out = &tallies[k].each[tallies[k].count++];
        *out = (outcome){.seed = seed, .kind = scene.kind, .gap_mm = scene.gap_mm};
        compare(&kinds[k], kinds[k].values, values, error, wanted, out);
    }
    ll_solution_free(t.fine);
    ll_solution_free(t.coarse);
    ll_study_free(study);
    ll_scene_free(scene.scene);
    return status;
}

/* ---- report ---- */

static double ratio_of(const outcome *o)
{
    return o->estimate / fmax(o->error, resolution);
}

static int by_ratio(const void *a, const void *b)
{
    const double x = ratio_of(a), y = ratio_of(b);
    return (x > y) - (x < y);
}

static void summarise(const kind_of_reading *k, tally *t)
{
    size_t values = 0, covered = 0, readings = 0, near = 0, asked = 0, warned = 0;
    qsort(t->each, t->count, sizeof *t->each, by_ratio);
    for (size_t i = 0; i < t->count; i++) {
        const outcome *o = &t->each[i];
        values += o->values;
        covered += o->covered;
        readings += ratio_of(o) >= 1;
        near += ratio_of(o) < 10;
        asked += o->error <= 0.005;
        warned += o->error > 0.005 && o->estimate > 0.005;
    }
    const double all = 0.01 * (double)t->count;
    printf("%-16s %5zu %8.1f %8.1f %8.1f %8.0f %10.1f %8.1f\n", k->name, t->count,
           (double)covered / (0.01 * (double)values), (double)readings / all,
           ratio_of(&t->each[t->count / 2]), (double)near / all, (double)asked / all,
           (double)(asked + warned) / all);
}

static void list_worst(const kind_of_reading *k, const tally *t)
{
    enum { WORST = 6 };
    for (size_t i = 0; i < t->count && i < WORST && ratio_of(&t->each[i]) < 1; i++) {
        const outcome *o = &t->each[i];
        printf("%-16s seed %llu, %s, gap %.3f mm: error %.3f %%, told %.3f %%\n", k->name,
               (unsigned long long)o->seed, o->kind, o->gap_mm, 100 * o->error, 100 * o->estimate);
    }
}

static void report(tally *tallies, size_t scenes, size_t left_out, size_t failed)
{
    printf("%zu scenes, %zu left out as too big, %zu failed\n", scenes, left_out, failed);
    printf("                         error within what was told, %%   told    below      error  or "
           "told\nreading          count   values  readings  / true      10  <= 0.5 %%   so %%\n");
    for (size_t k = 0; k < KINDS; k++)
        if (tallies[k].count)
            summarise(&kinds[k], &tallies[k]);
    puts("\nWorst of those told too low:");
    for (size_t k = 0; k < KINDS; k++)
        list_worst(&kinds[k], &tallies[k]);
}

int main(int argc, char **argv)
{
    const size_t scenes = argc > 1 ? (size_t)atol(argv[1]) : 100;
    const uint64_t seed = argc > 2 ? (uint64_t)atol(argv[2]) : 1;
    tally tallies[KINDS];
    for (size_t k = 0; k < KINDS; k++)
        tallies[k] = (tally){0, calloc(scenes + 1, sizeof(outcome))};
    size_t left_out = 0, failed = 0;
    for (uint64_t n = seed; n < seed + scenes; n++) {
        const ll_status status = one_scene(n, tallies);
        left_out += status == LL_TOO_BIG;
        failed += status && status != LL_TOO_BIG;
        if (status && status != LL_TOO_BIG)
            printf("seed %llu: %s\n", (unsigned long long)n, ll_status_text(status));
    }
    report(tallies, scenes, left_out, failed);
    for (size_t k = 0; k < KINDS; k++)
        free(tallies[k].each);
    return failed > 0;
}
