/* test_pair.c - what one form does at another: stored, mirrored and thin pairs against the potential itself.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "elements/block_shape.h"
#include "elements/pair.h"
#include "elements/revolved_shape.h"
#include <stdlib.h>
#include <string.h>

static ll_body_form *block(double x, double y, double z)
{
    const ll_block_wish wish = {
        .size_m = ll_vec(1e-3 * x, 1e-3 * y, 1e-3 * z), .degree = 2, .layers = 1};
    ll_body_form *form;
    assert_ok(ll_block_get(&wish, &form));
    return form;
}

static ll_body_form *rod(double diameter, double length, bool sines)
{
    ll_revolved_wish wish = {.layers = 1};
    assert_ok(ll_shape_rod(1e-3 * diameter, 1e-3 * length, &wish.shape));
    wish.options = (ll_revolved_options){
        .degree = 2, .harmonics = 3, .sines = sines, .clear_m = 2e-4, .finer = 0};
    ll_body_form *form;
    assert_ok(ll_revolved_get(&wish, &form));
    return form;
}

/* Any numbers, of a size that counts alike. */
static double *some_layers(const ll_body_form *form)
{
    double *layer = malloc(form->layers * sizeof *layer);
    assert_non_null(layer);
    srand(3);
    for (size_t i = 0; i < form->layers; i++)
        layer[i] = (2.0 * rand() / RAND_MAX - 1) * form->layer_size[i];
    return layer;
}

/* Largest difference between the pair and the potential at the surface points, tested; of the largest value. */
static double difference(ll_body_form *target, const ll_pose *pt, ll_body_form *source,
                         const ll_pose *ps, const double *layer)
{
    ll_pair_use use;
    assert_ok(ll_pair_get(target, pt, source, ps, &use));
    double *got = calloc(2 * target->charges, sizeof *got);
    double *psi = calloc(target->surface, sizeof *psi);
    assert_true(got && psi);
    double *right = got + target->charges;
    assert_ok(ll_pair_add(&use, layer, got));
    for (size_t i = 0; i < target->surface; i++) {
        const ll_vec3 at = ll_to_own(ps, ll_to_world(pt, target->surface_m[i]));
        source->kind->add_field(source, layer, 1, &at, &psi[i], NULL);
    }
    target->kind->test_surface(target, psi, right);
    double most = 0, worst = 0;
    for (size_t i = 0; i < target->charges; i++) {
        most = fmax(most, fabs(right[i]));
        worst = fmax(worst, fabs(got[i] - right[i]));
    }
    free(got);
    free(psi);
    ll_release(use.pair);
    return worst / most;
}

/* Layers of charge are those of size one, in the order of the charges that test. */
static void keep_charges(const ll_body_form *form, double *layer)
{
    for (size_t i = 0; i < form->layers; i++)
        if (form->layer_size[i] != 1)
            layer[i] = 0;
}

static double sum_over_charges(const ll_body_form *form, const double *layer, const double *tested,
                               double *size)
{
    double sum = 0, squares = 0;
    size_t charge = 0;
    for (size_t i = 0; i < form->layers; i++)
        if (form->layer_size[i] == 1) {
            const double part = layer[i] * tested[charge++];
            sum += part;
            squares += part * part;
        }
    assert_int_equal(charge, form->charges);
    *size = sqrt(squares);
    return sum;
}

static ll_pose at(double x, double y, double z)
{
    return ll_pose_at(ll_vec(1e-3 * x, 1e-3 * y, 1e-3 * z));
}

static ll_pose turned(ll_pose pose, ll_vec3 axis, double angle)
{
    pose.rotation = ll_rotation_about(axis, angle);
    return pose;
}

/* Coefficients at random are rougher than any answer: 2e-3 of the largest is what quadrature and the thin product leave of them. */
static const double rough = 2e-3;

