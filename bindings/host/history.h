/* history.h - lines of earlier prompts, in lodeloom/history beneath the user's folder of states.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_HISTORY_H
#define LL_HOST_HISTORY_H

/* All three do nothing without readline, or when standard input is no terminal. */
void host_history_read(void);
/* NULL and empty lines, and one that was entered just before, are left out. */
void host_history_add(const char *line);
void host_history_write(void);

#endif
