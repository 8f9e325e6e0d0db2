/* exponentials.h - a few decaying complex exponentials that make up a series. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_RECORDING_EXPONENTIALS_H
#define LL_RECORDING_EXPONENTIALS_H

#include "base/status.h"
#include <complex.h>
#include <stddef.h>

/* amplitude exp(exponent k) at value k; sd: of the exponent's imaginary part, from what is left over. */
typedef struct ll_exponential {
    double complex exponent, amplitude;
    double sd;
} ll_exponential;

/* `count` (1 or 2) of them in value[n], n at least 12: by the matrix pencil, then by least squares. rest: root mean square of
 * what is left over by that of the series. LL_NO_SIGNAL for a silent series, LL_NO_CONVERGENCE, LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_exponentials_find(size_t n, const double complex *value, int count,
                               ll_exponential *out, double *rest);

#endif
