/* finished_rows.h - finished rows of a sweep that is under way, shown should a limit end the script.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_FINISHED_ROWS_H
#define LL_HOST_FINISHED_ROWS_H

#include <stddef.h>

/* Adds to the rows, for bind_sweeps; a NULL text forgets them. */
void host_add_finished(const char *text, size_t size);

/* Prints the rows on standard output and forgets them. May be called from a signal handler that ends the process. */
void host_print_finished(void);

/* Writes a text without any buffer, as a signal handler may. */
void host_say(int file, const char *text);

#endif
