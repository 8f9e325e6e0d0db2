/* system_data.h - what a system holds, and the pieces that its files share. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_SYSTEM_DATA_H
#define LL_MAGNETICS_SYSTEM_DATA_H

#include "base/dense.h"
#include "base/shared.h"
#include "elements/coupling.h"
#include "magnetics/system.h"

/* Bodies that stand close share one factorisation of the single layer. */
typedef struct ll_cluster {
    size_t count, corners;
    size_t *body;
    double *factor; /* [corners][corners]; a lone body uses its form's own and has NULL */
} ll_cluster;

/* Bodies of one form and one factor, each alone in its cluster, or one body of a larger cluster: what one matrix does in all of
 * them is done at once. */
typedef struct ll_batch {
    size_t count, body[LL_SEVERAL];
} ll_batch;

struct ll_system {
    ll_shared shared;
    size_t serial; /* for keys of what depends on it */
    size_t count, unknowns;
    double contact_m;
    ll_body *body;
    ll_interior_work **work; /* one for each body */
    ll_coupling **coupling;  /* [target * count + source], NULL for a body on itself */
    ll_nearness *nearness;   /* of each pair, like coupling */
    size_t *cluster_of;
    size_t clusters;
    ll_cluster *cluster;
    size_t batches; /* each body is in one of them */
    ll_batch *batch;
};

static inline bool ll_system_is_alone(const ll_system *s, size_t b)
{
    for (size_t o = 0; o < s->count; o++)
        if (o != b && s->cluster_of[o] == s->cluster_of[b])
            return false;
    return true;
}

/* The linear operator and its preconditioner, operator.c. x and y are vectors of all unknowns.
 * Lambdas of surface, for each body: += (1/2 - K) change (or the mass, for charges) - K change of its cluster's other bodies. */
void ll_system_add_close(const ll_system *s, const double *change, double *surface);
/* surface[corners] of body b += the layers of all bodies outside its cluster. */
ll_status ll_system_add_far(const ll_system *s, size_t b, const double *x, double *surface);
/* The surface half of y = P^-1 A x, when y holds the inside half F^-1 (A w + flux lambda): its lambdas. `sources`, or NULL,
 * are further potentials tested on the surfaces, which stand on the right-hand side when x is zero. */
ll_status ll_system_finish_product(const ll_system *s, const double *x, const double *sources,
                                   double *y);
/* Lambdas of y in one cluster += the single layer of those of t. */
ll_status ll_system_add_single(const ll_system *s, const ll_cluster *k, const double *t, double *y);
/* P^-1 of a right-hand side in place: inside parts and surface parts. Not for two threads on one system. */
ll_status ll_system_precondition(const ll_system *s, double *rhs);
/* x += the solution for rhs (which is lost), around the tangents as they stand. */
ll_status ll_system_add_linear(const ll_system *s, double *rhs, double tolerance, double *x,
                               size_t *steps);
/* The same for P^-1 rhs. Not for two threads on one system. */
ll_status ll_system_add_preconditioned(const ll_system *s, const double *rhs, double tolerance,
                                       double *x, size_t *steps);
/* World positions of a body's own points. */
void ll_body_to_world(const ll_body *body, size_t n, const ll_vec3 *own, ll_vec3 *world);
/* rhs lambdas of body b += the sources' potential tested on its surface. */
ll_status ll_system_source_on_surface(const ll_system *s, size_t b, ll_source_potential psi,
                                      void *context, double *rhs);

/* What a small source puts on the right-hand side of body b: on the surface of steel, inside a magnet. */
ll_status ll_system_source(const ll_system *s, size_t b, ll_source_potential psi, void *context,
                           double *rhs);

/* system_cache.c: a share of a cached system with the same bodies, or NULL; and keeping one, which takes a share and gives one back. */
ll_system *ll_system_cached(const ll_system *wanted);
ll_system *ll_system_to_cache(ll_system *s);

#endif
