/* krylov.h - GMRES for a linear operator given as a function (Saad and Schultz, SIAM J. Sci. Stat. Comput. 7 (1986) 856).
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_KRYLOV_H
#define LL_ELEMENTS_KRYLOV_H

#include "base/status.h"
#include <stddef.h>

/* y[n] = operator x[n]. */
typedef ll_status (*ll_operator)(void *context, const double *x, double *y);

/* Solves operator x = b from the x given, until the residual is below tolerance |b|; *steps tells how many products
 * were needed. LL_NO_CONVERGENCE after most_steps; x is then left as it was. */
ll_status ll_gmres(ll_operator apply, void *context, size_t n, const double *b, double tolerance,
                   size_t most_steps, double *x, size_t *steps);

#endif