static void blocks_act_on_each_other_wherever_they_stand(void **state)
{
    (void)state;
    ll_body_form *a = block(20, 4, 8), *b = block(10, 6, 3);
    double *layer = some_layers(b);
    const ll_pose here = at(1, 2, 3);
    const ll_pose there[] = {at(4, 8, 6),
                             at(-2, 8, 6),
                             at(4, -4, 6),
                             at(4, 8, 0),
                             at(-2, -4, 0),
                             turned(at(-2, -6, 0), ll_vec(0, 0, 1), LL_PI / 2),
                             turned(at(-2, -6, 11), ll_vec(1, 0, 0), -LL_PI / 2),
                             turned(at(-3, -7, 11), ll_vec(1, 2, 0.5), 0.7)};
    for (size_t i = 0; i < sizeof there / sizeof there[0]; i++)
        assert_true(difference(a, &here, b, &there[i], layer) < rough);
    free(layer);
    ll_release(a);
    ll_release(b);
}

/* Mirror images share one matrix, and so do images in two planes. */
static void images_share_one_pair(void **state)
{
    (void)state;
    ll_body_form *a = block(20, 4, 8), *b = block(10, 6, 3);
    const ll_pose here = at(0, 0, 0);
    const ll_pose there[] = {at(4, 8, 6), at(-4, 8, 6), at(4, -8, -6), at(-4, -8, -6)};
    ll_pair_use first, next;
    assert_ok(ll_pair_get(a, &here, b, &there[0], &first));
    for (int i = 1; i < 4; i++) {
        assert_ok(ll_pair_get(a, &here, b, &there[i], &next));
        assert_ptr_equal(next.pair, first.pair);
        assert_true(next.target_mirrors > 0);
        ll_release(next.pair);
    }
    ll_release(first.pair);
    ll_release(a);
    ll_release(b);
}

static void rods_and_blocks_act_on_each_other_wherever_they_stand(void **state)
{
    (void)state;
    ll_body_form *bar = block(20, 6, 3), *whole = rod(5, 16, true), *half = rod(5, 16, false);
    double *of_bar = some_layers(bar), *of_rod = some_layers(whole), *of_half = some_layers(half);
    const ll_pose here = at(0, 0, 0);
    const ll_pose there[] = {at(3, 6, 5), at(-3, 6, 5), at(3, -6, 5), at(-3, -6, -5),
                             turned(at(-3, -7, -5), ll_vec(0.3, 0.1, 1), 0.4)};
    for (size_t i = 0; i < sizeof there / sizeof there[0]; i++) {
        assert_true(difference(bar, &here, whole, &there[i], of_rod) < rough);
        assert_true(difference(whole, &there[i], bar, &here, of_bar) < rough);
        assert_true(difference(bar, &here, half, &there[i], of_half) < rough);
        assert_true(difference(half, &there[i], bar, &here, of_bar) < rough);
    }
    free(of_bar);
    free(of_rod);
    free(of_half);
    ll_release(bar);
    ll_release(whole);
    ll_release(half);
}

/* From all but touching, where the sums over rings that the pair is compared with owe 4e-3, to far away, where few points are enough. */
static void pairs_hold_at_every_gap(void **state)
{
    (void)state;
    ll_body_form *bar = block(20, 6, 3), *post = rod(5, 16, true);
    double *of_bar = some_layers(bar), *of_post = some_layers(post);
    static const double gap_mm[] = {0.05, 0.3, 1, 4, 15, 60, 400};
    const ll_pose here = at(0, 0, 0);
    for (size_t i = 0; i < sizeof gap_mm / sizeof gap_mm[0]; i++) {
        const ll_pose beside = at(1, 5.5 + gap_mm[i], 0.7), next = at(0.5, 5 + gap_mm[i], 0.2);
        const ll_pose end_on = at(2, 0.5, 9.5 + gap_mm[i]);
        assert_true(difference(bar, &here, post, &beside, of_post) <
                    (gap_mm[i] < 0.1 ? 3 : 1) * rough);
        assert_true(difference(post, &beside, bar, &here, of_bar) <
                    (gap_mm[i] < 0.1 ? 3 : 1) * rough);
        assert_true(difference(bar, &here, post, &end_on, of_post) <
                    (gap_mm[i] < 0.1 ? 3 : 1) * rough);
        assert_true(difference(post, &end_on, bar, &here, of_bar) <
                    (gap_mm[i] < 0.1 ? 3 : 1) * rough);
        assert_true(difference(post, &here, post, &next, of_post) <
                    (gap_mm[i] < 0.1 ? 3 : 1) * rough);
    }
    free(of_bar);
    free(of_post);
    ll_release(bar);
    ll_release(post);
}

