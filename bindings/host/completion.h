/* completion.h - the tab key at the prompt.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_COMPLETION_H
#define LL_HOST_COMPLETION_H

#include "sandbox.h"

/* Completes names of the environment, of `ll`, and methods behind a colon. Nothing without readline. */
void host_completion_install(host_sandbox *sandbox);

#endif
