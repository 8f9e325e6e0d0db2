/* header.h - the remarks that a shared script opens with: what it answers, whose bench it is from, which version it needs.
 *
 *   -- Title: question?
 *   -- NAME bench. Needs lodeloom 0.1.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_HEADER_H
#define LL_HOST_HEADER_H

#include <stdbool.h>

typedef struct host_header {
    char question[160]; /* "" without a first line */
    char bench[60];     /* "Quarrel Lane bench"; "" when it does not say */
    int major, minor;   /* that it needs; 0.0 when it does not say */
} host_header;

/* From the text of a script, which may begin with a line for the shell. */
host_header host_header_of(const char *text);

/* False, with a message on standard error, when the script needs a later version than this one. */
bool host_header_suits(const host_header *header, const char *path);

/* `lodeloom scripts`: a line for each script that came with the program. The exit status. */
int host_list_scripts(void);

#endif
