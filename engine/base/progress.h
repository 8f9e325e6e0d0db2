/* progress.h - how a long computation tells its caller how far it is and asks whether to go on.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_PROGRESS_H
#define LL_BASE_PROGRESS_H

#include "base/api.h"
#include <stdbool.h>

LL_API_BEGIN

/* Called now and then from the calling thread with the share done, 0 to 1. Returning false cancels:
 * the engine call then returns LL_CANCELLED. */
typedef struct ll_progress {
    bool (*tell)(void *context, double share_done);
    void *context;
} ll_progress;

/* True when the work may go on; a NULL progress, or one without a function, always may. */
static inline bool ll_progress_go_on(const ll_progress *progress, double share_done)
{
    return !progress || !progress->tell || progress->tell(progress->context, share_done);
}

LL_API_END

#endif
