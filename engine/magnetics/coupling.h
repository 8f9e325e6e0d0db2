/* coupling.h - what one body's layers do at another body's surface: a dense block in closed form when they are close, a
 * low-rank one when they stand apart. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_COUPLING_H
#define LL_MAGNETICS_COUPLING_H

#include "magnetics/lowrank.h"
#include "magnetics/system.h"
#include <stdbool.h>

typedef struct ll_coupling {
    size_t rows, columns; /* corners of the target, surface nodes of the source */
    double *single, *dbl; /* close: [nc_t][nc_s], [nc_t][ns_s] */
    ll_lowrank far; /* apart: columns are charges in units of the source's size, then dipoles */
} ll_coupling;

/* LL_CLOSE: some unknowns of one surface are so near to some of the other that points no longer stand for them.
 * LL_FACING: a good part of a surface lies against the other, so that their charges cannot be told apart one body at a
 * time. */
typedef enum ll_nearness { LL_APART, LL_CLOSE, LL_FACING } ll_nearness;
ll_nearness ll_coupling_nearness(const ll_body *a, const ll_body *b);

/* contact_m > 0: the air that is left where the two touch. */
ll_status ll_coupling_new(const ll_body *target, const ll_body *source, int close, double contact_m,
                          ll_coupling *out);
void ll_coupling_clear(ll_coupling *coupling);
size_t ll_coupling_bytes(const ll_coupling *coupling);

/* surface[rows] += factor K w, of a closed-form coupling. */
void ll_coupling_add_close(const ll_coupling *coupling, double factor, const double *w,
                           double *surface);
/* surface[rows] += K w + S lambda, of either kind. */
ll_status ll_coupling_add(const ll_coupling *coupling, const ll_body *source, const double *w,
                          const double *lambda, double *surface);

#endif
