/* bench_told.c - is the error that an estimator tells of rods and bars as large as the true one, and not much larger? The truth
 * is a solution two degrees higher with more points in every rule.
 *
 *   bench_told [scenes [first seed [per cent asked for [inductance]]]]
 * Prints, each scene as it comes; judges nothing. SPDX-License-Identifier: GPL-3.0-or-later */
#include "field/source.h"
#include "magnetics/form_solution.h"
#include "magnetics/solve.h"
#include "random_scenes.h"
#include "reading/estimator.h"

#include <stdio.h>
#include <stdlib.h>

/* ---- scenes: a row of rods, rings or screws, perhaps leaning, off their line, and of different heights, perhaps with a bar beside or
 * below them ---- */

static ll_material *roll_magnet(dice *d)
{
    static const char *const names[] = {"AlNiCo 2", "AlNiCo 5", "AlNiCo 8"};
    ll_material *m;
    if (roll_int(d, 3) == 0)
        return magnet(roll(d, 0.3, 1.2), roll(d, 1.02, 4));
    assert_ok(ll_material_named(names[roll_int(d, 3)], &m));
    return m;
}

static ll_material *roll_steel(dice *d)
{
    ll_material *m;
    if (roll_int(d, 2))
        return steel(roll_scale(d, 20, 1000));
    assert_ok(ll_material_named(roll_int(d, 2) ? "steel 1018" : "steel 1010", &m));
    return m;
}

static ll_shape roll_shape(dice *d)
{
    const double r = roll(d, 1.4, 3), length = roll(d, 6, 18);
    switch (roll_int(d, 5)) {
    case 0:
        return screw_mm(2 * r, length, 2 * r + roll(d, 0.6, 2), roll(d, 1, 2.5));
    case 1:
        return ring_mm(2 * r + 2, 2 * roll(d, 0.3, 0.7) * r, roll(d, 2, 12));
    case 2:
        return rod_mm(4 * r, roll(d, 1, 3));
    default:
        return rod_mm(2 * r, length);
    }
}

typedef struct told_scene {
    ll_scene *scene;
    ll_vec3 probe_m[PROBES];
    double gap_mm;
    bool leaning, bar, coil;
} told_scene;

static void add_body(told_scene *t, dice *d, const ll_shape *shape, ll_pose pose, bool hard)
{
    const ll_vec3 axis = ll_rotate(&pose.rotation, ll_vec(roll_int(d, 4) ? 0 : 1, 0, 1));
    add_posed(t->scene, *shape, pose, hard ? roll_magnet(d) : roll_steel(d),
              hard ? axis : ll_vec(0, 0, 0));
}

/* A probe 0.5 to 4 mm over a part's end, not in any other part. */
static void put_probe(told_scene *t, dice *d, int k)
{
    for (bool free = false; !free;) {
        const size_t n = ll_scene_part_count(t->scene);
        const ll_part *p = ll_scene_part(t->scene, (size_t)roll_int(d, (int)n));
        const double up = 0.5 * p->shape.size_m.z + roll(d, 0.5e-3, 4e-3);
        const double across = roll(d, -0.6, 0.6) * p->shape.size_m.x;
        t->probe_m[k] = ll_to_world(&p->pose, ll_vec(across, roll(d, -1e-3, 1e-3), up));
        free = true;
        for (size_t i = 0; i < n; i++) {
            const ll_part *q = ll_scene_part(t->scene, i);
            const double depth = ll_shape_depth_m(&q->shape, ll_to_own(&q->pose, t->probe_m[k]));
            free = free && depth < -0.5e-3;
        }
    }
}

/* A bar beside all bodies or below them, soft or a magnet, clear of all that is there. */
static void add_bar(told_scene *t, dice *d, double from_m, double to_m)
{
    double across = 0, below = 0;
    for (size_t i = 0; i < ll_scene_part_count(t->scene); i++) {
        const ll_part *p = ll_scene_part(t->scene, i);
        const ll_rotation *turn = &p->pose.rotation;
        const ll_vec3 at = p->pose.origin_m;
        across = fmax(across, at.y + ll_shape_reach_m(&p->shape, turn, ll_vec(0, 1, 0)));
        below = fmin(below, at.z - ll_shape_reach_m(&p->shape, turn, ll_vec(0, 0, 1)));
    }
    const double gap = 1e-3 * roll_scale(d, 0.2, 3);
    const double wide = roll(d, 3, 12), high = roll(d, 2, 6);
    const ll_shape shape = block_mm(1e3 * (to_m - from_m) + roll(d, -4, 6), wide, high);
    const bool beside = roll_int(d, 2);
    const double y = beside ? across + gap + 0.5e-3 * wide : 0;
    const double z = beside ? roll(d, 0.2, 0.9) * below : below - gap - 0.5e-3 * high;
    const bool hard = roll_int(d, 4) > 0;
    const ll_vec3 north = beside ? ll_vec(0, -1, 0) : ll_vec(0, 0, 1);
    t->bar = true;
    add_posed(t->scene, shape, ll_pose_at(ll_vec(0.5 * (from_m + to_m), y, z)),
              hard ? roll_magnet(d) : roll_steel(d), hard ? north : ll_vec(0, 0, 0));
}

