/* slopes.h - how the fields along a string change across it, everything but the string itself held where it is: sources, steel,
 * and the steel's answer to the string. Private to this folder. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_SLOPES_H
#define LL_STRING_SLOPES_H

#include "string/track.h"

/* dH/dx and dH/dz, their x and z alone, [nodes]. */
typedef struct ll_slopes {
    ll_vec3 *by_x, *by_z;
} ll_slopes;

/* Of the bias and, unless share is NULL, of the coils' field, at a track that is magnetised and excited, with the steel's answer or without. Each
 * is cleared by ll_slopes_clear. LL_STRING_IN_PART, LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_slopes_find(const ll_track *rest, const double *share, ll_slopes *bias,
                         ll_slopes *coil);
void ll_slopes_clear(ll_slopes *slopes);

#endif
