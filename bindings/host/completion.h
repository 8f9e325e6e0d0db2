/* completion.h - the tab key at the prompt.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_COMPLETION_H
#define LL_HOST_COMPLETION_H

#include "sandbox.h"

/* Completes names, methods behind a colon, fields inside braces and topics of help, as prompt.lua finds them. Nothing
 * without readline. */
void host_completion_install(host_sandbox *sandbox);

/* The lines of the chunk before the one that is being typed; must live as long as it is typed. */
void host_completion_behind(const char *text);

#endif
