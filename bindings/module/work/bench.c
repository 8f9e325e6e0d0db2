/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/work/bench.h"
#include "module/base/chunks.h"
#include "version.h"

void bind_open_bench(lua_State *L)
{
    bind_open_weigh(L);
    bind_open_draft(L);
    bind_open_build(L);
    bind_open_coils(L);
    bind_open_instrument(L);
    bind_push_core(L);
    lua_pushliteral(L, LL_VERSION);
    lua_setfield(L, -2, "version");
    lua_pop(L, 1);
}
