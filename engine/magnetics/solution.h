/* solution.h - a solved scene, which never changes: several threads may read it at the same time.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_SOLUTION_H
#define LL_MAGNETICS_SOLUTION_H

#include "base/api.h"
#include "scene/scene.h"

LL_API_BEGIN

typedef struct ll_solution ll_solution;

void ll_solution_free(ll_solution *solution);

/* The scene that was solved; lives as long as the solution. */
const ll_scene *ll_solution_scene(const ll_solution *s);

/* How the solution was reached. */
typedef struct ll_solve_facts {
    size_t bodies, triangles, unknowns, iterations, newton_steps;
    size_t memory_bytes;
    double fineness, seconds, contact_gap_m;
    int degree; /* of the elements: 1 for tetrahedra */
} ll_solve_facts;
ll_solve_facts ll_solution_facts(const ll_solution *s);

LL_API_END

#endif
