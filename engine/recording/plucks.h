/* plucks.h - where a recording's plucked strings begin and end, and how loud they are.
 * SI units; levels are fractions of full scale. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_RECORDING_PLUCKS_H
#define LL_RECORDING_PLUCKS_H

#include "base/api.h"
#include "recording/recording.h"

LL_API_BEGIN

typedef struct ll_pluck_found {
    double starts_s, lasts_s; /* until the next one, or until it is lost in the noise */
    double peak;              /* highest sample */
    double rms;               /* of the first second, or of all where it is shorter */
    double rms_after;         /* from 0.1 to 1.1 s after the start: without the attack */
} ll_pluck_found;

/* What is left where nothing is plucked. */
typedef struct ll_quiet {
    double rms;               /* of the quietest tenth of all, in steps of 20 ms */
    double starts_s, lasts_s; /* the longest stretch near it: for hum */
} ll_quiet;

/* At most `most` plucks into pluck[], in time, and how many into *count. A pluck is a rise by 12 dB over what was there within the
 * last 0.1 s, at least 18 dB over the quiet, 0.15 s or more after the last one. LL_BAD_VALUE for no such channel or a recording
 * under 0.5 s, LL_NO_MEMORY. */
ll_status ll_plucks_find(const ll_recording *recording, int channel, size_t most,
                         ll_pluck_found *pluck, size_t *count, ll_quiet *quiet);

LL_API_END

#endif
