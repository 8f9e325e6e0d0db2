/* ladder.h - a source behind resistances in series and across, one section after the other: what an ohm meter finds at the end, and how
 * much of the source gets there.
 *
 * Thevenin's theorem (L. Thevenin, C. R. Acad. Sci. 97 (1883) 159), section by section: what lies across divides voltage and resistance alike, what is in series adds.
 *
 * SI units. Errors: LL_BAD_VALUE for a resistance that none can be; outputs stay untouched then. Threads: nothing is kept.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_CIRCUIT_LADDER_H
#define LL_CIRCUIT_LADDER_H

#include "base/api.h"
#include "base/status.h"
#include <stddef.h>

LL_API_BEGIN

/* First what lies across to ground, above 0 and INFINITY where nothing does; then what is in series, 0 or more and finite. */
typedef struct ll_ladder_section {
    double across_ohm, series_ohm;
} ll_ladder_section;

/* ohm: between the end and ground, the source's voltage being 0. share: of the source's voltage at the end, left open. source_ohm
 * 0 or more and finite. */
ll_status ll_ladder(double source_ohm, size_t count, const ll_ladder_section *section, double *ohm,
                    double *share);

LL_API_END

#endif
