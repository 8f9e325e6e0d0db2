/* transfer.h - how one channel of a recording follows another while a test signal sweeps, with its uncertainty.
 *
 * Around each frequency the ratio of the two transforms is a parabola over the neighbouring bins, found by least squares; what it
 * leaves over is the noise there (local polynomial method: J. Schoukens, G. Vandersteen, K. Barbe, R. Pintelon, "Nonparametric
 * preprocessing in system identification: a powerful tool", European Control Conference 2009; from memory). Every repeat is taken
 * on its own, so neither the clocks' drift nor the start matters to the ratio. SI units.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_RECORDING_TRANSFER_H
#define LL_RECORDING_TRANSFER_H

#include "base/api.h"
#include "recording/recording.h"
#include "recording/sweep_signal.h"

LL_API_BEGIN

/* The ratio at one frequency: re + j im, the standard deviation of each of the two from noise and from what repeats differ by, and
 * the coherence, the share of the first channel's power there that follows the second, 0 to 1. */
typedef struct ll_transfer_point {
    double f_hz, re, im, sd, coherence;
} ll_transfer_point;

/* What a recording as a whole tells. */
typedef struct ll_transfer_facts {
    double
        drift; /* of the player's clock against the recorder's, 1e-6 is one part in a million; 0 from one repeat */
    double likeness; /* of the reference channel to the sweep, 0 to 1 */
} ll_transfer_facts;

/* of / reference at f_hz[n], each within the sweep's range, into point[n]. facts may be NULL. LL_NO_SIGNAL, LL_BAD_VALUE,
 * LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_transfer(const ll_recording *recording, int of, int reference,
                      const ll_sweep_signal *signal, size_t n, const double *f_hz,
                      ll_transfer_point *point, ll_transfer_facts *facts);

LL_API_END

#endif
