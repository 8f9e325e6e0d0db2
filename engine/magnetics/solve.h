/* solve.h - from a scene to its solution, from which every magnetic reading is taken.
 *
 * SI units, the scene's axes: H in A/m. A solution is immutable once made: several threads may read it at the same time.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_SOLVE_H
#define LL_MAGNETICS_SOLVE_H

#include "base/progress.h"
#include "scene/scene.h"

typedef struct ll_solution ll_solution;

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
