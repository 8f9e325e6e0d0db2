/* options.h - how finely a scene is solved.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_OPTIONS_H
#define LL_MAGNETICS_OPTIONS_H

#include "base/api.h"
#include "base/progress.h"
#include <stdbool.h>
#include <stddef.h>

LL_API_BEGIN

/* How finely to solve; zero-initialise for the defaults. */
typedef struct ll_solve_options {
    double fineness; /* elements per length against the default mesh; 0 means 1; 0.3 to 4 */
    double
        contact_gap_m; /* air left where parts merely touch; 0: steel joins, a magnet keeps 0.02 mm */
    size_t memory_limit_bytes; /* 0: no limit */
    const ll_progress *progress;
    int level; /* where bodies of higher degree serve: 1, 2, .. for degree 2, 3, ..; 0 chooses by the fineness */
    const struct ll_solution
        *lower;      /* or NULL: the same scene solved at the level below, to go on from */
    bool tetrahedra; /* linear elements in any case */
    /* Magnets that take or lose charge (past.h): [parts], NULL for those that do not; or NULL. Parts must be clear of each other by
     * 2 micrometres, nothing is taken from or put into the cache, and there are no small sources: LL_BAD_VALUE where that does not hold. */
    const struct ll_past *const *past;
    const double *current_a; /* [coils] that flow meanwhile, or NULL for none; with `past` alone */
} ll_solve_options;

LL_API_END

#endif
