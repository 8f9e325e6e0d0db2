/* build.h - scenes in millimetres for tests: parts, coils and the six-pole pickup of open case A6.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_TESTS_BUILD_H
#define LL_TESTS_BUILD_H

#include "base/constants.h"
#include "check.h"
#include "magnetics/solve.h"
#include "reading/readings.h"

static inline ll_vec3 mm(double x, double y, double z)
{
    return ll_vec(1e-3 * x, 1e-3 * y, 1e-3 * z);
}

/* ---- shapes ---- */

static inline ll_shape rod_mm(double diameter, double length)
{
    ll_shape s;
    assert_ok(ll_shape_rod(1e-3 * diameter, 1e-3 * length, &s));
    return s;
}

static inline ll_shape block_mm(double x, double y, double z)
{
    ll_shape s;
    assert_ok(ll_shape_block(mm(x, y, z), &s));
    return s;
}

static inline ll_shape ring_mm(double outer, double inner, double length)
{
    ll_shape s;
    assert_ok(ll_shape_ring(1e-3 * outer, 1e-3 * inner, 1e-3 * length, &s));
    return s;
}

static inline ll_shape screw_mm(double thread, double length, double head, double head_height)
{
    ll_shape s;
    assert_ok(ll_shape_screw(1e-3 * thread, 1e-3 * length, 1e-3 * head, 1e-3 * head_height, &s));
    return s;
}

/* ---- materials ---- */

static inline ll_material *steel(double mu_r)
{
    ll_material *m;
    assert_ok(ll_material_steel(mu_r, 0, &m));
    return m;
}

static inline ll_material *magnet(double remanence_t, double recoil)
{
    ll_material *m;
    assert_ok(ll_material_magnet(remanence_t, recoil, 0, &m));
    return m;
}

/* ---- scenes ---- */

static inline ll_scene *new_scene(void)
{
    ll_scene *scene;
    assert_ok(ll_scene_new(&scene));
    return scene;
}

/* Adds a part and gives the caller's share of the material away. */
static inline void add_posed(ll_scene *scene, ll_shape shape, ll_pose pose, ll_material *material,
                             ll_vec3 north)
{
    const ll_part part = {.name = "part",
                          .shape = shape,
                          .pose = pose,
                          .material = material,
                          .north = north,
                          .charge = 1};
    assert_ok(ll_scene_add_part(scene, &part));
    ll_material_free(material);
}

static inline void add_magnet(ll_scene *scene, ll_shape shape, ll_vec3 at_m, ll_material *material,
                              ll_vec3 north)
{
    add_posed(scene, shape, ll_pose_at(at_m), material, north);
}

static inline void add_soft(ll_scene *scene, ll_shape shape, ll_vec3 at_m, double mu_r)
{
    add_posed(scene, shape, ll_pose_at(at_m), steel(mu_r), ll_vec(0, 0, 0));
}

static inline void add_coil(ll_scene *scene, ll_coil_shape shape, ll_vec3 at_m, double turns)
{
    const ll_coil coil = {"coil", shape, ll_pose_at(at_m), turns};
    assert_ok(ll_scene_add_coil(scene, &coil));
}

static inline ll_coil_shape round_coil_mm(double inner_radius, double outer_radius, double height)
{
    return (ll_coil_shape){2e-3 * inner_radius, 2e-3 * inner_radius, 1e-3 * inner_radius,
                           1e-3 * (outer_radius - inner_radius), 1e-3 * height};
}

/* Solves and lets go of the scene: the solution keeps what it needs. */
static inline ll_solution *solved(ll_scene *scene, double fineness)
{
    const ll_solve_options options = {.fineness = fineness};
    ll_solution *s;
    assert_ok(ll_solve(scene, &options, &s));
    ll_scene_free(scene);
    return s;
}

/* ---- readings ---- */

static inline ll_vec3 b_at(const ll_solution *s, ll_vec3 at_m)
{
    ll_vec3 b;
    assert_ok(ll_solution_b(s, 1, &at_m, &b));
    return b;
}

static inline double section_t(const ll_solution *s, size_t part, double z_mm)
{
    double bz;
    assert_ok(ll_solution_section_bz(s, part, 1e-3 * z_mm, &bz));
    return bz;
}

static inline double inductance(const ll_solution *s, size_t i, size_t j)
{
    double l;
    assert_ok(ll_solution_inductance(s, i, j, &l));
    return l;
}

/* ---- open case A6 ---- */

enum { A6_POLES = 6, A6_NECK_BAR = A6_POLES, A6_BRIDGE_BAR };
static const double a6_pole_x_mm[A6_POLES] = {-25.5, -15.3, -5.1, 5.1, 15.3, 25.5};

static inline void add_six_poles(ll_scene *scene, double mu_r)
{
    for (int i = 0; i < A6_POLES; i++)
        add_soft(scene, rod_mm(5, 18), mm(a6_pole_x_mm[i], 0, -5), mu_r);
}

/* Two bars beside the poles, each turned about its long axis x as a bench would, by angles from the position in
 * which the north faces look at the poles. */
static inline void add_two_bars(ll_scene *scene, double turn_neck_deg, double turn_bridge_deg)
{
    const double turns[2] = {turn_neck_deg, turn_bridge_deg};
    for (int i = 0; i < 2; i++) {
        const double side = i ? -1 : 1;
        const ll_pose pose = {ll_rotation_about(ll_vec(1, 0, 0), turns[i] * LL_PI / 180),
                              mm(0, 8 * side, -9)};
        add_posed(scene, block_mm(60, 10, 4), pose, magnet(0.38, 1),
                  ll_rotate(&pose.rotation, ll_vec(0, -side, 0)));
    }
}

static inline ll_scene *a6_scene(void)
{
    ll_scene *scene = new_scene();
    add_six_poles(scene, 500);
    add_two_bars(scene, 0, 0);
    return scene;
}

#endif
