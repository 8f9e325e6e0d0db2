/* test_key.c - whatever a result depends on is in its key: every member of every struct, by the tables themselves.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/pose_key.h"
#include "build.h"
#include "elements/block_shape.h"
#include "elements/coupling.h"
#include "elements/revolved_shape.h"
#include "magnetics/solution_cache.h"
#include "material/law.h"
#include "material/law_key.h"
#include "material/material_key.h"
#include "scene/source_key.h"
#include "shape/shape_key.h"
#include "winding/coil_key.h"

#include <stdlib.h>
#include <string.h>

static const struct {
    const char *name;
    const ll_members *members;
} tables[] = {
    {"pose", &ll_pose_members},
    {"shape", &ll_shape_members},
    {"sizing", &ll_sizing_members},
    {"coil shape", &ll_coil_shape_members},
    {"part", &ll_part_members},
    {"coil", &ll_coil_members},
    {"material", &ll_material_members},
    {"law", &ll_law_members},
    {"piece", &ll_piece_members},
    {"options", &ll_solve_options_members},
    {"coupling", &ll_coupling_members},
    {"block", &ll_block_wish_members},
    {"revolved", &ll_revolved_wish_members},
    {"its options", &ll_revolved_options_members},
};
enum { TABLES = sizeof tables / sizeof *tables };

/* ---- no member is left out ---- */

/* Structs of doubles, counts, pointers and enums leave no gap but behind what is smaller than eight bytes. */
static void the_tables_cover_their_structs(void **state)
{
    (void)state;
    for (size_t t = 0; t < TABLES; t++) {
        const ll_members *m = tables[t].members;
        size_t end = 0;
        for (size_t k = 0; k < m->count; k++) {
            const size_t unit = m->member[k].size % 8 ? m->member[k].size : 8;
            const size_t begins = (end + unit - 1) / unit * unit;
            if (m->member[k].offset != begins)
                fail_msg("%s: a member before '%s' is not in the table", tables[t].name,
                         m->member[k].name);
            end = m->member[k].offset + m->member[k].size;
        }
        if ((end + 7) / 8 * 8 != m->size)
            fail_msg("%s: a member after '%s' is not in the table", tables[t].name,
                     m->member[m->count - 1].name);
    }
}

/* What stands aside is named here as well, so that no member does by a slip. */
static void only_these_members_stand_aside(void **state)
{
    (void)state;
    /* Holes are looked at when a scene is checked; its solution takes blocks as whole. With a past nothing is cached. */
    static const char *const aside[] = {"name",     "owners", "memory_limit_bytes",
                                        "progress", "lower",  "holes",
                                        "hole",     "past",   "current_a"};
    for (size_t t = 0; t < TABLES; t++)
        for (size_t k = 0; k < tables[t].members->count; k++) {
            const ll_member *m = &tables[t].members->member[k];
            bool known = m->kind != LL_MEMBER_ASIDE;
            for (size_t a = 0; a < sizeof aside / sizeof *aside && !known; a++)
                known = strcmp(aside[a], m->name) == 0;
            if (!known)
                fail_msg("%s: '%s' stands aside", tables[t].name, m->name);
        }
}

/* ---- every member counts ---- */

/* A copy of the struct with one member changed has another key, or the same where the member stands aside. */
static void check_change(const char *name, const ll_members *all, const void *thing,
                         const void *changed, bool counts)
{
    ll_key a = {0}, b = {0};
    ll_key_add_members(&a, all, thing);
    ll_key_add_members(&b, all, changed);
    if (ll_keys_equal(&a, &b) == counts)
        fail_msg("'%s' %s", name, counts ? "is not in the key" : "is in the key");
    ll_key_clear(&a);
    ll_key_clear(&b);
}

static void change_number(void *at)
{
    double *number = at;
    *number += 1e-9 * (1 + fabs(*number));
}

