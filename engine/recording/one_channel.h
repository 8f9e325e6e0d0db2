/* one_channel.h - the ratio of two voltages from a single channel: first the player's own, then the one that is asked for.
 *
 * The test signal has two halves with a pause between them. In the first the known resistor is bridged and the channel hears the
 * player, in the second it hears the coil. Player and recorder run through, so the second half stands where the first one says, but
 * for the clocks: their ratio comes from the delay between the first half's own sweeps, by the slope of the phase of one over the other.
 * What the channel itself does to a voltage stands in both halves and falls out. SI units.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_RECORDING_ONE_CHANNEL_H
#define LL_RECORDING_ONE_CHANNEL_H

#include "base/api.h"
#include "recording/transfer.h"

LL_API_BEGIN

/* Second half over first at f_hz[n], each within the sweep's range, into point[n]; signal->repeats is 4 or more and even, and it has a
 * pause. facts may be NULL. The statuses of ll_transfer. */
ll_status ll_one_channel_transfer(const ll_recording *recording, int channel,
                                  const ll_sweep_signal *signal, size_t n, const double *f_hz,
                                  ll_transfer_point *point, ll_transfer_facts *facts);

LL_API_END

#endif
