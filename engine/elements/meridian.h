/* meridian.h - the half section of a body of revolution, cut into cells by two rows of breaks: a tensor grid of which only those cells
 * are there that the body fills, and the elements of its outline.
 *
 * r is the distance from the axis, z the height along it; metres. A function on it is a product of the shapes of ll_shapes in
 * each cell, degree p in both directions, continuous. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_MERIDIAN_H
#define LL_ELEMENTS_MERIDIAN_H

#include "base/status.h"
#include "elements/legendre.h"
#include <stdbool.h>
#include <stddef.h>

enum { LL_CELL_SHAPES = (LL_DEGREE_MOST + 1) * (LL_DEGREE_MOST + 1) };

/* r[0] <= r <= r[1], z[0] <= z <= z[1], of one material. */
typedef struct ll_rectangle {
    double r[2], z[2];
    size_t region;
} ll_rectangle;

typedef struct ll_cell {
    double r[2], z[2];
    size_t region;
    int unknown[LL_CELL_SHAPES]; /* of shape (kz, kr): [kz * (degree + 1) + kr] */
} ll_cell;

/* A side of the outline, from its lower to its higher break; n outwards. */
typedef struct ll_side {
    double r[2], z[2], length, n_r, n_z;
    int unknown[LL_DEGREE_MOST + 1]; /* of each shape along it */
    int on_cell;                     /* the cell whose side it is */
    bool along_r;
} ll_side;

typedef struct ll_meridian {
    int degree;
    size_t cells, sides;
    ll_cell *cell;
    ll_side *side;
    int unknowns;
    bool *on_axis;    /* [unknowns] functions that do not vanish on the axis */
    bool *on_outline; /* [unknowns] functions that do not vanish on the outline */
    double least_r, radius_m, z_m[2];
} ll_meridian;

/* The cells of n rectangles, which may touch and do not overlap, between breaks r[nr] and z[nz] that hold all their edges.
 * Cleared by ll_meridian_clear. LL_NO_MEMORY. */
ll_status ll_meridian_make(size_t n, const ll_rectangle *rectangle, size_t nr, const double *r,
                           size_t nz, const double *z, int degree, ll_meridian *out);
void ll_meridian_clear(ll_meridian *meridian);

/* The cell that holds (r, z), or that nearest to it. */
const ll_cell *ll_meridian_cell(const ll_meridian *meridian, double r, double z);

#endif
