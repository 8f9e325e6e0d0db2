/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kept.h"
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const size_t most_bytes = (size_t)32 << 20;

/* A handler may look at any moment: the length never runs ahead of what it counts. */
static char *volatile kept;
static volatile size_t kept_bytes;
static size_t kept_room;

/* Room for so many bytes more; the old rows stay readable until the new place holds them. */
static bool make_room(size_t size)
{
    const size_t needed = kept_bytes + size;
    if (needed <= kept_room)
        return true;
    char *grown = needed <= most_bytes ? malloc(2 * needed) : NULL, *old = kept;
    if (!grown)
        return false;
    if (old)
        memcpy(grown, old, kept_bytes);
    kept = grown;
    kept_room = 2 * needed;
    free(old);
    return true;
}

void host_keep(const char *text, size_t size)
{
    if (!text)
        kept_bytes = 0;
    if (!text || !make_room(size))
        return;
    memcpy(kept + kept_bytes, text, size);
    kept_bytes += size;
}

/* write is all that a signal handler may use here. */
static bool write_all(int file, const char *text, size_t left)
{
    while (left > 0) {
        const ssize_t written = write(file, text, left);
        if (written <= 0)
            return false;
        text += written;
        left -= (size_t)written;
    }
    return true;
}

void host_say(int file, const char *text)
{
    write_all(file, text, strlen(text));
}

void host_print_kept(void)
{
    if (kept_bytes == 0)
        return;
    host_say(STDERR_FILENO, "lodeloom: what a sweep had finished, and was not printed yet:\n");
    if (!write_all(STDOUT_FILENO, kept, kept_bytes))
        host_say(STDERR_FILENO, "lodeloom: the rows cannot be written to standard output\n");
    kept_bytes = 0;
}
