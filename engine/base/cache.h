/* cache.h - results that may be wanted again: meshes, couplings, systems, answers, solutions. One budget for all; what was wanted
 * longest ago goes first. Nothing depends on what is kept but time. Thread-safe.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_CACHE_H
#define LL_BASE_CACHE_H

#include "base/api.h"
#include <stddef.h>

LL_API_BEGIN

/* The most that is kept, at first 1 GiB; what is too much is given up at once. 0 keeps nothing. */
void ll_cache_set_budget(size_t bytes);
/* What is kept now. A part of one thing that belongs to another as well counts in both. */
size_t ll_cache_bytes(void);
/* Gives up what was wanted longest ago until no more than that is kept. The budget stays. */
void ll_cache_shrink(size_t bytes);
void ll_cache_empty(void);

LL_API_END

#endif
