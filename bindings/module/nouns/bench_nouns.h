/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_BENCH_NOUNS_H
#define LL_BIND_BENCH_NOUNS_H

#include "module/base/fields.h"

/* Options whose work is done in Lua; the last has no name. */
extern const bind_noun bind_bench_nouns[];

#endif
