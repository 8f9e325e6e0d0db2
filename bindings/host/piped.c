/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "piped.h"
#include <errno.h>
#include <poll.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static struct {
    bool whole;
    size_t size;
    char text[HOST_LARGEST_SCRIPT + 1]; /* one more, to see that there is more */
} piped;

static double now_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* Waits for more, or for the end. */
static bool wait_until(double end_s)
{
    struct pollfd input = {.fd = STDIN_FILENO, .events = POLLIN};
    for (double left_s; (left_s = end_s - now_s()) > 0;) {
        const int ready = poll(&input, 1, left_s > 1e6 ? (int)1e9 : (int)(1e3 * left_s) + 1);
        if (ready > 0)
            return true;
        if (ready < 0 && errno != EINTR)
            return false;
    }
    errno = ETIMEDOUT;
    return false;
}

bool host_piped_read(double most_s)
{
    const double end_s = now_s() + most_s;
    ssize_t got = 1;
    while (got != 0 && piped.size < sizeof piped.text) {
        if (!wait_until(end_s))
            return false;
        got = read(STDIN_FILENO, piped.text + piped.size, sizeof piped.text - piped.size);
        if (got < 0 && errno != EINTR)
            return false;
        piped.size += got > 0 ? (size_t)got : 0;
    }
    errno = EFBIG;
    return piped.whole = piped.size <= HOST_LARGEST_SCRIPT;
}

const char *host_piped_text(const char *path, size_t *size)
{
    if (!piped.whole || strcmp(path, HOST_PIPED) != 0)
        return NULL;
    *size = piped.size;
    return piped.text;
}
