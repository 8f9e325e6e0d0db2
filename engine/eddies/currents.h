/* currents.h - the currents in pieces of metal that are not magnetic (covers, plates, rings), reduced to few patterns that
 * serve all frequencies.
 *
 * With the stream functions of leaf.h as unknowns, R T + j w (L T + linkage) = 0, where
 *   R = integral ohm K . K' dS,   L = mu0 / 4 pi integral integral K . K' / r dS dS',
 * and the linkage is integral T B_n dS of the coils' and the steel's field. The answers to each coil (in air, and as the steel
 * bends its field) at several points of the real axis of complex frequency span the space in which all others are found
 * (rational Krylov; K. Gallivan, E. Grimme, P. Van Dooren, SIAM J. Matrix Anal. Appl. 19 (1998)); there R becomes the unit
 * matrix and L diagonal: patterns that decay by themselves, each with its time constant.
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_EDDIES_CURRENTS_H
#define LL_EDDIES_CURRENTS_H

#include "eddies/leaf.h"
#include "field/panel.h"
#include "magnetics/solution_data.h"

typedef struct ll_currents {
    ll_leaves leaves;
    ll_panels *panels; /* the leaves' triangles */
    size_t patterns;
    double *t;          /* [patterns][nodes] stream function of each at unit amplitude */
    double *time_s;     /* [patterns] */
    double *linkage_wb; /* [coils][patterns] by one ampere in the coil, without steel */
} ll_currents;

/* Answers of these leaves to linkage[sources][unknowns], orthonormal for R: basis[count][unknowns], which the caller frees. With
 * panels of their triangles. LL_NO_MEMORY, LL_LIBRARY. */
ll_status ll_currents_span(const ll_leaves *leaves, const ll_panels *panels, size_t sources,
                           const double *linkage, double **basis, size_t *count);
/* Panels of the leaves' triangles, for that. */
ll_status ll_currents_panels(const ll_leaves *leaves, ll_panels **out);

/* Cleared by ll_currents_clear; without conductors it has no patterns. LL_NO_MEMORY, LL_LIBRARY. */
ll_status ll_currents_find(const ll_solution *solution, ll_currents *out);
void ll_currents_clear(ll_currents *currents);

/* What the patterns do at n world points on body b: potential psi[patterns][n], on the branch that fits the body where it passes
 * through a ring, and the field along normal[n], h_n[patterns][n]. */
ll_status ll_currents_at_body(const ll_currents *currents, const ll_body *body, size_t n,
                              const ll_vec3 *points_m, const ll_vec3 *normal, double *psi,
                              double *h_n);
/* H of the currents sum amplitude[patterns] pattern at n points, added to h_a_m. */
void ll_currents_field(const ll_currents *currents, const double *amplitude, size_t n,
                       const ll_vec3 *points_m, ll_vec3 *h_a_m);

#endif
