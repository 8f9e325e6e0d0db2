/* options.h - how finely a scene is solved.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_OPTIONS_H
#define LL_MAGNETICS_OPTIONS_H

#include "base/progress.h"
#include <stddef.h>

/* How finely to solve; zero-initialise for the defaults. */
typedef struct ll_solve_options {
    double fineness; /* elements per length against the default mesh; 0 means 1; 0.3 to 4 */
    double
        contact_gap_m; /* air left where parts merely touch; 0: steel joins, a magnet keeps 0.02 mm */
    size_t memory_limit_bytes; /* 0: no limit */
    const ll_progress *progress;
} ll_solve_options;

#endif
