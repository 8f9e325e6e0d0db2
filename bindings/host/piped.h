/* piped.h - what `-` stands for: a script that comes through standard input. It is read once and kept, because a script is looked at
 * before it is run.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_PIPED_H
#define LL_HOST_PIPED_H

#include <stdbool.h>
#include <stddef.h>

/* The word of the command line, and the path that stands for it in messages. */
#define HOST_DASH "-"
#define HOST_PIPED "stdin"

enum { HOST_LARGEST_SCRIPT = 4 << 20 }; /* bytes; of a file, too */

/* Reads standard input to its end. False with errno set: EFBIG for more than a script may have, ETIMEDOUT when its end did not come
 * within most_s seconds. */
bool host_piped_read(double most_s);

/* The text that was read, and its size; NULL when the path is not HOST_PIPED, or nothing was read. */
const char *host_piped_text(const char *path, size_t *size);

#endif
