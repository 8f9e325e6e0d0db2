/* sound_memory.h - a file in memory for libsndfile to write into or to read from. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SIGNAL_SOUND_MEMORY_H
#define LL_SIGNAL_SOUND_MEMORY_H

#include <sndfile.h>
#include <stdbool.h>
#include <stddef.h>

typedef struct ll_sound_memory {
    unsigned char *bytes; /* of a file that was written: the caller frees it with free */
    size_t size, room, at;
    bool refused; /* memory for it was */
} ll_sound_memory;

/* Starts empty: zero-initialise the memory. NULL as of sf_open. */
SNDFILE *ll_sound_memory_open(ll_sound_memory *memory, SF_INFO *info);

/* For reading from bytes that outlast the file; nothing is to be freed. */
SNDFILE *ll_sound_memory_read(ll_sound_memory *memory, const unsigned char *bytes, size_t size,
                              SF_INFO *info);

#endif
