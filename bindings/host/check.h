/* check.h - `lodeloom check`: everything a script describes is built, nothing is solved.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_CHECK_H
#define LL_HOST_CHECK_H

#include "sandbox.h"

/* Runs the script in a sandbox in check mode and lists its mistakes on standard error. The exit status. */
int host_check(host_sandbox *sandbox, const char *path, double time_limit_s);

#endif
