/* watch.h - a script that runs again whenever it is saved.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_WATCH_H
#define LL_HOST_WATCH_H

#include "options.h"

/* Runs `run` in a process of its own, and again whenever the script at `path` or another .lua beside it was saved, until the program is
 * interrupted or the script's folder goes. The exit status of the last run. */
int host_watch(const host_options *options, const char *path,
               int (*run)(const host_options *options));

#endif
