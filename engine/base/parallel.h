/* parallel.h - what parallel loops share.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_PARALLEL_H
#define LL_BASE_PARALLEL_H

#include "base/status.h"

/* A status that several threads may report: one of the failures stays. */
static inline void ll_keep_worse(ll_status *status, ll_status mine)
{
    if (mine) {
#pragma omp critical(ll_status_of_threads)
        *status = mine;
    }
}

#endif
