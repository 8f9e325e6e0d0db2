/* bench.h - what the bench's Lua chunks ask of the engine, put into `core`.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_BENCH_H
#define LL_BIND_BENCH_H

#include "circuit/together.h"
#include <lua.h>

/* All of them. */
void bind_open_bench(lua_State *L);

void bind_open_weigh(lua_State *L); /* weigh.c: hypotheses, and steps of least squares */
void bind_open_draft(lua_State *L); /* draft.c: what is read of a pickup's draft */
void bind_open_build(lua_State *L); /* build.c: how it is built */
void bind_open_coils(lua_State *L); /* coils.c: coils in some state of repair, pickups together */
void bind_open_instrument(lua_State *L); /* instrument.c: positions of an instrument's switch */

/* Pushes "in phase". */
void bind_push_phase(lua_State *L, ll_phase phase);

#endif
