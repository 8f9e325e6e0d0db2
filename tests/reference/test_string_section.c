/* test_string_section.c - a thick string close to a pole, as the wire that it is to the room string and as a body that is meshed through
 * its section like any other part. The two share the pole's form and nothing else: the body knows the field's variation over
 * the section, saturation in all directions, and the pole's answer to all of it. Its degrees 2, 3 and 4 agree to 5e-4.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "magnetics/solution_data.h"
#include "string/slopes.h"
#include "string/wire.h"

#include <stdlib.h>

static const double half_length_m = 20e-3, share = 1, gauge_mm = 1.2;
enum { GAPS = 3 };
static const double gap_mm[GAPS] = {1.5, 2, 3};

/* Steel-like: arctangent law, 1.9 T, initial permeability 200. */
static ll_material *wire(void)
{
    ll_material *m;
    assert_ok(ll_material_steel_arctan(1.9, 200, 0, &m));
    return m;
}

static double axis_m(int k)
{
    return 1e-3 * (gap_mm[k] + gauge_mm / 2);
}

static ll_scene *pole_on_magnet(void)
{
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 18), mm(0, 0, -9), 500);
    add_magnet(scene, rod_mm(5, 10), mm(0, 0, -23.1), magnet(1, 1), ll_vec(0, 0, 1));
    add_coil(scene, round_coil_mm(3.5, 8, 10), mm(0, 0, -6), 8000);
    return scene;
}

static double linked_wb(const ll_solution *s)
{
    const ll_form_source source = {ll_form_coil_at_body,
                                   (void *)ll_scene_coil(ll_solution_scene(s), 0), true};
    double sum;
    assert_ok(ll_form_solution_linkage(s->forms, &s->forms->bias, &source, &sum));
    return LL_MU0 * sum;
}

/* Maxwell's stress over a cylinder 0.4 mm around the string, whose points crowd over the pole. */
static double pull_n(const ll_solution *s, double z_m)
{
    enum { AROUND = 24, ALONG = 240 };
    static ll_vec3 at[AROUND * ALONG], b[AROUND * ALONG];
    const double radius = 1e-3 * (gauge_mm / 2 + 0.4), reach = half_length_m + 1.5e-3;
    double sum = 0;
    for (int j = 0; j < ALONG * AROUND; j++) {
        const double u = (j / AROUND + 0.5) / ALONG * 2 - 1, t = 2 * LL_PI * (j % AROUND) / AROUND;
        at[j] =
            ll_vec(radius * cos(t), reach * (0.15 * u + 0.85 * u * u * u), z_m + radius * sin(t));
    }
    assert_ok(ll_solution_b(s, AROUND * ALONG, at, b));
    for (int j = 0; j < ALONG * AROUND; j++) {
        const double u = (j / AROUND + 0.5) / ALONG * 2 - 1, t = 2 * LL_PI * (j % AROUND) / AROUND;
        const double area = reach * (0.15 + 2.55 * u * u) * 2 / ALONG * 2 * LL_PI * radius / AROUND;
        const double b_n = b[j].x * cos(t) + b[j].z * sin(t);
        sum += area * (b[j].z * b_n - 0.5 * ll_dot(b[j], b[j]) * sin(t)) / LL_MU0;
    }
    return sum;
}

static ll_solution *at_degree_2(ll_scene *scene)
{
    const ll_solve_options options = {.level = 1};
    ll_solution *s;
    assert_ok(ll_solve(scene, &options, &s));
    ll_scene_free(scene);
    assert_non_null(s->forms);
    return s;
}

typedef struct strung {
    double linkage_wb[GAPS], pull_n[GAPS];
} strung;

static void mesh_string(const ll_solution *bare, strung *out)
{
    for (int k = 0; k < GAPS; k++) {
        ll_scene *scene = pole_on_magnet();
        ll_pose pose = ll_pose_at(ll_vec(0, 0, axis_m(k)));
        pose.rotation = (ll_rotation){{{1, 0, 0}, {0, 0, 1}, {0, -1, 0}}};
        add_posed(scene, rod_mm(gauge_mm, 2e3 * half_length_m), pose, wire(), ll_vec(0, 0, 0));
        ll_solution *s = at_degree_2(scene);
        out->linkage_wb[k] = linked_wb(s) - linked_wb(bare);
        out->pull_n[k] = pull_n(s, axis_m(k));
        ll_solution_free(s);
    }
}

/* The engine's string goes on for ever: its nodes are spread anew, as in test_string_fem.c. */
static void shorten(ll_track *t)
{
    const double reach = half_length_m - 0.4e-3 * gauge_mm / 2;
    for (size_t i = 0; i < t->nodes; i++)
        t->y_m[i] = reach * (2 * (double)i / (double)(t->nodes - 1) - 1);
    ll_wire_weights(t->nodes, t->y_m, t->length_m);
}

static double pull_of(const ll_track *t)
{
    ll_slopes slopes;
    double sum = 0;
    assert_ok(ll_slopes_find(t, NULL, &slopes, NULL));
    for (size_t i = 0; i < t->nodes; i++)
        sum += LL_MU0 * t->length_m[i] *
               (t->bias.charge[i] * ll_track_around(t, t->h, i, 0.25).z +
                ll_dot(t->moment[i], slopes.by_z[i]));
    ll_slopes_clear(&slopes);
    return sum;
}

static void string_as_wire(const ll_solution *bare, strung *out)
{
    ll_material *material = wire();
    for (int k = 0; k < GAPS; k++) {
        const ll_string string = {1e-3 * gauge_mm, 1e-3 * gauge_mm, material, 0, axis_m(k), NULL};
        ll_track t;
        assert_ok(ll_track_new(bare, &string, &t));
        shorten(&t);
        assert_ok(ll_track_place(&t, &share, 0, axis_m(k)));
        assert_ok(ll_track_magnetise(&t, true));
        assert_ok(ll_track_linkage(&t, &out->linkage_wb[k]));
        out->pull_n[k] = pull_of(&t);
        ll_track_clear(&t);
    }
    ll_material_free(material);
}

/* Linkage and its change from 1.5 to 2 mm within 1 %, pull within 1.5 %. */
static void a_thick_string_near_a_pole_is_as_if_it_were_meshed(void **state)
{
    (void)state;
    ll_solution *bare = at_degree_2(pole_on_magnet());
    strung meshed, thin;
    mesh_string(bare, &meshed);
    string_as_wire(bare, &thin);
    for (int k = 0; k < GAPS; k++) {
        assert_relative(thin.linkage_wb[k], meshed.linkage_wb[k], 0.006);
        assert_relative(thin.pull_n[k], meshed.pull_n[k], 0.012);
    }
    assert_relative(thin.linkage_wb[0] - thin.linkage_wb[1],
                    meshed.linkage_wb[0] - meshed.linkage_wb[1], 0.01);
    ll_solution_free(bare);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_thick_string_near_a_pole_is_as_if_it_were_meshed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
