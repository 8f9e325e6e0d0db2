/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "finished_rows.h"
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const size_t most_bytes = (size_t)32 << 20;

/* A handler may look at any moment: the length never runs ahead of what it counts. */
static char *volatile finished;
static volatile size_t finished_bytes;
static size_t finished_room;

/* Room for so many bytes more; the old rows stay readable until the new place holds them. */
static bool make_room(size_t size)
{
    const size_t needed = finished_bytes + size;
    if (needed <= finished_room)
        return true;
    char *grown = needed <= most_bytes ? malloc(2 * needed) : NULL, *old = finished;
    if (!grown)
        return false;
    if (old)
        memcpy(grown, old, finished_bytes);
    finished = grown;
    finished_room = 2 * needed;
    free(old);
    return true;
}

void host_add_finished(const char *text, size_t size)
{
    if (!text)
        finished_bytes = 0;
    if (!text || !make_room(size))
        return;
    memcpy(finished + finished_bytes, text, size);
    finished_bytes += size;
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

void host_print_finished(void)
{
    if (finished_bytes == 0)
        return;
    host_say(STDERR_FILENO, "lodeloom: what a sweep had finished, and was not printed yet:\n");
    if (!write_all(STDOUT_FILENO, finished, finished_bytes))
        host_say(STDERR_FILENO, "lodeloom: the rows cannot be written to standard output\n");
    finished_bytes = 0;
}
