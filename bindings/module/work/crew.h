/* crew.h - work shared out among processes, each with one thread, so that a sweep keeps all processors busy.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_CREW_H
#define LL_BIND_CREW_H

#include <lua.h>

/* Adds to the core: core.crew(todo, work), a crew that calls work(item) for each item of a list, and core.crew_next(crew), the next
 * text that a call returned, in no particular order, false when there was none for a while, nil after the last. Closing the crew ends its processes. */
void bind_open_crew(lua_State *L);

#endif
