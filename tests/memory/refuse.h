/* refuse.h - a job is done again and again, memory refused at every place that asks for it.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_TESTS_REFUSE_H
#define LL_TESTS_REFUSE_H

#include "base/status.h"

enum { JOB_VALUES = 8 };

/* Whatever a job asks memory for it gives back, and its values, at most JOB_VALUES, are written only where it returns LL_OK. */
typedef ll_status (*job)(void *context, double *values);

/* Does it once as a measure. Then for every place of the program that asked for memory: at the first call from there, alone and with
 * all that follow, the second and the last. Each time the job must say LL_NO_MEMORY, or do without and come to the same
 * values within `tolerance` of each, and leave nothing behind. */
void refuse_each(job do_it, void *context, double tolerance);

#endif
