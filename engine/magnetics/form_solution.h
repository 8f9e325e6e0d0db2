/* form_solution.h - a scene solved by bodies of higher degree, and what is read from it.
 *
 * SI units, world axes. Shared (base/shared.h), immutable but for what it finds when first asked: a second system for sources
 * that the scene's mirror does not hold, and fluxes between coils; several threads may read it. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_FORM_SOLUTION_H
#define LL_MAGNETICS_FORM_SOLUTION_H

#include "base/progress.h"
#include "base/shared.h"
#include "magnetics/form_scene.h"
#include "magnetics/form_system.h"

/* An answer of all bodies: its unknowns, and the layers that make the field. */
typedef struct ll_form_answer {
    double *x, *layers; /* NULL without one */
} ll_form_answer;

typedef struct ll_form_solution {
    ll_shared shared;
    const ll_scene *scene;
    ll_form_choice choice;
    double contact_m; /* air between a closed-form magnet and steel that it touches */
    ll_form_system *system;
    size_t *body_of; /* [parts] or SIZE_MAX */
    ll_form_answer bias;
    ll_form_answer *coil;           /* [coils] per ampere */
    struct ll_form_solution *lower; /* that it went on from, or NULL */
    ll_form_system *small_sources; /* for charges anywhere; NULL until asked for, may be `system` */
    double *coil_flux; /* [coils][coils] of ll_form_solution_coil_flux, NaN until asked for */
    /* Without a magnet or a bent law among the bodies their system is the same whatever magnets stand around: it is steady. Then `like`
     * is another steady one to which system, coil, coil_flux and small_sources belong, or NULL. */
    bool steady;
    struct ll_form_solution *like;
    size_t products, newton_steps;
} ll_form_solution;

/* For a scene that ll_form_scene_serves. `lower`, or NULL, is the same scene's solution of a lower level to start from. Caller
 * releases *out (ll_release). LL_CANCELLED, LL_NO_CONVERGENCE, LL_NO_MEMORY, LL_LIBRARY. */
ll_status ll_form_solution_new(const ll_scene *scene, const ll_form_choice *choice,
                               double contact_m, const ll_progress *progress,
                               const ll_form_solution *lower, ll_form_solution **out);

bool ll_form_solution_has(const ll_form_solution *f, size_t part);
/* Whether its unknowns hold all of its field: not so for a magnet with a straight recoil line. */
bool ll_form_solution_is_whole(const ll_form_solution *f, size_t part);

/* H of an answer added at n points outside the bodies. */
void ll_form_solution_add_h(const ll_form_solution *f, const ll_form_answer *answer, size_t n,
                            const ll_vec3 *points_m, ll_vec3 *h_a_m);
/* The same of the bias, and of all coils that have a share, each times it, for points in their order along a straight line (see
 * forms_field.h): into h_a_m[n] and h_coil[n]. share NULL: the bias alone. LL_NO_MEMORY, LL_LIBRARY. */
ll_status ll_form_solution_add_h_along(const ll_form_solution *f, const double *share, size_t n,
                                       const ll_vec3 *points_m, ll_vec3 *h_a_m, ll_vec3 *h_coil);
/* The bias B / mu0 inside a body, at one point. */
ll_vec3 ll_form_solution_b_inside(const ll_form_solution *f, size_t part, ll_vec3 point_m);
/* The bias H inside a body, at one point. */
ll_vec3 ll_form_solution_h_inside(const ll_form_solution *f, size_t part, ll_vec3 point_m);
/* Mean of Bz over the section of a body by the world plane z = z_m. LL_OUTSIDE_PART. */
ll_status ll_form_solution_section(const ll_form_solution *f, size_t part, double z_m,
                                   double *bz_t);
/* Means over a magnet's volume along its axis: B in tesla, H, and the lowest H that it saw. */
ll_status ll_form_solution_operating_point(const ll_form_solution *f, size_t part, double mean[3]);

/* A source known at points: its potential, on the branch that fits a body, and its field. */
typedef struct ll_form_source {
    ll_status (*at_body)(void *context, const ll_part *part, size_t n, const ll_vec3 *points_m,
                         double *psi, ll_vec3 *h_per_m);
    void *context;
    bool mirrored; /* whether the scene's mirror holds it too */
} ll_form_source;
/* integral (w H_n - psi lambda) dS over all bodies: the flux that an answer adds to the linkage of the source, over mu0. */
ll_status ll_form_solution_linkage(const ll_form_solution *f, const ll_form_answer *answer,
                                   const ll_form_source *source, double *sum);
/* The same between two coils that have answers: what an ampere in coil j links of coil i through the bodies, over mu0. */
ll_status ll_form_solution_coil_flux(const ll_form_solution *f, size_t i, size_t j, double *sum);
/* The source of one ampere in a coil of a scene, for ll_form_source; the context is a const ll_coil *. */
ll_status ll_form_coil_at_body(void *coil, const ll_part *part, size_t n, const ll_vec3 *points_m,
                               double *psi, ll_vec3 *h_per_m);

/* The layers that bodies have when charges come near, and the bodies, which live as long as the solution; see ll_response_new. The caller
 * frees *layers. */
ll_status ll_form_solution_response(const ll_form_solution *f, double tolerance, size_t m,
                                    const ll_vec3 *charges_at_m, const double *charge_a_m,
                                    const ll_coupled_forms **forms, double **layers);

size_t ll_form_solution_bytes(const ll_form_solution *f);

#endif
