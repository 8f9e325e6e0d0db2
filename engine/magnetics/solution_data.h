/* solution_data.h - what a solution holds. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_SOLUTION_DATA_H
#define LL_MAGNETICS_SOLUTION_DATA_H

#include "magnetics/form_solution.h"
#include "magnetics/solution.h"
#include "magnetics/system.h"
#include "scene/scene_data.h"

/* The answer of all bodies to one source. */
typedef struct ll_answer {
    double *x;         /* unknowns of the system */
    double *densities; /* see ll_system_densities */
} ll_answer;

struct ll_solution {
    const ll_scene *scene;
    ll_system *system;       /* without bodies where forms serve */
    ll_form_solution *forms; /* bodies of higher degree, or NULL */
    ll_answer bias;
    ll_answer *coil;   /* one for each coil, per ampere */
    double *current_a; /* [coils] that flow with the bias, or NULL */
    ll_solve_facts facts;
};

/* Whether any part is meshed. */
bool ll_solution_has_mesh(const ll_solution *s);

/* The magnetisation (world axes, A/m) that the closed-form field of a part stands for: zero for all but magnets, for
 * those pressed into steel and for bodies of higher degree. What the true one differs by is in the unknowns of the part's body. */
ll_vec3 ll_source_magnetisation(const ll_solution *s, size_t part);

/* H of all closed-form magnets at n world points, h_a_m overwritten. */
ll_status ll_sources_h(const ll_solution *s, size_t n, const ll_vec3 *points_m, ll_vec3 *h_a_m);

/* Takes x, which is freed when the status is a failure. */
ll_status ll_answer_keep(const ll_system *system, ll_status status, double *x, ll_answer *answer);
/* Answer of the bodies to a small source; *answer is cleared by ll_answer_clear. */
ll_status ll_answer_find(const ll_system *system, ll_source_potential psi, void *context,
                         double tolerance, ll_answer *answer, size_t *steps);
void ll_answer_clear(ll_answer *answer);

/* weight[unknowns]: what coil i links of an answer x is mu0 weight . x. */
ll_status ll_coil_weights(const ll_solution *s, size_t coil, double *weight);
/* Adds one body's share of such weights, for a source with this field and potential at the body's test points. */
void ll_linkage_weights(const ll_body *body, const ll_vec3 *h, const double *psi, double *weight);

/* LL_OK when the answer to one ampere in a coil is there; LL_NO_COIL, LL_RING_AROUND_COIL. */
ll_status ll_coil_answered(const ll_solution *s, size_t coil);

#endif
