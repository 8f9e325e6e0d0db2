/* bench.h - what the bench's Lua chunks ask of the engine.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_BENCH_H
#define LL_BIND_BENCH_H

#include <lua.h>

/* Gives the module's Lua chunks what they weigh and step with. */
void bind_open_bench(lua_State *L);

#endif