/* The potential of charges on one body, tested on another, is what the other's do to them: no pair knows of its twin. */
static void what_charges_of_two_bodies_see_is_mutual(void **state)
{
    (void)state;
    ll_body_form *bar = block(20, 6, 3), *post = rod(5, 16, true);
    const ll_pose here = at(0, 0, 0);
    const ll_pose there[] = {at(3, 6.5, 5), at(-3, 9, 1),
                             turned(at(1, 7, -4), ll_vec(1, 0.2, 0), 0.2)};
    double *of_bar = some_layers(bar), *of_post = some_layers(post);
    double *seen_bar = malloc(bar->charges * sizeof *seen_bar),
           *seen_post = malloc(post->charges * sizeof *seen_post);
    assert_true(seen_bar && seen_post);
    keep_charges(bar, of_bar);
    keep_charges(post, of_post);
    for (int k = 0; k < 3; k++) {
        ll_pair_use on_bar, on_post;
        assert_ok(ll_pair_get(bar, &here, post, &there[k], &on_bar));
        assert_ok(ll_pair_get(post, &there[k], bar, &here, &on_post));
        memset(seen_bar, 0, bar->charges * sizeof *seen_bar);
        memset(seen_post, 0, post->charges * sizeof *seen_post);
        assert_ok(ll_pair_add(&on_bar, of_post, seen_bar));
        assert_ok(ll_pair_add(&on_post, of_bar, seen_post));
        double size;
        const double one = sum_over_charges(bar, of_bar, seen_bar, &size);
        const double other = sum_over_charges(post, of_post, seen_post, &size);
        assert_close(one, other, rough * size);
        ll_release(on_bar.pair);
        ll_release(on_post.pair);
    }
    free(of_bar);
    free(of_post);
    free(seen_bar);
    free(seen_post);
    ll_release(bar);
    ll_release(post);
}

static void far_pairs_are_small(void **state)
{
    (void)state;
    ll_body_form *bar = block(20, 6, 3), *post = rod(5, 16, true);
    const ll_pose here = at(0, 0, 0), near = at(1, 9, 0.7), far = at(1, 60, 0.7);
    ll_pair_use close, distant;
    assert_ok(ll_pair_get(bar, &here, post, &near, &close));
    assert_ok(ll_pair_get(bar, &here, post, &far, &distant));
    assert_non_null(close.pair->rows);
    assert_true(distant.pair->points < close.pair->points);
    assert_true(4 * ll_pair_bytes(distant.pair) < bar->charges * post->layers * sizeof(double));
    ll_release(close.pair);
    ll_release(distant.pair);
    ll_release(bar);
    ll_release(post);
}

/* A rod in a ring's bore, where distances tell nothing: all points count. */
static void a_rod_in_a_bore_meets_all_of_the_ring(void **state)
{
    (void)state;
    ll_revolved_wish wish = {.layers = 1};
    assert_ok(ll_shape_ring(12e-3, 5.4e-3, 4e-3, &wish.shape));
    wish.options = (ll_revolved_options){
        .degree = 2, .harmonics = 3, .sines = true, .clear_m = 2e-4, .finer = 0};
    ll_body_form *ring, *post = rod(5, 16, true);
    assert_ok(ll_revolved_get(&wish, &ring));
    double *of_ring = some_layers(ring), *of_post = some_layers(post);
    const ll_pose here = at(0, 0, 0), inside = at(0.05, 0.02, 3);
    assert_true(difference(ring, &here, post, &inside, of_post) < 2 * rough);
    assert_true(difference(post, &inside, ring, &here, of_ring) < 2 * rough);
    free(of_ring);
    free(of_post);
    ll_release(ring);
    ll_release(post);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(blocks_act_on_each_other_wherever_they_stand),
        cmocka_unit_test(images_share_one_pair),
        cmocka_unit_test(pairs_hold_at_every_gap),
        cmocka_unit_test(what_charges_of_two_bodies_see_is_mutual),
        cmocka_unit_test(far_pairs_are_small),
        cmocka_unit_test(a_rod_in_a_bore_meets_all_of_the_ring),
        cmocka_unit_test(rods_and_blocks_act_on_each_other_wherever_they_stand),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
