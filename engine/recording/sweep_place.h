/* sweep_place.h - where in a recording the sweeps of a test signal stand. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_RECORDING_SWEEP_PLACE_H
#define LL_RECORDING_SWEEP_PLACE_H

#include "recording/recording.h"
#include "recording/sweep_signal.h"

/* The frame at which each sweep begins in a channel, as fractions of a frame, into frame[signal->repeats], and how closely the
 * channel there is like the sweep (1: but for its size the same). The player's clock may run up to 500 ppm beside the recorder's.
 * LL_NO_SIGNAL where fewer than all repeats are found, LL_BAD_VALUE, LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_sweep_place(const ll_recording *recording, int channel, const ll_sweep_signal *signal,
                         double *frame, double *likeness);

#endif
