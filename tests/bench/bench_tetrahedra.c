/* bench_tetrahedra.c - is the error that is told of linear tetrahedra as large as the true one, 0.5 mm from steel? Scenes that bodies of
 * higher degree serve as well are solved by tetrahedra in any case, and by those as the truth, which is told to 0.03 %.
 *
 *   bench_tetrahedra [scenes [first seed [per cent asked for]]]
 * Scenes of up to four parts. Prints, each reading as it comes; judges nothing. SPDX-License-Identifier: GPL-3.0-or-later */
#include "random_scenes.h"
#include "reading/estimator.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- materials ---- */

static ll_material *roll_soft(dice *d)
{
    static const char *const names[] = {"steel 1006", "steel 1010", "steel 1018", "pure iron"};
    ll_material *m;
    if (roll_int(d, 2))
        return steel(roll_scale(d, 50, 1000));
    assert_ok(ll_material_named(names[roll_int(d, 4)], &m));
    return m;
}

/* Sources in closed form, so that scenes are of one kind of bodies. */
static ll_material *roll_hard(dice *d)
{
    return magnet(roll(d, 0.2, 1.3), 1);
}

static double full_charge(dice *d)
{
    (void)d;
    return 1;
}

/* ---- points ---- */

enum { BESIDE, ABOVE, FAR, WHERE };
static const char *const where_names[WHERE] = {"0.5 mm beside steel", "0.5 mm above its end",
                                               "0.5 to 8 mm from any part"};

typedef struct points {
    size_t n;
    ll_vec3 at_m[PROBES];
} points;

static ll_vec3 near_part(dice *d, const ll_part *p, int where)
{
    const ll_vec3 half = ll_scale(0.5, p->shape.size_m);
    const double off = 0.5e-3, angle = roll(d, 0, 2 * LL_PI), z = roll(d, -1, 1) * half.z;
    ll_vec3 own = ll_vec((half.x + off) * cos(angle), (half.x + off) * sin(angle), z);
    if (where == BESIDE && p->shape.kind == LL_BLOCK)
        own = ll_vec(roll(d, -0.9, 0.9) * half.x, (roll_int(d, 2) ? 1 : -1) * (half.y + off), z);
    if (where == ABOVE)
        own = ll_vec(roll(d, -0.8, 0.8) * half.x, 0, half.z + off);
    return ll_to_world(&p->pose, own);
}

/* Fewer than PROBES where there is no room for more. */
static points roll_points(dice *d, const random_scene *s, int where)
{
    enum { TRIES = 200 };
    points q = {0};
    if (where == FAR) {
        q.n = PROBES;
        memcpy(q.at_m, s->probe_m, sizeof q.at_m);
    }
    for (int i = 0; where != FAR && i < TRIES && q.n < PROBES; i++) {
        const size_t part = (size_t)roll_int(d, (int)ll_scene_part_count(s->scene));
        const ll_part *p = ll_scene_part(s->scene, part);
        q.at_m[q.n] = near_part(d, p, where);
        q.n += ll_material_kind(p->material) != LL_MAGNET &&
               distance_m(s->scene, q.at_m[q.n]) > 0.45e-3;
    }
    return q;
}

/* ---- comparison ---- */

static ll_status read_points(const ll_solution *s, void *context, double *values)
{
    const points *q = context;
    return ll_solution_b(s, q->n, q->at_m, (ll_vec3 *)values);
}

typedef struct tally {
    size_t count, within, at_odds; /* at_odds: not even with what the truth may be off by */
} tally;

static double largest(size_t n, const double *values)
{
    double most = 0;
    for (size_t i = 0; i < n; i++)
        most = fmax(most, fabs(values[i]));
    return most;
}

static ll_status compare(ll_estimator *e, ll_estimator *truth, points *q, tally *t)
{
    const double least_t = 5e-3; /* as scripts have it */
    double b[3 * PROBES], told[3 * PROBES], true_b[3 * PROBES], true_told[3 * PROBES];
    const size_t n = 3 * q->n;
    ll_status status = ll_estimator_read(e, NULL, read_points, q, least_t, n, b, told);
    if (!status)
        status = ll_estimator_read(truth, NULL, read_points, q, least_t, n, true_b, true_told);
    if (status)
        return status;
    for (size_t i = 0; i < n; i++)
        b[i] -= true_b[i];
    const double percent = 100 / fmax(largest(n, true_b), least_t);
    const double off = percent * largest(n, b), said = percent * largest(n, told),
                 unsure = percent * largest(n, true_told);
    printf("off %.3f %%, told %.3f %%, truth to %.3f %%\n", off, said, unsure);
    t->count++;
    t->within += off <= said;
    t->at_odds += off > said + unsure;
    return LL_OK;
}

static void one_scene(uint64_t seed, double accuracy, tally *tallies)
{
    enum { MOST_PARTS = 4 };
    static const stock_room stock = {roll_soft, roll_hard, full_charge, NULL};
    const ll_solve_options linear = {.tetrahedra = true, .memory_limit_bytes = (size_t)1000 << 20};
    random_scene s = random_scene_new(seed, &stock);
    dice d = {seed * 77777};
    ll_estimator *e, *truth;
    const ll_solution *solution = NULL;
    assert_ok(ll_estimator_new(s.scene, &linear, accuracy, &e));
    assert_ok(ll_estimator_new(s.scene, NULL, 3e-4, &truth));
    const bool serves = ll_scene_part_count(s.scene) <= MOST_PARTS &&
                        !ll_estimator_solution(truth, NULL, &solution) &&
                        ll_solution_facts(solution).degree > 1;
    for (int where = 0; serves && where < WHERE; where++) {
        points q = roll_points(&d, &s, where);
        if (q.n == 0)
            continue;
        printf("%llu, %s, gap %.3f mm, %s: ", (unsigned long long)seed, s.kind, s.gap_mm,
               where_names[where]);
        const ll_status status = compare(e, truth, &q, &tallies[where]);
        if (status)
            puts(ll_status_text(status));
        fflush(stdout);
    }
    ll_estimator_free(e);
    ll_estimator_free(truth);
    ll_scene_free(s.scene);
}

int main(int argc, char **argv)
{
    const size_t scenes = argc > 1 ? (size_t)atol(argv[1]) : 60;
    const uint64_t seed = argc > 2 ? (uint64_t)atol(argv[2]) : 1;
    const double accuracy = argc > 3 ? 0.01 * atof(argv[3]) : 0.005;
    tally tallies[WHERE] = {{0}};
    for (uint64_t n = seed; n < seed + scenes; n++)
        one_scene(n, accuracy, tallies);
    for (int k = 0; k < WHERE; k++)
        printf("%s: %zu tables, %zu within what was told, %zu at odds with the truth's own error\n",
               where_names[k], tallies[k].count, tallies[k].within, tallies[k].at_odds);
    return 0;
}
