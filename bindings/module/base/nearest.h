/* nearest.h - which of the known names a misspelt one was meant to be.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_NEAREST_H
#define LL_BIND_NEAREST_H

#include <stddef.h>

/* Collects candidates one by one; start with only `wanted` set. */
typedef struct bind_nearest {
    const char *wanted;
    const char *name; /* the nearest so far, NULL when nothing is near enough */
    size_t distance;
} bind_nearest;

void bind_nearest_try(bind_nearest *nearest, const char *candidate);

#endif
