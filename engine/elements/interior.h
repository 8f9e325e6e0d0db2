/* interior.h - finite elements inside one piece of material: the sparse matrix of
 *   integral mu_r grad w . grad v dV
 * on linear tetrahedra, and a factorisation of it that preconditions the coupled system.
 * Lengths in metre. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_INTERIOR_H
#define LL_ELEMENTS_INTERIOR_H

#include "base/status.h"
#include "shape/mesh.h"

typedef struct ll_interior ll_interior;

/* A relative permeability: `across` in all directions, and `extra` more along a unit axis. */
typedef struct ll_tensor {
    double across, extra;
    ll_vec3 axis;
} ll_tensor;

/* The pattern of a mesh, still without values; the mesh must outlive it. Caller frees *out. */
ll_status ll_interior_new(const ll_mesh *mesh, ll_interior **out);
void ll_interior_free(ll_interior *interior);
/* Values for mu_r[tets]; may be called again for others. */
void ll_interior_fill(ll_interior *interior, const ll_tensor *mu_r);
/* The same for permeabilities along the mesh's three axes, mu_r[tets][3]. */
void ll_interior_fill_axes(ll_interior *interior, const double (*mu_r)[3]);

/* Factorises the matrix plus a diagonal on the surface nodes (surface[surface_nodes], > 0), which stands for the space
 * outside and takes away the freedom of a constant. LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_interior_factorise(ll_interior *interior, const double *surface);

/* y[nodes] = matrix x[nodes]. */
void ll_interior_multiply(const ll_interior *interior, const double *x, double *y);

/* What one thread needs to solve with a shared interior. */
typedef struct ll_interior_work ll_interior_work;
ll_interior_work *ll_interior_work_new(void); /* NULL when memory is short */
void ll_interior_work_free(ll_interior_work *work);
/* x[k][nodes] = factorised^-1 x[k] for `count` vectors, a few of which take little longer than one. */
ll_status ll_interior_solve(const ll_interior *interior, ll_interior_work *work, size_t count,
                            double *const *x);

/* Gradient of a potential given at the nodes, in tetrahedron t. */
ll_vec3 ll_tet_gradient(const ll_mesh *mesh, size_t t, const double *node_value);
/* Gradients of the four hats of tetrahedron t; returns its volume. */
double ll_tet_hats(const ll_mesh *mesh, size_t t, ll_vec3 gradient[4]);

#endif
