/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifdef LL_HAVE_SNDFILE
#include "signal/sound_memory.h"

#include <stdlib.h>
#include <string.h>

static sf_count_t size_of(void *context)
{
    return (sf_count_t)((ll_sound_memory *)context)->size;
}

static sf_count_t tell(void *context)
{
    return (sf_count_t)((ll_sound_memory *)context)->at;
}

static sf_count_t seek(sf_count_t offset, int whence, void *context)
{
    ll_sound_memory *m = context;
    const sf_count_t base = whence == SEEK_SET   ? 0
                            : whence == SEEK_CUR ? (sf_count_t)m->at
                                                 : (sf_count_t)m->size;
    if (base + offset >= 0)
        m->at = (size_t)(base + offset);
    return (sf_count_t)m->at;
}

static sf_count_t read_bytes(void *to, sf_count_t count, void *context)
{
    ll_sound_memory *m = context;
    const size_t left = m->at < m->size ? m->size - m->at : 0;
    const size_t some = (size_t)count < left ? (size_t)count : left;
    memcpy(to, m->bytes + m->at, some);
    m->at += some;
    return (sf_count_t)some;
}

/* Grows by doubling; what a seek beyond the end leaves open is zero. */
static int make_room(ll_sound_memory *m, size_t end)
{
    if (end <= m->room)
        return 1;
    const size_t room = end > 2 * m->room ? end : 2 * m->room;
    unsigned char *bytes = realloc(m->bytes, room);
    if (!bytes) {
        m->refused = true;
        return 0;
    }
    memset(bytes + m->room, 0, room - m->room);
    m->bytes = bytes;
    m->room = room;
    return 1;
}

static sf_count_t write_bytes(const void *from, sf_count_t count, void *context)
{
    ll_sound_memory *m = context;
    const size_t end = m->at + (size_t)count;
    if (!make_room(m, end))
        return 0;
    memcpy(m->bytes + m->at, from, (size_t)count);
    m->at = end;
    if (end > m->size)
        m->size = end;
    return count;
}

static SF_VIRTUAL_IO calls = {size_of, seek, read_bytes, write_bytes, tell};

SNDFILE *ll_sound_memory_open(ll_sound_memory *memory, SF_INFO *info)
{
    return sf_open_virtual(&calls, SFM_WRITE, info, memory);
}

/* libsndfile never writes to a file opened for reading. */
SNDFILE *ll_sound_memory_read(ll_sound_memory *memory, const unsigned char *bytes, size_t size,
                              SF_INFO *info)
{
    *memory = (ll_sound_memory){(unsigned char *)bytes, size, size, 0, false};
    return sf_open_virtual(&calls, SFM_READ, info, memory);
}

#else
typedef int ll_sound_memory_is_empty; /* ISO C wants a declaration in every file */
#endif