static void change_each(const ll_members *all, const ll_members *m, size_t base, const void *thing,
                        char *changed)
{
    for (size_t k = 0; k < m->count; k++) {
        const ll_member *own = &m->member[k];
        char *at = changed + base + own->offset;
        memcpy(changed, thing, all->size);
        if (own->kind == LL_MEMBER_STRUCT)
            change_each(all, own->of, base + own->offset, thing, changed);
        for (size_t i = 0; own->kind == LL_MEMBER_NUMBERS && i < own->size / sizeof(double); i++) {
            memcpy(changed, thing, all->size);
            change_number(at + i * sizeof(double));
            check_change(own->name, all, thing, changed, true);
        }
        if (own->kind == LL_MEMBER_ENUM)
            ++*(int *)at;
        if (own->kind == LL_MEMBER_BOOL)
            *(bool *)at = !*(bool *)at;
        if (own->kind == LL_MEMBER_COUNT)
            *(size_t *)at += *(size_t *)at ? -1 : 1; /* so that nothing behind it is missing */
        if (own->kind == LL_MEMBER_ENUM || own->kind == LL_MEMBER_BOOL ||
            own->kind == LL_MEMBER_COUNT)
            check_change(own->name, all, thing, changed, true);
        if (own->kind == LL_MEMBER_ASIDE) {
            memset(at, 1, own->size);
            check_change(own->name, all, thing, changed, false);
        }
    }
}

static void change_all(const ll_members *all, const void *thing)
{
    char *changed = malloc(all->size);
    assert_non_null(changed);
    change_each(all, all, 0, thing, changed);
    free(changed);
}

static ll_part a_part(void)
{
    return (ll_part){.name = "magnet",
                     .shape = rod_mm(4, 10),
                     .pose = ll_pose_at(mm(1, 2, 3)),
                     .material = magnet(1.2, 1.05),
                     .north = ll_vec(0, 0, 1),
                     .charge = 1};
}

static void every_member_of_parts_coils_and_what_they_are_made_of_counts(void **state)
{
    (void)state;
    ll_part part = a_part();
    const ll_coil coil = {.name = "coil",
                          .shape = round_coil_mm(6, 9, 4),
                          .pose = ll_pose_at(mm(0, 0, 1)),
                          .turns = 5000};
    const ll_sizing sizing = {1, 1, {0, 0, 0}};
    const ll_solve_options options = {.fineness = 1};
    change_all(&ll_part_members, &part);
    change_all(&ll_coil_members, &coil);
    change_all(&ll_sizing_members, &sizing);
    change_all(&ll_solve_options_members, &options);
    ll_material_free((ll_material *)part.material);
}

static void every_member_of_a_form_that_is_wished_for_counts(void **state)
{
    (void)state;
    const ll_block_wish block = {.marks = 1, .mark = {{0, 1, 1}}};
    const ll_revolved_wish rod = {.marks = 1, .mark = {{false, 1, 1}}, .options.clear_m = 1};
    change_all(&ll_block_wish_members, &block);
    change_all(&ll_revolved_wish_members, &rod);
    for (int k = 0; k < 3; k++) {
        ll_block_wish b = block;
        ll_revolved_wish r = rod;
        b.mark[0] = (ll_block_mark){k == 0, k == 1 ? 2 : 1, k == 2 ? 2 : 1};
        r.mark[0] = (ll_mark){k == 0, k == 1 ? 2 : 1, k == 2 ? 2 : 1};
        check_change("mark", &ll_block_wish_members, &block, &b, true);
        check_change("mark", &ll_revolved_wish_members, &rod, &r, true);
    }
    ll_revolved_wish nearer = rod;
    nearer.options.clear_m = 0.5;
    check_change("clear_m", &ll_revolved_wish_members, &rod, &nearer, true);
}

static void every_member_of_a_coupling_counts(void **state)
{
    (void)state;
    ll_form one = {.serial = 1}, two = {.serial = 2};
    const ll_coupling_key terms = {.target = &one, .source = &two};
    ll_coupling_key other = terms;
    change_all(&ll_coupling_members, &terms);
    other.target = &two;
    check_change("target", &ll_coupling_members, &terms, &other, true);
    other = terms;
    other.source = &one;
    check_change("source", &ll_coupling_members, &terms, &other, true);
}

