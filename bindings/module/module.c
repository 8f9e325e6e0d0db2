/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/module.h"
#include "base/kernels.h"
#include "module/base/check_mode.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/input.h"
#include "module/base/odd.h"
#include "module/base/output.h"
#include "module/base/picture.h"
#include "module/base/shield.h"
#include "module/core.h"
#include "module/nouns/nouns.h"
#include "module/readings/query.h"
#include "module/recorded/recorded.h"
#include "module/work/bench.h"
#include "module/work/journal.h"
#include "module/work/plot.h"
#include "module/work/pool.h"
#include "module/work/run.h"

/* What is better in Lua than in C; later chunks use what earlier ones make. */
static void run_chunks(lua_State *L, int module)
{
    for (size_t i = 0; bind_chunks[i].name; i++) {
        bind_load_chunk(L, &bind_chunks[i]);
        lua_pushvalue(L, module);
        bind_push_core(L);
        lua_call(L, 2, 0);
    }
}

/* Those of tables, pickups and diagnoses that are written in Lua. */
static void shield_methods(lua_State *L)
{
    bind_push_core(L);
    lua_getfield(L, -1, "methods");
    for (lua_pushnil(L); lua_next(L, -2); lua_pop(L, 1))
        if (lua_istable(L, -1))
            bind_shield_all(L);
    lua_pop(L, 2);
}

LL_MODULE_ENTRY int luaopen_lodeloom(lua_State *L)
{
    const char *unknown = ll_kernels_unknown();
    if (unknown)
        return luaL_error(
            L, "LL_KERNELS in the environment is '%s'; it is base, v3 or v4, or left out", unknown);
    lua_newtable(L);
    int module = lua_gettop(L);
    bind_open_check_mode(L);
    bind_open_core(L);
    bind_open_input(L);
    bind_open_output(L);
    bind_open_run(L);
    bind_open_odd(L);
    bind_open_pool(L);
    bind_open_journal(L);
    bind_open_plot(L);
    bind_open_material(L);
    bind_open_wire(L);
    bind_open_part(L);
    bind_open_coil(L);
    bind_open_string(L);
    bind_open_pickup(L);
    bind_open_lumped(L);
    bind_open_network(L);
    bind_open_readings(L);
    bind_open_listen(L);
    bind_open_bench(L);
    bind_open_recording(L);
    bind_open_test_signal(L);
    bind_open_wiring(L);
    bind_open_recorded_core(L);
    run_chunks(L, module);
    lua_settop(L, module);
    shield_methods(L);
    bind_shield_all(L);
    bind_guard_all(L);
    return 1;
}
