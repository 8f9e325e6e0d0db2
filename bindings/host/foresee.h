/* foresee.h - whether a script will write files, asked before it computes.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_FORESEE_H
#define LL_HOST_FORESEE_H

#include "sandbox.h"

/* Checks the script in a process of its own, for a second at most, and sees whether it would write a file: then says so on
 * standard error and returns true. For a run without a folder, before anything else is begun. `work` runs the script in a check-mode
 * sandbox. */
bool host_foresee_writing(const char *path, const host_options *options, host_work *work);

#endif
