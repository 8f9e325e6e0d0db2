/* lowrank.h - how two surfaces act on each other when they stand apart: adaptive cross approximation of the matrix
 * between their unknowns, each seen as a point charge or point dipole (Bebendorf, Numer. Math. 86 (2000) 565).
 *
 * Lengths in metre. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_LOWRANK_H
#define LL_ELEMENTS_LOWRANK_H

#include "base/geometry.h"
#include "base/status.h"
#include <stdbool.h>
#include <stddef.h>

/* Point sources: charges (moment unused) first, then dipoles. */
typedef struct ll_cloud {
    size_t charges, dipoles;
    ll_vec3 *at_m;   /* [charges + dipoles] */
    double *charge;  /* [charges] */
    ll_vec3 *moment; /* [dipoles] */
} ll_cloud;

/* matrix ~ the sum of `rank` columns u times rows v: u[rank][rows], v[rank][columns], both along memory. Cross k is that of
 * row[k] and column[k] in what the ones before leave: there u vanishes in the rows and v in the columns of those before. */
typedef struct ll_lowrank {
    size_t rows, columns, rank;
    double *u, *v;
    size_t *row, *column; /* [rank] */
} ll_lowrank;

/* Potential of each source at each target, divided by 4 pi, to `tolerance` of the matrix norm. Caller clears *out.
 * LL_NO_MEMORY. */
ll_status ll_lowrank_new(size_t targets, const ll_vec3 *target_m, const ll_cloud *source,
                         double tolerance, ll_lowrank *out);
/* The same for a matrix[rows][columns] that is there, row-major. */
ll_status ll_lowrank_of_matrix(size_t rows, size_t columns, const double *matrix, double tolerance,
                               ll_lowrank *out);
void ll_lowrank_clear(ll_lowrank *m);

/* y[rows] += scale * matrix x. */
void ll_lowrank_add(const ll_lowrank *m, double scale, const double *x, double *y);

#endif