/* What stands behind a pointer: the material of a part, the kind and the pieces of a law. */
static void every_figure_of_a_material_counts(void **state)
{
    (void)state;
    enum { POINTS = 4 };
    const double h[POINTS] = {0, 100, 1000, 10000}, b[POINTS] = {0, 0.5, 1.4, 1.9};
    ll_material *curve;
    assert_ok(ll_material_steel_curve(POINTS, h, b, 6e6, &curve));
    change_all(&ll_material_members, curve);
    for (int k = 1; k < POINTS; k++) {
        double h_other[POINTS], b_other[POINTS];
        ll_material *other;
        memcpy(h_other, h, sizeof h);
        memcpy(b_other, b, sizeof b);
        h_other[k] *= 1.0001;
        b_other[k] *= 1.0001;
        assert_ok(ll_material_steel_curve(POINTS, h_other, b, 6e6, &other));
        assert_false(ll_material_equal(curve, other));
        ll_material_free(other);
        assert_ok(ll_material_steel_curve(POINTS, h, b_other, 6e6, &other));
        assert_false(ll_material_equal(curve, other));
        ll_material_free(other);
    }
    ll_material *again;
    assert_ok(ll_material_steel_curve(POINTS, h, b, 6e6, &again));
    assert_true(ll_material_equal(curve, again));
    ll_material_free(again);
    ll_material_free(curve);
}

/* The same figures in laws of two kinds. */
static void the_kind_of_a_law_counts(void **state)
{
    (void)state;
    const double hb[2][2] = {{-50e3, 0}, {0, 0.07}};
    ll_law straight = ll_law_straight(0, 2), bent = straight, curve;
    assert_ok(ll_law_magnet_curve(2, hb, &curve));
    bent.b_of_h = curve.b_of_h;
    check_change("b_of_h", &ll_law_members, &straight, &bent, true);
    free(curve.pieces);
}

static void the_material_of_a_part_counts(void **state)
{
    (void)state;
    ll_part part = a_part(), other = part;
    other.material = magnet(1.1, 1.05);
    check_change("material", &ll_part_members, &part, &other, true);
    ll_material_free((ll_material *)part.material);
    ll_material_free((ll_material *)other.material);
}

/* ---- places ---- */

/* The key of a part as a scene has taken it. */
static ll_key taken(const ll_shape *shape, const ll_rotation *rotation, ll_vec3 at_m)
{
    ll_scene *scene = new_scene();
    ll_material *soft = steel(100);
    const ll_part part = {
        .name = "p", .shape = *shape, .pose = {*rotation, at_m}, .material = soft};
    ll_key key = {0};
    assert_ok(ll_scene_add_part(scene, &part));
    ll_key_add_part(&key, ll_scene_part(scene, 0));
    ll_material_free(soft);
    ll_scene_free(scene);
    return key;
}

/* A part turned by `angle` about an axis, in `steps` turns: key equal to that of the part as it is? */
static bool same_place(ll_shape shape, ll_vec3 axis, double angle, int steps)
{
    ll_rotation turned = ll_rotation_identity();
    const ll_rotation identity = turned, step = ll_rotation_about(axis, angle / steps);
    for (int k = 0; k < steps; k++)
        turned = ll_rotation_after(step, turned);
    ll_key a = taken(&shape, &identity, mm(1, 2, 3)), b = taken(&shape, &turned, mm(1, 2, 3));
    const bool same = ll_keys_equal(&a, &b);
    ll_key_clear(&a);
    ll_key_clear(&b);
    return same;
}

static void places_that_differ_by_rounding_are_one(void **state)
{
    (void)state;
    const ll_vec3 x = ll_vec(1, 0, 0), y = ll_vec(0, 1, 0), z = ll_vec(0, 0, 1);
    const double turn = 6.283185307179586;
    for (int steps = 1; steps < 40; steps += 7) {
        assert_true(same_place(block_mm(3, 4, 5), x, turn, steps));
        assert_true(same_place(block_mm(3, 4, 5), y, turn, steps));
        assert_true(same_place(screw_mm(3, 12, 5, 2), z, turn, steps));
    }
    ll_key a, b;
    const ll_shape block = block_mm(3, 4, 5);
    const ll_rotation identity = ll_rotation_identity();
    a = taken(&block, &identity, mm(0.1 + 0.2, 1e-7, 0));
    b = taken(&block, &identity, mm(0.3, 1e-7, -0.0));
    assert_true(ll_keys_equal(&a, &b));
    ll_key_clear(&b);
    b = taken(&block, &identity, mm(0.3 + 1e-6, 1e-7, 0)); /* a nanometre is a move */
    assert_false(ll_keys_equal(&a, &b));
    ll_key_clear(&a);
    ll_key_clear(&b);
}

