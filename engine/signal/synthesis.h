/* synthesis.h - displacement and velocity of a string in a pickup's aperture, block by block. Private to this folder.
 *
 * Every mode is a complex number that turns and shrinks by a fixed factor from sample to sample. LL_LANES samples next
 * to each other are turned together by the factor's power: one set of vector instructions for all of them.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SIGNAL_SYNTHESIS_H
#define LL_SIGNAL_SYNTHESIS_H

#include "string/linkage_map.h"
#include "string/motion.h"

enum { LL_LANES = 16, LL_BLOCK = 512 };

/* One block of samples. */
typedef struct ll_block {
    double x_m[LL_BLOCK], z_m[LL_BLOCK];
    double x_m_s[LL_BLOCK], z_m_s[LL_BLOCK];
} ll_block;

typedef struct ll_synthesis ll_synthesis;

/* The first sample is first_s after the release, the others 1 / rate_hz apart. The caller frees *out. LL_NO_MEMORY. */
ll_status ll_synthesis_new(const ll_motion *motion, const ll_linkage_map *map, double rate_hz,
                           double first_s, ll_synthesis **out);
void ll_synthesis_free(ll_synthesis *synthesis);

/* The next block. */
void ll_synthesis_next(ll_synthesis *synthesis, ll_block *block);

#endif
