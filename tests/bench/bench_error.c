/* bench_error.c - is the mesh error that readings tell as large as the true one, and not much larger? Random pickups are
 * read through an estimator as scripts read them; the truth is extrapolated from meshes that are finer than its last.
 *
 *   bench_error [scenes [first seed [per cent asked for [most parts]]]]
 * 0.5 % unless said otherwise; scenes of more parts, or whose fine meshes need more than 1000 MB, are left out. Prints, each reading as
 * it comes; judges nothing.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "random_scenes.h"
#include "reading/estimator.h"

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
    return ll_solution_sections_bz(s, scene->section_part, scene->section_z_m, values);
}

static ll_status read_inductance(const ll_solution *s, void *context, double *values)
{
    (void)context;
    return ll_solution_inductance(s, 0, 0, values);
}

typedef struct kind_of_reading {
    const char *name;
    ll_reading read;
    size_t values, answers; /* the values behind the answers are witnesses */
    bool of_coil;
} kind_of_reading;

static const kind_of_reading kinds[] = {
    {"B at six points", read_probes, MOST_VALUES, MOST_VALUES, false},
    {"B at one point", read_one_probe, 3, 3, false},
    {"section mean", read_section, LL_SECTIONS, 1, false},
    {"inductance", read_inductance, 1, 1, true},
};
enum { KINDS = sizeof kinds / sizeof kinds[0] };

/* ---- truth ---- */

/* Lengths of one mesh over those of the next; errors fall about as their square. The finest is finer by two steps than the mesh
 * that an estimator gives its first values on, and by one step than its last. */
static const double finer_by = 1.4, rest = 0.7;

static const size_t limit_bytes = (size_t)1000 << 20;

/* What is asked of every scene. */
typedef struct wish {
    double accuracy;
    size_t most_parts;
} wish;

typedef struct truth {
    ll_solution *fine, *coarse;
} truth;

