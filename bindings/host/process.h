/* process.h - what the program needs of the system before anything else begins.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_PROCESS_H
#define LL_HOST_PROCESS_H

#include <stdbool.h>

/* The first thing in main: may start the program afresh with other settings. False, with a message on standard error, when the
 * system gives too little; the process must leave by _exit then, as the libraries' own ends may wait for what never comes. */
bool host_process_prepare(char **argv);

/* Addresses that the process has taken, 0 when that cannot be known. */
unsigned long host_process_bytes(void);

#endif
