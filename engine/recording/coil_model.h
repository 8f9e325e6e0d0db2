/* coil_model.h - a coil as a bench sees it, found from its impedance over frequency.
 *
 *     Z = Zl / (1 + j w C Zl),   Zl = R + j w L (1 - sum of share_i j f / (corner_i + j f) - core (1 - tanh(u) / u)),
 *     u = sqrt(j f / core_hz)
 *
 * Metal near the coil acts like short-circuited loops: loop i takes share_i of the inductance away above corner_i (a secondary
 * of coupling k has share k^2 and corner R2 / (2 pi L2); textbook). In thick steel currents crowd into the skin, which spreads its
 * part over decades: the core, after the flux in a lamination (textbook). SI units.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_RECORDING_COIL_MODEL_H
#define LL_RECORDING_COIL_MODEL_H

#include "base/api.h"
#include "recording/bridge.h"
#include <stdbool.h>

LL_API_BEGIN

enum { LL_COIL_MOST_LOOPS = 2 };

typedef struct ll_coil_model {
    double r_ohm, l_h, c_f; /* l_h: at low frequency */
    int loops;
    double share[LL_COIL_MOST_LOOPS], corner_hz[LL_COIL_MOST_LOOPS];
    double core, core_hz; /* core: 0 for none */
} ll_coil_model;

/* re[i] + j im[i] in ohm at f_hz[i]. */
void ll_coil_model_impedance(const ll_coil_model *model, size_t n, const double *f_hz, double *re,
                             double *im);

/* The highest |Z|, where it is, and its width: Q = f / (difference of the two frequencies at which |Z| is lower by the root of two).
 * false, and nothing written, where |Z| has no such peak between 10 Hz and 1 MHz. */
typedef struct ll_coil_peak {
    double f_hz, ohm, q;
} ll_coil_peak;
bool ll_coil_model_peak(const ll_coil_model *model, ll_coil_peak *out);

enum { LL_COIL_R, LL_COIL_L, LL_COIL_C, LL_COIL_VALUES };

typedef struct ll_coil_found {
    ll_coil_model model;
    double relative_sd
        [LL_COIL_VALUES]; /* of r, l, c, as fractions; the known resistor's own error is not in them */
    double correlation[LL_COIL_VALUES][LL_COIL_VALUES];
    bool has_peak;
    ll_coil_peak peak, peak_sd; /* peak_sd: relative, as above */
    double
        misfit;  /* what is left over by what was said of the points: about 1 when the model fits */
    double rest; /* root mean square of what is left over, of |Z| */
} ll_coil_found;

/* Weighted least squares over 10 points or more, rising in frequency, and over the number of loops with and without a core (by Schwarz's
 * criterion, Annals of Statistics 6 (1978) 461). When misfit is above 1 the deviations are told that much wider, and wider still
 * where what is left over keeps its sign from point to point, since then neighbours do not tell anew. LL_BAD_VALUE for points that
 * are no impedance of a coil: not finite, not rising, or nowhere inductive; LL_NO_CONVERGENCE; LL_NO_MEMORY. */
ll_status ll_coil_find(size_t n, const ll_impedance_point *point, ll_coil_found *out);

LL_API_END

#endif