/* Half a turn leaves a block and a rod where they were; a screw only about its own axis. */
static void half_turns_that_fill_the_same_place_are_one(void **state)
{
    (void)state;
    const ll_vec3 x = ll_vec(1, 0, 0), z = ll_vec(0, 0, 1);
    const double half = 3.141592653589793;
    assert_true(same_place(block_mm(3, 4, 5), x, half, 3));
    assert_true(same_place(block_mm(3, 4, 5), z, half, 3));
    assert_true(same_place(rod_mm(4, 10), x, half, 1));
    assert_true(same_place(screw_mm(3, 12, 5, 2), z, half, 1));
    assert_false(same_place(screw_mm(3, 12, 5, 2), x, half, 1));
    assert_false(same_place(block_mm(3, 4, 5), z, half / 2, 1));
}

/* ---- whole scenes ---- */

static ll_key scene_key(double north, double charge, double second, bool either, double *sense)
{
    ll_scene *scene = new_scene();
    ll_material *alloy = magnet(1.2, 1.05);
    const ll_part part[] = {
        {.name = "a",
         .shape = rod_mm(4, 10),
         .pose = ll_pose_at(mm(0, 0, 0)),
         .material = alloy,
         .north = ll_vec(0, 0, north),
         .charge = charge},
        {.name = "b",
         .shape = rod_mm(4, 10),
         .pose = ll_pose_at(mm(9, 0, 0)),
         .material = alloy,
         .north = ll_vec(0, 0, second),
         .charge = 1},
    };
    ll_key key = {0};
    for (int k = 0; k < 2; k++)
        assert_ok(ll_scene_add_part(scene, &part[k]));
    ll_key_add_scene(&key, scene, either, sense);
    ll_material_free(alloy);
    ll_scene_free(scene);
    return key;
}

static bool same_scene(double north, double charge, double second, bool either, double expected)
{
    double sense, other;
    ll_key a = scene_key(1, 1, 1, either, &sense);
    ll_key b = scene_key(north, charge, second, either, &other);
    const bool same = ll_keys_equal(&a, &b);
    if (same)
        assert_close(sense * other, expected, 0);
    ll_key_clear(&a);
    ll_key_clear(&b);
    return same;
}

static void magnets_turned_round_together_are_one_scene_where_that_is_wanted(void **state)
{
    (void)state;
    assert_true(same_scene(-1, 1, -1, true, -1));
    assert_true(same_scene(1, -1, -1, true, -1)); /* charged the other way */
    assert_true(same_scene(-2, -1, 3, true, 1));
    assert_false(same_scene(-1, 1, 1, true, 0));
    assert_false(same_scene(-1, 1, -1, false, 0));
    assert_true(same_scene(-1, -1, 1, false, 1));
    assert_false(same_scene(1, 0.5, 1, true, 0));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_tables_cover_their_structs),
        cmocka_unit_test(only_these_members_stand_aside),
        cmocka_unit_test(every_member_of_parts_coils_and_what_they_are_made_of_counts),
        cmocka_unit_test(every_member_of_a_form_that_is_wished_for_counts),
        cmocka_unit_test(every_member_of_a_coupling_counts),
        cmocka_unit_test(every_figure_of_a_material_counts),
        cmocka_unit_test(the_kind_of_a_law_counts),
        cmocka_unit_test(the_material_of_a_part_counts),
        cmocka_unit_test(places_that_differ_by_rounding_are_one),
        cmocka_unit_test(half_turns_that_fill_the_same_place_are_one),
        cmocka_unit_test(magnets_turned_round_together_are_one_scene_where_that_is_wanted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
