/* kernels.h - the level of vector instructions at which the engine's kernels run, on x86-64: the processor's own, or a lower one that
 * the environment names as LL_KERNELS: base, v3 or v4 as the psABI calls them. Decided before main begins. Digits that are told do not
 * depend on it. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_KERNELS_H
#define LL_BASE_KERNELS_H

#include "base/api.h"

LL_API_BEGIN

/* What LL_KERNELS says when that is none of these, and is not followed; else NULL. The environment's own text. */
const char *ll_kernels_unknown(void);

LL_API_END

#endif