static ll_status find_truth(const random_scene *scene, double first, double last, truth *t)
{
    ll_solve_options options = {.fineness = fmax(finer_by * finer_by * first, finer_by * last),
                                .memory_limit_bytes = limit_bytes};
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

/* Below which nobody asks for per cents, as scripts have it: 5 mT. */
static double least_of(const kind_of_reading *k)
{
    return k->of_coil ? 0 : 5e-3;
}

static void compare(const kind_of_reading *k, const double *values, const double *error,
                    const double *wanted, outcome *out)
{
    const size_t n = k->answers;
    const double scale = fmax(largest(n, wanted), least_of(k));
    double miss[MOST_VALUES];
    out->values = n;
    for (size_t i = 0; i < n; i++) {
        miss[i] = values[i] - wanted[i];
        out->covered += fabs(miss[i]) <= error[i] + resolution * scale;
    }
    out->error = largest(n, miss) / scale;
    out->estimate = largest(n, error) / scale;
}

/* What a script would read of one kind. */
typedef struct told {
    double values[MOST_VALUES], error[MOST_VALUES];
} told;

static bool applies(const kind_of_reading *k, const random_scene *scene)
{
    return !k->of_coil || scene->has_coil;
}

/* All readings, and how fine the mesh of the first values was and that of the last. */
static ll_status read_all(ll_estimator *estimator, random_scene *scene, told *out, double *first,
                          double *fineness)
{
    const ll_solution *last;
    ll_status status = ll_estimator_solution(estimator, NULL, &last);
    if (!status)
        *first = ll_solution_facts(last).fineness;
    for (size_t k = 0; k < KINDS && !status; k++)
        if (applies(&kinds[k], scene))
            status = ll_estimator_read(estimator, NULL, kinds[k].read, scene, least_of(&kinds[k]),
                                       kinds[k].values, out[k].values, out[k].error);
    if (!status)
        status = ll_estimator_solution(estimator, NULL, &last);
    if (!status)
        *fineness = ll_solution_facts(last).fineness;
    return status;
}

static void note(random_scene *scene, uint64_t seed, double fineness, const truth *t,
                 const told *readings, tally *tallies)
{
    for (size_t k = 0; k < KINDS; k++) {
        double wanted[MOST_VALUES];
        if (!applies(&kinds[k], scene))
            continue;
        true_values(t, &kinds[k], scene, wanted);
        outcome *out = &tallies[k].each[tallies[k].count++];
        *out = (outcome){.seed = seed, .kind = scene->kind, .gap_mm = scene->gap_mm};
        compare(&kinds[k], readings[k].values, readings[k].error, wanted, out);
        printf("%llu, %s, gap %.3f mm, fineness %.2f, %s: error %.3f %%, told %.3f %%\n",
               (unsigned long long)seed, scene->kind, scene->gap_mm, fineness, kinds[k].name,
               100 * out->error, 100 * out->estimate);
    }
    fflush(stdout);
}

static ll_status one_scene(uint64_t seed, const wish *asked, tally *tallies)
{
    static const stock_room usual = {usual_soft, usual_hard, full_charge, NULL};
    random_scene scene = random_scene_new(seed, &usual);
    const ll_solve_options options = {.memory_limit_bytes = limit_bytes};
    ll_estimator *estimator;
    truth t = {NULL, NULL};
    told readings[KINDS];
    double first, fineness;
    assert_ok(ll_estimator_new(scene.scene, &options, asked->accuracy, &estimator));
    ll_status status = ll_scene_part_count(scene.scene) > asked->most_parts
                           ? LL_TOO_BIG
                           : read_all(estimator, &scene, readings, &first, &fineness);
    if (!status)
        status = find_truth(&scene, first, fineness, &t);
    if (!status)
        note(&scene, seed, fineness, &t, readings, tallies);
    ll_solution_free(t.fine);
    ll_solution_free(t.coarse);
    ll_estimator_free(estimator);
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

static void summarise(const kind_of_reading *k, double accuracy, tally *t)
{
    size_t values = 0, covered = 0, readings = 0, near = 0, asked = 0, warned = 0;
    qsort(t->each, t->count, sizeof *t->each, by_ratio);
    for (size_t i = 0; i < t->count; i++) {
        const outcome *o = &t->each[i];
        values += o->values;
        covered += o->covered;
        readings += ratio_of(o) >= 1;
        near += ratio_of(o) < 10;
        asked += o->error <= accuracy;
        warned += o->error > accuracy && o->estimate > accuracy;
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

static void report(tally *tallies, double accuracy, size_t scenes, size_t left_out, size_t failed)
{
    printf("%zu scenes, %g %% asked for, %zu left out as too big, %zu failed\n", scenes,
           100 * accuracy, left_out, failed);
    printf("                         error within what was told, %%   told    below      error  or "
           "told\nreading          count   values  readings  / true      10   as asked   so %%\n");
    for (size_t k = 0; k < KINDS; k++)
        if (tallies[k].count)
            summarise(&kinds[k], accuracy, &tallies[k]);
    puts("\nWorst of those told too low:");
    for (size_t k = 0; k < KINDS; k++)
        list_worst(&kinds[k], &tallies[k]);
}

int main(int argc, char **argv)
{
    const size_t scenes = argc > 1 ? (size_t)atol(argv[1]) : 100;
    const uint64_t seed = argc > 2 ? (uint64_t)atol(argv[2]) : 1;
    const wish asked = {argc > 3 ? 0.01 * atof(argv[3]) : 0.005,
                        argc > 4 ? (size_t)atol(argv[4]) : SIZE_MAX};
    tally tallies[KINDS];
    for (size_t k = 0; k < KINDS; k++)
        tallies[k] = (tally){0, calloc(scenes + 1, sizeof(outcome))};
    size_t left_out = 0, failed = 0;
    for (uint64_t n = seed; n < seed + scenes; n++) {
        const ll_status status = one_scene(n, &asked, tallies);
        left_out += status == LL_TOO_BIG;
        failed += status && status != LL_TOO_BIG;
        if (status && status != LL_TOO_BIG)
            printf("seed %llu: %s\n", (unsigned long long)n, ll_status_text(status));
    }
    report(tallies, asked.accuracy, scenes, left_out, failed);
    for (size_t k = 0; k < KINDS; k++)
        free(tallies[k].each);
    return failed > 0;
}
