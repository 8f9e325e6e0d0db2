/* system.h - all pieces of soft material of a scene coupled into one linear system, ready to answer any source.
 *
 * For each body, with psi the potential of the sources, w and lambda on its nodes and corners:
 *   inside     -integral (B / mu0) . grad v dV + integral lambda v dS = 0, with B the law of H = -grad w
 *   surface    integral chi ((1/2 - K) w - S lambda - the layers of all other bodies) dS = integral chi psi dS
 * One vector holds all unknowns: for each body its w[nodes], then its lambda[corners].
 *
 * with the changes that body.h tells for its other kinds.
 *
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_SYSTEM_H
#define LL_MAGNETICS_SYSTEM_H

#include "base/key.h"
#include "magnetics/body.h"
#include "magnetics/options.h"
#include "scene/scene.h"

typedef struct ll_system ll_system;

/* Bodies and how they act on each other, their laws at zero field; from the cache if one with the same bodies is there, which
 * *met_before tells. Shared by
 * counting: ll_system_free gives up one share. */
ll_status ll_system_get(const ll_scene *scene, const ll_solve_options *options, ll_system **out,
                        bool *met_before);
/* Without any body. LL_NO_MEMORY. */
ll_status ll_system_of_none(const ll_solve_options *options, ll_system **out);
/* One body of a system as if nothing else were there: the same mesh and laws, no history. Freed like any other. */
ll_status ll_system_of_one(const ll_body *body, ll_system **out);
ll_system *ll_system_share(ll_system *system);
void ll_system_free(ll_system *system);
/* True when all laws are straight lines and no magnet's remanence is part of a body: then the system does not change, and the
 * bias is the sum of the answers to its sources. */
bool ll_system_is_linear(const ll_system *system);

size_t ll_system_bodies(const ll_system *system);
const ll_body *ll_system_body(const ll_system *system, size_t b);
/* The body that holds a scene's part, and as which of its regions; NULL when it has none. */
const ll_body *ll_system_body_of(const ll_system *system, size_t part, size_t *region);
size_t ll_system_unknowns(const ll_system *system);
/* Air that is left where bodies merely touch. */
double ll_system_contact_m(const ll_system *system);
size_t ll_system_bytes(const ll_system *system);

/* Potential of the sources at n world points on the surface or in the inside of body b. */
typedef ll_status (*ll_source_potential)(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                         double *psi);

/* The bias: x[unknowns] for the sources with the laws as they are, by Newton's method from zero field, damped where the
 * residual would not fall. Afterwards the system answers small sources around it. *steps counts products with the
 * matrix, *count the Newton steps. LL_NO_CONVERGENCE. */
ll_status ll_system_bias(ll_system *s, ll_source_potential psi, void *context, double *x,
                         size_t *steps, size_t *count);
/* A small source around the bias: x[unknowns], the residual below `tolerance` of the source. LL_NO_CONVERGENCE. */
ll_status ll_system_small_source(const ll_system *system, ll_source_potential psi, void *context,
                                 double tolerance, double *x, size_t *steps);

/* The same for a linear system and a source that the key stands for: the answer is kept for the next time. */
ll_status ll_system_cached_small_source(ll_system *system, const ll_key *source,
                                        ll_source_potential psi, void *context, double tolerance,
                                        double *x, size_t *steps);

/* H that the bodies add at n world points outside them, added to h_a_m. */
void ll_system_field(const ll_system *system, const double *densities, size_t n,
                     const ll_vec3 *points_m, ll_vec3 *h_a_m);
/* Charge and dipole density of x at each corner of each panel, [body][2][3 triangles] in one array that the caller
 * frees: what ll_system_field wants. NULL when memory is short. */
double *ll_system_densities(const ll_system *system, const double *x);
/* How many numbers those are. */
size_t ll_system_densities_size(const ll_system *system);

#endif
