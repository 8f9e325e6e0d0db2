/* system.h - all pieces of soft material of a scene coupled into one linear system, ready to answer any source.
 *
 * For each body, with psi the potential of the sources, w and lambda on its nodes and corners:
 *   inside     integral mu_r grad w . grad v dV + integral lambda v dS = inside[v]
 *   surface    integral chi ((1/2 - K) w - S lambda - the layers of all other bodies) dS = surface[chi]
 * One vector holds all unknowns: for each body its w[nodes], then its lambda[corners].
 *
 * Kinds of body. `total`: w is the whole potential, lambda = B_n / mu0; right for soft steel, where H inside is a
 * small difference of large fields. `reaction`: w and lambda are what the body adds to the sources; right for magnets of
 * recoil permeability near 1, whose own closed-form field is one of the sources. Outside all bodies both give the
 * same added potential, sum K w + S lambda.
 *
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_SYSTEM_H
#define LL_MAGNETICS_SYSTEM_H

#include "base/progress.h"
#include "magnetics/form.h"
#include "magnetics/interior.h"
#include "magnetics/scene.h"

typedef struct ll_system ll_system;

/* Magnets up to this recoil permeability are `reaction` bodies. */
#define LL_MOST_REACTION_MU 1.5

typedef struct ll_body {
    size_t part; /* index in the scene */
    ll_pose pose;
    const ll_form *form;
    double mu_r;
    int reaction;
    ll_vec3 remanence_t;   /* of a `total` magnet, in the body's own axes; zero otherwise */
    size_t w, lambda;      /* where its unknowns start */
    ll_interior *interior; /* shared by bodies of one form and mu_r */
    int owns_interior;
} ll_body;

/* Bodies are those parts that are steel or have a recoil permeability other than 1. */
ll_status ll_system_new(const ll_scene *scene, const ll_solve_options *options, ll_system **out);
void ll_system_free(ll_system *system);

size_t ll_system_bodies(const ll_system *system);
const ll_body *ll_system_body(const ll_system *system, size_t b);
size_t ll_system_unknowns(const ll_system *system);
size_t ll_system_bytes(const ll_system *system);

/* Potential of the sources at n world points on the surface or in the inside of body b. */
typedef ll_status (*ll_source_potential)(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                         double *psi);

/* x[unknowns] for a source, the residual below tolerance of the source; `magnets` adds the remanence of `total`
 * magnets. LL_NO_CONVERGENCE. */
ll_status ll_system_solve(const ll_system *system, ll_source_potential psi, void *context,
                          int magnets, double tolerance, double *x, size_t *steps);

/* H that the bodies add at a world point outside them. */
ll_vec3 ll_system_field(const ll_system *system, const double *densities, ll_vec3 point_m);
/* Charge and dipole density of x at each corner of each panel, [body][2][3 triangles] in one array that the caller
 * frees: what ll_system_field wants. NULL when memory is short. */
double *ll_system_densities(const ll_system *system, const double *x);

#endif
