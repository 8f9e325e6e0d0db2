/* pool.h - work shared out among processes, each with one thread, so that a sweep keeps all processors busy.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_POOL_H
#define LL_BIND_POOL_H

#include <lua.h>

/* Adds to the core: core.pool(todo, work), a pool that calls work(item) for each item of a list, and core.pool_next(pool), the next
 * text that a call returned, in no particular order, false when there was none for a while, nil after the last. Closing the pool ends its processes. */
void bind_open_pool(lua_State *L);

#endif
