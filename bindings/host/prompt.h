/* prompt.h - `lodeloom prompt`.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_PROMPT_H
#define LL_HOST_PROMPT_H

#include "options.h"

/* Reads lines and answers them until the input ends. The exit status. */
int host_prompt(const host_options *options);

#endif