/* A coil around all bodies, clear of them, as high as it happens to be. */
static void add_wide_coil(told_scene *t, dice *d, double from_m, double to_m)
{
    double across = 0, deepest = 0;
    for (size_t i = 0; i < ll_scene_part_count(t->scene); i++) {
        const ll_part *p = ll_scene_part(t->scene, i);
        const ll_vec3 at = p->pose.origin_m;
        const double y = ll_shape_reach_m(&p->shape, &p->pose.rotation, ll_vec(0, 1, 0));
        across = fmax(across, fabs(at.y) + y);
        deepest = fmin(deepest, at.z - 0.5 * p->shape.size_m.z);
    }
    const double spare = roll(d, 1.5e-3, 4e-3), opening = 2 * (across + spare);
    const ll_coil_shape shape = {to_m - from_m + 2 * spare + 4e-3, opening, 0.4 * opening,
                                 roll(d, 1e-3, 6e-3), roll(d, 3e-3, 12e-3)};
    const ll_coil coil = {
        "coil", shape, ll_pose_at(ll_vec(0.5 * (from_m + to_m), 0, roll(d, 0, 1) * deepest)), 5000};
    assert_ok(ll_scene_add_coil(t->scene, &coil));
}

static told_scene roll_scene(dice *d, bool coil)
{
    told_scene t = {.scene = new_scene(), .coil = coil, .gap_mm = roll_scale(d, 0.2, 8)};
    const int count = 1 + roll_int(d, 5);
    const bool alike = roll_int(d, 2), off_line = roll_int(d, 3) == 0;
    ll_shape shape = roll_shape(d);
    double x = 0;
    t.leaning = roll_int(d, 4) == 0;
    for (int i = 0; i < count; i++) {
        ll_pose pose = ll_pose_at(ll_vec(0, 0, 0));
        if (!alike)
            shape = roll_shape(d);
        if (t.leaning && i == 0)
            pose.rotation = ll_rotation_about(ll_vec(roll(d, -1, 1), -1, 0), roll(d, 0, 0.15));
        const double wide = 0.5 * shape.size_m.x;
        x += i ? wide + 1e-3 * t.gap_mm + (t.leaning ? 2e-3 : 0) : 0;
        pose.origin_m =
            ll_vec(x, off_line ? 1e-3 * roll(d, -2, 2) : 0,
                   -0.5 * shape.size_m.z + (roll_int(d, 3) ? 0 : 1e-3 * roll(d, -2, 2)));
        x += wide;
        add_body(&t, d, &shape, pose, i == 0 || roll_int(d, 2));
    }
    if (t.coil)
        add_wide_coil(&t, d, -0.5 * ll_scene_part(t.scene, 0)->shape.size_m.x, x);
    else if (roll_int(d, 2))
        add_bar(&t, d, -0.5 * ll_scene_part(t.scene, 0)->shape.size_m.x, x);
    for (int k = 0; k < PROBES; k++)
        put_probe(&t, d, k);
    return t;
}

/* ---- one scene ---- */

static ll_status read_probes(const ll_solution *s, void *context, double *values)
{
    const told_scene *t = context;
    return ll_solution_b(s, PROBES, t->probe_m, (ll_vec3 *)values);
}

/* Magnets with a straight line are sources in closed form. */
static void add_straight_magnets(const told_scene *t, ll_vec3 *h)
{
    for (size_t i = 0; i < ll_scene_part_count(t->scene); i++) {
        const ll_part *p = ll_scene_part(t->scene, i);
        if (ll_material_kind(p->material) != LL_MAGNET || !ll_material_is_linear(p->material))
            continue;
        const double m = p->charge * ll_material_remanence_t(p->material) / LL_MU0;
        ll_vec3 own[PROBES];
        assert_ok(ll_magnet_h(&p->shape, &p->pose, ll_scale(m / ll_norm(p->north), p->north),
                              PROBES, t->probe_m, own));
        for (int k = 0; k < PROBES; k++)
            h[k] = ll_add(h[k], own[k]);
    }
}

