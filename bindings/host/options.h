/* options.h - the command line.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_OPTIONS_H
#define LL_HOST_OPTIONS_H

#include <stdbool.h>

typedef struct host_options {
    const char *format; /* "text", "csv", "markdown" or "json" */
    const char *out;    /* folder, NULL when nothing may be written */
    const char *in;     /* folder, NULL when nothing may be read */
    double time_limit_s, memory_limit_mb;
    int threads;     /* 0: as many as there are processors */
    int part, parts; /* the share of a sweep that is wanted, 1 to parts; 0: all of it */
    bool quiet, stamp, watch, help;
    unsigned given; /* a bit for each option */
    /* What is left: SCRIPT and NAME=VALUE for `run`. */
    char **words;
    int word_count;
} host_options;

/* One option: the command line, help, man page and completion of shells are made from their table. */
typedef struct host_option {
    const char *name;
    const char *value;   /* what stands for its value in help; NULL for a mere switch */
    const char *meaning; /* NULL for a second name of another */
    const char *takes;   /* what its value is to be, in a message */
    bool (*read)(const char *text, host_options *out);
} host_option;

/* All of them, up to one without a name. */
const host_option *host_options_known(void);
bool host_option_listed(const host_option *option, const char *list);

/* Takes the options out of the words behind the command. Prints what is wrong and returns false. */
bool host_options_read(int count, char **words, host_options *out);
/* An option that was given and does not stand in the list, parted by blanks; else NULL. */
const char *host_option_beside(const host_options *out, const char *list);

#endif
