/* bridge.h - impedance from a sound card: the player's voltage goes through a known resistor into the pickup.
 *
 *     player ---- known resistor ---- pickup ---- ground        reference channel: the player's voltage
 *                                 |                             first channel: the pickup's
 *
 * The recorder's input and its lead load the pickup; a run with a known resistor in the pickup's place tells by how much. A run
 * with the known resistor bridged by a wire lets both channels hear the same voltage, which tells how unlike they are. SI units;
 * phasors with exp(j w t). SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_RECORDING_BRIDGE_H
#define LL_RECORDING_BRIDGE_H

#include "base/api.h"
#include "recording/transfer.h"

LL_API_BEGIN

typedef struct ll_bridge {
    double series_ohm; /* the known resistor */
    double input_s;    /* conductance of the input in parallel with the pickup; 0: none */
    double input_f;    /* capacitance there, with the lead's */
} ll_bridge;

/* sd_ohm: standard deviation of each of the two parts, without that of the known resistor, which scales all alike. */
typedef struct ll_impedance_point {
    double f_hz, re_ohm, im_ohm, sd_ohm;
} ll_impedance_point;

/* ratio[n]: pickup's channel over reference. alike[n]: the same from the run with the resistor bridged; NULL for channels that are
 * taken as alike. LL_BAD_VALUE when the two do not stand at the same frequencies, the resistor is not above zero, or the pickup
 * carries the whole voltage of the player, so that nothing flows. */
ll_status ll_bridge_impedance(const ll_bridge *bridge, size_t n, const ll_transfer_point *ratio,
                              const ll_transfer_point *alike, ll_impedance_point *out);

/* What the input loads the pickup with. */
typedef struct ll_bridge_input {
    double conductance_s, conductance_sd, capacitance_f, capacitance_sd;
    double
        misfit; /* what is left over by its own standard deviation: near 1 when the input is a resistor beside a capacitor */
} ll_bridge_input;

/* From a run with known_ohm in the pickup's place. LL_BAD_VALUE as above. */
ll_status ll_bridge_input_of(double series_ohm, double known_ohm, size_t n,
                             const ll_transfer_point *ratio, const ll_transfer_point *alike,
                             ll_bridge_input *out);

LL_API_END

#endif