static ll_status find_truth(const told_scene *t, ll_vec3 *b)
{
    const ll_form_choice choice = {.level = 3, .finer = 2};
    ll_form_solution *f;
    const ll_status status = ll_form_solution_new(t->scene, &choice, 0, NULL, NULL, &f);
    for (int k = 0; k < PROBES; k++)
        b[k] = ll_vec(0, 0, 0);
    if (status)
        return status;
    add_straight_magnets(t, b);
    ll_form_solution_add_h(f, &f->bias, PROBES, t->probe_m, b);
    for (int k = 0; k < PROBES; k++)
        b[k] = ll_scale(LL_MU0, b[k]);
    ll_release(f);
    return LL_OK;
}

/* True and told error over the largest value; false where something failed, which is told. */
static ll_status read_inductance(const ll_solution *s, void *context, double *values)
{
    (void)context;
    return ll_solution_inductance(s, 0, 0, values);
}

/* The same of a coil around all bodies; its truth has no more points in its rules. */
static bool measure_inductance(told_scene *t, double accuracy, double *told, double *off)
{
    const ll_solve_options high = {.level = LL_FORM_LEVELS};
    double l = 0, error = 0, truth = 0;
    ll_estimator *estimator;
    ll_solution *s = NULL;
    assert_ok(ll_estimator_new(t->scene, NULL, accuracy, &estimator));
    ll_status status = ll_estimator_read(estimator, NULL, read_inductance, t, 0, 1, &l, &error);
    ll_estimator_free(estimator);
    if (!status)
        status = ll_solve(t->scene, &high, &s);
    if (!status)
        status = ll_solution_inductance(s, 0, 0, &truth);
    ll_solution_free(s);
    if (status) {
        printf("status %d ", (int)status);
        return false;
    }
    *told = error / truth;
    *off = fabs(l - truth) / truth;
    return true;
}

static bool measure_field(told_scene *t, double accuracy, double *told, double *off)
{
    ll_vec3 b[PROBES], error[PROBES], truth[PROBES];
    ll_estimator *estimator;
    assert_ok(ll_estimator_new(t->scene, NULL, accuracy, &estimator));
    ll_status status = ll_estimator_read(estimator, NULL, read_probes, t, 0, 3 * PROBES,
                                         (double *)b, (double *)error);
    ll_estimator_free(estimator);
    if (!status)
        status = find_truth(t, truth);
    if (status) {
        printf("status %d ", (int)status);
        return false;
    }
    double largest = 0;
    *told = *off = 0;
    for (int i = 0; i < 3 * PROBES; i++)
        largest = fmax(largest, fabs(((double *)truth)[i]));
    for (int i = 0; i < 3 * PROBES; i++) {
        *told = fmax(*told, ((double *)error)[i] / largest);
        *off = fmax(*off, fabs(((double *)b)[i] - ((double *)truth)[i]) / largest);
    }
    return true;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

int main(int argc, char **argv)
{
    const int scenes = argc > 1 ? atoi(argv[1]) : 20, first = argc > 2 ? atoi(argv[2]) : 1;
    const double asked = argc > 3 ? atof(argv[3]) / 100 : 0.005;
    const bool coil = argc > 4;
    double *ratio = calloc((size_t)scenes + 1, sizeof *ratio);
    int within = 0, measured = 0;
    for (int k = 0; k < scenes; k++) {
        dice d = {(uint64_t)(first + k) * 7919};
        told_scene t = roll_scene(&d, coil);
        double told, off;
        printf("%d: %zu bodies, gap %.2f mm%s%s: ", first + k, ll_scene_part_count(t.scene),
               t.gap_mm, t.leaning ? ", leaning" : "", t.bar ? ", bar" : "");
        if (coil ? measure_inductance(&t, asked, &told, &off)
                 : measure_field(&t, asked, &told, &off)) {
            printf("told %.3f %%, off %.3f %%, ratio %.1f%s", 100 * told, 100 * off, told / off,
                   off > told ? "  BEYOND" : "");
            within += off <= told;
            ratio[measured++] = told / off;
        }
        printf("\n");
        fflush(stdout);
        ll_scene_free(t.scene);
    }
    qsort(ratio, (size_t)measured, sizeof *ratio, by_size);
    printf("within %d of %d; told over true: lowest %.2f, median %.1f\n", within, measured,
           ratio[0], ratio[measured / 2]);
    free(ratio);
    return 0;
}
