/* sound_memory.h - a file in memory for libsndfile to write into. Private to this folder.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SIGNAL_SOUND_MEMORY_H
#define LL_SIGNAL_SOUND_MEMORY_H

#include <sndfile.h>
#include <stddef.h>

typedef struct ll_sound_memory {
    unsigned char *bytes; /* the caller frees it with free */
    size_t size, room, at;
} ll_sound_memory;

/* Starts empty: zero-initialise the memory. NULL as of sf_open. */
SNDFILE *ll_sound_memory_open(ll_sound_memory *memory, SF_INFO *info);

#endif
