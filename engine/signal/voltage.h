/* voltage.h - plucked strings over a coil: the open-circuit voltage in time.
 *
 *   voltage = -d(linkage)/dt = -(d(linkage)/dx x' + d(linkage)/dz z')
 * at the string's displacement in the aperture of its linkage map. Displacement and velocity both come from the partials,
 * so that nothing is differenced in time. Partials at or above half the rate are left out, and so is a partial while its
 * velocity is more than 140 dB below that of the strongest at the attack. What the map's curvature makes above half the
 * rate folds back; it stems from partials that are weak by then.
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SIGNAL_VOLTAGE_H
#define LL_SIGNAL_VOLTAGE_H

#include "base/api.h"
#include "base/progress.h"
#include "base/status.h"
#include "string/linkage_map.h"
#include "string/motion.h"

LL_API_BEGIN

/* A string that the coil hears from start_s on: at rest before, displaced but silent until its release. */
typedef struct ll_heard_string {
    const ll_motion *motion;
    const ll_linkage_map *map;
    double start_s; /* 0 or more; not bound to the samples */
} ll_heard_string;

/* The sum of the strings' voltages at the times i / rate_hz, i = 0 to n - 1, into voltage_v[n]. A strum is strings with
 * rising start_s. progress may be NULL. LL_BAD_VALUE for a rate or a start that cannot be; LL_OUTSIDE_MAP when a string
 * moves further than its map covers; LL_CANCELLED, LL_NO_MEMORY. */
ll_status ll_voltage(size_t strings, const ll_heard_string *heard, double rate_hz, size_t n,
                     double *voltage_v, const ll_progress *progress);

LL_API_END

#endif
