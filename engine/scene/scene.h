/* scene.h - a pickup as the engine sees it: parts and coils placed in space, checked before anything is
 * solved, and the solution from which every magnetic reading is taken.
 *
 * SI units, right-handed axes: x across the strings to the treble side, y along the strings to the neck, z
 * from the pickup up to the strings. B in tesla, H in A/m, flux linkage in weber (turns included),
 * positive for B along the coil's own +z when it is wound counter-clockwise seen from +z.
 *
 * A solution is immutable once made: several threads may read it at the same time.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SCENE_SCENE_H
#define LL_SCENE_SCENE_H

#include "base/geometry.h"
#include "base/progress.h"
#include "base/status.h"
#include "material/material.h"
#include "shape/shape.h"
#include "winding/winding.h"

typedef struct ll_scene ll_scene;
typedef struct ll_solution ll_solution;

/* When a magnet was charged. It matters where the law bends: a magnet that was charged alone has seen the low field of
 * open air, and comes back up a recoil line when it is built in; one that was charged where it stands has not. */
typedef enum ll_charging { LL_CHARGED_ASSEMBLED, LL_CHARGED_ALONE } ll_charging;

/* What a part is; the scene copies it and shares the material. */
typedef struct ll_part {
    const char *name;
    ll_shape shape;
    ll_pose pose;
    const ll_material *material;
    ll_vec3
        north; /* magnets: world direction of the magnetisation, any length but zero; else zero */
    double charge;       /* magnets: fraction of full magnetisation, -1 to 1 */
    ll_charging charged; /* magnets */
    double warmer_k;     /* magnets: their temperature less 20 C */
} ll_part;

/* What a coil is: its winding cross-section and place. */
typedef struct ll_coil {
    const char *name;
    ll_coil_shape shape;
    ll_pose pose;
    double turns; /* > 0; clockwise winding or a reversed hot lead is the caller's sign */
} ll_coil;

ll_status ll_scene_new(ll_scene **out);
void ll_scene_free(ll_scene *scene);
/* Parts and coils are numbered from 0 in the order in which they were added.
 * LL_NEEDS_NORTH, LL_BAD_VALUE; LL_NO_COEFFICIENT for a magnet away from 20 C whose material has no temperature
 * coefficient. */
ll_status ll_scene_add_part(ll_scene *scene, const ll_part *part);
ll_status ll_scene_add_coil(ll_scene *scene, const ll_coil *coil);
size_t ll_scene_part_count(const ll_scene *scene);
size_t ll_scene_coil_count(const ll_scene *scene);
/* Valid until the scene is freed. NULL past the end. In a part's copy `charge` holds what its temperature does, too. */
const ll_part *ll_scene_part(const ll_scene *scene, size_t i);
const ll_coil *ll_scene_coil(const ll_scene *scene, size_t i);

/* One thing wrong with a scene: part `a` cuts into part `b`, or into the winding of coil `b`. */
typedef struct ll_clash {
    bool with_coil;
    size_t a, b;
    double depth_m;
} ll_clash;

/* Fills at most `room` clashes, sets *found to how many there are. Pieces of steel may overlap where both are
 * prisms along a common axis (a screw through a plate): they act as one magnetic path. Contact, and cuts below 1 micrometre, are no clash. */
ll_status ll_scene_check(const ll_scene *scene, size_t room, ll_clash *clashes, size_t *found);

/* How finely to solve; zero-initialise for the defaults. */
typedef struct ll_solve_options {
    double fineness; /* elements per length against the default mesh; 0 means 1; 0.3 to 4 */
    double
        contact_gap_m; /* air left where parts merely touch; 0: steel joins, a magnet keeps 0.02 mm */
    size_t memory_limit_bytes; /* 0: no limit */
    const ll_progress *progress;
} ll_solve_options;

/* Solves the bias field of the magnets, and, for each coil, the field of one ampere in it around that
 * operating point. A scene without magnets or without coils is fine. Caller frees *out. The scene may be
 * freed before the solution. LL_BAD_VALUE, LL_OVERLAP, LL_TOO_BIG, LL_NO_CONVERGENCE, LL_CANCELLED, LL_NO_MEMORY. */
ll_status ll_solve(const ll_scene *scene, const ll_solve_options *options, ll_solution **out);
void ll_solution_free(ll_solution *solution);

/* Bias flux density at n points; b_t[n]. Inside parts it is the field in the material. */
ll_status ll_solution_b(const ll_solution *s, size_t n, const ll_vec3 *points_m, ll_vec3 *b_t);

/* Mean of Bz over the cross-section of a part by the world plane z = z_m. LL_NO_PART, LL_OUTSIDE_PART. */
ll_status ll_solution_section_bz(const ll_solution *s, size_t part, double z_m, double *bz_t);

enum { LL_SECTIONS = 3 };

/* The same with two witnesses of the mesh's error, as one mean may agree on two meshes by chance: bz_t[LL_SECTIONS] at z_m,
 * above and below it. A witness beyond the part's end repeats the first. */
ll_status ll_solution_sections_bz(const ll_solution *s, size_t part, double z_m, double *bz_t);

/* Where a magnet works: means over its volume along its own magnetisation, so that B is positive and H negative as a rule.
 * lowest_h_a_m is the mean of the field that demagnetised it most: below h_a_m only where it was charged alone
 * and has come back up its recoil line. */
typedef struct ll_working_point {
    double b_t, h_a_m, lowest_h_a_m;
} ll_working_point;
/* LL_NO_PART when it is no magnet. */
ll_status ll_solution_working_point(const ll_solution *s, size_t part, ll_working_point *out);

/* H of one ampere in a coil, steel included, at n points outside the parts; LL_NO_COIL. */
ll_status ll_solution_coil_h(const ll_solution *s, size_t coil, size_t n, const ll_vec3 *points_m,
                             ll_vec3 *h_per_m);

/* Static inductance in henry, steel included: own (i == j) or mutual. LL_NO_COIL. */
ll_status ll_solution_inductance(const ll_solution *s, size_t coil_i, size_t coil_j, double *l_h);
/* The same without the parts. */
ll_status ll_solution_air_inductance(const ll_solution *s, size_t coil_i, size_t coil_j,
                                     double *l_h);

/* H in A/m that the parts add at n points when small magnetic charges (charge_a_m[m] in A m, summing to zero) are
 * brought to places outside them: the steel's own answer to a magnetised string. tolerance: where the solver stops, of what it
 * began with; 1e-4 gives the answer to about 0.1 % of itself, 1e-2 to some per cent in half the time. */
ll_status ll_solution_response_h(const ll_solution *s, double tolerance, size_t m,
                                 const ll_vec3 *charges_at_m, const double *charge_a_m, size_t n,
                                 const ll_vec3 *points_m, ll_vec3 *h_a_m);
/* The scene that was solved; lives as long as the solution. */
const ll_scene *ll_solution_scene(const ll_solution *s);

/* How the solution was reached. */
typedef struct ll_solve_facts {
    size_t bodies, triangles, unknowns, iterations, newton_steps;
    size_t memory_bytes;
    double fineness, seconds;
} ll_solve_facts;
ll_solve_facts ll_solution_facts(const ll_solution *s);

#endif
