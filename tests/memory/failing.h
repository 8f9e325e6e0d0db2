/* failing.h - an allocator that refuses: the engine's calls of malloc, calloc and realloc, those of CHOLMOD and the makers of GSL that
 * it uses are counted in their order, and one of them, or all from one on, get nothing. The linker puts it in place (--wrap, see
 * CMakeLists.txt). One thread at a time. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_TESTS_FAILING_H
#define LL_TESTS_FAILING_H

#include <stdbool.h>
#include <stddef.h>

/* Counts from here on, call 0 being the next, and refuses call `call`, or all from it on; SIZE_MAX refuses none. */
void failing_begin(size_t call, bool from_then_on);
/* How many calls there were since; nothing is refused any more. */
size_t failing_end(void);
/* What is held now of what malloc, calloc and realloc gave. */
size_t failing_held(void);

/* The place in the program that made a call of the last count; NULL for one that does not tell. */
const void *failing_place(size_t call);

#endif
