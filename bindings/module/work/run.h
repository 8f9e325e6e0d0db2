/* run.h - what a sweep asks about the run that it is part of, and tells the person who waits.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_RUN_H
#define LL_BIND_RUN_H

#include <lua.h>

/* Adds core.run, core.progress, core.keep and core.say. */
void bind_open_run(lua_State *L);

#endif
