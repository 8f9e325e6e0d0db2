/* solution_cache.h - solutions that may be wanted again: the same parts and coils, whichever way the magnets as a whole are poled.
 *
 * The laws of steel are odd: all magnets turned round, every field turns round. So one solution serves both, which halves a
 * sweep over the ways to put magnets back. Scenes with straight laws need no cache of their own, see system_small_source.c.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_SOLUTION_CACHE_H
#define LL_MAGNETICS_SOLUTION_CACHE_H

#include "base/key.h"
#include "magnetics/options.h"
#include "magnetics/solution_data.h"

extern const ll_members ll_solve_options_members;

/* Whether a scene is solved by bodies of higher degree. */
bool ll_solve_by_forms(const ll_scene *scene, const ll_solve_options *options);
/* True with a solution of the scene in *out, which the caller frees, if one like it was put in. Thread-safe, as is the next. */
bool ll_solution_cached(const ll_scene *scene, const ll_solve_options *options, ll_solution **out);
/* Keeps the solution, or does not when memory is short. */
void ll_solution_to_cache(const ll_solution *solution, const ll_solve_options *options);

#endif
